steelyard dipstick vehicles/twayblade.lua fuel --step 50 --lean nose_up=3
