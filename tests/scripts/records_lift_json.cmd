steelyard records vehicles/tansy.lua "rear lift" --json
