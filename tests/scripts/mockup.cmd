steelyard mockup vehicles/twayblade.lua --trolleys -150,2600 --tapes -300,-1600,2700,-1600
