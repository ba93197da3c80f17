steelyard tilt_table vehicles/twayblade.lua --state "two up" --brake-front 58
