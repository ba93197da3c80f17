steelyard meet_target vehicles/twayblade.lua --left-within 0.6
