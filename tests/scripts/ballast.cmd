steelyard ballast vehicles/twayblade.lua --front 43 --slot "nose,-500,0,200,15,0.1" --state "race start"
