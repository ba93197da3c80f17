--- What is worth weighing or measuring next, and how well is it all known then?
-- Step: weigh
-- Usage: steelyard weigh_next CAR [--for QUANTITY,...] [--scale KG] [--tape MM] [--steps N] [--as-built] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "The line whose weighing or measuring makes the quantities most certain, then the next one with that done, and what is left when "
    .. "every line is as well known as scale and tape make it. Of several quantities the mean of their variances counts, each by what "
    .. "it is now.",
  usage = "weigh_next CAR [--for QUANTITY,...] [--scale KG] [--tape MM] [--steps N] [--as-built] [--state NAME]",
  prints = "page", plots = true,
  examples = {"steelyard weigh_next vehicles/twayblade.lua --for front_share,height",
              "steelyard weigh_next vehicles/tansy.lua --as-built --scale 0.05 --steps 5 --plot weigh.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"},
             ["for"] = {"QUANTITY,...", "quantities, as results have them", default = {"front_share", "height"}, list = true},
             scale = {"KG", "standard uncertainty of a mass that is weighed", default = 0.1, number = true},
             tape = {"MM", "and of a coordinate that is measured", default = 2, number = true},
             steps = {"N", "how many to list", default = 10, number = true, whole = true, min = 1, max = 100000},
             as_built = {nil, "the car as its records leave it"}},
}
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
local r = sy.sensitivity{o.as_built and car:as_built() or car, show = o["for"], scale = o.scale, tape = o.tape, steps = o.steps, top = 0}
sy.out(o, require("steelyard.study.sensitivity_weigh").document(r))
