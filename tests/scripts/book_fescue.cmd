steelyard book vehicles/fescue.lua powertrain
