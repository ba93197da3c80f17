steelyard report vehicles/first_guess.lua --show mass
