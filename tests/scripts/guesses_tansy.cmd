steelyard guesses vehicles/tansy.lua
