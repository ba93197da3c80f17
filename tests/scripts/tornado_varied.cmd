steelyard tornado vehicles/sedge.lua --vary "engine back -50 50 5,driver mass 60 100 5" --for front_share,corners.lf
