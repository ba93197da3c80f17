steelyard drivers vehicles/first_guess.lua --hip 1160,180,230 --torso 40 --knee 125 --thigh 20 --people 1700:65,1900:100
