steelyard clearance vehicles/twayblade.lua --back -20
