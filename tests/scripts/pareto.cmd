steelyard pareto vehicles/first_guess.lua --state "race start"
