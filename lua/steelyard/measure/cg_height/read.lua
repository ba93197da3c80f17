--- What sy.cg_height gets, read and checked field by field; fields in reference/options/lift.lua.
--
-- read(fields) -> session {
--   title =, state =, ends = {"front", "rear"} or {"left", "right"}, side = true for the latter, by = "wheel", "jack" or "angle",
--   plane = pads tilt with the car, wheelbase =, wheelbase_sd =, radius = {first, second}, radius_sd =, tracks = {front, rear},
--   tracks_sd =, across = {lf, rf, lr, rr}: mm left of the centre plane,
--   held =, held_sd =, rate =, tyre =, blocks = see measure/cg_height/blocks.lua, unsprung = {front, rear}, mass =, mass_sd =, roof =,
--   zero = kg or nil, tanks = see measure/cg_height/liquids.lua,
--   pad = standard uncertainty of one pad or nil, runs = {name, ...},
--   readings = {{where =, run = index, lifted = end, lift =, lift_sd =, blocks = {numbers}, press =, load = {[1] =, [2] =}, load_sd =,
--     pads = how many each, four = {lf, rf, lr, rr}, four_sd =, fitted = loads on the mean track with the moment of four,
--     fitted_sd =, shift =}, ...},
--   exact = {names of what has no stated uncertainty}, notes = {...}}
-- Ends count 1 and 2: front and rear, or left and right of a car that is tilted sideways. x counts back.

local language = require "steelyard.file.language"
local options = require "steelyard.reference.options"
local user_values = require "steelyard.file.user_values"
local measurement = require "steelyard.measure.measurement"
local text = require "steelyard.print.text"

local read = {}
local refuse, number = measurement.refuse, measurement.number

local WHERE = "CG height"
local MOST_MASS, MOST_LENGTH = language.MOST_MASS, language.MOST_LENGTH
local mass_range = {above = 0, max = MOST_MASS}
local load_range = {min = 0, max = MOST_MASS}
local length_range = {above = 0, max = MOST_LENGTH}

local ends = {front = 1, rear = 2, left = 1, right = 2}
local lifted_words = {"front", "rear", "left", "right"}

-- {front =, rear =} as two values and their uncertainties
local function pair(t, key, unit, limits, where, first, second)
  local p = measurement.fields(t[key], {first or "front", second or "rear"}, where .. ", " .. key)
  local value, sd = {}, {}
  for i, name in ipairs{first or "front", second or "rear"} do
    value[i], sd[i] = number(p, name, unit, limits, where, key .. "." .. name)
  end
  return value, sd
end

-- ---- the car ----------------------------------------------------------------------------------------------------------

local function read_wheelbase(s, t)
  if s.side then return end
  if user_values.is_plain(t.wheelbase) then
    local sides, sd = pair(t, "wheelbase", "mm", {above = 0, max = MOST_LENGTH, need = true}, WHERE, "left", "right")
    s.wheelbase_sides = sides
    s.wheelbase, s.wheelbase_sd = (sides[1] + sides[2]) / 2, (sd[1] or sd[2]) and math.sqrt((sd[1] or 0) ^ 2 + (sd[2] or 0) ^ 2) / 2
  elseif t.wheelbase == nil then
    refuse(WHERE, "wheelbase", "missing", "is missing", "measure it between the wheel centres, on both sides")
  else
    s.wheelbase, s.wheelbase_sd = number(t, "wheelbase", "mm", length_range, WHERE)
  end
end

-- The tracks, and where each wheel stands across: half of them to each side unless that is stated.
local function read_tracks(s, t)
  if t.tracks == nil then return end
  local given, limits = measurement.fields(t.tracks, {"front", "rear"}, WHERE .. ", tracks"), {above = 0, max = MOST_LENGTH, need = true}
  s.tracks, s.tracks_sd, s.across = {}, {}, {}
  for i, name in ipairs{"front", "rear"} do
    local left, right, track, sd = measurement.half_tracks(given, name, limits, WHERE)
    s.tracks[i], s.tracks_sd[i], s.across[2 * i - 1], s.across[2 * i] = track, sd, left, -right
  end
