steelyard spread vehicles/first_guess.lua --state "race start" --growth --below "mass 790" --draws 20000
