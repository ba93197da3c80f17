--- What is a part's moment of inertia, from the time it takes to swing?
-- Step: weigh
-- Usage: steelyard pendulum READINGS.csv

local sy = require "steelyard"

local o = sy.options{
  about = "Inertia about the part's own CG from timings of many swings, of a compound pendulum, of two or three wires (with or without a "
    .. "platform), or of a torsion wire calibrated with a rod. Several axes give the tensor. The file has settings on top (kind, mass, "
    .. "arm ...), each with its standard uncertainty in a third cell, and a timing a row below: vehicles/readings/README.md.",
  usage = "pendulum READINGS.csv",
  prints = "result",
  examples = {"steelyard pendulum vehicles/readings/front_wheel_swing.csv", "steelyard pendulum vehicles/readings/upright_tensor.csv"},
  args = {{"readings", "the file with the readings"}},
}
sy.out(o, require("steelyard.measure.pendulum.file").of(o.readings))
