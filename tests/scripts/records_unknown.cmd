steelyard records vehicles/tansy.lua "frist scales"
