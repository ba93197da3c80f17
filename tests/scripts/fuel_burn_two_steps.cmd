# raised by the script itself: a plain Lua ends with code 1
steelyard fuel_burn vehicles/twayblade.lua --step 2 --lap 1
