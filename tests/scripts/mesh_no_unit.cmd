steelyard mesh vehicles/shapes/saddle_tank.obj
