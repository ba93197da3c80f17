steelyard what_if vehicles/first_guess.lua "transaxle 30 down" "driver 20 forward" --each
