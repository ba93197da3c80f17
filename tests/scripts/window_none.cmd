steelyard window vehicles/first_guess.lua --back=-200,-150,2
