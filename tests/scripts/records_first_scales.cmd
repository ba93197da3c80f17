steelyard records vehicles/tansy.lua "first scales"
