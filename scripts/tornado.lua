--- What do balance and CG height rest on, and which errors move them most?
-- Step: book
-- Usage: steelyard tornado CAR [--for QUANTITY,...] [--vary "PART WAY FROM TO N",...] [--top N] [--as-built] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "Every stated error by itself: how far one sigma of it moves each answer, worked out anew and not only to first order, and what "
    .. "it has of the variance. With --vary inputs of your own instead, from one end to the other and by a step.",
  usage = 'tornado CAR [--for QUANTITY,...] [--vary "PART WAY FROM TO N",...] [--top N] [--as-built] [--state NAME]',
  prints = "page", plots = true,
  examples = {'steelyard tornado vehicles/first_guess.lua --state "race start"',
              'steelyard tornado vehicles/sedge.lua --vary "engine back -50 50 5,driver mass 60 100 5" --for front_share,corners.lf '
                .. "--plot tornado.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"},
             ["for"] = {"QUANTITY,...", "quantities, as results have them", default = {"front_share", "height"}, list = true},
             vary = {"INPUT,...", "what is varied: a part, a way and from, to and how many", list = true},
             top = {"N", "how many rows of each", default = 12, number = true, whole = true, min = 0, max = 100000},
             as_built = {nil, "the car as its records leave it"}},
}
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
sy.out(o, sy.sensitivity{o.as_built and car:as_built() or car, show = o["for"], vary = require("steelyard.command.varied").of(o.vary),
                         top = o.top})
