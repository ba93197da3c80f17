steelyard seek vehicles/twayblade.lua --vary "engine back 80 -20" --most height
