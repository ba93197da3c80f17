steelyard stands vehicles/teasel.lua 250,0,150 800,0,150 1300,0,150
