steelyard tilt_table vehicles/teasel.lua
