steelyard weigh_next vehicles/tansy.lua --as-built --scale 0.05 --steps 5
