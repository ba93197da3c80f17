--- What does a part weigh, from weighings of the car with and without it?
-- Step: weigh
-- Usage: steelyard subtract READINGS.csv

local sy = require "steelyard"

local o = sy.options{
  about = "Mass, CG and (where both are known) inertia of the part that is the difference of two weighings. Uncertainties are those of a "
    .. "difference: a small part of a large whole comes out badly. The file has settings only: whole.mass, whole.x ... and the same "
    .. "for without; or the loads of axles or wheels (whole.front, whole.rear; whole.lf ...) with the wheelbase: "
    .. "vehicles/readings/README.md.",
  usage = "subtract READINGS.csv",
  prints = "result",
  examples = {"steelyard subtract vehicles/readings/tank_in_the_tub.csv", "steelyard subtract vehicles/readings/battery_before_after.csv"},
  args = {{"readings", "the file with the readings"}},
}
sy.out(o, require("steelyard.measure.subtract.file").of(o.readings))
