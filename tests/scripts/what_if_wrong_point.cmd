steelyard what_if vehicles/twayblade.lua "ballast 12 at spliter lip"
