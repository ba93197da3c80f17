steelyard predict_corners vehicles/twayblade.lua --pads lf:2
