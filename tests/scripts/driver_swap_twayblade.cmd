steelyard driver_swap vehicles/twayblade.lua --for "tall driver" --state "race start"
