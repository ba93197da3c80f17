steelyard fuel_burn vehicles/twayblade.lua --step 2 --lap 1
