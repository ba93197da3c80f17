steelyard fuel_burn vehicles/twayblade.lua --to 70
