steelyard fuel_burn vehicles/first_guess.lua --to 30 --lap 2.5
