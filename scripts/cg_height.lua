--- How high is the CG, by lifting an axle, and how far must one lift?
-- Step: weigh
-- Usage: steelyard cg_height CAR [READINGS.csv] [--plan MM] [--state NAME] [--lifted END] [--pad KG] [--step KG] [--lifts MM,...]
--   [--low NAME,AHEAD,HIGH]

local sy = require "steelyard"
local core = require "steelyard.core"

local o = sy.options{
  about = "With readings: the height and its uncertainty, each reading alone, readings that do not fit, and the height in the ledger. "
    .. "With --plan: how high to lift for a wanted uncertainty, what touches first, and what each pad will read. A file of readings "
    .. "has settings on top, then a reading a row: vehicles/readings/README.md.",
  usage = "cg_height CAR [READINGS.csv] [--plan MM] [--state NAME] [--lifted END] [--pad KG] [--step KG] [--lifts MM,...] "
    .. "[--low NAME,AHEAD,HIGH]",
  prints = "result", plots = true,
  examples = {"steelyard cg_height vehicles/first_guess.lua --plan 10 --low nose,750,110",
              "steelyard cg_height vehicles/first_guess.lua vehicles/readings/rear_lift.csv --plot lift.svg"},
  args = {{"car", "vehicle file"}, {"readings", "file with the readings", optional = true}},
  options = {
    plan = {"MM", "plan a lift for this uncertainty of the height (95 %)", number = true, field = "within"},
    state = {"NAME", "a load state of the file"},
    lifted = {"END", "what the plan lifts", choices = {"rear", "front"}, default = "rear"},
    pad = {"KG", "standard uncertainty of one pad, for the plan", number = true, default = 0.1, field = "pads.sd"},
    step = {"KG", "the step of its display", number = true, field = "pads.step"},
    lifts = {"MM,...", "lifts to predict the readings at", list = true, number = true},
    lift_sd = {"MM", "standard uncertainty of a lift", number = true, default = 2, field = "sd.lift"},
    radius_sd = {"MM", "standard uncertainty of a loaded radius", number = true, default = 1, field = "sd.radius"},
    wheelbase_sd = {"MM", "standard uncertainty of the wheelbase", number = true, default = 2, field = "sd.wheelbase"},
    low = {"NAME,AHEAD,HIGH,...", "low points: mm ahead of the front axle and above ground, three values each", list = true,
       field = "low_points"}},
}
local function low_points(list)
  local points = {}
  for i = 1, #list, 3 do
    local forward, height = core.number(list[i + 1] or ""), core.number(list[i + 2] or "")
    if not (forward and height) then
      core.fail{code = "usage", message = "--low takes a name and two numbers for each point, as in nose,750,110"}
    end
    points[#points + 1] = {name = list[i], forward = forward, height = height}
  end
  return points
end
if o.plan and o.plot then core.fail{code = "usage", message = "--plot draws what was read: it goes with READINGS, not with --plan"} end
if o.readings and o.plan then core.fail{code = "usage", message = "READINGS and --plan do not go together"} end
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
if o.readings then
  sy.out(o, require("steelyard.measure.cg_height.file").of(o.readings, car))
elseif o.plan then
  sy.out(o, car:plan_lift{within = o.plan, pads = {sd = o.pad, step = o.step}, lifted = o.lifted,
    sd = {lift = o.lift_sd, radius = o.radius_sd, wheelbase = o.wheelbase_sd},
    lifts = o.lifts, low_points = o.low and low_points(o.low)})
else
  core.fail{code = "usage", message = "READINGS or --plan MM is needed: cg_height CAR READINGS.csv, or cg_height CAR --plan 10"}
end
