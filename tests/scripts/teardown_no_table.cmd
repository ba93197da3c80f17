steelyard teardown vehicles/first_guess.lua
