--- Loads that scales read under wheels or axles: each with its uncertainty, in kilograms or refused.

local core = require "steelyard.core"
local axles = require "steelyard.file.axles"
local measurement = require "steelyard.measure.measurement"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local vocabulary = require "steelyard.file.vocabulary"

local wheel_loads = {}
local refuse = measurement.refuse

local DEFAULT_SD = 0.5 -- kg, of a reading of corner scales whose uncertainty nobody states (common practice, no source)
wheel_loads.DEFAULT_SD = DEFAULT_SD
wheel_loads.ASSUMED = ("each reading is taken as good to %s kg, one standard deviation, for nobody stated it"):format(
  text.plain(DEFAULT_SD))
-- A ledger is rarely more than a few percent off, never 2.2 or 9.8 times: kg per unit as in NIST
-- Special Publication 811 (2008), App. B.
local POUND, GRAVITY = core.constants.pound, core.constants.standard_gravity
local OTHER_UNITS = {{name = "pounds", times = 1 / POUND,
                      hint = {"write 331*sy.lb for pounds", ("multiply by %s for kilograms"):format(text.plain(POUND))}},
                     {name = "newtons", times = GRAVITY, hint = ("divide by %s for kilograms"):format(text.plain(GRAVITY))}}
local UNIT_BAND = 0.03 -- of the ratio

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

local function with_own_names(t, keys, where)
  local plain, known = {}, {}
  for _, key in ipairs(keys) do known[key] = true end
  if not user_values.is_plain(t) then return t end
  for key, value in pairs(t) do
    local own = axles.also_called[key]
    own = own and known[own] and not known[key] and own or key
    if plain[own] ~= nil then refuse(where, own, "clash", ("stands twice, as %s too"):format(key)) end
    plain[own] = value
  end
  return plain
end

--- A list of {load =, sd =} in the order of the keys, and whether an uncertainty was assumed that nobody stated. o: where; wheels: keys are
-- those of wheels; sd: of readings that have none of their own; hint: where one is missing.
function wheel_loads.read(given, keys, o)
  local t = from_result(given, keys)
  if o.wheels then t = with_own_names(t, keys, o.where) end
  local list, absent, assumed = {}, {}, false
  measurement.fields(t, keys, o.where)
  for i, key in ipairs(keys) do
    local load, own = measurement.number(t, key, "kg", {min = 0}, o.where)
    if own and not (own > 0) then refuse(o.where, key, "range", "has an uncertainty of 0 kg: no scale is exact") end
    if not load then absent[#absent + 1] = key end
    assumed = assumed or not own
    list[i] = {load = load, sd = own or o.sd or DEFAULT_SD}
  end
  if #absent > 0 then
    refuse(o.where, absent[1], "missing", ("has no reading: %s are needed"):format(text.join(keys)), o.hint)
  end
  return list, assumed and not o.sd
end

--- Refuses loads in another unit than kilograms, and such that are nothing. booked: kg of the ledger.
function wheel_loads.check_units(list, booked, where)
  local total = 0
  for _, reading in ipairs(list) do total = total + reading.load end
  if not (total > 0) then refuse(where, nil, "range", "the scales read nothing: all loads are 0") end
  for _, unit in ipairs(OTHER_UNITS) do
    if math.abs(total / booked / unit.times - 1) < UNIT_BAND then
      refuse(where, nil, "clash", ("the scales add up to %s where the ledger has %s kg, %s times as much: %s?"):format(text.fixed(total, 1),
        text.fixed(booked, 1), text.fixed(unit.times, 1), unit.name), unit.hint)
    end
  end
end

--- Loads by key from a list as typed behind an option, in the order of the keys; nil without a list.
function wheel_loads.typed(list, keys, option)
  if not list then return nil end
  if #list ~= #keys then
    core.fail{code = "usage", message = ("--%s takes %d loads here, %s, not %d"):format(option, #keys, table.concat(keys, ","), #list)}
  end
  local loads = {}
  for i, key in ipairs(keys) do loads[key] = list[i] end
  return loads
end

local covariances = setmetatable({}, {__mode = "k"}) -- result -> {keys =, list = of its loads, row by row}

--- Notes the covariance of the loads of a result.
function wheel_loads.note_covariance(result, keys, list) covariances[result] = {keys = keys, list = list} end

--- The covariance of the loads of a result under those wheels or axles, kg^2, row by row; nil of what is none, has others or states no
-- uncertainty.
function wheel_loads.covariance(result, keys)
  local found, place = covariances[result], {}
  if not found or #keys ~= #found.keys then return nil end
  for i, key in ipairs(found.keys) do place[key] = i end
  local list, n = {}, #keys
  for i, key in ipairs(keys) do
    for k, other in ipairs(keys) do
      if not (place[key] and place[other]) then return nil end
      list[(i - 1) * n + k] = found.list[(place[key] - 1) * n + place[other]]
    end
  end
  return list
end

return wheel_loads
