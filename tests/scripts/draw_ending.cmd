steelyard draw vehicles/burnet.lua --to car.jpg
