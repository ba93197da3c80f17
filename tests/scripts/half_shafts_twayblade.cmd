steelyard half_shafts vehicles/twayblade.lua --back -40,40 --droop 40 --bump 50
