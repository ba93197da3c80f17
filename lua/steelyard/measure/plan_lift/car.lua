--- car:plan_lift(fields): sy.plan_lift with the car's geometry, mass and guess of the height, and its named points as low points.

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local measurement = require "steelyard.measure.measurement"
local origin = require "steelyard.print.origin"
local plausible = require "steelyard.answers.plausible"
local touches = require "steelyard.measure.cg_height.touches"

local plan_lift_car = {}

-- The file's points where they are now, seen from the front axle.
local function low_points(c)
  local list = touches.points(c)
  for i, point in ipairs(list) do list[i] = {name = point.name, forward = point.at[1], height = point.at[3]} end
  return #list > 0 and list or nil
end

--- The plan for this car in its load state.
function plan_lift_car.of(c, car, t)
  if type(t) ~= "table" then
    measurement.refuse("plan", nil, "type", "car:plan_lift needs a table of fields, such as {within = 10, pads = {sd = 0.1}}")
  end
  local fields = require("steelyard.measure.cg_height.car").geometry(c, "plan", true)
  fields.tracks = nil
  local b = core.balance(c.now, c.geometry)
  fields.title, fields.state = car:heading(), loading.title(c)
  fields.mass, fields.front_share, fields.height = b.mass, b.front_share, b.height
  if b.lf and b.rf and b.lr and b.rr and #c.geometry:wheels() == 4 then
    fields.corners = {lf = math.max(b.lf, 0), rf = math.max(b.rf, 0), lr = math.max(b.lr, 0), rr = math.max(b.rr, 0)}
  end
  fields.low_points = low_points(c)
  for key, value in pairs(t) do fields[key] = value end
  local result = require("steelyard.measure.plan_lift").of(fields)
  if t.height == nil then
    for _, sentence in ipairs(plausible.of_car(c, b.height, b.mass)) do table.insert(result.notes, 1, "ledger: " .. sentence) end
  end
  for i, sentence in ipairs(require("steelyard.measure.cg_height.car").objections(c)) do table.insert(result.notes, i, sentence) end
  if t.title == nil and t.state == nil then result.heading = "Plan for " .. car:heading() end
  return origin.of_car(result, c)
end

return plan_lift_car
