steelyard track vehicles/history vehicles/sedge.lua --car sedge --state "race start"
