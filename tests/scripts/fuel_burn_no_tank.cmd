steelyard fuel_burn vehicles/first_guess.lua --tank engine
