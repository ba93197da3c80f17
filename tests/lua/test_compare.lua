-- Cars side by side: the changes, what is clear, and the uncertainty of a change, in which everything the two share cancels.
--
-- Source of the uncertainties: law of propagation with correlated inputs, JCGM 100:2008, 5.2.2; here two inputs are either one and the
-- same (correlation 1) or independent, so a change is worked out as one function of all inputs, derivatives beside each test.
-- 1e-9: rounding of differences of numbers of some hundred kg, far below a printed digit.

local check = dofile "tests/lua/check.lua"
local json = require "steelyard.print.json"
local sy = require "steelyard"
local test = check.test

local BASE = 2400
local function fields()
  return {
    title = "Compared (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = BASE, track = 1400, loaded_radius = 290}},
    parts = {
      sy.part "tub" {mass = sy.sd(200, 3), at = {sy.sd(1000, 8), 0, 350}},
      sy.part "engine" {mass = sy.sd(96, 0.5), at = {sy.sd(1800, 5), 20, 320}, bolted_to = {"gearbox"}},
      sy.part "gearbox" {mass = sy.sd(52, 0.4), at = {2300, 0, 300}},
      sy.part "corner" {pair = true, mass = sy.sd(28, 0.1), at = {0, 700, 285}, unsprung = "front"},
      sy.tank "fuel" {capacity = 50, at = {1300, 0, 310}, density = sy.sd(0.75, 0.01), fill = 40},
      sy.person "driver" {mass = sy.sd(78, 0.5), at = {1010, 180, 370}},
    },
    spares = {sy.person "tall driver" {mass = sy.sd(96, 0.7), at = {1030, 180, 385}}},
    states = {sy.state "start" {}, sy.state "end" {fill = {fuel = 4}}, sy.state "empty" {without = {"driver"}}},
  }
end
local function new_car() return sy.car(fields()) end

local function rows_of(comparison)
  local rows = {}
  for _, row in ipairs(comparison.rows) do rows[row.name] = row end
  return rows
end

local function hypot(...)
  local sum = 0
  for _, x in ipairs{...} do sum = sum + x * x end
  return math.sqrt(sum)
end

