--- What inertia has the car or a part, about any point, and about which axes?
-- Step: lay out
-- Usage: steelyard inertia CAR [--what PART] [--about POINT] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "The inertia tensor along the file's axes, about the CG or a point of the file, and the three principal moments with their axes.",
  usage = "inertia CAR [--what PART] [--about POINT] [--state NAME]",
  prints = "result",
  examples = {"steelyard inertia vehicles/twayblade.lua --what powertrain",
              'steelyard inertia vehicles/twayblade.lua --state "race start"'},
  args = {{"car", "vehicle file"}},
  options = {what = {"PART", "a part, a group or a tag"}, about = {"POINT", "a point of the file; the CG unless given"},
             state = {"NAME", "a load state of the file"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
sy.out(o, car:inertia{what = o.what, about = o.about})
