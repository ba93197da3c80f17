--- What a builder of a frame must know, as data: facts.of(car, o) -> {datum = words, axes, points, wheels, joints, loads, envelope, frame,
-- mounts}, all places from his datum (datum.lua), mm; loads and masses in kg, of each load state of the file.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local datum = require "steelyard.report.sheets.datum"
local growth = require "steelyard.answers.growth"
local loading = require "steelyard.car.loading"
local named_places = require "steelyard.car.named_places"
local places = require "steelyard.car.shaft_places"
local resolve = require "steelyard.car.resolve"
local sides = require "steelyard.file.sides"

local facts = {}

local letters = {"x", "y", "z"}

local function spot(d, name, at, sd)
  local p, s = datum.place(d, at), datum.spread(d, sd or {0, 0, 0})
  return {name = name, x = p.x, y = p.y, z = p.z, sd = s}
end

local function points_of(c, d)
  local list, absent = {}, {}
  for _, point in ipairs(c.shared.spec.points or {}) do
    local fine, found = pcall(named_places.find, c, point.name, "points")
    if fine then
      list[#list + 1] = spot(d, point.name, found.at, found.sd)
      list[#list].on = point.part
    elseif type(found) == "table" and found.code == "geometry" then absent[#absent + 1] = point.name
    else error(found, 0) end
  end
  return list, absent
end

local function wheels_of(c, d)
  local list = {}
  for i, wheel in ipairs(c.geometry:wheels()) do
    local axle = c.axles[wheel.axle]
    local radius, radius_sd = sides.number(axle, wheel.side, "loaded_radius")
    local _, at_sd = sides.at(axle, wheel.side)
    local half_sd = axle.track_sd and axle.track_sd / 2
    list[i] = spot(d, wheel.key, {wheel.forward, wheel.left, radius}, {at_sd or 0, half_sd or 0, radius_sd or 0})
  end
  return list
end

local function joints_of(c, d)
  local list = {}
  for _, shaft in ipairs(c.shared.spec.shafts or {}) do
    local found = places.find(c, shaft)
    for _, which in ipairs{"inner", "outer"} do
      if found then list[#list + 1] = spot(d, ("%s, %s joint"):format(shaft.name, which), found[which].at) end
    end
  end
  return list
end

-- ---- by state ------------------------------------------------------------------------------------------------------------------------

local function cars_by_state(car, state)
  local names = state and {state} or car:states()
  if #names == 0 then return {{name = loading.title(contents.inside(car)), car = car}} end
  local list = {}
  for _, name in ipairs(names) do
    local there = car:state(name)
    local of_stand_ins = contents.inside(there).state.stand_ins -- a mock-up is not what the frame will carry
    if state or not of_stand_ins then list[#list + 1] = {name = name, car = there} end
  end
  return list
end

local function inward_spread(c, sd)
  local s = {c.geometry:vector_in(sd.x, sd.y, sd.z)}
  for i = 1, 3 do s[i] = math.abs(s[i]) end
  return s
end

local function load_of(entry, d)
  local b, c = entry.car:balance(), contents.inside(entry.car)
  local row = {state = entry.name, mass = b.mass, axles = {}, sd = {mass = b.sd.mass, axles = {}, cg = nil}}
  for i, axle in ipairs(c.axles) do row.axles[i], row.sd.axles[i] = b.axle[axle.name], b.sd.axle[axle.name] end
  row.cg = datum.place(d, {c.geometry:point_in(b.cg.x, b.cg.y, b.cg.z)})
  row.sd.cg = datum.spread(d, inward_spread(c, b.sd.cg))
  return row
end

local function envelope_of(loads)
  local least, greatest = {}, {}
  for _, row in ipairs(loads) do
    for _, letter in ipairs(letters) do
      least[letter] = math.min(least[letter] or math.huge, row.cg[letter])
      greatest[letter] = math.max(greatest[letter] or -math.huge, row.cg[letter])
    end
  end
  return {least = least, greatest = greatest}
end

-- ---- what hangs on the frame ---------------------------------------------------------------------------------------------------------

-- Mass, its uncertainty and CG {forward, left, up} of what a word means, as far as it is aboard; nil when nothing is.
local function item_now(c, what)
  local mass, variance, moment = 0, 0, {0, 0, 0}
  for _, route in ipairs(resolve.parts(c, what).routes) do
    local t = core.item_totals(c.now, c.geometry, loading.in_place(c, route))
    if t.cg and t.mass > 0 then
      local p = {c.geometry:point_in(t.cg.x, t.cg.y, t.cg.z)}
      mass, variance = mass + t.mass, variance + (t.sd.mass or 0) ^ 2
      for i = 1, 3 do moment[i] = moment[i] + t.mass * p[i] end
    end
  end
  if mass == 0 then return nil end
  for i = 1, 3 do moment[i] = moment[i] / mass end
  return mass, math.sqrt(variance), moment
end

-- What each mount carries of what hangs on it, standing level at 1 g; why nothing is said where the CG lies beyond them.
local function mounts_in(entry, given)
  local c = contents.inside(entry.car)
  local mass, sd, cg = item_now(c, given.what)
  local row = {state = entry.name, mass = mass, sd = {mass = sd}}
  if not mass then
    row.why = "not aboard"
    return row
  end
  local at = {}
  for i, place in ipairs(given.at) do
    local found = named_places.find(c, place, ("mounts[%d]"):format(i), true).at
    at[i] = {found[1], found[2]}
  end
  local held = core.support(at, {cg[1], cg[2]}, {})
  if held.margin < 0 then
    row.why = "its CG lies outside its mounts: one of them pulls, which this does not work out"
    return row
  end
  row.loads, row.even = {}, held.even
  for i, share in ipairs(held.loads) do row.loads[i] = share * mass end
  return row
end

local function mounts_of(cars, given)
  local list = {}
  for i, one in ipairs(given or {}) do
    list[i] = {what = one.what, points = one.at, rows = {}}
    for k, entry in ipairs(cars) do list[i].rows[k] = mounts_in(entry, one) end
  end
  return list
end

local function frame_of(c, d, names)
  local rows, total, allowances = {}, {mass = 0, growth = 0}, growth.by_route(c)
  for _, name in ipairs(names or {}) do
    local mass, sd, cg = item_now(c, name)
    local allowed = 0
    for _, route in ipairs(resolve.parts(c, name).routes) do allowed = allowed + (allowances[loading.in_place(c, route)] or 0) end
    local row = mass and spot(d, name, cg) or {name = name}
    row.mass, row.growth, row.sd = mass or 0, allowed, {mass = sd}
    rows[#rows + 1], total.mass, total.growth = row, total.mass + row.mass, total.growth + allowed
  end
  return rows, total
end

--- See above. o: datum, axes, state, frame = names, mounts = {{what =, at = places}}.
function facts.of(car, o)
  local c, d = contents.inside(car), datum.of(car, o.datum, o.axes)
  loading.need_mass(c)
  local cars, found = cars_by_state(car, o.state), {datum = datum.words(d), axes = d.axes, loads = {}}
  found.points, found.absent = points_of(c, d)
  found.wheels, found.joints = wheels_of(c, d), joints_of(c, d)
  for i, entry in ipairs(cars) do found.loads[i] = load_of(entry, d) end
  found.envelope = envelope_of(found.loads)
  found.mounts = mounts_of(cars, o.mounts)
  found.frame, found.frame_total = frame_of(c, d, o.frame)
  return found
end

return facts
