steelyard predict_corners vehicles/burnet.lua --state "two up"
