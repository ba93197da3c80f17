# raised by the script itself: a plain Lua ends with code 1
steelyard cg_height vehicles/first_guess.lua
