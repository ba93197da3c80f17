steelyard seek vehicles/twayblade.lua --vary "engine back -20 80,driver mass 60 90" --target "front_share 43,left_share 49.5" --state "race start"
