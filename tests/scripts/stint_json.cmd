steelyard stint vehicles/first_guess.lua --from 40 --down-to 4 --mean --json
