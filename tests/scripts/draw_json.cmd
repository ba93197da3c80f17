steelyard draw vehicles/burnet.lua --view plan --json
