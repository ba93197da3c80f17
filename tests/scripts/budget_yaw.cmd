steelyard budget vehicles/twayblade.lua --for yaw_inertia --state "two up" --top 8
