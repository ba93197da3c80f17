steelyard pareto vehicles/first_guess.lua --vary "battery back -400 900"
