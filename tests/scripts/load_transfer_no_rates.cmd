steelyard load_transfer vehicles/first_guess.lua --left 0.5
