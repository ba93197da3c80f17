--- One result or more of every kind that a call gives, by kind, and a car: local results, car = dofile "tests/lua/example_results.lua".
-- Together they fill every field that the reference page names.

local sy = require "steelyard"

-- A car that fills every field of the results: a weighed whole, growth, an unknown mass, limits, uncertainties.
local car = sy.car{
  title = "Documented (invented)", axes = {x = "back", y = "right", z = "up"},
  axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
  parts = {
    sy.group "powertrain" {at = {1780, 0, 330}, whole = sy.sd(168, 0.5),
      sy.part "engine" {mass = sy.sd(96.2, 0.1), at = {0, 0, 12}, basis = "weighed", shape = sy.box {540, 620, 470}},
      sy.part "transaxle" {mass = 52, at = {380, 0, -45}, growth = "5 %", note = "bought without oil"}},
    sy.part "front corner" {pair = true, mass = 27.4, at = {0, 725, 285}, unsprung = "front"},
    sy.part "rear corner" {pair = true, mass = 31.3, at = {2400, 730, 300}, unsprung = "rear"},
    sy.part "loom" {mass = sy.unknown, at = {900, 0, 350}},
    sy.part "tub" {mass = 81, at = {1000, 13, 360}},
    sy.part "hoop" {mass = sy.sd(12, 2), at = {1300, 0, 600}, weighed = {reading = 14.26, on = "bench", zero_before = 0.02,
      zero_after = 0.04, tare = 0.3, with = {strap = 0.35}, note = "without paint"}},
    sy.part "seat" {mass = sy.unknown, at = {1300, 0, 300}, weighed = {reading = 7.2}},
  },
  instruments = {{name = "bench", step = 0.02, bias = sy.sd(0, 0.02)}},
  limits = {{name = "front share", quantity = "front_share", min = 20, max = 60},
            {name = "shaft", quantity = "shafts.static_angle", max = 7}},
}
local misread = sy.car{
  title = "Misread (invented)", axes = {x = "back", y = "right", z = "up"},
  axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
  parts = {sy.part "tub" {mass = sy.sd(381, 1), at = {1000, 13, 360}, within_mm = 5}},
  records = {sy.record "scales" {kind = "axles", axles = {front = 322, rear = 159}}},
}
-- The car saved twice under one name: the first file is kept.
local function saved()
  local folder = os.tmpname()
  os.remove(folder)
  os.execute("mkdir " .. folder)
  local path = folder .. "/car.lua"
  car:save(path)
  local result = car:save(path, {replace = true})
  os.execute("rm -r " .. folder)
  return result
end

local unreadable = sy.car{
  title = "Lost (invented)", axes = {x = "back", y = "right", z = "up"},
  axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
  parts = {sy.part "tub" {mass = 81, at = {1000, 13, 360}}},
  records = {sy.record "lift" {kind = "lift", from = "no_such.csv"}},
}
local three_wheels = sy.car{
  title = "Three wheels (invented)", axes = {x = "back", y = "right", z = "up"},
  axles = {{name = "front", at = 0, track = 1300, loaded_radius = 280}, {name = "rear", at = 2100, wheels = "one", loaded_radius = 290}},
  parts = {sy.part "tub" {mass = 310, at = {800, 7, 340}}},
}
local front_wheel = sy.car{
  title = "One in front (invented)", axes = {x = "back", y = "right", z = "up"},
  axles = {{name = "front", at = 0, wheels = "one", loaded_radius = 280}, {name = "rear", at = 2100, track = 1300, loaded_radius = 290}},
  parts = {sy.part "tub" {mass = 310, at = {1400, 7, 340}}},
}

