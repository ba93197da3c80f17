steelyard stint vehicles/twayblade.lua --from 30 --down-to 4 --driver driver,30,17 --driver "tal driver" --state "race start"
