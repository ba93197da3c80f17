--- Where may the engine stand for which driver: the front share as a map?
-- Step: lay out
-- Usage: steelyard engine_driver_map CAR [--move PART] [--back FROM,TO,N] [--who PERSON] [--mass FROM,TO,N] [--show QUANTITY] [--state
-- NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "One quantity over the position of a part and the mass of a person, each with each: a row a position, a column a mass.",
  usage = "engine_driver_map CAR [--move PART] [--back FROM,TO,N] [--who PERSON] [--mass FROM,TO,N] [--show QUANTITY] [--state NAME]",
  examples = {'steelyard engine_driver_map vehicles/first_guess.lua --state "race start"',
              "steelyard engine_driver_map vehicles/sedge.lua --move engine --show height --mass 55,95,9 --plot map.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"}, move = {"PART", "what moves", default = "engine"},
             back = {"FROM,TO,N", "positions in mm, negative forward", default = {-100, 100, 21}, number = true, list = true, count = 3},
             who = {"PERSON", "whose mass changes", default = "driver"},
             mass = {"FROM,TO,N", "kg", default = {55, 105, 11}, number = true, list = true, count = 3},
             show = {"QUANTITY", "what is shown", default = "front_share"}},
  study = true, plots = true,
}
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
sy.out(o, sy.study{car, vary = {sy.vary(o.move, "back", table.unpack(o.back)), sy.vary(o.who, "mass", table.unpack(o.mass))},
                   show = {o.show}, to = o.to, replace = o.replace, shard = o.shard, threads = o.threads, quiet = o.quiet})
