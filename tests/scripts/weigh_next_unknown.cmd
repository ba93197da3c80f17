steelyard weigh_next vehicles/first_guess.lua --for front_shares
