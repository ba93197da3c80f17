steelyard set_cross vehicles/twayblade.lua 50 --state "race start" --reading 129.1,133.0,206.6,195.2 --reading-state kerb --reading-front 4 --front 0 --rear 0
