steelyard what_if vehicles/first_guess.lua "transaxel 30 down"
