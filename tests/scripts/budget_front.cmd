steelyard budget vehicles/twayblade.lua --for front_share --state "race start"
