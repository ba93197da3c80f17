steelyard sheets vehicles/first_guess.lua lift --state "race start" --json
