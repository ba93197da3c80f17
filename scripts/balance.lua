--- Where does the car stand: axle and wheel loads, CG, inertia?
-- Step: start
-- Usage: steelyard balance CAR [--state NAME] [--fill TANK=LITRES]

local sy = require "steelyard"

local o = sy.options{
  about = "Mass, centre of gravity, axle and wheel loads and inertia of a vehicle file, with their uncertainty.",
  usage = "balance CAR [--state NAME]",
  prints = "result",
  examples = {"steelyard balance vehicles/first_guess.lua", 'steelyard balance vehicles/twayblade.lua --state "race start"'},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "load state, one of the file's"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
sy.out(o, car:balance())
