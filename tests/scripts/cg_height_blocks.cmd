steelyard cg_height vehicles/first_guess.lua vehicles/readings/rear_blocks.csv
