steelyard draw vehicles/first_guess.lua
