steelyard inertia vehicles/twayblade.lua --what powertrain