-- a half-shaft that is whole, one without a place, and a propeller shaft
local driven = sy.car{
  title = "Driven (invented)", axes = {x = "back", y = "right", z = "up"},
  axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288, bump = 60, droop = 60},
           {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
  parts = {sy.part "tub" {mass = 381, at = {1000, 13, 360}}},
  shafts = {
    {name = "left", inner = {part = "tub", at = {sy.sd(20, 1), -165, 300}}, outer = {wheel = "lf", at = {0, -640, 305}, steer = 30},
     joint = "cv", plunge_limit = 40, cut_length = 480},
    {name = "propeller", inner = {part = "tub", at = {700, 0, 300}}, outer = {part = "tub", at = {2000, 0, 260}}, joint = "cardan"},
    {name = "late", inner = {part = "tub"}, outer = {wheel = "rr", at = {2400, 640, 305}}, joint = "cv"},
    {name = "no travel", inner = {part = "tub", at = {2390, 165, 300}}, outer = {wheel = "rr", at = {2400, 640, 305}}, joint = "cv"},
  },
}

-- On springs, with everything that can be given.
local function sprung(at, more)
  local axle = {name = at == 0 and "front" or "rear", at = at, track = 1450, loaded_radius = 288, spring_rate = 45, tyre_rate = 200,
                motion_ratio = 0.8, perch_pitch = 1.5, bar_rate = 5}
  for key, value in pairs(more or {}) do axle[key] = value end
  return axle
end
local body = sy.part "body" {mass = sy.sd(560, 2), at = {1100, 11, 360}, shape = sy.box {2800, 1300, 700}}
local on_springs = sy.car{title = "On springs (invented)", axles = {sprung(0), sprung(2400)}, parts = {body},
                          points = {nose = {-600, 0, 120}}, states = {sy.state "all" {}}}
local on_three = sy.car{title = "On three (invented)", axles = {sprung(0), sprung(2400, {wheels = "one", bar_rate = 0})}, parts = {body}}
local on_one = sy.car{title = "One in front (invented)", axles = {sprung(0, {wheels = "one", bar_rate = 0}), sprung(2400)},
                      parts = {body}}

local seated = sy.car{title = "Seated (invented)", axles = {sprung(0), sprung(2400)}, parts = {
  sy.person "a" {mass = 80, stature = 1760, hip = {1100, 0, 250}, torso = 30, knee = 120}}}

local drawn = sy.spread{car, draws = 300, seed = 2, show = {"mass", "front_share", "cross_share"}, growth = true, below = {mass = 760},
  above = {front_share = 1, mass = 9e5}}

local apart = sy.sensitivity{car, show = {"mass", "front_share", "cross_share"}, top = 3, scale = 0.001, tape = 0.01}
local one_way = sy.sensitivity{car, show = {"mass"}, vary = {sy.vary("tub", "mass", 300, 310, 2)}}

local stint = sy.load("vehicles/twayblade.lua"):state("race start"):stint{fuel = {30, 4}, step = 10,
  drivers = {{"driver", to = 17}, {"tall driver"}}}

