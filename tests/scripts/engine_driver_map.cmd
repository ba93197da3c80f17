steelyard engine_driver_map vehicles/first_guess.lua --state "race start"
