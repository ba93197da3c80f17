steelyard load_transfer vehicles/twayblade.lua --right 0.9 --braking 0.4 --front 40 --rear 65 --state "race start"