test("columns_values_and_changes_against_the_first_car", function()
  local car = new_car():state "start"
  local back = car:move("engine", {back = 50})
  local c = sy.compare{car, back, back:move("tub", {forward = 10}), car:named "as it was"}
  check.equal(c.columns, {"as booked", "engine 50 back", "engine 50 back, tub 10 forward", "as it was"})
  check.equal(c.state, "start")
  check.contains(c.heading, "Compared (invented), start")
  local b, m = car:balance(), back:balance()
  for _, name in ipairs{"mass", "front", "rear", "front_share", "cg_behind", "height", "yaw_inertia", "yaw_index"} do
    local row = rows_of(c)[name]
    check.near(row.values[1], b[name], 0, name)
    check.near(row.values[2], m[name], 0, name)
    check.near(row.changes[1], 0, 0)
    check.near(row.changes[2], m[name] - b[name], 0)
    check.near(row.changes[4], 0, 0)
    check.near(row.sd[1], b.sd[name], 1e-12, name)
    check.near(row.sd[4], 0, 0, "a car against itself differs by nothing")
    check.equal(c.sd[name], row.sd)
    check.equal(#row.values, 4)
  end
end)

test("a_moved_part_only_brings_its_own_mass_error", function()
  local car = new_car()
  local rows = rows_of(sy.compare{car, car:move("engine", {back = 50})})
  -- d front = -m s/L: by the mass alone, the error of the place is in both
  check.near(rows.front.changes[2], -96 * 50 / BASE, 1e-9)
  check.near(rows.front.sd[2], 0.5 * 50 / BASE, 1e-12)
  check.ok(rows.front.clear[2])
  check.ok(rows.front.sd[1] > 50 * rows.front.sd[2], "the total is far less certain")
  check.near(rows.mass.sd[2], 0, 0)
  check.equal(rows.mass.clear[2], false, "no change, nothing clear")
  -- d cg = m s/M: d/dm = s (M - m)/M^2, all other masses -m s/M^2 each; the fuel's is 40 x 0.01
  local total = 200 + 96 + 52 + 56 + 30 + 78
  local others = -96 * 50 / total ^ 2
  local own = 50 * (total - 96) / total ^ 2
  check.near(rows.cg_behind.sd[2], hypot(own * 0.5, others * 3, others * 0.4, others * 0.2, others * 0.4, others * 0.5), 1e-12)
end)

test("clear_is_more_than_its_own_95_percent", function()
  -- a mass changed from 96 +- 0.5 to 97.x +- 0.5 is a new error: u = sqrt(0.5^2 + 0.5^2) = 0.7071, 1.96 u = 1.386
  local car = new_car()
  for _, case in ipairs{{97.38, false}, {97.39, true}, {94.62, false}, {94.61, true}} do
    local row = rows_of(sy.compare{car, car:set("engine", {mass = case[1]})}).mass
    check.near(row.sd[2], hypot(0.5, 0.5), 1e-12)
    check.equal(row.clear[2], case[2], "mass " .. case[1])
  end
  check.contains(tostring(sy.compare{car, car:set("engine", {mass = 97.38})}), "(not clear)")
  local clear = tostring(sy.compare{car, car:set("engine", {mass = 99}), show = {"mass"}})
  check.contains(clear, "+3.00 +- 1.39")
  check.ok(not clear:find("not clear", 1, true))
end)

test("a_changed_mass_is_a_new_error_and_the_place_stays_the_old_one", function()
  local car = new_car()
  local rows = rows_of(sy.compare{car, car:set("tub", {mass = sy.sd(210, 1)})})
  -- d rear = (m2 - m1) x/L: dm1, dm2 with x/L each, dx with (m2 - m1)/L
  check.near(rows.rear.sd[2], hypot(1000 / BASE * 3, 1000 / BASE * 1, 10 / BASE * 8), 1e-12)
  -- the same value with the same uncertainty is the same statement
  check.near(rows_of(sy.compare{car, car:set("tub", {mass = sy.sd(200, 3)})}).rear.sd[2], 0, 0)
  -- a new place is a new error: rear m x/L with u(x) 8 before and 2 now, the mass error common: (x2 - x1)/L x 3
  local placed = rows_of(sy.compare{car, car:set("tub", {at = {sy.sd(1040, 2), 0, 350}})})
  check.near(placed.rear.changes[2], 200 * 40 / BASE, 1e-9)
  check.near(placed.rear.sd[2], hypot(200 / BASE * 8, 200 / BASE * 2, 40 / BASE * 3), 1e-12)
end)

test("a_part_taken_out_or_swapped_takes_its_own_errors_along", function()
  local car = new_car()
  local out = rows_of(sy.compare{car, car:without "engine"})
  check.near(out.mass.changes[2], -96, 1e-9)
  check.near(out.mass.sd[2], 0.5, 1e-12)
  check.near(out.rear.sd[2], hypot(1800 / BASE * 0.5, 96 / BASE * 5), 1e-12)
  local swap = rows_of(sy.compare{car, car:swap("driver", "tall driver")})
  check.near(swap.mass.changes[2], 18, 1e-9)
  check.near(swap.mass.sd[2], hypot(0.5, 0.7), 1e-12)
  local added = rows_of(sy.compare{car, car:add(sy.part "ballast" {mass = sy.sd(10, 0.02), at = {200, 0, 150}})})
  check.near(added.mass.sd[2], 0.02, 1e-12)
end)

test("one_error_of_a_pair_is_common_to_both_cars_and_both_sides", function()
  local car = new_car()
  local rows = rows_of(sy.compare{car, car:move("corner", {back = 60})})
  check.near(rows.rear.changes[2], 56 * 60 / BASE, 1e-9)
  check.near(rows.rear.sd[2], 60 / BASE * 2 * 0.1, 1e-12)
  -- one side alone: half the pair's error
  check.near(rows_of(sy.compare{car, car:move("corner/left", {back = 60})}).rear.sd[2], 60 / BASE * 0.1, 1e-12)
  -- two cars that state no uncertainty differ with certainty
  local plain = sy.car{title = "Plain (invented)", axles = fields().axles, parts = {sy.part "a" {mass = 5, at = {10, 0, 300}}}}
  local row = rows_of(sy.compare{plain, plain:move("a", {back = 1})}).front
  check.near(row.sd[2], 0, 0)
  check.equal(row.clear[2], true)
end)

test("states_against_states", function()
  local car = new_car()
  local c = sy.compare{car:state "start", car:state "end", car:state "empty"}
  check.equal(c.columns, {"as booked", "end", "empty"})
  local rows = rows_of(c)
  -- fuel: 40 to 4 litres of one density: d mass = 36 rho, u = 36 x 0.01
  check.near(rows.mass.changes[2], -27, 1e-9)
  check.near(rows.mass.changes[3], -78, 1e-9)
  check.near(rows.mass.sd[3], 0.5, 1e-12)
  local rear = 1010 / BASE
  check.near(rows.rear.sd[3], rear * 0.5, 1e-12)
end)

test("cars_from_two_loads_of_one_file_share_what_they_state_the_same", function()
  local one, other = new_car(), new_car():move("engine", {back = 50})
  local rows, of_one_file = rows_of(sy.compare{one, other}), rows_of(sy.compare{one, one:move("engine", {back = 50})})
  check.near(rows.front.changes[2], -2, 1e-9)
  for _, name in ipairs{"mass", "front", "cg_behind", "yaw_inertia"} do
    check.near(rows[name].sd[2], of_one_file[name].sd[2], 1e-12, name)
  end
  check.near(rows.front.sd[2], 50 / BASE * 0.5, 1e-12) -- only the mass of what was moved counts
  check.equal(sy.compare{one, new_car()}.sd.yaw_inertia[2], 0)
  check.equal(rows.front.clear[2], true)
  check.equal(sy.compare{one, other}.columns[2], "Compared (invented), everything in the file, no state chosen, engine 50 back")
end)

test("show_picks_the_rows_in_order_also_those_nobody_knows_yet", function()
  local car = new_car()
  local c = sy.compare{car, car:move("engine", {up = 30}), show = {"height", "shafts.static_angle", "axle.rear", "inertia.xz",
                                                               "mass_with_growth", "r"}}
  local names = {}
  for i, row in ipairs(c.rows) do names[i] = row.name end
  check.equal(names, {"height", "shafts.static_angle", "axle.rear", "inertia.xz", "mass_with_growth", "r"})
  local rows = rows_of(c)
  check.equal(rows["shafts.static_angle"].values, {"unknown", "unknown"})
  check.equal(rows["shafts.static_angle"].changes[2], "unknown")
  check.equal(rows["shafts.static_angle"].clear, {false, false})
  check.equal(rows.r.values, {"unknown", "unknown"}, "four wheels have no single one")
  check.near(rows["axle.rear"].values[1], car:balance().rear, 0)
  check.near(rows["inertia.xz"].changes[2], car:move("engine", {up = 30}):balance().inertia.xz - car:balance().inertia.xz, 1e-12)
  check.near(rows.mass_with_growth.values[2], car:balance().mass_with_growth, 1e-9)
  check.ok(rows.mass_with_growth.values[2] > car:balance().mass)
  check.contains(tostring(c), "unknown")
  check.equal(json.encode(json.decode(json.encode(c))), json.encode(c))
  check.raises(function() sy.compare{car, car, show = {"heigth"}} end, {code = "unknown", field = "show", hint = "height"})
  local many = {}
  for i = 1, 65 do many[i] = "mass" end
  check.raises(function() sy.compare{car, car, show = many} end, {code = "limit", field = "show"})
end)

test("four_wheels_against_three", function()
  local f = fields()
  f.axles[2] = {name = "rear", at = BASE, wheels = "one", loaded_radius = 290}
  local four, three = new_car(), sy.car(f)
  local rows = rows_of(sy.compare{four, three, show = {"lf", "lr", "rear"}})
  check.equal(type(rows.lr.values[1]), "number")
  check.equal(rows.lr.values[2], "unknown")
  check.equal(rows.lr.changes[2], "unknown")
  check.near(rows.rear.changes[2], 0, 1e-9)
  check.near(rows.lf.values[2], three:balance().lf, 0)
end)

test("loads_of_wheels_say_what_they_rest_on", function()
  local car = new_car()
  local function notes(show) return table.concat(sy.compare{car, car:move("engine", {back = 5}), show = show}.notes, "\n") end
  check.contains(notes{"lf", "rr"}, "as if set to a cross weight of 50 %")
  check.ok(not notes{"front"}:find("cross weight", 1, true))
end)

test("warnings_name_the_car_they_belong_to", function()
  local car = new_car()
  local c = sy.compare{car, car:move("engine", {back = 50}), car:move("tub", {forward = 6000})}
  local said = table.concat(c.notes, "\n")
  check.contains(said, "engine 50 back: engine and gearbox are bolted together and were moved apart")
  check.contains(said, "tub 6000 forward: lr and rr carry a negative load: the car would tip")
  local turned_round = table.concat(sy.compare{car:move("tub", {forward = 6000}), car}.notes, "\n")
  check.contains(turned_round, "as booked: lr and rr carry a negative load", "the baseline too")
end)

test("inertia_of_points_is_at_least", function()
  local car = new_car()
  local c = sy.compare{car, car:move("engine", {back = 50})}
  check.equal(c.at_least, {true, true})
  check.contains(tostring(c), "at least")
end)

test("what_does_not_change_is_the_same", function()
  local car = new_car()
  local page = tostring(sy.compare{car, car:move("engine", {back = 50})})
  check.ok(page:find "\nmass, kg [^\n]* same", page)
  check.ok(page:find "\nCG height, mm [^\n]* same", page)
end)

test("a_moved_axle_changes_loads_and_shares_their_uncertainty", function()
  local car = new_car()
  local rows = rows_of(sy.compare{car, car:move("rear axle", {back = 100})})
  local b = car:balance()
  check.near(rows.rear.changes[2], b.rear * (BASE / (BASE + 100) - 1), 1e-9, "rear = M x/L")
  check.near(rows.rear.sd[2], b.sd.rear * (1 - BASE / (BASE + 100)), 1e-9, "the same M x in both")
end)

-- Two masses stated anew are two errors, though a kilogram of either does nearly the same: by the effect of each, found by weighing the
-- driver a kilogram heavier. Everything else that the cars state they share.
test("a_mass_stated_anew_makes_the_change_on_springs_uncertain", function()
  local car = sy.load "vehicles/twayblade.lua"
  local function with(mass, sd) return car:set("driver", {mass = sy.sd(mass, sd)}) end
  local names = {"corners.lf", "corners.rf", "corners.lr", "corners.rr", "corners.cross_share", "corners.heights.front",
                 "corners.heights.rear"}
  local function values(c)
    local r = c:corners()
    return {r.lf, r.rf, r.lr, r.rr, r.cross_share, r.heights.front, r.heights.rear}
  end
  local before, after = values(with(84.5, 0)), values(with(85.5, 0))
  local exact = rows_of(sy.compare{with(85, 0), with(85.5, 0), show = names})
  local off = rows_of(sy.compare{with(85, 10), with(85.5, 10), show = names})
  for i, name in ipairs(names) do
    local by_driver = 10 * math.abs(after[i] - before[i]) * math.sqrt(2)
    local want = hypot(by_driver, exact[name].sd[2])
    check.near(off[name].sd[2], want, 1e-2 * want, name .. ": 85 and 85.5 kg, 0.6 % apart, do not do quite the same")
    check.ok(not off[name].clear[2], name)
    check.ok(exact[name].sd[2] < 0.02 * want, name .. ": half a kilogram more, known exactly, leaves next to nothing")
  end
  local moved = rows_of(sy.compare{with(85, 10), with(85, 10):move("driver", {back = 50}), show = names})
  check.ok(moved["corners.lf"].sd[2] < 0.1 * off["corners.lf"].sd[2], "moved, the driver weighs the same in both")
end)

-- Two drivers are two statements, each with an error of its own; what the car states besides is the same in both and goes out.
test("a_change_of_stability_between_two_drivers_has_both_errors", function()
  local f = fields()
  table.insert(f.parts, sy.part "seat" {mass = sy.sd(85, 10), at = {1100, 0, 700}})
  local light = sy.car(f)
  local heavy = light:set("seat", {mass = sy.sd(85.5, 10)})
  local mass, height = light:balance().mass, light:balance().height
  -- ssf = T / 2 h and dh / dm = (z - h) / M
  local ssf = light:stability().ssf
  local one = ssf / height * (700 - height) / mass * 10
  local row = rows_of(sy.compare{light, heavy, show = {"stability.ssf"}})["stability.ssf"]
  check.near(row.sd[2], math.sqrt(2) * math.abs(one), 0.01 * math.abs(one), "half a kilogram apart: nearly the same twice")
  check.equal(row.clear[2], false)
end)

check.done()
