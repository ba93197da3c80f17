--- sy.subtract{whole =, without =}: a part that cannot be weighed alone, from weighings with and without it; see options/measuring.lua.

local core = require "steelyard.core"
local options = require "steelyard.reference.options"
local user_values = require "steelyard.file.user_values"
local measurement = require "steelyard.measure.measurement"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local vocabulary = require "steelyard.file.vocabulary"

local subtract = {}
local Remainder = require("steelyard.reference.results").kind "remainder"
local refuse = measurement.refuse

local letters = {"x", "y", "z"}
local entries = {"xx", "yy", "zz", "xy", "xz", "yz"}
local wheels = {"lf", "rf", "lr", "rr"}

-- ---- reading ------------------------------------------------------------------------------------------------------------

-- {x =, ...} or {1, 2, 3} with uncertainties as two tables by name; names that are not there stay out
local function read_named(t, names, unit, where, field)
  local value, sd = {}, {}
  if not user_values.is_plain(t) then refuse(where, field, "type", "must be a table, is " .. user_values.what(t)) end
  measurement.fields(t, measurement.listed(names), where .. ", " .. field)
  for i, name in ipairs(names) do
    local key = t[i] ~= nil and i or name
    local v, u = measurement.number(t, key, unit, nil, where, field .. "." .. name)
    if v then value[name], sd[name] = v, u or 0 end
  end
  return value, sd
end

