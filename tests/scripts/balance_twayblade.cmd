steelyard balance vehicles/twayblade.lua --state kerb