local results = {
  person = {seated:person "a"},
  tank = {sy.load "vehicles/twayblade.lua":tank "fuel", sy.load "vehicles/first_guess.lua":tank "fuel"},
  hoist = {car:hoist("engine", {points = {{1600, 10, 600}, {1960, 0, 600}}, legs = {300, 290}, boom = {{1000, 200}}, reach = 900}),
           car:hoist("engine", {points = {{1600, 10, 600}, {1960, 0, 600}}, legs = {300, 900}}),
           car:hoist("engine", {points = {{1700, 10, 600}}})},
  handling = {car:handling(), car:handling{limit = 96.3}, sy.load "vehicles/twayblade.lua":handling()},
  markout = {car:markout{trolleys = {-100, 2500}, points = {{500, 300, 0}, {500, 0, 0}}},
             car:markout{trolleys = {{-100, -300, 400}, {-100, 300, 400}, {2500, 0, 300}}}},
  survey = {
    sy.survey{drawn = {a = {0, 700, 100}, b = {0, -700, 100}, c = {2400, 700, 100}, d = {2400, -700, 100}},
              measured = {a = {9, 702, 140}, b = {10, -698, 141}, c = {2410, 703, 139}, d = {2460, -697, 140}}},
    sy.survey{drawn = {a = {0, 700}, b = {0, -700}}, measured = {a = {9, 702}, b = {10, -680}}}},
  stands = {car:stands{at = {"lf", "rf", {2000, 300, 150}, {2000, -300, 150}}, without = {"engine"}}},
  shafts = {driven:shafts{travels = {-30, 30}}},
  attitude = {on_springs:attitude(), sy.load "vehicles/twayblade.lua":attitude{measured = {["splitter lip"] = 100, ["crank centre"] = 310}},
               on_springs:attitude{against = "all"}, on_three:attitude(), on_one:attitude()},
  heights = {on_springs:lower{front = 3}:heights(), car:heights()},
  ballast = {
    sy.load("vehicles/twayblade.lua"):state("race start"):ballast{target = {front_share = 43}, minimum = 756, finish = {fuel = 4},
      slots = {{"nose", at = {-500, 0, 200}, max = 15, step = 0.1}, {"tray", at = {2300, 0, 60}, max = 20}}},
    car:ballast{target = {front_share = 47}, minimum = 700, slots = {{"lead", at = {-500, 0, 200}, max = 5, step = 0.5}}}},
  stint = {stint, sy.load("vehicles/first_guess.lua"):stint{fuel = {20, 5}, show = {"mass", "yaw_inertia"}, mean = true}},
  stint_end = {stint.lowest.front_share, stint.highest.mass},
  perches = {on_springs:perches{cross_share = 51}, on_springs:perches{lf_share = 27, rf_share = 25, hold = "least turns"},
             on_three:perches{heights = {front = 3}},
             on_springs:perches{cross_share = 51, roll = 0.1, reading = {lf = 200, rf = 195, lr = 190, rr = 192, heights = {front = 2}}}},
  transfer = {on_springs:transfer{left_turn = 0.4, braking = 0.1, downforce = {front = 3}}, on_three:transfer{braking = 0.2},
              on_one:transfer{right_turn = 0.2}, three_wheels:transfer{left_turn = 0.1}, car:transfer{left_turn = 0.2, braking = 0.1}},
  stability = {on_springs:stability{brake_front_share = 60, drive_front_share = 40, braking = 0.1},
               three_wheels:stability(), front_wheel:stability()},
  corners = {on_springs:corners{bars = "connected"}, on_three:corners(), on_one:corners()},
  balance = {car:balance(), three_wheels:balance(), front_wheel:balance()},
  book = {car:book()},
  saved = {saved()},
  checks = {car:checks()},
  changes = {sy.changes(car, car:move("tub", {back = 50})), sy.changes(car, sy.car{
    title = "Later (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
    parts = {sy.part "monocoque" {mass = 81, at = {1000, 13, 360}}}})},
  track = {sy.track({"vehicles/history", "vehicles/sedge.lua"}, {car = "sedge", state = "race start"})},
  cg_height = {
    sy.cg_height{title = "Lifted (invented)", wheelbase = 2450, radii = {front = 290, rear = 305}, tracks = {front = 1500, rear = 1480},
      sd = {pad = 0.1}, against = {height = sy.sd(340, 5), mass = 700}, at_ride = {front = -10, rear = -12},
      with_driver = {mass = 80, height = 370}, without_driver = {mass = 10, height = 370}, readings = {
        {run = "up", lift = 0, lf = 141.2, rf = 141.5, lr = 209.3, rr = 209.4}, {run = "up", lift = 300, front = 284.4},
        {run = "up", lift = 600, front = 288.2}, {run = "down", lift = 600, front = 286.6},
        {run = "down", lift = 300, front = 284.9},
        {run = "down", lift = 0, front = 283, rear = 418.5}}},
    car:cg_height{sd = {lift = 2}, readings = {{lift = 0, front = 160, rear = 203}, {lift = 300, front = 161.5}, {lift = 450,
      front = 162.1},
      {lift = 600, front = 163}}},
    sy.cg_height{lifted = "left", by = "angle", crown_radius = 60, tracks = {front = 1500, rear = 1480}, sd = {pad = 0.1}, readings = {
      {angle = 0, left = 350, right = 350}, {angle = 8, left = 330}, {angle = 12, left = 319}}}},
  lift_plan = {car:plan_lift{within = 10, pads = {sd = 0.1}, low_points = {{name = "nose", forward = 750, height = 110}}},
               car:plan_lift{title = "Planned (invented)", within = 1, pads = {sd = 0.1}}},
  clearances = {sy.load "vehicles/twayblade.lua":clearances(),
                sy.load "vehicles/twayblade.lua":move("powertrain", {forward = 20}):clearances()},
  overlaps = {sy.load "vehicles/twayblade.lua":overlaps{gap = 5}},
  scene = {sy.load "vehicles/twayblade.lua":move("engine", {back = 5}):named("later"):scene(), three_wheels:scene()},
  scene_wheel = {sy.load "vehicles/twayblade.lua":scene().wheels.lf, car:scene().wheels.lf},
  drawing = {sy.load "vehicles/twayblade.lua":draw(), car:draw{view = "front"}},
  dipstick = {sy.load "vehicles/twayblade.lua":dipstick("fuel", {nose_up = 3})},
  body_inertia = {sy.load "vehicles/twayblade.lua":inertia(),
                  sy.load "vehicles/twayblade.lua":inertia{what = "powertrain", about = {0, 0, 0}}},
  mesh = {sy.mesh("vehicles/shapes/saddle_tank.obj", {unit = "mm", mass = sy.sd(3.1, 0.1)}),
          sy.mesh("vehicles/shapes/saddle_tank.obj", {unit = "mm"})},
  pendulum = {
    sy.pendulum{title = "Wheel (invented)", kind = "compound", mass = sy.sd(14.2, 0.1), arm = 196, period = sy.sd(1.26, 0.01)},
    sy.pendulum{kind = "torsion", stiffness = 3.1, hangs = {
      {axis = {1, 0, 0}, period = 1.1}, {axis = {0, 1, 0}, period = 1.2}, {axis = {0, 0, 1}, period = 1.3}}}},
  corner_scales = {
    sy.corner_scales{title = "Four (invented)", step = 0.1, sd = 0.1, runs = {
      {lf = 151.3, rf = 148.9, lr = 213.7, rr = 219.2, pads = {lf = "A", rf = "B", lr = "C", rr = "D"}, zero_before = 0, zero_after = 0.1},
      {lf = 151.2, rf = 149.2, lr = 213.5, rr = 219.6, pads = {lf = "D", rf = "C", lr = "B", rr = "A"}, facing = "back"},
      {lf = 151.4, rf = 149.2, lr = 213.5, rr = 219.6, pads = {lf = "D", rf = "C", lr = "B", rr = "A"}, facing = "back"}}},
    sy.corner_scales{runs = {{f = 120, lr = 180, rr = 182}}}, sy.corner_scales{runs = {{lf = 120, rf = 121, r = 182}}},
    sy.corner_scales{runs = {{front = 300, rear = 420}}}},
  part_cg = {sy.part_cg{title = "Engine (invented)", sd = {reading = 0.05, place = 0.1}, supports = {A = {150, -200, 0}, B = {150, 200, 0},
    C = {-300, 0, -40}}, poses = {{readings = {A = 15.6, B = 22.8, C = 57.6}}, {readings = {A = 11.85, B = 20.05, C = 65.11}, nose_up = 22},
    {readings = {A = 21, B = 17.4, C = 57.6}, left_up = 15}}}},
  hung = {sy.hang_cg{title = "Engine (invented)", sd = 2, lines = {{name = "eye", from = {-310, -20, 240}, to = {8, 18, -85}},
    {from = {180, 0, 310}, to = {-146, 9, -68}}, {from = {-260, -330, 90}, to = {98, 340, -71}},
    {from = {-60, 330, 90}, to = {-120, -300, 0}}}}},
  reconciled = {
    sy.load("vehicles/first_guess.lua"):reconcile{corners = {lf = 184.5, rf = 165, lr = 216.5, rr = 228}, height = sy.sd(349, 4)},
    sy.load("vehicles/first_guess.lua"):state("no driver"):reconcile{axles = {front = 327, rear = 443}, sd = 1},
    sy.load("vehicles/first_guess.lua"):reconcile{corners = {lf = 158, rf = 169, lr = 218, rr = 228}},
    on_three:reconcile{corners = {lf = 152, rf = 146, r = 290}}, on_one:reconcile{corners = {f = 330, lr = 132, rr = 126}, sd = 0.3}},
  recorded = (function()
    local tansy, list = sy.load "vehicles/tansy.lua", {}
    for i, row in ipairs(tansy:records()) do list[i] = tansy:record(row.name) end
    return list
  end)(),
  built = {require("steelyard.measure.records.built").result(sy.load "vehicles/tansy.lua":as_built()),
           require("steelyard.measure.records.built").result(misread:as_built())},
  guesses = {sy.load "vehicles/tansy.lua":guesses(), sy.load("vehicles/history/sedge-2024-03-14.lua"):guesses{
    "vehicles/history/sedge-2024-01-18.lua"}},
  records = {sy.load "vehicles/tansy.lua":records(), car:records(), unreadable:records()},
  remainder = {sy.subtract{title = "Tank (invented)", whole = {mass = 50, cg = {100, 20, 30}, inertia = {xx = 3, yy = 4, zz = 5}},
                           without = {mass = sy.sd(40, 1), cg = {110, 10, 20}, inertia = {xx = 2, yy = 3, zz = 3.5}}}},
  comparison = {sy.compare{car, car:move("powertrain", {back = 50})},
                sy.compare{driven, driven, show = {"mass", "shafts.offset", "shafts.static_angle", "shafts.plunge"}}},
  vary = {sy.vary("tub", "back", 0, 20, 2), sy.vary("state", {"start"}), sy.vary("fuel", "fill", {"50 %", 10})},
  study = {
    sy.study{car, vary = {sy.vary("tub", "back", {-10, 20}), sy.vary("seat", "up", 0, 5, 2)}, show = {"mass", "front_share", "height"},
             limits = {height = {300, 400}}, worst_over = {"seat"}, uncertainty = true, front = {height = "least"}},
    sy.study{driven, vary = {sy.vary("front axle", "track", 1300, 1500)}, show = {"left_share"}, method = "latin", points = 4}},
  seek = pcall(require, "steelyard.seek_nlopt") and {
    sy.seek{car, vary = {sy.vary("tub", "back", -100, 200), sy.vary("seat", "mass", 20, 21, 2)}, target = {front_share = {39, 0.5}},
            least = "yaw_inertia", limits = {height = {300, 400}}, worst_over = {"seat"}},
    sy.seek{car, vary = {sy.vary("tub", "back", -10, 20)}, target = {cg_behind = 2000}, starts = 2}} or {},
  report = {sy.report{car, title = "Documented", studies = {{vary = {sy.vary("tub", "back", -10, 20, 3)}, show = {"mass"}}}},
            sy.report{misread, three_wheels, fits = {misread:record "scales"}}},
  spread = {drawn},
  sensitivity = {apart, one_way},
  sensitivity_quantity = {apart.quantities.mass, apart.quantities.cross_share, one_way.quantities.mass},
  spread_quantity = {drawn.quantities.mass, drawn.quantities.cross_share, drawn.quantities.front_share},
  closure = {sy.closure{whole = sy.sd(31, 0.1), title = "Documented (invented)", extra = {["bag"] = 0.4}, parts = {
    {name = "case", mass = sy.sd(12.6, 0.05), assembly = "engine"}, {name = "flywheel", mass = sy.sd(7.4, 0.05), assembly = "engine"},
    {name = "clutch", mass = sy.sd(6.8, 0.05), assembly = "engine", includes = {"flywheel"}},
    {name = "flywheel", mass = sy.sd(7.4, 0.05), assembly = "transaxle"},
    {name = "bell", mass = sy.sd(3.8, 0.05), assembly = "transaxle"}}}},
}

return results, car
