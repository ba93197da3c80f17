steelyard start vehicles/first_guess.lua
