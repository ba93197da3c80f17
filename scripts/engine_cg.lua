--- Where is the CG of an engine that stood on three scales, level and tilted?
-- Step: weigh
-- Usage: steelyard engine_cg READINGS.csv

local sy = require "steelyard"

local o = sy.options{
  about = "Mass and CG of a part from scales under three or more points, in any poses: level gives two coordinates, tilted the third. "
    .. "Readings, places and angles are fitted together with their uncertainties, and one that does not fit is named. The file has a "
    .. "support a row: vehicles/readings/README.md.",
  usage = "engine_cg READINGS.csv",
  prints = "result",
  examples = {"steelyard engine_cg vehicles/readings/engine_three_pads.csv",
    "steelyard engine_cg vehicles/readings/engine_three_pads.csv --json"},
  args = {{"readings", "the file with the readings"}},
}
sy.out(o, require("steelyard.measure.part_cg.file").of(o.readings))
