steelyard forgotten vehicles/twayblade.lua
