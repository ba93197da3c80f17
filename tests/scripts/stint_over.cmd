steelyard stint vehicles/twayblade.lua --from 60 --down-to 4
