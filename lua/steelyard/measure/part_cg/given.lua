--- What a user wrote for sy.part_cg, as the problem core.part_cg solves.

local core = require "steelyard.core"
local options = require "steelyard.reference.options"
local user_values = require "steelyard.file.user_values"
local engine_rule = require "steelyard.measure.engine_rule"
local measurement = require "steelyard.measure.measurement"
local part_axes = require "steelyard.measure.part_axes"
local text = require "steelyard.print.text"

local given = {}
local refuse = measurement.refuse

local letters = {"x", "y", "z"}
local tilts = {nose_up = {"pitch", -1}, nose_down = {"pitch", 1}, left_up = {"roll", 1}, right_up = {"roll", -1}}
local tilt_words = {"nose_up", "nose_down", "left_up", "right_up"}

local MOST_LEGS = 8 -- core/measure/partcg.h

-- An uncertainty that stands for none where readings have none stated: a milligram.
local EXACT_KG, EXACT_MM = 1e-6, 1e-6

-- ---- axes -------------------------------------------------------------------------------------------------------------------

-- a point of the part in the library's axes
local function turned(axes, v, uncertainties)
  local out = {}
  for i = 1, 3 do out[axes[i].index] = (uncertainties and 1 or axes[i].sign) * v[i] end
  return out
end

-- ---- poses -------------------------------------------------------------------------------------------------------------------

-- A list is named by its numbers.
local function named(t)
  if not user_values.is_plain(t) or t[1] == nil then return t end
  local out = {}
  for key, value in pairs(t) do out[math.type(key) == "integer" and core.shortest(key) or key] = value end
  return out
end

