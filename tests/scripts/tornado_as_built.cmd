steelyard tornado vehicles/tansy.lua --as-built --for mass,front_share --top 6
