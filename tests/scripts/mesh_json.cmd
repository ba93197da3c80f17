steelyard mesh vehicles/shapes/saddle_tank.obj --unit mm --mass 21.4 --json
