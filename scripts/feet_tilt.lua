--- Where is the CG of a tub that stood on four round feet, level and tilted?
-- Step: weigh
-- Usage: steelyard feet_tilt READINGS.csv

local sy = require "steelyard"

local o = sy.options{
  about = "As engine_cg, for a tub on four ball feet instead of wheels: the ground pushes through the centre of a ball at any tilt, while "
    .. "a tyre's contact runs to the edge of its tread. Places are those of the centres of the balls. Read the caution about slipping "
    .. "first.",
  usage = "feet_tilt READINGS.csv",
  prints = "result",
  examples = {"steelyard feet_tilt vehicles/readings/tub_on_feet.csv", "steelyard feet_tilt vehicles/readings/tub_on_feet.csv --json"},
  args = {{"readings", "the file with the readings"}},
}
sy.out(o, require("steelyard.measure.part_cg.file").of(o.readings, {feet = "round"}))
