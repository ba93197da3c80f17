steelyard tornado vehicles/first_guess.lua --state "race start"
