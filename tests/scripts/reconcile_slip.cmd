steelyard reconcile vehicles/first_guess.lua --state "race start" --corners 184.5,165.0,216.5,228.0