end

-- Of a car that is tilted sideways: how far its left and its right wheels stand from the centre plane, the mean of both axles.
function read.mean_half_tracks(s) return (s.across[1] + s.across[3]) / 2, -(s.across[2] + s.across[4]) / 2 end

local function read_radii(s, t)
  if s.plane then s.radius, s.radius_sd = {0, 0}, {0, 0} end -- the car turns about its contacts
  if s.side or s.plane then return end
  if t.radii == nil then
    refuse(WHERE, "radii", "missing", "is missing",
      "as in radii = {front = 290, rear = 305}: wheel centre to ground with the car standing on it")
  end
  s.radius, s.radius_sd = pair(t, "radii", "mm", {above = 0, max = MOST_LENGTH, need = true}, WHERE)
end

-- Tilted sideways a car rolls on the crowns of its tyres: the track is its wheelbase, the crown's radius that of its wheels.
local function read_side(s, t)
  if not s.side then return end
  if s.by == "jack" or t.jack ~= nil then
    refuse(WHERE, s.by == "jack" and "by" or "jack", "clash", "cannot be jack when a side is lifted",
      "lift under the wheels, or read the angle")
  end
  if t.crown_radius == nil and not s.plane then
    refuse(WHERE, "crown_radius", "missing", "is missing: tilted sideways on pads a tyre rolls onto the edge of its tread, and where it "
      .. "then stands decides the height (60 mm sideways at 10 degrees are 340 mm of height)",
      "state the radius of the tread's cross-section if the tyres are round there, or tilt pads and all on a plane: on = \"plane\"; "
      .. "lifting an axle needs none")
  end
  if not s.tracks then
    refuse(WHERE, "tracks", "missing", "is missing, and a side is lifted", "as in tracks = {front = 1500, rear = 1480}")
  end
  local sd = s.tracks_sd
  s.wheelbase = (s.tracks[1] + s.tracks[2]) / 2
  s.wheelbase_sd = (sd[1] or sd[2]) and math.sqrt((sd[1] or 0) ^ 2 + (sd[2] or 0) ^ 2) / 2
  if s.plane then return end
  local crown, crown_sd = number(t, "crown_radius", "mm", {min = 0, max = MOST_LENGTH}, WHERE)
  s.radius, s.radius_sd = {crown, crown}, {crown_sd, crown_sd}
  s.notes[#s.notes + 1] = ("tilted sideways on tyres with a crown of %s mm radius and a track of %s mm: a flat or worn tread does not keep "
    .. "to that"):format(text.plain(crown), text.plain(s.wheelbase))
end

