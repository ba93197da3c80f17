steelyard cg_height vehicles/first_guess.lua --plan 3 --pad 0.2 --step 0.5 --state "no driver" --low nose,750,110,tail,-3100,160
