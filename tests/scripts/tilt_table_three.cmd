steelyard tilt_table vehicles/burnet.lua --state "driver only" --required 35 --braking 0.4
