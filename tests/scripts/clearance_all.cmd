steelyard clearance vehicles/twayblade.lua --all --gap 5
