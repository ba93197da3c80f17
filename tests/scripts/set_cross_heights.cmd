steelyard set_cross vehicles/twayblade.lua 50 --state "two up" --front 0 --rear 0
