--- What do the wheels carry, from readings of scales?
-- Step: weigh
-- Usage: steelyard read_corners READINGS.csv

local sy = require "steelyard"

local o = sy.options{
  about = "Wheel loads and shares with their uncertainties from runs over scales, the offsets of the pads, zeros that moved, and totals "
    .. "that do not close. The file has a wheel, an axle or the total a row: vehicles/readings/README.md.",
  usage = "read_corners READINGS.csv",
  prints = "result", plots = true,
  examples = {"steelyard read_corners vehicles/readings/corners_swapped.csv",
              "steelyard read_corners vehicles/readings/weighbridge.csv --plot scales.svg"},
  args = {{"readings", "the file with the readings"}},
}
sy.out(o, require("steelyard.measure.corner_scales.file").of(o.readings))
