steelyard seek vehicles/twayblade.lua --vary "engine back -60 80,battery back -200 900" --target "front_share 41 1" --least yaw_inertia --worst "kerb,race start,end of race"
