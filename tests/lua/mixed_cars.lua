--- Random cars with everything at once, as trees of conventions.lua: dofile "tests/lua/mixed_cars.lua".
--
-- Three, four or six wheels; sides unlike each other in rates, places and radii, curves, bump stops and links; turned groups in one
-- another, pairs, a count, a tank by its shape, a person by the hip, weighings; records on the instruments that parts were weighed
-- on too; lowered.
-- x back, y right, z up from the front axle, the centre plane and the ground; conventions.restated puts them elsewhere. Invented.

local mixed = {}

local seed

-- A sequence of our own, the same in every run.
local function below(n)
  seed = seed * 6364136223846793005 + 1442695040888963407
  return (seed >> 33) % n
end
local function between(a, b) return a + below(b - a + 1) end
local function pick(list) return list[1 + below(#list)] end
local function chance(percent) return below(100) < percent end
local function tenth(a, b) return between(10 * a, 10 * b) / 10 end
mixed.pick = pick

function mixed.seed(n) seed = n end

local function sd(value, u) return {word = "sd", value, u} end
local function within(value, limit) return {word = "within", value, limit} end
local function line(word, name, fields) return {word = word, name = name, fields = fields} end
local function shape(word, ...) return {word = word, fields = {...}} end

local function mass(value) return pick{sd(value, 0.1), within(value, 0.6), value} end
local function at(x, y, z) return pick{{sd(x, 3), y, z}, {x, y, within(z, 4)}, {x, y, z}} end

-- ---- what it stands on ----------------------------------------------------------------------------------------------------------

local function curve() return {{-60, 0.75 + 0.01 * between(0, 9)}, {0, 0.85}, {60, 0.85 + 0.01 * between(1, 8)}} end

local function make_unlike(axle)
  axle.left = {spring_rate = axle.spring_rate + between(-6, 6)}
  axle.right = {motion_ratio = chance(50) and curve() or 0.88}
  if chance(50) then axle.left.half_track, axle.right.half_track = axle.track / 2 - 15, sd(axle.track / 2 + 15, 2) end
  if chance(40) then axle.left.at, axle.right.at = axle.at - 12, sd(axle.at + 12, 3) end
  if chance(40) then axle.right.loaded_radius = axle.loaded_radius - 4 end
  if chance(40) then axle.left.tyre_rate, axle.right.perch_pitch = axle.tyre_rate + 10, 1.5 end
end

local function axle_of(name, x, one, unlike)
  local axle = {name = name, at = x, loaded_radius = between(280, 310), tyre_rate = between(150, 250), spring_rate = between(25, 70),
    motion_ratio = chance(50) and curve() or 0.9, perch_pitch = 2, bump = 65, droop = 60, roll_centre = between(0, 80)}
  if one then
    axle.wheels = "one"
  else
    axle.track, axle.bar_rate = between(1350, 1500), between(0, 8)
    axle.tyre_lateral_rate = chance(30) and between(100, 200) or nil
    if unlike then make_unlike(axle) end
  end
  axle.bump_stop = chance(50) and {gap = pick{0, 10, 40}, rate = between(20, 100)} or nil
  return axle
end

local function axles_of(kind)
  local unlike = chance(70)
  local front = axle_of("front", 0, kind == "three, front", unlike)
  local rear = axle_of(kind == "six" and "middle" or "rear", 2400, kind == "three, rear", unlike)
  if kind == "six" then return {front, rear, axle_of("rear", 3200, false, unlike)} end
  front.anti_dive = chance(40) and pick{{angle = 5}, 30} or nil
  if chance(40) then rear.anti_lift, rear.anti_squat = 20, pick{{angle = 4}, 15} end
  return {front, rear}
end

-- ---- what it is made of ---------------------------------------------------------------------------------------------------------

local function powertrain()
  local box = line("group", "box", {at = {600, 0, -30}, turned = {left_up = between(1, 9)},
    line("part", "gears", {mass = mass(tenth(20, 40)), at = {40, 0, 8}, shape = shape("cylinder", 150, 380)}),
    line("part", "selector", {mass = 1.5, at = {180, 30, 120}})})
  return line("group", "powertrain", {at = {1780, between(-20, 20), 330}, turned = {nose_up = between(1, 4)}, box,
    line("part", "engine", {mass = mass(tenth(80, 120)), at = {between(-50, 50), 0, 12}, shape = shape("box", 540, 620, 470)})})
end

local function corner_of(axle, kilograms)
  local one = axle.wheels == "one"
  return line("part", axle.name .. " corner", {pair = not one or nil, mass = mass(kilograms), at = {axle.at, one and 0 or 728, 290},
    unsprung = axle.name})
end

local function parts_of(axles)
  local parts = {
    powertrain(),
    line("part", "bolt", {count = between(2, 70), mass = 0.048, at = at(760, 0, 260)}),
    line("part", "panel", {mass = 2.5, at = at(500, 300, 420), unsprung = {front = 0.5}}),
    line("part", "hoop", {mass = sd(12, 2), at = at(1300, 0, 600), weighed = {reading = {14.26, 14.28}, instrument = "bench", tare = 0.3}}),
    line("part", "sill", {mass = sd(9, 1), pair = true, at = at(1100, 640, 200), weighed = {reading = 8.8, instrument = "pads"}}),
    line("tank", "fuel", {shape = shape("box", 420, 300, 320), at = at(1290, 20, 310), density = sd(0.745, 0.008), fill = sd(30, 0.5),
      dry_mass = 4}),
    line("person", "driver", {mass = between(60, 90), hip = at(1100, 180, 300), stature = 1780, torso = 35, knee = 120}),
    line("part", "seat", {mass = 7.5, at = at(1200, 180, 300), basis = "weighed"}),
    line("part", "tub", {mass = within(tenth(70, 120), 9), at = at(1000, 13, 360), shape = shape("box", 2800, 1300, 700)}),
  }
  for _, axle in ipairs(axles) do parts[#parts + 1] = corner_of(axle, tenth(25, 34)) end
  return parts
end

--- A car, and its kind: "four" (wheels), "three, front", "three, rear" or "six".
function mixed.tree()
  local kind = pick{"four", "four", "four", "three, front", "three, rear", "six"}
  local axles = axles_of(kind)
  local v = {title = "Mixed (invented)", axes = {x = "back", y = "right", z = "up"}, ground = 0, centre = 0, axles = axles,
    chassis = {torsion = 5200}, design = "race", assume = {estimate = "15 %", weighed = "0.5 %", within_mm = 12},
    instruments = {line("instrument", "bench", {step = 0.02, bias = sd(0, 0.02), gain = sd(1.0005, 0.0005)}),
      line("instrument", "pads", {step = 0.1, sd = 0.1, bias = sd(0, 0.05), gain = sd(1, 0.0005), each = {bias = sd(0, 0.1)}})},
    parts = parts_of(axles),
    spares = {line("person", "tall driver", {mass = 96, at = at(1010, 180, 372)}),
      line("part", "ballast", {mass = 10, at = {200, 0, 200}})},
    states = {line("state", "race", {}), line("state", "empty", {without = {"driver"}, fill = {fuel = "10 %"}}),
      line("state", "tall", {swap = {driver = "tall driver"}, with = {"ballast"}})},
    points = {nose = {-700, 0, 120}, tail = {3900, 0, 180}}}
  v.cross_share = kind == "four" and pick{50, 49, sd(50.4, 0.2)} or nil
  v.lowered = chance(50) and {front = between(-5, 15), rear = between(-5, 15)} or nil
  return {word = "vehicle", fields = v}, kind
end

-- ---- what was measured of it ----------------------------------------------------------------------------------------------------

local function read(value, off, step) return math.floor((value + off * (below(61) - 30) / 30) / step + 0.5) * step end

--- Adds records near what the car weighs. car: the tree, loaded. file: what the first names, or nil.
function mixed.add_records(tree, car, file)
  local empty, race, group = car:state "empty":balance(), car:state "race":balance(), car:book "powertrain".rows[1]
  local corners, axles = {}, {}
  for _, key in ipairs{"lf", "rf", "lr", "rr", "f", "r", "l1", "r1", "l2", "r2", "l3", "r3"} do
    if rawget(empty, key) then corners[key] = read(empty[key], 1.5, 0.25) end
  end
  for name, load in pairs(race.axle) do axles[name] = sd(read(load, 3, 0.25), 1.5) end
  tree.fields.records = {
    line("record", "first scales", {kind = "corners", state = "empty", instrument = "pads", corners = corners, file = file}),
    line("record", "bridge", {kind = "axles", state = "race", axles = axles}),
    line("record", "on the bench", {kind = "assembly", of = "powertrain", instrument = "bench", mass = group.mass + 1,
      cg = {sd(group.cg.x + 3, 4), sd(group.cg.y + 1, 4), sd(group.cg.z - 2, 4)}}),
    line("record", "jacks", {kind = "ride heights", state = "race", heights = {nose = sd(131, 2), tail = sd(188, 2)}})}
end

-- ---- its mirror image -----------------------------------------------------------------------------------------------------------

local other = {lf = "rf", rf = "lf", lr = "rr", rr = "lr", l1 = "r1", r1 = "l1", l2 = "r2", r2 = "l2", l3 = "r3", r3 = "l3", left = "right",
               right = "left"}

local function negative(value)
  if type(value) == "table" then return {word = value.word, -value[1], value[2]} end
  return -value
end

--- The tree with left and right exchanged.
function mixed.mirrored(tree)
  if type(tree) ~= "table" then return tree end
  local out = {}
  for key, value in pairs(tree) do out[other[key] or key] = mixed.mirrored(value) end
  for _, key in ipairs{"at", "hip", "cg"} do
    local place = out[key]
    if type(place) == "table" and not place.word and #place == 3 then place[2] = negative(place[2]) end
  end
  if out.turned then out.turned.left_up = tree.turned.left_up and -tree.turned.left_up end
  local share = out.cross_share
  if share then out.cross_share = type(share) == "table" and sd(100 - share[1], share[2]) or 100 - share end
  return out
end

--- The name that a wheel or side has there.
function mixed.mirrored_name(name) return other[name] or name end

return mixed
