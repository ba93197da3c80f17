steelyard balance vehicles/first_guess.lua --state "race start"
