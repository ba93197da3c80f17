steelyard predict_corners vehicles/twayblade.lua --state "two up"
