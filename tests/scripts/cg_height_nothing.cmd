steelyard cg_height vehicles/first_guess.lua
