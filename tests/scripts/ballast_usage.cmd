steelyard ballast vehicles/twayblade.lua --front 43 --slot "nose,300,-300,20,15,25"
