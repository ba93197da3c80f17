steelyard what_if vehicles/first_guess.lua "powertrain 50 back" --eahc
