steelyard cg_height vehicles/first_guess.lua --plan 10 --state "no driver" --low nose,750,110
