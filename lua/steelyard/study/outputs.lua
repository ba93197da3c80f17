--- What a study shows: names of quantities, and how each is asked of a car.
--
-- outputs.of(c, names) -> list of {name, label, unit, decimals, set, answer, by}. by says who answers (study/answer.lua):
--   "core"    asking.lua, as the balance, shafts, clearances and tanks are asked for comparisons
--   "sheet"   a field of the balance sheet that has no uncertainty
--   "call"    a field of what a car's method of the name of the set gives, with what the settings say (car:transfer{left_turn = 1})
--   "lifts"   the heaviest single lift
--   "nothing" this vehicle does not have it: unknown in every variant

local core = require "steelyard.core"
local quantities = require "steelyard.reference.quantities"
local results = require "steelyard.reference.results"
local settings = require "steelyard.study.settings"
local text = require "steelyard.print.text"

local outputs = {}

local set_by_perches = {cross_share = true, diagonal_ratio = true}

--- A hint for a quantity that masses and places do not move; nil for others.
function outputs.why_unmoved(name)
  return set_by_perches[name] and 'the perches set it: car:perches{cross_share = 50}; as the springs then stand it is '
    .. '"corners.cross_share"' or nil
end

local decimals_of = {["%"] = 2, kg = 1, mm = 1, deg = 2, g = 3, ["kg m2"] = 0, Hz = 2, ["N/mm"] = 1, litre = 1, ["N m"] = 0}

local calls = {}
for _, set in ipairs(settings.sets) do calls[set] = true end

-- The unit of a number at that path of a kind of result; nil without one.
local function unit_in_result(set, path)
  local schema = results.schema(set)
  if schema.types[path] == "number" then return schema.units[path] end
  local around = path:match "^(.*)%.[^.]+$"
  if around and schema.types[around] == "table<string, number>" then return schema.units[around] end
  return nil
end

local function numbers_of(set)
  local list = {}
  for path, kind in pairs(results.schema(set).types) do
    if kind == "number" and not path:find "%[" then list[#list + 1] = set .. "." .. path end
  end
  return list
end

local function refuse(name, field)
  local list = table.move(quantities.numbers, 1, #quantities.numbers, 1, {})
  for _, set in ipairs(settings.sets) do
    for _, each in ipairs(numbers_of(set)) do list[#list + 1] = each end
  end
  table.sort(list, core.before)
  local near = type(name) == "string" and core.nearest(name, list)
  core.fail{code = "unknown", field = field, message = ("no quantity is called %s"):format(text.named(name)),
            hint = near and ("did you mean %q?"):format(near) or "the reference page lists them"}
end

local function of_call(name, set, path, field)
  local unit = unit_in_result(set, path)
  local q = quantities.find(name)
  if not unit then
    if not q then refuse(name, field) end
    return {name = name, label = q.label, unit = q.unit, decimals = q.decimals, set = q.set, answer = q.answer, by = "core", q = q}
  end
  return {name = name, label = q and q.label or (path:gsub("[._]", " ")), unit = unit, decimals = q and q.decimals or decimals_of[unit]
    or 3,
          set = set, answer = path, by = "call", path = path}
end

local function of_quantity(c, q)
  local out = {name = q.name, label = q.label, unit = q.unit, decimals = q.decimals, set = q.set, answer = q.answer, q = q}
  if q.set == "balance" then out.by = core.knows(c.geometry, q.answer) and "core" or "nothing"
  elseif q.set then out.by = "core"
  elseif q.from == "balance" then out.by = "sheet"
  else out.by = "nothing" end
  return out
end

local function describe(c, name, field)
  if name == "handling.heaviest" then
    return {name = name, label = "heaviest single lift", unit = "kg", decimals = 1, set = "handling", answer = "heaviest", by = "lifts"}
  end
  local set, path = tostring(name):match "^([%a_]+)%.(.+)$"
  if set and calls[set] then return of_call(name, set, path, field) end
  local q = quantities.find(name)
  if q and q.words then
    core.fail{code = "type", field = field, message = field == "show" and ("%s is a text; a study shows numbers"):format(name)
      or ("%s is a text, not a number"):format(name)}
  end
  if q then return of_quantity(c, q) end
  if type(name) ~= "string" or not core.knows(c.geometry, name) then refuse(name, field) end
  return {name = name, label = (name:gsub("[._]", " ")), unit = "kg", decimals = 1, set = "balance", answer = name, by = "core"}
end

--- See above; c: the inside of the car.
function outputs.of(c, names)
  if type(names) ~= "table" or getmetatable(names) ~= nil or #names == 0 then
    core.fail{code = names == nil and "missing" or "type", field = "show", message = "must be a list of names of quantities",
              hint = ("as in show = {%q}"):format(type(names) == "string" and names or "front_share")}
  end
  local list, taken = {}, {}
  for i = 1, #names do -- one may be missing
    list[i] = describe(c, names[i], "show")
    if taken[list[i].name] then
      core.fail{code = "clash", field = "show", message = ("%s stands twice"):format(list[i].name)}
    end
    taken[list[i].name] = i
  end
  return list, taken
end

--- One more output that is asked for but not shown, for a limit or a front: its place in the list. field: which option named it.
function outputs.add(c, list, taken, name, field)
  local out = describe(c, name, field or "show")
  if not taken[out.name] then
    list[#list + 1] = out
    taken[out.name] = #list
  end
  return taken[out.name]
end

return outputs
