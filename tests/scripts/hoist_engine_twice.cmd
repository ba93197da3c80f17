steelyard hoist_engine vehicles/bistort.lua "lifting eye, timing end" "lifting eye, timing end" --what engine
