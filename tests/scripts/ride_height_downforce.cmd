steelyard ride_height vehicles/bistort.lua --state "race start" --downforce_front 30 --downforce_rear 45
