steelyard driver_swap vehicles/first_guess.lua
