steelyard driver_swap vehicles/bistort.lua --state tall --masses 60
