steelyard book vehicles/twayblade.lua powertrain
