steelyard balance vehicles/fescue.lua --state race
