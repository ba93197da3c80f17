steelyard draw vehicles/burnet.lua --to car.png
