steelyard set_cross vehicles/twayblade.lua 51.5 --state "race start"
