--- For tests of what calls do with wrong arguments: a right one of every call of sy and of a car. `of(sy)` gives a list of
-- {name, arguments...}, of "car:move" the car first, and cars of other vehicles: without springs, on three axles, and another on springs.

local right = {}

local function axle(at, more)
  local t = {name = at < 0 and "front" or "rear", at = at, track = 1450, loaded_radius = 288, spring_rate = 45, tyre_rate = 200,
             motion_ratio = 0.8, perch_pitch = 1.5, bar_rate = 5}
  for key, value in pairs(more or {}) do t[key] = value end
  return t
end

-- On springs, its datum off the front axle, with a tank, a person and all that calls ask about.
local function vehicle(sy)
  return {title = "Right (invented)", axles = {axle(-200), axle(2200)},
    parts = {
      sy.part "body" {mass = sy.sd(560, 2), at = {900, 11, 360}, shape = sy.box {2800, 1300, 700}},
      sy.group "engine" {at = {1700, 0, 300}, sy.part "block" {mass = 90, at = {0, 0, 0}, shape = sy.box {500, 400, 500}},
                         sy.part "flywheel" {mass = 7, at = {200, 0, 0}, tags = {"spinning"}}},
      sy.tank "fuel" {capacity = 40, density = 0.74, fill = 20, dry_mass = 4, at = {1300, 0, 300}, shape = sy.box {300, 600, 230}},
      sy.person "driver" {mass = 80, stature = 1760, hip = {1100, 200, 250}, torso = 30, knee = 120},
      sy.part "door" {mass = 12, at = {900, 700, 500}, pair = true}},
    spares = {sy.person "tall driver" {mass = 95, at = {1100, 200, 400}}},
    points = {nose = {-900, 0, 120}},
    clearances = {{name = "block", a = "block", b = "ground", asked = 50}},
    shafts = {{name = "left half-shaft", inner = {part = "block", at = {2200, -150, 300}}, outer = {wheel = "lr", at = {2200, -600, 290}},
               joint = "cv"}},
    limits = {{quantity = "front_share", min = 40, max = 50}},
    states = {sy.state "kerb" {without = {"driver"}, fill = {fuel = "90 %"}}}}
end

local function lifted() return {wheelbase = 2450, radii = {front = 290, rear = 305}, tracks = {front = 1500, rear = 1480}, sd = {pad = 0.1},
  against = {height = 340, mass = 700}, at_ride = {front = -10, rear = -12}, with_driver = {mass = 80, height = 370},
  readings = {{run = "up", lift = 0, lf = 141.2, rf = 141.5, lr = 209.3, rr = 209.4}, {run = "up", lift = 300, front = 284.4},
    {run = "up", lift = 600, front = 288.2}, {run = "down", lift = 600, front = 286.6}, {run = "down", lift = 0, front = 283,
    rear = 418.5}}} end

local function planned() return {within = 10, pads = {sd = 0.1}, wheelbase = 2450, radii = {front = 290, rear = 305}, mass = 700,
    front_share = 42,
  height = 340, low_points = {{name = "nose", forward = 750, height = 110}}} end

local function weighed() return {title = "Four (invented)", step = 0.1, sd = 0.1, runs = {
  {lf = 151.3, rf = 148.9, lr = 213.7, rr = 219.2, pads = {lf = "A", rf = "B", lr = "C", rr = "D"}, zero_before = 0, zero_after = 0.1},
  {lf = 151.2, rf = 149.2, lr = 213.5, rr = 219.6, pads = {lf = "D", rf = "C", lr = "B", rr = "A"}, facing = "back"}}} end

