steelyard track vehicles/history/tansy-2026-02-01.lua vehicles/tansy.lua --lines 1 --by mass --date tansy.lua=2026-04 --json
