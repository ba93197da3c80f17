steelyard half_shafts vehicles/twayblade.lua --bump -5
