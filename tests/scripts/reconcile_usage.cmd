steelyard reconcile vehicles/first_guess.lua --corners 160,170,220
