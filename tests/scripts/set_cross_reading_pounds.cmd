steelyard set_cross vehicles/twayblade.lua 50 --reading 295.6,293.2,455.5,439.2 --reading-state kerb
