steelyard window vehicles/first_guess.lua --state "race start"
