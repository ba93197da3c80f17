steelyard drivers vehicles/first_guess.lua
