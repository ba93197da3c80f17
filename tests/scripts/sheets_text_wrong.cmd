steelyard sheets_text vehicles/burnet.lua --sheet corner
