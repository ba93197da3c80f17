steelyard meet_target vehicles/twayblade.lua
