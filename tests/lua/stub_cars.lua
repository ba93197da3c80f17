--- Cars for the test of the editor stubs: local specs = dofile "tests/lua/stub_cars.lua", a list of what sy.car takes.
--
-- Two to five axles with one or two wheels, with and without springs, with every kind of item and record a file may have. x runs forward
-- and y left, and no zero lies at an axle, the ground or the centre plane. All invented.

local sy = require "steelyard"

local function axle(name, at, wheels, springs)
  local made = {name = name, at = at, wheels = wheels == 1 and "one" or "two", loaded_radius = 300}
  if wheels == 2 then made.track = 1500 end
  if not springs then return made end
  made.spring_rate, made.tyre_rate, made.motion_ratio, made.perch_pitch = 45, 200, 0.8, 1.5
  made.roll_centre, made.bump, made.droop = 40, 70, 60
  if wheels == 2 then made.bar_rate = 5 end
  return made
end

local axle_names = {"front", "second", "third", "fourth", "fifth"}

local function parts_of(axles)
  local parts = {
    sy.group "body" {at = {-900, 40, 360}, whole = sy.sd(405, 2), unaccounted = true, tags = {"carried"},
      sy.part "tub" {mass = sy.sd(320, 2), at = {100, 13, 20}, shape = sy.box{2600, 1200, 600}, basis = "weighed"},
      sy.part "engine" {mass = 78, at = {-600, -20, 30}, growth = "5 %", basis = "calculated", shape = sy.box{500, 500, 450},
        turned = {nose_up = 3}, bolted_to = {"tub"}, includes = {"starter"}, excludes = "oil"}},
    sy.part "seat" {mass = sy.unknown, at = {-900, 340, 300}, stand_in = {mass = sy.sd(9, 1)}},
    sy.part "plate" {at = {-300, 40, 250}, count = 3, inertia = {xx = 0.2, yy = 0.2, zz = 0.3}, within_mm = 4,
      weighed = {reading = {12.58, 12.62}, unit = "kg", on = "bench", pieces = 3, with = {strap = 0.02}}},
    sy.tank "fuel" {capacity = 40, fill = "50 %", density = sy.sd(0.74, 0.01), at = {-1300, 40, 320}, dry_mass = 3},
    sy.tank "pod" {shape = sy.box{200, 300, 400}, fill = 8, density = 0.74, at = {x = -1300, y = 40, z = sy.sd(420, 3)},
      pick_up = {-80, 0, -190}},
    sy.person "driver" {mass = sy.sd(80, 0.5), stature = 1760, hip = {-900, 340, 250}, torso = 30, knee = 120},
  }
  for _, entry in ipairs(axles) do
    local pair = entry.wheels == "two"
    parts[#parts + 1] = sy.part(entry.name .. " wheel") {mass = 14, at = {entry.at, pair and 790 or 40, 320}, pair = pair or nil,
      unsprung = entry.name, shape = sy.cylinder{600, 180, axis = "y"}}
  end
  return parts
end

local function last_wheel(wheels)
  local last = #wheels
  if last == 2 then return wheels[2] == 2 and "lr" or "r" end
  return (wheels[last] == 2 and "l" or "c") .. last
end

local function spec_of(wheels, springs)
  local axles = {}
  for i, count in ipairs(wheels) do
    axles[i] = axle(i == #wheels and "rear" or axle_names[i], 200 - 2400 * (i - 1) / (#wheels - 1), count, springs)
  end
  local outer = {wheel = last_wheel(wheels), at = {-2200, 640, 325}, steer = 20}
  return {
    title = ("%s%s (invented)"):format(table.concat(wheels, "-"), springs and " on springs" or ""),
    axes = {x = "forward", y = "left", z = "up"}, ground = 20, centre = 40, axles = axles, parts = parts_of(axles),
    chassis = springs and {torsion = 8000} or nil, assume = {calculated = "4 %", within_mm = 5},
    instruments = {{name = "bench", step = 0.02, bias = sy.sd(0, 0.02)}},
    points = {nose = {900, 40, 140}, tail = {at = {-2900, 40, 240}, part = "tub"}},
    spares = {sy.person "passenger" {mass = 70, at = {-900, -260, 320}}},
    states = {sy.state "race" {}, sy.state "no driver" {without = "driver", fill = {fuel = 30}},
              sy.state "other driver" {swap = {driver = "passenger"}, with = {}}, sy.state "drawn up" {stand_ins = true}},
    limits = {{name = "front", quantity = "front_share", min = 20, max = 60}, sy.limit "shaft" {quantity = "shafts.static_angle", max = 7}},
    shafts = {{name = "shaft", inner = {part = "engine", at = {-1480, 100, 350}}, joint = "cv", plunge_limit = 40, cut_length = 480,
               outer = outer},
              {name = "propeller", inner = {part = "engine", at = {-1480, 40, 350}}, outer = {part = "tub", at = {-2000, 40, 300}},
               joint = "cardan", axis = {1, 0, 0}}},
    clearances = {{name = "sump", a = "engine", b = "ground", asked = 80, leaves = {up = 400}},
                  {name = "engine to wheel", a = {part = "engine"}, b = {part = "rear wheel"}, asked = 10}},
  }
end

local specs = {}
for _, wheels in ipairs{{2, 2}, {1, 2}, {2, 1}, {2, 2, 2}, {1, 2, 2}, {2, 2, 2, 1, 2}} do
  for _, springs in ipairs{true, false} do specs[#specs + 1] = spec_of(wheels, springs) end
end
return specs
