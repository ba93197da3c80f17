steelyard set_cross vehicles/twayblade.lua 99 --state "race start"
