--- Where does the car stand: axle and wheel loads, CG, inertia?
-- Step: start
-- Usage: steelyard balance CAR [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "Mass, centre of gravity, axle and wheel loads and inertia of the car in a vehicle file, each with its uncertainty.",
  usage = "balance CAR [--state NAME]",
  prints = "result", plots = true,
  examples = {"steelyard balance vehicles/first_guess.lua",
              'steelyard balance vehicles/twayblade.lua --state "race start" --plot layout.svg'},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
sy.out(o, car:balance())
