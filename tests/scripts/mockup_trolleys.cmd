steelyard mockup vehicles/twayblade.lua --trolleys 500,500
