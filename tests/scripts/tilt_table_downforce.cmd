steelyard tilt_table vehicles/bistort.lua --state "race start" --mu 1.4 --brake_front 60 --downforce_front 30 --downforce_rear 45
