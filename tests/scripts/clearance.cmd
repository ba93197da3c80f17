steelyard clearance vehicles/twayblade.lua --at design,rock,bump
