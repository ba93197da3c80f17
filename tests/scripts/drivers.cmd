steelyard drivers vehicles/twayblade.lua --hip 1160,270,230 --torso 40 --knee 125 --state "race start"
