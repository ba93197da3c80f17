steelyard ride_height vehicles/twayblade.lua --state "race start" --front 10 --rear 15
