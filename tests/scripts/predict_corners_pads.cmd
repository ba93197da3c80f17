steelyard predict_corners vehicles/twayblade.lua --state "race start" --pads lf=2 --perches rr=-0.5,lf=0.5 --bars connected
