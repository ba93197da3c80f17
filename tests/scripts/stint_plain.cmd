steelyard stint vehicles/first_guess.lua --from 40 --down-to 4 --step 12 --for front_share,height,mass,yaw_inertia,cg_left --state "race start"
