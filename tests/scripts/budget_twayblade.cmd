steelyard budget vehicles/twayblade.lua --target 800 --state "race start"
