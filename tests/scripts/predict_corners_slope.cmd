steelyard predict_corners vehicles/twayblade.lua --state "race start" --slope nose_up=2,right_up=1
