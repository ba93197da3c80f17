steelyard weigh_next vehicles/first_guess.lua --state "race start" --for front_share --steps 4
