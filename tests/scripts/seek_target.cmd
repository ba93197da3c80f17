steelyard seek vehicles/first_guess.lua --vary "powertrain back -60 80,battery back -300 900" --target "front_share 42.8" --state "race start"
