steelyard load_transfer vehicles/burnet.lua --left 0.7 --state "two up"
