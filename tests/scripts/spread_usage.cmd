steelyard spread vehicles/first_guess.lua --below mass
