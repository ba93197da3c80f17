steelyard balnce vehicles/first_guess.lua
