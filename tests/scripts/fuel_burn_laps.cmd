steelyard fuel_burn vehicles/first_guess.lua --down-to 30 --lap 2.5
