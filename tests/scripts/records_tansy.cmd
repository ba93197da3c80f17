steelyard records vehicles/tansy.lua
