steelyard driver_swap vehicles/bistort.lua --state kerb
