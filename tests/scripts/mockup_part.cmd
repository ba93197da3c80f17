steelyard mockup vehicles/teasel.lua --what powertrain
