steelyard checks vehicles/twayblade.lua --state kerb
