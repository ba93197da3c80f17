steelyard weigh_next vehicles/first_guess.lua --scale 0
