steelyard half_shafts vehicles/burnet.lua
