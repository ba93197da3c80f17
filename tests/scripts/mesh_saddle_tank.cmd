steelyard mesh vehicles/shapes/saddle_tank.obj --unit mm --density 0.745
