steelyard stint vehicles/twayblade.lua --from 30 --down-to 4 --driver driver,30,17 --driver "tall driver,17,4" --for front_share,left_share,height,corners.lf --state "race start"
