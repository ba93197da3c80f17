steelyard ride_height vehicles/twayblade.lua --state "two up" --against "race start"
