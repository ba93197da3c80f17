steelyard weigh_next vehicles/bistort.lua --for cg_left --steps 2 --json
