steelyard weigh_next vehicles/twayblade.lua --for front_share,height --steps 6
