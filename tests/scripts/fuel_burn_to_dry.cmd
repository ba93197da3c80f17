steelyard fuel_burn vehicles/twayblade.lua --down-to 1
