steelyard report vehicles/first_guess.lua --state "race start" --vary "powertrain back -50 75 6" --vary "driver mass 60 100 5"
