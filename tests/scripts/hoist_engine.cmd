steelyard hoist_engine vehicles/twayblade.lua "lifting eye, front" "lifting eye, rear" --legs 420,380 --boom 1000=500,1250=350,1500=130 --reach 1300
