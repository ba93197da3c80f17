--- Quantities that a set of answers in the core has (quantities.lua: `set`): values, standard uncertainties, and those of changes.
--
-- Errors that two cars share go out of a change: the core propagates through both cars' ledgers, rates and settings at once.

local core = require "steelyard.core"

local asking = {}

local function as_loaded(c) return {now = c.now, geometry = c.geometry} end

-- Which module says for a set how the core is asked about a car (and which of its tanks), by asked(c, of), nil where it cannot be; the
-- balance needs none.
local modules = {corners = "answers.corners", attitude = "answers.corners", stability = "answers.stability", shafts = "shop.shafts",
                 clearances = "shop.clearances", usable = "answers.tank"}

local function asked_of(c, set, of)
  if not modules[set] then return as_loaded(c) end
  return require("steelyard." .. modules[set]).asked(c, of)
end

--- Which sets, and of which tanks, a list of quantities is asked of: a list of {set =, of =}.
function asking.groups(list)
  local groups, seen = {}, {}
  for _, q in ipairs(list) do
    local key = q.set and q.set .. "." .. (q.of or "")
    if key and not seen[key] then
      groups[#groups + 1], seen[key] = {set = q.set, of = q.of}, true
    end
  end
  return groups
end

--- A table by flat names as the tables of a result: {["lift.left.angle"] = 1} is {lift = {left = {angle = 1}}}.
function asking.nested(flat)
  local tree = {}
  for name, value in pairs(flat) do
    local at, from = tree, 1
    for dot in name:gmatch "()%." do
      local key = name:sub(from, dot - 1)
      at[key] = at[key] or {}
      at, from = at[key], dot + 1
    end
    at[name:sub(from)] = value
  end
  return tree
end

-- A car that does not stand as it is asked about is an answer, {fails = why}; other errors are raised.
local function try(f, ...)
  local fine, a, b = pcall(f, ...)
  if fine then return a, b end
  if type(a) ~= "table" or a.code ~= "geometry" then error(a, 0) end
  local what = a.field == "cg" and "the CG" or a.kind and a.part and ("the %s %s"):format(a.part, a.kind)
  return {fails = what and ("%s %s"):format(what, a.message) or a.message}
end
asking.try = try

--- What the core is asked about a car for a set (and of which tank): a table, {fails = why}, or nil when that cannot be asked.
function asking.car(c, set, of) return (try(asked_of, c, set, of)) end

--- A list of names looked up once for a set and a geometry: asking.values and asking.changes take it in its place.
function asking.names(set, geometry, names) return core.names(set, geometry, names) end

--- Lists of values and, with `sd`, of standard uncertainties of the names, NaN where there is none; or {fails = why}.
function asking.values(set, asked, names, sd)
  local values, sds = try(core.ask, set, asked, names, sd)
  if values.fails then return values end
  return values, sds
end

--- Values of the balance alone, which needs nothing but the car: asking.values without a table of what is asked. names: asking.names.
function asking.balance(c, names) return (try(core.answers, c.now, c.geometry, names)) end

--- List of standard uncertainties of `to` less `from`, both from asking.car. names_to: asking.names for `to`, where `names` is one for
-- `from`.
function asking.changes(set, from, to, names, pairing, names_to) return core.change(set, from, to, names, pairing, names_to) end

--- The same, and the list of the values of `to`, where both are asked for at once; or {fails = why}.
function asking.changes_and_values(set, from, to, names, pairing, names_to)
  return try(core.change, set, from, to, names, pairing, names_to, true)
end

--- One quantity (a row of quantities.lua): value and standard uncertainty; nil, nil and why where the car does not stand so; nil where it
-- is not known. asked: what the core is asked about the car, unless the usual.
function asking.quantity(c, q, asked)
  asked = asked or asking.car(c, q.set, q.of)
  if not asked or asked.fails then return nil, nil, asked and asked.fails end
  local values, sds = asking.values(q.set, asked, {q.answer}, true)
  if values.fails then return nil, nil, values.fails end
  if values[1] ~= values[1] then return nil end
  return values[1], sds[1]
end

return asking