function right.of(sy)
  local one, other = sy.car(vehicle(sy)), sy.load "vehicles/first_guess.lua"
  local list = {
    {"sy.car", vehicle(sy)}, {"sy.load", "vehicles/first_guess.lua"}, {"sy.sd", 12, 0.1}, {"sy.within", 12, 0.1},
    {"sy.part", "x"}, {"sy.group", "x"}, {"sy.tank", "x"}, {"sy.person", "x"}, {"sy.state", "x"}, {"sy.limit", "x"}, {"sy.from_csv", "x"},
    {"sy.box", {1, 2, 3}}, {"sy.vehicle", {}},
    {"sy.compare", {one, one:move("engine", {back = 10}), show = {"mass", "front_share"}}},
    {"sy.changes", one, one:move("engine", {back = 50}), {by = "front_share"}},
    {"sy.track", "vehicles/history/tansy-2026-02-01.lua", {lines = 2}},
    {"sy.closure", {whole = 31, title = "Documented (invented)", extra = {bag = 0.4}, scale = {bias_sd = 0.1, gain_sd = 0.001}, parts = {
      {name = "case", mass = 12.6, assembly = "engine", was = 12, count = 1, unit = "kg"}, {name = "clutch", mass = 6.8,
    includes = {"flywheel"}},
      {name = "flywheel", weighed = {reading = 7.4, tare = 0.1}}}}},
    {"sy.table", {{"part", "%s"}, {"mass", "%.2f"}}, {{"a", 1}, {"b", 2}}},
    {"sy.cg_height", lifted()},
    {"car:record", sy.load "vehicles/tansy.lua", "first scales"}, {"car:records", sy.load "vehicles/tansy.lua"},
    {"car:as_built", sy.load "vehicles/tansy.lua", {"powertrain"}},
    {"car:guesses", sy.load "vehicles/tansy.lua", {sy.load "vehicles/history/tansy-2026-02-01.lua"}},
    {"sy.cg_height", {lifted = "left", by = "angle", crown_radius = 60, tracks = {front = 1500, rear = 1480}, sd = {pad = 0.1}, readings = {
      {angle = 0, left = 350, right = 350}, {angle = 8, left = 330}, {angle = 12, left = 319}}}},
    {"sy.plan_lift", planned()},
    {"sy.pendulum", {title = "Wheel (invented)", kind = "compound", mass = sy.sd(14.2, 0.1), arm = 196, period = sy.sd(1.26, 0.01)}},
    {"sy.pendulum", {kind = "torsion", stiffness = 3.1, hangs = {
      {axis = {1, 0, 0}, period = 1.1}, {axis = {0, 1, 0}, period = 1.2}, {axis = {0, 0, 1}, period = 1.3}}}},
    {"sy.pendulum", {kind = "bifilar", mass = 20, wire = 1500, arms = {300, 300}, times = {34.1, 34.2, 34.1}, swings = 20}},
    {"sy.corner_scales", weighed()},
    {"sy.part_cg", {title = "Engine (invented)", sd = {reading = 0.05, place = 0.1}, supports = {A = {150, -200, 0}, B = {150, 200, 0},
      C = {-300, 0, -40}}, poses = {{readings = {A = 15.6, B = 22.8, C = 57.6}}, {readings = {A = 11.85, B = 20.05, C = 65.11},
    nose_up = 22},
      {readings = {A = 21, B = 17.4, C = 57.6}, left_up = 15}}}},
    {"sy.hang_cg", {title = "Engine (invented)", sd = 2, lines = {{name = "eye", from = {-310, -20, 240}, to = {8, 18, -85}},
      {from = {180, 0, 310}, to = {-146, 9, -68}}, {from = {-260, -330, 90}, to = {98, 340, -71}}}}},
    {"sy.subtract", {title = "Tank (invented)", whole = {mass = 50, cg = {100, 20, 30}, inertia = {xx = 3, yy = 4, zz = 5}},
      without = {mass = sy.sd(40, 1), cg = {110, 10, 20}, inertia = {xx = 2, yy = 3, zz = 3.5}}}},
    {"sy.mesh", "vehicles/shapes/saddle_tank.obj", {unit = "mm", mass = 3.1}},
    {"sy.vary", "engine", "back", -50, 50, 5}, {"sy.vary", {"engine", "driver"}, "up", {0, 10}}, {"sy.vary", "state", {"kerb"}},
    {"sy.study", {one, vary = {sy.vary("engine", "back", {-50, 50})}, show = {"mass"}, limits = {mass = {max = 900}},
      worst_over = {"kerb"}, method = "grid", uncertainty = true, front = {mass = "least"}}},
    {"sy.study", {one, vary = {sy.vary("engine", "back", -50, 50)}, show = {"transfer.roll"}, left_turn = 0.5, method = "list",
      points = {{3}, {["engine back"] = 4}}}},
    {"sy.spread", {one, draws = 300, seed = 5, show = {"mass", "height"}, growth = true, below = {mass = 700}, above = {height = 300}}},
    {"sy.sensitivity", {one, show = {"mass", "height"}, scale = 0.05, tape = 1, steps = 2, top = 3,
      vary = {sy.vary("engine", "back", -50, 50, 5)}}},
    {"sy.report", {one, title = "A", studies = {{vary = {sy.vary("engine", "back", {-5, 5})}, show = {"mass"}}}}},
    {"sy.survey", {drawn = {a = {0, 700, 100}, b = {0, -700, 100}, c = {2400, 700, 100}, d = {2400, -700, 100}},
      measured = {a = {9, 702, 140}, b = {10, -698, 141}, c = {2410, 703, 139}, d = {2460, -697, 140}}}},
  }
  if pcall(require, "steelyard.seek_nlopt") then
    list[#list + 1] = {"sy.seek", {one, vary = {sy.vary("engine", "back", -50, 50)}, target = {front_share = {45, 5}},
      least = "yaw_inertia", limits = {mass = {max = 900}}, worst_over = {"kerb"}, starts = 2, seed = 3}}
  end
  local function add(call, ...) list[#list + 1] = {"car:" .. call, one, ...} end
  add("state", "kerb") add("states") add("move", "engine", {back = 50, nose_up = 2}) add("move", {"engine", "driver"}, {back = 50,
    nose_up = 2})
  add("set", "body", {mass = sy.sd(500, 1), at = {900, 0, 300}, note = "x"})
  add("set", "fuel", {fill = 10, density = 0.7}) add("set", "rear axle", {spring_rate = 50})
  add("add", sy.part "ballast" {mass = 10, at = {0, 0, 100}}, "engine") add("without", {"driver"}) add("swap", "driver", "tall driver")
  add("fill", {fuel = "50 %"}) add("named", "label") add("balance") add("book", "engine") add("trial", "engine", "back")
  add("corners", {pads = {lf = 1}, perches = {lf = 1}, bars = "off", slope = {nose_up = 1}}) add("perches", {cross_share = 51})
  add("perches", {cross_share = 51, roll = 0, reading = {lf = sy.sd(150, 0.2), rf = 150, lr = 210, rr = 210}})
  add("perches", {heights = {front = -5, rear = -3}, notch = 0.25}) add("person", "driver") add("tank", "fuel", {left_turn = 0.5})
  add("attitude", {against = "kerb", pads = {lf = 1}}) add("attitude", {against = one}) add("transfer", {left_turn = 0.4, braking = 0.1,
    downforce = {front = 3}})
  add("stability", {mu = 1, required = 60, brake_front_share = 60, drive_front_share = 40, braking = 0.1})
  add("lower", {front = 10, rear = 5}) add("raise",
    {front = 10}) add("heights")
  add("checks") add("cg_height", {sd = {lift = 2}, readings = {{lift = 0, front = 340, rear = 433}, {lift = 300, front = 345},
    {lift = 600, front = 352}}})
  add("plan_lift", {within = 10, pads = {sd = 0.1}, low_points = {{name = "nose", forward = 750, height = 110}}})
  add("reconcile", {corners = {lf = 184.5, rf = 165, lr = 216.5, rr = 228}, height = 349, sd = 0.5})
  add("handling", {limit = 96.3}) add("hoist", "block", {points = {{1600, 10, 600}, {1960, 0, 600}}, legs = {300, 290}, boom = {{1000,
    200}}, reach = 900})
  add("markout", {trolleys = {-100, 2500}, points = {{500, 300, 0}, {500, 0, 0}}}) add("stands", {at = {"lf", "rf", {1800, 300, 150},
    {1800, -300, 150}},
    without = {"engine"}})
  add("clearances", {at = {"design", "bump"}}) add("overlaps", {gap = 5})
  add("scene", {pose = "design"}) add("draw", {view = "plan", width = 90}) add("shafts", {travels = {-30, 30}})
  add("dipstick", "fuel", {step = 50, nose_up = 3, right_up = 1})
  add("inertia", {what = "engine", about = {0, 0, 0}})
  add("ballast", {target = {front_share = {45, 0.5}}, slots = {{"lead", at = {-500, 0, 100}, max = 20, min = 1, step = 0.5}}, minimum = 700,
    finish = {fuel = 3}, limits = {height = {max = 400}}})
  add("stint", {fuel = {from = 20, to = 5}, tank = "fuel", step = 2, drivers = {{"driver", from = 20, to = 9}, {name = "tall driver"}},
    show = {"front_share", "corners.lf"}, mean = true})
  local three = sy.car{axles = {{name = "a", at = 0, track = 1400, loaded_radius = 290, spring_rate = 40},
    {name = "b", at = 1500, track = 1400, loaded_radius = 290, spring_rate = 40}, {name = "c", at = 3000, track = 1400, loaded_radius = 290,
    spring_rate = 40}}, parts = {sy.part "load" {mass = 900, at = {1400, 0, 300}}}}
  return list, other, three, sy.load "vehicles/twayblade.lua"
end

return right
