steelyard book vehicles/first_guess.lua --csv
