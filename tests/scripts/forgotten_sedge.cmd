steelyard forgotten vehicles/history/sedge-2024-03-14.lua
