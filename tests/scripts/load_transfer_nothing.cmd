steelyard load_transfer vehicles/twayblade.lua
