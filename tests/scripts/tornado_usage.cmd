steelyard tornado vehicles/sedge.lua --vary "engine back -50 50"