local function sorted_names(t, where, field)
  if not user_values.is_plain(t) or next(t) == nil then
    refuse(where, field, "type", "must be a table by name of the support, is " .. user_values.what(t))
  end
  local names = {}
  for name in pairs(t) do
    if type(name) ~= "string" then refuse(where, field, "type", ("needs names, as in {A = ...}; %s is none"):format(text.named(name))) end
    names[#names + 1] = name
  end
  table.sort(names, core.before)
  return names
end

-- The number of a place: the same name at the same point is one place with one error.
local function place_of(ctx, name, point, sd)
  local key = ("%s %s %s %s"):format(name, core.shortest(point[1]), core.shortest(point[2]), core.shortest(point[3]))
  local places = ctx.problem.places
  if not ctx.place[key] then
    places[#places + 1] = {at = turned(ctx.problem.axes, point), sd = turned(ctx.problem.axes, sd, true)}
    ctx.place[key] = #places
  end
  return ctx.place[key]
end

local function read_supports(ctx, t, where)
  local legs = {}
  t = named(t)
  for _, name in ipairs(sorted_names(t, where, "supports")) do
    local value, sd = measurement.point(t, name, where, "mm", "supports." .. name)
    for i = 1, 3 do
      if sd[i] == 0 then sd[i] = ctx.sd.place or 0 end
      ctx.place_stated = ctx.place_stated or sd[i] > 0
    end
    legs[name] = place_of(ctx, name, value, sd)
  end
  return legs
end

-- Standard uncertainty of one number off a scale: what is said of it, never less than its display step / sqrt 12 (a rectangle of one
-- step, JCGM 100:2008, 4.3.7).
local function scale_sd(ctx, own)
  local said, step = own or ctx.sd.reading, ctx.step
  if step then said = math.max(said or 0, step / math.sqrt(12)) end
  return said
end

local function read_load(ctx, pose, name, where)
  local reading, own = measurement.number(pose.readings, name, "kg", {need = true}, where, "readings." .. name)
  local sd = scale_sd(ctx, own)
  local tare, tare_sd
  if type(pose.tare) == "table" and user_values.is_plain(pose.tare) then
    tare, tare_sd = measurement.number(pose.tare, name, "kg", nil, where, "tare." .. name)
  else
    tare, tare_sd = measurement.number(pose, "tare", "kg", nil, where)
  end
  if tare then sd = sd and math.sqrt(sd ^ 2 + (scale_sd(ctx, tare_sd) or 0) ^ 2) or tare_sd end
  return reading - (tare or 0), sd
end

local function check_names(pose, legs, where)
  local known = {}
  for name in pairs(legs) do known[#known + 1] = name end
  table.sort(known, core.before)
  for _, key in ipairs{"readings", "tare"} do
    local names = type(pose[key]) == "table" and user_values.is_plain(pose[key]) and sorted_names(pose[key], where, key) or {}
    for _, name in ipairs(names) do
      if not legs[name] then
        local near = core.nearest(name, known)
        refuse(where, ("%s.%s"):format(key, name), "unknown", "no support is called so", near and ("did you mean %s?"):format(near)
          or "the supports are " .. text.join_names(known))
      end
    end
  end
end

local function read_tilt(ctx, pose, entry, where)
  for _, word in ipairs(tilt_words) do
    local angle, own = measurement.number(pose, word, "deg", {min = -89, max = 89}, where)
    if angle then
      local key, sign = tilts[word][1], tilts[word][2]
      if entry[key .. "_word"] then refuse(where, word, "clash", ("and %s say the same turn"):format(entry[key .. "_word"])) end
      entry[key], entry[key .. "_word"], entry[key .. "_own"] = sign * angle, word, own
    end
  end
  for _, key in ipairs{"roll", "pitch"} do entry[key .. "_sd"] = entry[key .. "_own"] or ctx.sd.tilt or 0 end
end

-- Every support of the set-up that the pose stands on. One without a reading stood there and carried something that nobody read;
-- readings.C = false says that the part did not stand on C.
local function read_legs(ctx, pose, legs, entry, where)
  local read = 0
  for _, name in ipairs(sorted_names(legs, where, "supports")) do
    if pose.readings[name] == nil then
      entry.legs[#entry.legs + 1] = {name = name, place = legs[name], unread = true}
      entry.unread[#entry.unread + 1] = name
    elseif pose.readings[name] ~= false then
      local load, sd = read_load(ctx, pose, name, where)
      ctx.exact = ctx.exact or not sd or sd == 0
      ctx.reading_stated = ctx.reading_stated or sd and sd > 0
      entry.legs[#entry.legs + 1] = {name = name, place = legs[name], load = load, stated = sd or 0, sd = sd and sd > 0 and sd or EXACT_KG}
      read = read + 1
    end
  end
  if read == 0 then refuse(where, "readings", "missing", "are missing: what each support's scale said, {A = ...}") end
  if #entry.legs > MOST_LEGS then
    refuse(where, "readings", "range", ("are %d, more than %d supports in a pose"):format(#entry.legs, MOST_LEGS))
  end
end

local function read_pose(ctx, given_pose, i, shared)
  local where = "pose " .. i
  measurement.fields(given_pose, options.names("measuring", "pose"), where)
  local pose = setmetatable({readings = named(given_pose.readings), tare = named(given_pose.tare), supports = named(given_pose.supports)},
    {__index = given_pose})
  local legs = pose.supports ~= nil and read_supports(ctx, pose.supports, where) or shared
  if not legs then refuse(where, "supports", "missing", "are missing: the place of each, {A = {x, y, z}, ...}, here or for all poses") end
  if pose.readings == nil then refuse(where, "readings", "missing", "are missing: what each support's scale said, {A = ...}") end
  sorted_names(pose.readings, where, "readings")
  check_names(pose, legs, where)
  local entry = {roll = 0, pitch = 0, legs = {}, unread = {}}
  read_tilt(ctx, pose, entry, where)
  read_legs(ctx, pose, legs, entry, where)
  return entry
end

-- ---- edges -------------------------------------------------------------------------------------------------------------------

local function read_edge(ctx, edge, i, count)
  local where = count == 1 and "edge" or "edge " .. i
  measurement.fields(edge, options.names("measuring", "edge"), where)
  local along = measurement.text(edge, "along", where, letters) or "x"
  local axis
  for k, letter in ipairs(letters) do axis = letter == along and ctx.problem.axes[k] or axis end
  local balance, balance_sd = measurement.number(edge, "balance_at", "mm", {need = true}, where)
  local mass, mass_sd = measurement.number(edge, "known_mass", "kg", {above = 0}, where)
  local at, at_sd = measurement.number(edge, "at", "mm", {need = mass ~= nil}, where)
  if at and not mass then refuse(where, "known_mass", "missing", "is missing beside at: what stood there?") end
  balance_sd = balance_sd or ctx.sd.place
  ctx.place_stated = ctx.place_stated or balance_sd ~= nil
  return {axis = axis.index - 1, edge = axis.sign * balance, edge_sd = balance_sd and balance_sd > 0 and balance_sd or EXACT_MM,
          mass = mass or 0, mass_sd = mass_sd or 0, at = axis.sign * (at or 0), at_sd = at and (at_sd or ctx.sd.place) or 0}
end

local function read_edges(ctx, t)
  if t.edge == nil then return {} end
  if not user_values.is_plain(t.edge) then
    refuse("part_cg", "edge", "type", "must be a table of fields, is " .. user_values.what(t.edge))
  end
  local list, out = t.edge[1] ~= nil and t.edge or {t.edge}, {}
  for i, edge in ipairs(list) do out[i] = read_edge(ctx, edge, i, #list) end
  return out
end

-- ---- all of it -----------------------------------------------------------------------------------------------------------------

local function unstated_notes(ctx)
  local notes, what = {}, {}
  if #ctx.problem.poses > 0 and not ctx.reading_stated then what[#what + 1] = "readings" end
  if not ctx.place_stated then what[#what + 1] = "places" end
  for _, pose in ipairs(ctx.problem.poses) do
    if (pose.roll ~= 0 or pose.pitch ~= 0) and pose.roll_sd + pose.pitch_sd == 0 then
      what[#what + 1] = "angles"
      break
    end
  end
  if #what > 0 then
    notes[1] = ("%s have no stated uncertainty and count as exact: say sd = {reading =, place =, tilt =}"):format(text.join(what))
  end
  if ctx.step and ctx.step / math.sqrt(12) >= (ctx.sd.reading or 0) then
    notes[#notes + 1] = ("no reading counts as better than the step of %s kg over the root of 12, %s kg; the same number twice proves "
      .. "nothing"):format(
      text.plain(ctx.step), text.fixed(ctx.step / math.sqrt(12), 3))
  end
  return notes
end

-- Supports of a pose that nobody read, in a sentence; nil when all were.
local function unread_note(problem)
  local list = {}
  for k, pose in ipairs(problem.poses) do
    if #pose.unread > 0 then list[#list + 1] = ("%s of pose %d"):format(text.join(pose.unread), k) end
  end
  if #list == 0 then return nil end
  return ("not read: %s. What stood there is unknown, the fit uses the other readings (a support that carried nothing reads 0)"):format(
    table.concat(list, "; "))
end

--- {places, poses, balances, axes, title, state, round, notes, exact, all_exact}; raises what is wrong.
function given.read(t)
  local where = "part_cg"
  measurement.fields(t, options.names("measuring", "part_cg"), where)
  local sd = t.sd ~= nil and measurement.fields(t.sd, options.names("measuring", "part_sd"), "part_cg, sd") or {}
  local ctx = {problem = {places = {}, poses = {}}, place = {}, sd = {}}
  for _, entry in ipairs{{"reading", "kg"}, {"place", "mm"}, {"tilt", "deg"}} do
    ctx.sd[entry[1]] = measurement.number(sd, entry[1], entry[2], {min = 0}, where, "sd." .. entry[1])
  end
  ctx.step = measurement.number(t, "step", "kg", {above = 0}, where)
  ctx.problem.axes = part_axes.read(t, where)
  local poses = measurement.list(t, "poses", where) or {}
  if #poses == 0 and t.edge == nil then refuse(where, "poses", "missing", "are missing: a list of {supports =, readings =}") end
  local shared = t.supports ~= nil and read_supports(ctx, t.supports, where) or nil
  for i, pose in ipairs(poses) do ctx.problem.poses[i] = read_pose(ctx, pose, i, shared) end
  local p = ctx.problem
  p.balances = read_edges(ctx, t)
  p.title, p.engine = measurement.text(t, "title", where), engine_rule.read(t, where)
  p.round = measurement.text(t, "feet", where, {"round", "points"}) == "round"
  local tilted = false
  for _, pose in ipairs(p.poses) do tilted = tilted or pose.roll ~= 0 or pose.pitch ~= 0 end
  p.state = measurement.text(t, "state", where) or #p.poses == 0 and "balanced on an edge" or tilted and "weighed level and tilted"
    or "weighed level"
  p.exact = #p.poses > 0 and (ctx.exact or false)
  p.all_exact = (p.exact or #p.poses == 0) and not ctx.place_stated and not ctx.reading_stated
  p.notes = unstated_notes(ctx)
  local unread = unread_note(p)
  if unread then table.insert(p.notes, 1, unread) end
  return p
end

return given
