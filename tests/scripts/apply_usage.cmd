steelyard apply vehicles/first_guess.lua "powertrain 50 back"
