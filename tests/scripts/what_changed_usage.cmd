steelyard what_changed vehicles/history/sedge-2024-02-15.lua vehicles/history/sedge-2024-03-14.lua --renamed seat
