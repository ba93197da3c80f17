# raised by the script itself: a plain Lua ends with code 1
steelyard reconcile vehicles/first_guess.lua --corners 160,170,220
