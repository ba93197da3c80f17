steelyard sheets_text vehicles/burnet.lua --sheet corners
