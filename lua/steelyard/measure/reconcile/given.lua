--- What car:reconcile is given, checked: from its fields to what core.reconcile reads.
--
--   given.read(c, fields) -> {supports =, lateral =, axles =, height =, height_sd =, keys = {"lf", ...}, assumed = {sentences}}

local core = require "steelyard.core"
local options = require "steelyard.reference.options"
local user_values = require "steelyard.file.user_values"
local measurement = require "steelyard.measure.measurement"
local text = require "steelyard.print.text"
local vocabulary = require "steelyard.file.vocabulary"

local given = {}
local inside = require("steelyard.car.contents").inside
local refuse = measurement.refuse
local WHERE = "reconcile"

local DEFAULT_SD = 0.5       -- kg, of a reading of corner scales whose uncertainty nobody states (common practice, no source)
local DEFAULT_HEIGHT_SD = 5  -- mm, of a height from a careful lift; tests/scripts/cg_height_rear_lift.expected has half of it
-- A ledger is rarely more than a few percent off, never 2.2 or 9.8 times: kg per unit as in NIST
-- Special Publication 811 (2008), App. B.
local POUND, GRAVITY = core.constants.pound, core.constants.standard_gravity
local OTHER_UNITS = {{name = "pounds", times = 1 / POUND,
                      hint = {"write 331*sy.lb for pounds", ("multiply by %s for kilograms"):format(text.plain(POUND))}},
                     {name = "newtons", times = GRAVITY, hint = ("divide by %s for kilograms"):format(text.plain(GRAVITY))}}
local UNIT_BAND = 0.03 -- of the ratio

local other_names = {fl = "lf", fr = "rf", rl = "lr", rr = "rr"}

-- A result of steelyard's own (sy.corner_scales) as fields: its loads with their uncertainties.
local function from_result(t, keys)
  if user_values.is_plain(t) or type(t) ~= "table" then return t end
  local plain = {}
  for _, key in ipairs(keys) do
    local value, sd = t[key], type(t.sd) == "table" and t.sd[key]
    if type(value) == "number" then plain[key] = type(sd) == "number" and sd > 0 and vocabulary.sd(value, sd) or value end
  end
  return plain
end

local function with_own_names(t, keys)
  local plain, known = {}, {}
  for _, key in ipairs(keys) do known[key] = true end
  if not user_values.is_plain(t) then return t end
  for key, value in pairs(t) do
    local own = other_names[key]
    own = own and known[own] and not known[key] and own or key
    if plain[own] ~= nil then refuse(WHERE .. ", corners", own, "clash", ("stands twice, as %s too"):format(key)) end
    plain[own] = value
  end
  return plain
end

-- A reading of each key; an uncertainty of its own goes before the common one.
local function readings_of(t, field, keys, sd)
  local where, list, absent, assumed = WHERE .. ", " .. field, {}, {}, false
  measurement.fields(t, keys, where)
  for i, key in ipairs(keys) do
    local load, own = measurement.number(t, key, "kg", {min = 0}, where)
    if own and not (own > 0) then refuse(where, key, "range", "has an uncertainty of 0 kg: no scale is exact") end
    if not load then absent[#absent + 1] = key end
    assumed = assumed or not own
    list[i] = {load = load, sd = own or sd or DEFAULT_SD}
  end
  if #absent > 0 then
    refuse(where, absent[1], "missing", ("has no reading: %s are needed"):format(text.join(keys)),
      field == "corners" and "give axles = {...} where only axles were weighed" or nil)
  end
  return list, assumed
end

local function uncertainties_of_axles(c)
  local list = {}
  for i, axle in ipairs(c.axles) do list[i] = {place_sd = axle.at_sd or 0, track_sd = axle.track_sd or 0} end
  return list
end

-- Wheels, or axles by their names.
local function supports_of(c, fields, sd)
  local wheels, keys, supports = c.geometry:wheels(), {}, {}
  local lateral = fields.corners ~= nil
  if lateral and fields.axles ~= nil then
    refuse(WHERE, "axles", "clash", "stands beside corners, which say the same and more: one of the two is enough")
  end
  if not lateral and fields.axles == nil then
    refuse(WHERE, "corners", "missing", "is missing: what the scales read, as in {corners = {lf = 150, rf = 148, lr = 210, rr = 208}}",
      "or axles = {front = 298, rear = 418}")
  end
  if lateral then
    for i, wheel in ipairs(wheels) do
      keys[i], supports[i] = wheel.key, {forward = wheel.forward, left = wheel.left, axle = wheel.axle}
    end
  else
    for i, axle in ipairs(c.axles) do keys[i] = axle.name end
    for _, wheel in ipairs(wheels) do supports[wheel.axle] = {forward = wheel.forward, axle = wheel.axle} end
  end
  local field = lateral and "corners" or "axles"
  local t = from_result(fields[field], keys)
  local list, assumed = readings_of(lateral and with_own_names(t, keys) or t, field, keys, sd)
  for i, support in ipairs(supports) do support.load, support.sd = list[i].load, list[i].sd end
  return supports, keys, assumed and not sd
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

local function check_units(c, supports)
  local total, booked = 0, core.balance(c.now, c.geometry).mass
  for _, support in ipairs(supports) do total = total + support.load end
  if not (total > 0) then refuse(WHERE, nil, "range", "the scales read nothing: all loads are 0") end
  for _, unit in ipairs(OTHER_UNITS) do
    if math.abs(total / booked / unit.times - 1) < UNIT_BAND then
      refuse(WHERE, nil, "clash", ("the scales add up to %s where the ledger has %s kg, %s times as much: %s?"):format(text.fixed(total, 1),
        text.fixed(booked, 1), text.fixed(unit.times, 1), unit.name), unit.hint)
    end
  end
end

-- The fit asks which line is off. A weighed whole that counts in its place, or takes mass away, is not a line of its own.
local function check_wholes(c)
  for _, item in ipairs(c.shared.context.gaps and c.now:items(true) or {}) do
    local kg, x, y, z = core.beyond_parts(c.now, c.geometry, item.route)
    if kg and item.aboard and (kg < 0 or x ~= 0 or y ~= 0 or z ~= 0) then
      local group = c.shared.nodes[item.number].path:match "^(.*)/"
      refuse(WHERE, nil, "unavailable", ("cannot say which line is off in a car in which %s counts as weighed"):format(text.named(group)),
        "leave its unaccounted out, or write its whole as a number")
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
  check_units(c, supports)
  local assumed = {}
  if assumed_sd then
    assumed[1] = ("each reading is taken as good to %s kg, one standard deviation, for nobody stated it"):format(text.plain(DEFAULT_SD))
  end
  if assumed_height then
    assumed[#assumed + 1] = ("the height is taken as good to %s mm, one standard deviation, for nobody stated it"):format(
      text.plain(DEFAULT_HEIGHT_SD))
  end
  return {supports = supports, keys = keys, lateral = fields.corners ~= nil, axles = uncertainties_of_axles(c), height = height,
          height_sd = height and height_sd or nil, assumed = assumed, correct = measurement.flag(fields, "correct", WHERE)}
end

return given
