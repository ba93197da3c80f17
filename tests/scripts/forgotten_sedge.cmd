steelyard forgotten vehicles/history/sedge-2026-03-14.lua
