steelyard reconcile vehicles/first_guess.lua --state "race start" --corners 165.5,170.0,222.5,233.0 --height 349
