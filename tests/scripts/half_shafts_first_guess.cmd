steelyard half_shafts vehicles/first_guess.lua --state "race start"
