steelyard hoist_engine vehicles/twayblade.lua 1605,-55,565 1955,70,590 --legs 180,190
