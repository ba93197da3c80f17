steelyard balance vehicles/burnet.lua
