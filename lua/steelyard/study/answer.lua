--- The outputs of a study for one car, asked singly: any quantity of any car. What a plan answers for many cars at once must be the same.
--
-- answer.new(outputs) -> function(car, settings) -> values, sds, fails: lists by output; nil where it is not known. fails[i]: why
-- the car does not stand so (it lifts all wheels of a side, turns over, an axle would pass another), where that is the reason.
-- answer.of_inside(outputs) -> the same function of the inside of a car.

local core = require "steelyard.core"
local asking = require "steelyard.answers.asking"
local contents = require "steelyard.car.contents"
local settings_of = require "steelyard.study.settings"

local answer = {}

local MOST_AT_ONCE = 64 -- what the core answers at a time

-- Outputs of one set, in the order asked.
local function groups_of(outputs)
  local groups, by_key = {}, {}
  for i, out in ipairs(outputs) do
    local key = ("%s %s %s %s"):format(out.by, out.set or "", out.q and out.q.of or "", out.with_sd and "sd" or "")
    local group = by_key[key]
    if not group or #group >= MOST_AT_ONCE then
      group = {by = out.by, set = out.set, of = out.q and out.q.of, with_sd = out.with_sd, names = {}}
      by_key[key], groups[#groups + 1] = group, group
    end
    group[#group + 1] = i
    group.names[#group] = out.answer
  end
  return groups
end

local function put(group, values, sds, into)
  for k = 1, #group do
    local i, value, sd = group[k], values[k], sds and sds[k]
    if value == value then into.values[i] = value end
    if sd and sd == sd then into.sds[i] = sd end
  end
end

local function put_failure(group, why, into)
  for _, i in ipairs(group) do into.fails[i] = why end
end

local by = {}

-- The group's names, looked up for the car's geometry: mostly the one before has the same.
local function names_for(group, c)
  if group.geometry ~= c.geometry then
    group.geometry, group.found = c.geometry, asking.names(group.set, c.geometry, group.names)
  end
  return group.found
end

function by.core(group, _, c, into)
  local asked = asking.car(c, group.set, group.of)
  if not asked then return end
  if asked.fails then return put_failure(group, asked.fails, into) end
  local values, sds = asking.values(group.set, asked, names_for(group, c), group.with_sd)
  if values.fails then return put_failure(group, values.fails, into) end
  put(group, values, sds, into)
end

function by.sheet(group, outputs, c, into)
  local sheet = core.balance(c.now, c.geometry)
  for _, i in ipairs(group) do
    local name = outputs[i].name
    into.values[i] = name == "mass_with_growth" and require("steelyard.answers.growth").total(c, sheet.mass) or sheet[name]
  end
end

function by.lifts(group, _, c, into)
  into.values[group[1]], into.sds[group[1]] = require("steelyard.shop.handling").heaviest(c)
end

function by.nothing() end

local function field(result, path)
  local value = result
  for key in path:gmatch "[^.]+" do
    if type(value) ~= "table" then return nil end
    value = value[key]
  end
  return type(value) == "number" and value or nil
end

local lacks = {missing = true, unavailable = true} -- of the vehicle: what was asked for itself is checked before a study begins

function by.call(group, _, c, into, given)
  local car = contents.wrap(c)
  local fine, r = pcall(car[group.set], car, settings_of.for_set(given, group.set))
  if not fine then
    if type(r) ~= "table" then error(r, 0) end
    if r.code == "geometry" then return put_failure(group, r.message, into) end
    if lacks[r.code] then
      into.why = into.why or tostring(setmetatable({part = r.part, kind = r.kind, field = r.field, message = r.message}, getmetatable(r)))
      return
    end
    error(r, 0)
  end
  for k, i in ipairs(group) do
    into.values[i] = field(r, group.names[k])
    into.sds[i] = group.with_sd and into.values[i] and field(r.sd, group.names[k]) or nil
  end
end

local none = {}

-- Quantities of the balance alone: what the core gives is the list.
local function of_balance(group)
  return function(c)
    local values = asking.balance(c, names_for(group, c))
    if values.fails then
      local into = {fails = {}}
      put_failure(group, values.fails, into)
      return none, none, into.fails
    end
    for k = 1, #group do
      if values[k] ~= values[k] then values[k] = nil end
    end
    return values, none, none
  end
end

--- See above.
function answer.of_inside(outputs)
  local groups = groups_of(outputs)
  local first = groups[1]
  if first and not groups[2] and first.by == "core" and first.set == "balance" and not first.with_sd then return of_balance(first) end
  return function(c, given)
    local into = {values = {}, sds = {}, fails = {}}
    for k = 1, #groups do by[groups[k].by](groups[k], outputs, c, into, given) end
    return into.values, into.sds, into.fails, into.why
  end
end

--- See above.
function answer.new(outputs)
  local ask = answer.of_inside(outputs)
  return function(car, given) return ask(contents.inside(car), given) end
end

return answer
