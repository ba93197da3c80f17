steelyard fuel_burn vehicles/twayblade.lua --state "race start" --step 10
