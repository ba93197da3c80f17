--- Where is the CG of an engine that was hung from two points and plumbed?
-- Step: weigh
-- Usage: steelyard hang_engine READINGS.csv

local sy = require "steelyard"

local o = sy.options{
  about = "The point nearest to all plumb lines, how far each line passes from it, and its uncertainty. The file has a line a row, the "
    .. "hanging point and a mark on the plumb line below it, in axes of the part: vehicles/readings/README.md.",
  usage = "hang_engine READINGS.csv",
  prints = "result",
  examples = {"steelyard hang_engine vehicles/readings/hang_engine.csv", "steelyard hang_engine vehicles/readings/hang_engine.csv --json"},
  args = {{"readings", "the file with the readings"}},
}
sy.out(o, require("steelyard.measure.hang_cg.file").of(o.readings))
