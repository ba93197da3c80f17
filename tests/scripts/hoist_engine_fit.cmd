steelyard hoist_engine vehicles/teasel.lua 200,-60,720 600,40,560 --what powertrain --hang -3 --json
