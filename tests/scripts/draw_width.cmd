steelyard draw vehicles/burnet.lua --width 0
