--- What car:reconcile is given, checked: from its fields to what core.reconcile reads.
--
--   given.read(c, fields) -> {supports =, lateral =, axles =, height =, height_sd =, keys = {"lf", ...}, assumed = {sentences}}

local axle_means = require "steelyard.car.axle_means"
local core = require "steelyard.core"
local options = require "steelyard.reference.options"
local user_values = require "steelyard.file.user_values"
local measurement = require "steelyard.measure.measurement"
local sides = require "steelyard.file.sides"
local text = require "steelyard.print.text"
local wheel_loads = require "steelyard.measure.wheel_loads"

local given = {}
local inside = require("steelyard.car.contents").inside
local refuse = measurement.refuse
local WHERE = "reconcile"

local DEFAULT_HEIGHT_SD = 5  -- mm, of a height from a careful lift; tests/scripts/cg_height_rear_lift.expected has half of it

given.DEFAULT_HEIGHT_SD = DEFAULT_HEIGHT_SD

--- What the wheels of each axle have in common: their uncertainties.
function given.axle_errors(c)
  local list = {}
  for i, axle in ipairs(c.axles) do list[i] = {place_sd = axle.at_sd or 0, track_sd = axle.track_sd or 0} end
  return list
end

-- Where a wheel stands, with uncertainties of its own for what its side states.
local function wheel_support(c, wheel)
  local own = c.axles[wheel.axle][sides.name(wheel.side)] or {}
  return {forward = wheel.forward, left = wheel.left, axle = wheel.axle, forward_sd = own.at and (own.at_sd or 0),
          left_sd = own.half_track and (own.half_track_sd or 0)}
end

-- Where both wheels of an axle press together.
local function axle_support(c, index)
  local axle, forward, sd = c.axles[index], axle_means.forward(c, index)
  return {forward = forward, axle = index, forward_sd = not sides.alike(axle, {"at"}) and (sd or 0) or nil}
end

--- Where scales stand: the keys of the wheels, or the names of the axles, and the support of each.
function given.supports(c, lateral)
  local keys, supports = {}, {}
  if lateral then
    for i, wheel in ipairs(c.geometry:wheels()) do keys[i], supports[i] = wheel.key, wheel_support(c, wheel) end
  else
    for i, axle in ipairs(c.axles) do keys[i], supports[i] = axle.name, axle_support(c, i) end
  end
  return keys, supports
end

-- Wheels, or axles by their names.
local function supports_of(c, fields, sd)
  local lateral = fields.corners ~= nil
  if lateral and fields.axles ~= nil then
    refuse(WHERE, "axles", "clash", "stands beside corners, which say the same and more: one of the two is enough")
  end
  if not lateral and fields.axles == nil then
    refuse(WHERE, "corners", "missing", "is missing: what the scales read, as in {corners = {lf = 150, rf = 148, lr = 210, rr = 208}}",
      "or axles = {front = 298, rear = 418}")
  end
  local keys, supports = given.supports(c, lateral)
  local field = lateral and "corners" or "axles"
  local list, assumed = wheel_loads.read(fields[field], keys, {where = WHERE .. ", " .. field, wheels = lateral, sd = sd,
    hint = lateral and "give axles = {...} where only axles were weighed" or nil})
  for i, support in ipairs(supports) do support.load, support.sd = list[i].load, list[i].sd end
  return supports, keys, assumed
end

--- The keys of a car's wheels, and the names of its axles, in the order of a balance.
function given.wheels(car)
  local keys = {}
  for i, wheel in ipairs(inside(car).geometry:wheels()) do keys[i] = wheel.key end
  return keys
end

function given.axles(car)
  local names = {}
  for i, axle in ipairs(inside(car).axles) do names[i] = axle.name end
  return names
end

local function height_of(fields)
  local t = fields.height
  if type(t) == "table" and not user_values.is_plain(t) and type(t.height) == "number" then -- what cg_height gave
    return t.height, t.sd and t.sd.height or DEFAULT_HEIGHT_SD
  end
  local height, sd = measurement.number(fields, "height", "mm", {above = 0}, WHERE)
  if sd and not (sd > 0) then refuse(WHERE, "height", "range", "has an uncertainty of 0 mm: no lift is exact") end
  return height, sd or DEFAULT_HEIGHT_SD, height and not sd
end

-- The fit asks which line is off. A group that counts as it was weighed is one, as long as all in it is as it was then.
local function check_wholes(c)
  for _, item in ipairs(c.shared.context.gaps and c.now:items(true) or {}) do
    if item.form == "group" and item.aboard and core.whole_changed(c.now, item.route) then
      refuse(WHERE, nil, "unavailable", ("cannot say which line is off: %s counts as it was weighed, and in it something was changed since")
        :format(text.named(c.shared.nodes[item.number].path)),
        "ask the car in which it is as it was weighed, or take unaccounted out of the group: then its parts count")
    end
  end
end

--- The problem for core.reconcile.
function given.read(c, fields)
  if fields == nil then refuse(WHERE, nil, "type", "car:reconcile needs a table of fields, such as {corners = {lf = 150, ...}}") end
  measurement.fields(fields, options.names("scales", "reconcile"), WHERE)
  check_wholes(c)
  local sd = measurement.number(fields, "sd", "kg", {above = 0}, WHERE)
  local supports, keys, assumed_sd = supports_of(c, fields, sd)
  local height, height_sd, assumed_height = height_of(fields)
  wheel_loads.check_units(supports, core.balance(c.now, c.geometry).mass, WHERE)
  local assumed = {}
  if assumed_sd then assumed[1] = wheel_loads.ASSUMED end
  if assumed_height then
    assumed[#assumed + 1] = ("the height is taken as good to %s mm, one standard deviation, for nobody stated it"):format(
      text.plain(DEFAULT_HEIGHT_SD))
  end
  local covariance = wheel_loads.covariance(fields.corners or fields.axles, keys)
  return {supports = supports, keys = keys, lateral = fields.corners ~= nil, covariance = covariance, axles = given.axle_errors(c),
          height = height, height_sd = height and height_sd or nil, assumed = assumed, correct = measurement.flag(fields, "correct", WHERE)}
end

return given
