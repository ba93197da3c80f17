steelyard fuel_burn vehicles/twayblade.lua --state "race start" --from 12 --lap 2.6