-- Scales and car tilted together: a table, a ramp, a trailer.
local function read_plane(s, t)
  s.plane = measurement.text(t, "on", WHERE, {"pads", "plane"}) == "plane"
  if not s.plane then return end
  if s.by ~= "angle" then refuse(WHERE, "by", "clash", 'must be "angle" on a plane: how far the plane is tilted') end
  s.notes[#s.notes + 1] = "car and pads on one tilted plane: it leans on tyres and springs, which makes the CG come out too high; lock the "
    .. "springs, straps slack but on"
end

-- "locked", or the rates of one wheel in N/mm; the core takes those of an axle
local function read_suspension(s, t)
  if t.suspension == nil or t.suspension == "locked" then return end
  if type(t.suspension) == "string" then
    refuse(WHERE, "suspension", "unknown", ('must be "locked" or {front =, rear =} in N/mm at a wheel, is %q'):format(t.suspension))
  end
  if s.side then refuse(WHERE, "suspension", "clash", "must be locked when a side is lifted") end
  local rate, sd = pair(t, "suspension", "N/mm", {above = 0, need = true}, WHERE)
  s.rate, s.rate_sd = {2 * rate[1], 2 * rate[2]}, {2 * (sd[1] or 0), 2 * (sd[2] or 0)}
  s.notes[#s.notes + 1] = "the suspension was free: worked out with linear springs and wheels that move along the body's upright; locked "
    .. "it is surer"
  if not t.unsprung then s.notes[#s.notes + 1] = "no unsprung masses given: all of the car counts as sprung" end
end

local function read_tyres(s, t)
  if t.tyre_rate == nil then return end
  local rate, sd
  if user_values.is_plain(t.tyre_rate) then
    rate, sd = pair(t, "tyre_rate", "N/mm", {above = 0, need = true}, WHERE)
  else
    local one, own = number(t, "tyre_rate", "N/mm", {above = 0}, WHERE)
    rate, sd = {one, one}, {own, own}
  end
  if s.by == "angle" or s.side then return end -- at a known angle tyres do not matter
  s.tyre, s.tyre_sd = {2 * rate[1], 2 * rate[2]}, {2 * (sd[1] or 0), 2 * (sd[2] or 0)}
end

--- A point beside the car by words, {back = mm behind the front axle, height = mm above ground}, and its standard uncertainties, 0
-- where none is stated.
function read.point(t, key, where)
  local p = measurement.fields(t[key], options.names("lift", "place"), where .. ", " .. key)
  local back, back_sd = number(p, "back", "mm", {min = -MOST_LENGTH, max = MOST_LENGTH}, where, key .. ".back")
  local forward, forward_sd = number(p, "forward", "mm", {min = -MOST_LENGTH, max = MOST_LENGTH}, where, key .. ".forward")
  if back and forward then refuse(where, key, "clash", "has back and forward") end
  if not back and not forward then refuse(where, key .. ".back", "missing", "is missing: how far behind the front axle") end
  local height, height_sd = number(p, "height", "mm", {need = true, min = -MOST_LENGTH, max = MOST_LENGTH}, where, key .. ".height")
  return {back or -forward, height}, {back_sd or forward_sd or 0, height_sd or 0}
end

-- With by = "angle" a jack says that the body is held at a point and the wheels of that end hang.
local function read_jack(s, t)
  if t.jack == nil and s.by ~= "jack" then return end
  if s.by == "wheel" then
    refuse(WHERE, "jack", "clash", ('is given, but lifts are by "%s"'):format(s.by),
      'write by = "jack", or by = "angle" for the angle of a body that is held there')
  end
  if s.plane then refuse(WHERE, "jack", "clash", "is given, but the car stands on one plane") end
  if t.jack == nil then
    refuse(WHERE, "jack", "missing", "is missing", "the point that is lifted, as in jack = {back = 2300, height = 210}")
  end
  if user_values.is_plain(t.jack) and (t.jack.front or t.jack.rear) then
    local two = measurement.fields(t.jack, options.names("lift", "jacks"), WHERE .. ", jack")
    local front, front_sd = read.point(two, two.front and "front" or "rear", WHERE .. ", jack")
    local rear, rear_sd = read.point(two, two.rear and "rear" or "front", WHERE .. ", jack")
    s.held, s.held_sd = {front, rear}, {front_sd, rear_sd}
  else
    local point, sd = read.point(t, "jack", WHERE)
    s.held, s.held_sd = {point, point}, {sd, sd}
  end
  if s.rate then
    refuse(WHERE, "suspension", "clash", "must be locked when the body is lifted at a point: the wheels would hang",
      "lock it, or lift under the wheels")
  end
end

-- ---- uncertainties ------------------------------------------------------------------------------------------------------------

local function read_uncertainties(s, t)
  local sd = t.sd == nil and {} or measurement.fields(t.sd, options.names("lift", "lift_sd"), WHERE .. ", sd")
  local function get(key, unit, limits) return (number(sd, key, unit, limits or {min = 0}, WHERE, "sd." .. key)) end
  local pad, step = get("pad", "kg"), get("step", "kg", {above = 0})
  if pad or step then s.pad = math.sqrt((pad or 0) ^ 2 + (step or 0) ^ 2 / 12) end -- a display shows steps: JCGM 100:2008, F.2.2.1
  if s.pad == 0 then refuse(WHERE, "sd.pad", "range", "must be above 0 kg: no scale is exact") end
  s.step, s.zero = step, get("zero", "kg")
  s.step_sd = (step or 0) / 12 ^ 0.5
  s.lift_sd = get(s.by == "angle" and "angle" or "lift", s.by == "angle" and "deg" or "mm")
  local radius, wheelbase = get("radius", "mm"), get("wheelbase", "mm")
  for i = 1, 2 do s.radius_sd[i] = s.radius_sd[i] or radius end
  s.wheelbase_sd = s.wheelbase_sd or wheelbase
  if not s.wheelbase_sd then s.exact[#s.exact + 1] = s.side and "track" or "wheelbase" end
  if not s.plane and not (s.radius_sd[1] and s.radius_sd[2]) then s.exact[#s.exact + 1] = s.side and "crown radius" or "radii" end
end

-- ---- readings -------------------------------------------------------------------------------------------------------------

-- One load: its value, its own uncertainty or the pads'.
local function load(s, r, key, where)
  local value, sd = number(r, key, "kg", load_range, where)
  return value, sd or s.pad
end

local aliases = {{"fl", "lf"}, {"fr", "rf"}, {"rl", "lr"}}

-- Two pads make an end; either the two or the end itself is read.
local function read_end(s, r, where, entry, i, pads)
  local name = s.ends[i]
  local first, second = r[pads[1]], r[pads[2]]
  if r[name] ~= nil and (first ~= nil or second ~= nil) then
    refuse(where, name, "clash", ("is given together with %s and %s"):format(pads[1], pads[2]))
  end
  if r[name] ~= nil then
    entry.load[i], entry.load_sd[i] = load(s, r, name, where)
  elseif first ~= nil or second ~= nil then
    if first == nil or second == nil then
      refuse(where, first == nil and pads[1] or pads[2], "missing",
        "is missing beside the other pad of that " .. (s.side and "side" or "axle"))
    end
    local a, a_sd = load(s, r, pads[1], where)
    local b, b_sd = load(s, r, pads[2], where)
    entry.pads[i] = 2
    entry.load[i], entry.load_sd[i] = a + b, a_sd and b_sd and math.sqrt(a_sd ^ 2 + b_sd ^ 2)
  end
end

-- Four pads of a car tilted sideways, as the two loads on the mean track that have their sum and their moment: each pad presses at its
-- own track, and how the axles share a side does not matter then. At equal tracks these are the sums of the sides.
local function moment_on_mean_track(s, entry)
  local base = {read.mean_half_tracks(s)} -- of the other side, from which this one's lever counts
  base[1], base[2] = base[2] / s.wheelbase, base[1] / s.wheelbase
  entry.fitted, entry.fitted_sd = {}, {}
  for side = 1, 2 do
    local sum, variance, squares = 0, 0, 0
    for k = 1, 4 do
      local weight = base[side] + (side == 1 and 1 or -1) * s.across[k] / s.wheelbase
      sum, squares = sum + weight * entry.four[k], squares + weight ^ 2
      variance = variance and entry.four_sd[k] and variance + (weight * entry.four_sd[k]) ^ 2
    end
    entry.fitted[side], entry.fitted_sd[side], entry.pads[side] = sum, variance and math.sqrt(variance), squares
  end
end

-- Without all four the mean track has to serve.
local function read_moment(s, entry)
  if entry.four then
    moment_on_mean_track(s, entry)
  elseif s.across[1] ~= s.across[3] or s.across[2] ~= s.across[4] then
    s.mean_track = true
  end
end

local function read_loads(s, r, where, entry)
  for _, pair_of in ipairs(aliases) do
    local other, key = pair_of[1], pair_of[2]
    if r[other] ~= nil and r[key] ~= nil then refuse(where, other, "clash", ("is given together with %s"):format(key)) end
    r[key] = r[key] == nil and r[other] or r[key]
  end
  for _, key in ipairs(s.side and {"front", "rear"} or {"left", "right"}) do
    if r[key] ~= nil then refuse(where, key, "clash", ("is of no use when the %s is lifted"):format(s.side and "side" or "axle")) end
  end
  read_end(s, r, where, entry, 1, s.side and {"lf", "lr"} or {"lf", "rf"})
  read_end(s, r, where, entry, 2, s.side and {"rf", "rr"} or {"lr", "rr"})
  if not (entry.load[1] or entry.load[2]) then
    refuse(where, s.ends[1], "missing", "is missing: no load was read", "as in front = 284.4, or lf = 141.9, rf = 142.5")
  end
  if r.lf ~= nil and r.rf ~= nil and r.lr ~= nil and r.rr ~= nil then
    entry.four, entry.four_sd = {}, {}
    for k, key in ipairs{"lf", "rf", "lr", "rr"} do entry.four[k], entry.four_sd[k] = load(s, r, key, where) end
  end
  if s.side then read_moment(s, entry) end
end

local function read_lift(s, r, where, entry)
  local key, unit = s.by == "angle" and "angle" or "lift", s.by == "angle" and "deg" or "mm"
  local other = key == "angle" and "lift" or "angle"
  if r[other] ~= nil then
    refuse(where, other, "clash", ('is given, but lifts are by "%s"'):format(s.by),
      {('write by = "%s"'):format(other == "angle" and "angle" or "wheel"),
        "the row by," .. (other == "angle" and "angle" or "wheel") .. " says so"})
  end
  if r[key] == nil then refuse(where, key, "missing", "is missing", "0 for a level reading") end
  if key == "lift" and s.blocks and require("steelyard.measure.cg_height.blocks").lift(s, r, where, entry) then return end
  if key == "lift" and not s.blocks and (type(r.lift) == "string" or user_values.is_plain(r.lift)) then
    refuse(where, "lift", "missing", "lists blocks, and no blocks are given",
      {"as in blocks = {a = sy.sd(150, 2), b = sy.sd(152, 2)}", "as in the rows blocks.a,150,2 and blocks.b,152,2"})
  end
  local value, own = user_values.number(r[key], unit)
  if value and value < 0 then
    refuse(where, key, "range", ("is %s %s; lifts are upward"):format(text.plain(value), unit),
      'which end is up is said by lifted = "front" or "rear"')
  end
  if value and key == "angle" and value >= 90 then
    refuse(where, key, "range", ("is %s degrees, must be below 90"):format(text.plain(value)))
  end
  if value and key == "lift" and s.by == "wheel" and value >= s.wheelbase then
    refuse(where, key, "range", ("is %s mm, more than the %s of %s mm allows"):format(text.plain(value),
      s.side and "track" or "wheelbase", text.plain(s.wheelbase)))
  end
  value = number(r, key, unit, {max = MOST_LENGTH}, where)
  entry.lift, entry.lift_sd = value, own or value > 0 and s.lift_sd or 0
  entry.press = s.plane and math.cos(math.rad(value)) or 1 -- what a pad shows of an upright load
  if value > 0 and not (own or s.lift_sd) then s.lift_exact = true end
  if value == 0 and not own and s.by == "angle" then s.level_exact = true end
end

-- "reading 3, rear up 300 mm"
local function name_reading(s, entry, i)
  if entry.lift == 0 then return ("reading %d, level"):format(i) end
  return ("reading %d, %s up %s %s"):format(i, s.ends[entry.lifted], text.plain(entry.lift), s.by == "angle" and "deg" or "mm")
end

local function read_readings(s, t)
  if t.readings == nil then refuse(WHERE, "readings", "missing", "is missing: a list of level and lifted readings") end
  local default = measurement.text(t, "lifted", WHERE, lifted_words) or "rear"
  for i, given in ipairs(measurement.list(t, "readings", WHERE)) do
    local where = "reading " .. i
    measurement.fields(given, options.names("lift", "lift_reading"), where)
    local r = setmetatable({}, {__index = given}) -- aliases are written into a copy
    local lifted = measurement.text(r, "lifted", where, lifted_words) or default
    if (lifted == "left" or lifted == "right") ~= s.side then
      refuse(where, "lifted", "clash", ("is %s among readings with %s lifted"):format(lifted, s.side and "a side" or "an axle"),
        "make two sessions of them")
    end
    local entry = {where = where, lifted = ends[lifted], load = {}, load_sd = {}, pads = {1, 1}, shift = 0, press = 1}
    read_lift(s, r, where, entry)
    read_loads(s, r, where, entry)
    entry.where = name_reading(s, entry, i)
    entry.run = r.run ~= nil and tostring(r.run) or measurement.text(r, "going", where)
    s.readings[i] = entry
  end
  if #s.readings > 128 then refuse(WHERE, "readings", "limit", ("are %d, at most 128 fit"):format(#s.readings)) end
  if s.mean_track then
    s.notes[#s.notes + 1] = ("the tracks are %s front and %s rear, and some readings have fewer than four pads: their mean is used there")
      :format(text.plain(s.tracks[1]), text.plain(s.tracks[2]))
  end
  if s.lift_exact then s.exact[#s.exact + 1] = s.by == "angle" and "angles" or "lifts" end
  if s.level_exact then s.exact[#s.exact + 1] = "the level angle" end
end

-- ---- all of it --------------------------------------------------------------------------------------------------------------

local function is_side(t)
  local list = {t.lifted}
  for _, r in ipairs(type(t.readings) == "table" and t.readings or {}) do list[#list + 1] = type(r) == "table" and r.lifted or nil end
  for _, word in pairs(list) do
    if word == "left" or word == "right" then return true end
  end
  return false
end

-- The wheelbase of unequal sides: what each side carries decides, at the wheels where both axles are read level.
local function weigh_sides(s)
  if not s.wheelbase_sides then return end
  local left, all = 0, 0
  for _, r in ipairs(s.readings) do
    if r.four and r.lift == 0 then
      left, all = left + r.four[1] + r.four[3], all + r.four[1] + r.four[2] + r.four[3] + r.four[4]
    end
  end
  local share = all > 0 and left / all or 0.5
  s.wheelbase = share * s.wheelbase_sides[1] + (1 - share) * s.wheelbase_sides[2]
end

--- Everything above from the fields of sy.cg_height.
function read.session(t)
  measurement.fields(t, options.names("lift", "cg_height"), WHERE)
  local s = {side = is_side(t), readings = {}, runs = {}, exact = {}, notes = {}, radius_sd = {}}
  s.ends = s.side and {"left", "right"} or {"front", "rear"}
  s.title, s.state = measurement.text(t, "title", WHERE), measurement.text(t, "state", WHERE)
  s.by = measurement.text(t, "by", WHERE, {"wheel", "jack", "angle"}) or "wheel"
  read_tracks(s, t)
  if t.unsprung ~= nil then s.unsprung, s.unsprung_sd = pair(t, "unsprung", "kg", {min = 0, max = MOST_MASS, need = true}, WHERE) end
  read_plane(s, t)
  read_wheelbase(s, t)
  read_radii(s, t)
  read_side(s, t)
  read_suspension(s, t)
  read_tyres(s, t)
  read_jack(s, t)
  s.tanks = require("steelyard.measure.cg_height.liquids").read(t, read.point)
  s.roof = number(t, "roof", "mm", length_range, WHERE)
  s.mass, s.mass_sd = number(t, "mass", "kg", mass_range, WHERE)
  read_uncertainties(s, t)
  if s.mass and not s.mass_sd then
    if s.pad then s.mass_sd = 2 * s.pad else refuse(WHERE, "mass", "missing", "has no uncertainty",
      {"as in mass = sy.sd(701.4, 0.2)", "as in the row mass,701.4,0.2"}) end
  end
  require("steelyard.measure.cg_height.blocks").read(s, t)
  read_readings(s, t)
  weigh_sides(s)
  require("steelyard.measure.cg_height.runs").number(s)
  return s
end

read.pair = pair
read.WHERE = WHERE

return read
