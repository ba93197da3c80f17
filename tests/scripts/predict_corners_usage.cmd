# raised by the script itself: a plain Lua ends with code 1
steelyard predict_corners vehicles/twayblade.lua --pads lf:2
