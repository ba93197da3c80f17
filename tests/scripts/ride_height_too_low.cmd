steelyard ride_height vehicles/twayblade.lua --lower 90
