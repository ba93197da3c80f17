steelyard ballast vehicles/twayblade.lua --left 49.5 --front 43.5 --slot "nose floor,300,-300,20,15,0.5" --slot "rear tray,2900,-300,60,10" --finish fuel=4 --state "race start"