-- Loads at wheels or axles as points: x back from the front axle, y to the right.
local function from_loads(t, outer, keys, where)
  local wheelbase = measurement.number(outer, "wheelbase", "mm", {above = 0}, "subtract")
  if not wheelbase then
    refuse("subtract", "wheelbase", "missing", ("is missing: %s stand that far apart"):format(text.join(keys)))
  end
  local tracks = outer.tracks and measurement.fields(outer.tracks, options.names("lift", "tracks"), "subtract, tracks")
  local bodies = {}
  for _, key in ipairs(keys) do
    local mass, sd = measurement.number(t, key, "kg", {need = true}, where)
    local back = key == "rear" or key == "lr" or key == "rr"
    local cg = {x = back and wheelbase or 0}
    if tracks and #keys == 4 then
      local left, right = measurement.half_tracks(tracks, back and "rear" or "front", {need = true, above = 0}, "subtract")
      cg.y = key:sub(1, 1) == "r" and right or -left
    end
    bodies[#bodies + 1] = {mass = mass, mass_sd = sd or 0, unstated = sd == nil, cg = cg}
  end
  return bodies
end

-- A result of steelyard's own: numbers with their uncertainties beside them. One of scales has loads, which with a wheelbase are places as
-- well.
local function from_result(result, outer, where)
  local t = {} -- any kind of result: what it has, not what it may be asked
  for key, value in next, result do t[key] = value end
  if type(t.mass) ~= "number" then refuse(where, "mass", "missing", "is missing in this result") end
  local sd = t.sd or {}
  if not t.cg and outer.wheelbase ~= nil and t.front then
    local keys = t.lf and t.rr and wheels or {"front", "rear"}
    local loads = {}
    for _, key in ipairs(keys) do loads[key] = vocabulary.sd(t[key], sd[key] or 0) end
    return from_loads(loads, outer, keys, where)
  end
  local body = {mass = t.mass, mass_sd = sd.mass or 0, cg = {}, cg_sd = {}}
  for _, letter in ipairs(letters) do
    body.cg[letter] = t.cg and t.cg[letter]
    body.cg_sd[letter] = sd.cg and sd.cg[letter] or 0
  end
  if type(t.inertia) == "table" and type(sd.inertia) == "table" then body.inertia, body.inertia_sd = t.inertia, sd.inertia end
  return {body}
end

local function from_fields(t, where)
  local mass, mass_sd = measurement.number(t, "mass", "kg", {min = 0}, where)
  if not mass then
    refuse(where, "mass", "missing", "is missing", "or the loads front and rear, or lf rf lr rr, with the wheelbase")
  end
  local body = {mass = mass, mass_sd = mass_sd or 0, unstated = mass_sd == nil}
  if t.cg ~= nil then body.cg, body.cg_sd = read_named(t.cg, options.names("measuring", "some_point"), "mm", where, "cg") end
  if t.inertia ~= nil then
    body.inertia, body.inertia_sd = read_named(t.inertia, options.names("measuring", "inertia"), "kg m2", where, "inertia")
    for i = 1, 3 do
      if not body.inertia[entries[i]] then refuse(where, "inertia." .. entries[i], "missing", "is missing beside the others") end
    end
    for _, letter in ipairs(letters) do
      if not (body.cg and body.cg[letter]) then
        refuse(where, "cg." .. letter, "missing", "is missing: an inertia cannot be taken apart without the CG")
      end
    end
  end
  return {body}
end

local function read_body(t, outer, where)
  if t == nil then refuse("subtract", where, "missing", "is missing") end
  if require("steelyard.car.contents").is_car(t) then
    refuse(where, nil, "type", "is a car, whose parts are booked one by one: its two uncertainties would not be independent",
      'car:book "engine" has the mass and CG of a part')
  end
  if type(t) == "table" and getmetatable(t) and not user_values.is_item(t) and type(t.sd) == "table" then
    return from_result(t, outer, where)
  end
  measurement.fields(t, options.names("measuring", "weighed_body"), where)
  local by_wheel, by_axle = t.lf or t.rf or t.lr or t.rr, t.front or t.rear
  if (by_wheel and 1 or 0) + (by_axle and 1 or 0) + (t.mass and 1 or 0) > 1 then
    refuse(where, nil, "clash", "says its mass in more than one way: mass, or front and rear, or lf rf lr rr")
  end
  if by_wheel then return from_loads(t, outer, wheels, where) end
  if by_axle then return from_loads(t, outer, {"front", "rear"}, where) end
  return from_fields(t, where)
end

-- ---- the answer -----------------------------------------------------------------------------------------------------------

-- What each source of error alone would do: they are independent, so their squares add up to the whole.
local sources = {{"mass of the whole", false, "mass_sd"}, {"mass without it", true, "mass_sd"}, {"CG of the whole", false, "cg_sd"},
                 {"CG without it", true, "cg_sd"}}

local function budget_of(bodies, rest)
  local budget = {}
  for _, letter in ipairs(letters) do budget[letter] = rest.cg[letter] and {} or nil end
  for _, source in ipairs(sources) do
    local alone = {}
    for i, body in ipairs(bodies) do
      alone[i] = {mass = body.mass, cg = body.cg, without = body.without}
      if (body.without or false) == source[2] then alone[i][source[3]] = body[source[3]] end
    end
    local fine, r = pcall(core.subtract, alone, false)
    for letter, list in pairs(fine and budget or {}) do list[#list + 1] = {source = source[1], u = r.sd.cg[letter]} end
  end
  return budget
end

-- One list of all coordinates.
local function flat_budget(budget)
  local list = {}
  for _, letter in ipairs(letters) do
    local _, rows = measurement.budget(budget[letter] or {})
    for _, row in ipairs(rows) do list[#list + 1] = {of = letter, source = row.source, u = row.u, share = row.share} end
  end
  return list
end

local function sum_of(bodies)
  local sum = {mass = 0, sd = {mass = 0, cg = {}}, cg = {}}
  local known = {x = true, y = true, z = true}
  for _, body in ipairs(bodies) do
    for _, letter in ipairs(letters) do known[letter] = known[letter] and body.cg and body.cg[letter] ~= nil end
    sum.mass, sum.sd.mass = sum.mass + body.mass, math.sqrt(sum.sd.mass ^ 2 + body.mass_sd ^ 2)
  end
  for _, letter in ipairs(letters) do
    if known[letter] then
      local moment, variance = 0, 0
      for _, body in ipairs(bodies) do moment = moment + body.mass * body.cg[letter] end
      local at = moment / sum.mass
      for _, body in ipairs(bodies) do
        variance = variance + ((body.cg[letter] - at) * body.mass_sd) ^ 2 + (body.mass * (body.cg_sd and body.cg_sd[letter] or 0)) ^ 2
      end
      sum.cg[letter], sum.sd.cg[letter] = at, math.sqrt(variance) / sum.mass
    end
  end
  return sum
end

-- Coordinates that only some bodies have are left out of all.
local function common_coordinates(bodies)
  for _, body in ipairs(bodies) do
    local cg = body.cg or {}
    body.cg = {x = cg.x, y = cg.y, z = cg.z}
  end
  local dropped = {}
  for _, letter in ipairs(letters) do
    local known = 0
    for _, body in ipairs(bodies) do known = known + (body.cg[letter] and 1 or 0) end
    if known < #bodies then
      if known > 0 then dropped[#dropped + 1] = letter end
      for _, body in ipairs(bodies) do body.cg[letter] = nil end
    end
  end
  return dropped
end

-- A wheelbase stretches every x, of both weighings alike.
local function add_wheelbase(t, result, budget)
  local wheelbase, sd = measurement.number(t, "wheelbase", "mm", {above = 0}, "subtract")
  if not (wheelbase and sd and result.cg.x) then return end
  table.insert(budget.x, {source = "wheelbase", u = math.abs(result.cg.x) * sd / wheelbase})
  result.sd.cg.x = measurement.budget(budget.x)
end

local function notes_of(result, bodies)
  local notes, unstated = {}, 0
  for _, body in ipairs(bodies) do unstated = unstated + (body.unstated and 1 or 0) end
  if unstated > 0 then
    notes[#notes + 1] = ("%d of %d weights %s no stated uncertainty and %s as exact"):format(unstated, #bodies,
      unstated == 1 and "has" or "have", unstated == 1 and "counts" or "count")
  end
  notes[#notes + 1] = ("what is left is %s %% of the whole: 1 mm in the CG of the whole is %s mm here"):format(
    text.fixed(100 / result.blow_up, 1), text.fixed(result.blow_up, 1))
  notes[#notes + 1] = "errors of the two weighings count as independent; one that is the same in both (a scale's gain, a tape's zero) "
    .. "does less"
  return notes
end

--- sy.subtract.
function subtract.of(t)
  measurement.fields(t, options.names("measuring", "subtract"), "subtract")
  local whole, without = read_body(t.whole, t, "whole"), read_body(t.without, t, "without")
  local bodies = {}
  for _, body in ipairs(whole) do bodies[#bodies + 1] = body end
  for _, body in ipairs(without) do
    body.without = true
    bodies[#bodies + 1] = body
  end
  local dropped = common_coordinates(bodies)
  local with_inertia = #bodies == 2 and whole[1].inertia ~= nil and without[1].inertia ~= nil
  local typed = not (getmetatable(t.whole) or getmetatable(t.without))
  if #bodies == 2 and typed and (whole[1].inertia ~= nil) ~= (without[1].inertia ~= nil) then
    refuse(whole[1].inertia and "without" or "whole", "inertia", "missing", "is missing here and stated for the other")
  end
  local result = core.subtract(bodies, with_inertia)
  result.title = measurement.text(t, "title", "subtract")
  result.state = measurement.text(t, "state", "subtract") or "the whole less without it"
  result.heading = (result.title and result.title .. ", " or "") .. result.state
  result.blow_up = sum_of(whole).mass / result.mass
  local budget = budget_of(bodies, result)
  add_wheelbase(t, result, budget)
  result.budget = flat_budget(budget)
  result.whole, result.without = sum_of(whole), sum_of(without)
  result.notes = notes_of(result, bodies)
  if #dropped > 0 then
    table.insert(result.notes, 1, ("%s of the CG %s known of one weighing only, so not of what is left"):format(text.join(dropped),
      #dropped == 1 and "is" or "are"))
  end
  return setmetatable(result, Remainder)
end

-- ---- printing -----------------------------------------------------------------------------------------------------------------

local function row_of(label, sets, key, sub, otherwise)
  local row = {label}
  for _, set in ipairs(sets) do
    local value, sd = set[key], set.sd[key]
    if sub then value, sd = value and value[sub], sd and sd[sub] end
    row[#row + 1] = value and measurement.shown(value, sd, otherwise) or ""
  end
  return row
end

local function widest(result)
  local letter
  for _, l in ipairs(letters) do
    if result.cg[l] and (not letter or result.sd.cg[l] > result.sd.cg[letter]) then letter = l end
  end
  return letter
end

function Remainder.__tostring(result)
  local sets = {result.whole, result.without, result}
  local rows = {row_of("mass, kg", sets, "mass", nil, 2)}
  for _, letter in ipairs(letters) do
    if result.cg[letter] then rows[#rows + 1] = row_of(("CG %s, mm"):format(letter), sets, "cg", letter, 1) end
  end
  for _, name in ipairs(result.inertia and entries or {}) do
    rows[#rows + 1] = {("inertia %s, kg m2"):format(name), "", "", measurement.shown(result.inertia[name], result.sd.inertia[name], 3)}
  end
  local headings = {{"", "%s"}, {"whole", "%s"}, {"without it", "%s"}, {"what is left", "%s"}}
  local lines = {page.heading(result.heading:gsub("^%l", string.upper)), text.table(headings, rows)}
  local letter = widest(result)
  local of_it = {}
  for _, row in ipairs(result.budget) do of_it[#of_it + 1] = row.of == letter and row or nil end
  local made = measurement.budget_text(of_it)
  if made ~= "" then lines[#lines + 1] = ("The uncertainty of %s comes from: %s."):format(letter, made) end
  return page.of(result, lines)
end

return subtract
