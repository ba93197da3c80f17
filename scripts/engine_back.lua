--- How do the axle loads follow the engine from 100 mm back to 50 forward?
-- Step: lay out
-- Usage: steelyard engine_back [CAR] [--part NAME] [--state NAME] [--step MM]

local sy = require "steelyard"
local contents = require "steelyard.car.contents"
local out = require "steelyard.command.out"
local page = require "steelyard.print.page"
local resolve = require "steelyard.car.resolve"

local o = sy.options{
  about = "The change of one step back, then a table from 100 mm back to 50 mm forward.",
  usage = "engine_back [CAR] [--part NAME] [--state NAME] [--step MM]",
  prints = "result", plots = true,
  examples = {"steelyard engine_back", "steelyard engine_back vehicles/first_guess.lua --part engine --step 30 --plot back.svg"},
  args = {{"car", "vehicle file", default = "vehicles/first_guess.lua"}},
  options = {state = {"NAME", "a load state of the file"}, part = {"NAME", "what moves, the powertrain unless stated"},
             step = {"MM", "the one step", default = 50, number = true}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local what, why = resolve.asked_or_usual(contents.inside(car), o.part, "powertrain", "part")
if not what then -- the car as booked is what can be shown
  out.remark(o, why)
  return sy.out(o, car:balance())
end
local step = sy.compare{car, car:move(what, {back = o.step})}
local rows, positions = {}, {}
for i = 0, 6 do -- count steps, do not add up 25 mm
  local back = 100 - 25 * i
  local b = car:move(what, {back = back}):balance()
  local place = back > 0 and back .. " back" or back < 0 and -back .. " forward" or "as booked"
  positions[#rows + 1] = {words = place, back = back, front = b.front, rear = b.rear, front_share = b.front_share, cg_behind = b.cg_behind,
                          yaw_inertia = b.yaw_inertia}
  rows[#rows + 1] = {place, b.front, b.rear, b.front_share, b.cg_behind, b.yaw_inertia}
end
local result = {step = step, part = what, rows = positions, state = step.state}
page.add(step, "\n" .. sy.table({
  {what .. ", mm", "%s"}, {"front, kg", "%.2f"}, {"rear, kg", "%.2f"}, {"front, %", "%.2f"}, {"CG behind front axle, mm", "%.1f"},
  {"yaw inertia, kg m2", "%.1f"},
}, rows))
sy.out(o, page.result("engine_back", result, step), step.status)
