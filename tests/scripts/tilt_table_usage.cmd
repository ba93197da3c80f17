steelyard tilt_table vehicles/burnet.lua --bars on
