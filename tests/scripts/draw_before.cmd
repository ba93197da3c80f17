steelyard draw vehicles/sedge.lua --view front --before vehicles/history/sedge-2024-01-18.lua
