steelyard what_if vehicles/twayblade.lua "driver mas 96"
