steelyard guesses vehicles/history/sedge-2026-01-18.lua vehicles/history/sedge-2026-02-15.lua vehicles/history/sedge-2026-03-14.lua
