steelyard set_cross vehicles/twayblade.lua 50 --reading 134.1,133.0,206.6,199.2 --reading-state kerb --sd 0.1
