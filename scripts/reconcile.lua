--- Do the ledger and the scales agree, and if not, what is suspect?
-- Step: weigh
-- Usage: steelyard reconcile CAR --corners LF,RF,LR,RR [--height MM] [--sd KG] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "Masses and places of the ledger are adjusted within their stated uncertainties until they agree with the loads on the scales. "
    .. "Loads come in the order of a balance (left before right, front to rear); a three-wheeler has three.",
  usage = "reconcile CAR --corners LF,RF,LR,RR|--axles FRONT,REAR [--height MM] [--sd KG] [--state NAME]",
  prints = "result",
  examples = {'steelyard reconcile vehicles/first_guess.lua --state "race start" --corners 160.5,170.0,222.5,233.0',
              'steelyard reconcile vehicles/twayblade.lua --state kerb --axles 300,410 --sd 1'},
  args = {{"car", "vehicle file"}},
  options = {
    corners = {"KG,KG,...", "what the scale under each wheel read", number = true, list = true},
    axles = {"KG,KG,...", "or under each axle, front first", number = true, list = true},
    height = {"MM", "measured height of the CG above ground", number = true},
    height_sd = {"MM", "its standard uncertainty", number = true, default = 5},
    sd = {"KG", "standard uncertainty of one reading", number = true, default = 0.5},
    state = {"NAME", "load state of the file that the car was weighed in"},
  },
  apart = {{"corners", "axles"}}, needs = {{"corners", "axles"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local given = require "steelyard.measure.reconcile.given"
local wheel_loads = require "steelyard.measure.wheel_loads"
local corners = wheel_loads.typed(o.corners, given.wheels(car), "corners")
local axles = wheel_loads.typed(o.axles, given.axles(car), "axles")
sy.out(o, car:reconcile{corners = corners, axles = axles, sd = o.sd, height = o.height and sy.sd(o.height, o.height_sd)})
