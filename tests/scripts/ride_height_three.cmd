steelyard ride_height vehicles/burnet.lua --state "two up"
