steelyard what_if vehicles/first_guess.lua "powertrain back 50"
