steelyard ride_height vehicles/twayblade.lua --state kerb --measured "splitter lip=110,crank centre=322"
