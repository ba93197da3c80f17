-- Cars whose left side is unlike their right one, from the file through every answer.
-- tests/reference/oracle_sides.py works the numbers of the first test out in NumPy and says how; other cars are held against a mirror and
-- against themselves written another way.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local json = require "steelyard.print.json"
local test = check.test

local function copy(t)
  local new = {}
  for key, value in pairs(t) do new[key] = value end
  return new
end

local function with(t, more)
  local new = copy(t)
  for key, value in pairs(more) do new[key] = value end
  return new
end

-- ---- the worked car ---------------------------------------------------------------------------------------------------------

local front = {name = "front", at = 0, track = 1456, loaded_radius = 290, spring_rate = 42, motion_ratio = 0.86, tyre_rate = 190,
               left = {half_track = 725}, right = {at = 3, half_track = 731, spring_rate = 44}}
local rear = {name = "rear", at = 2400, track = 1454, loaded_radius = 300, spring_rate = 55, motion_ratio = 0.80, tyre_rate = 215,
              left = {half_track = 730}, right = {at = 2396, half_track = 724, tyre_rate = 210}}

local function worked(more, axles)
  return sy.car(with({title = "Unlike sides (invented)", axes = {x = "back", y = "right", z = "up"}, axles = axles or {front, rear},
    parts = {
      sy.part "body" {mass = 620, at = {1380, 12, 340}},
      sy.part "left front corner" {mass = 27.4, at = {0, -725, 285}, unsprung = "lf"},
      sy.part "right front corner" {mass = 27.4, at = {3, 731, 285}, unsprung = "rf"},
      sy.part "left rear corner" {mass = 31, at = {2400, -730, 300}, unsprung = "lr"},
      sy.part "right rear corner" {mass = 31, at = {2396, 724, 300}, unsprung = "rr"},
    }}, more or {}))
end

test("balance_and_corners_of_the_worked_car_are_numpys", function()
  local b = worked():balance()
  -- half of the last digit that is written
  for key, load in pairs{lf = 156.430299, rf = 161.736005, lr = 206.663995, rr = 211.969701} do check.near(b[key], load, 5e-7, key) end
  local c = worked():add(sy.part "load" {mass = 50, at = {1000, 300, 300}}):corners{}
  for key, load in pairs{lf = 165.972005, rf = 181.359380, lr = 211.830041, rr = 227.638574} do check.near(c[key], load, 5e-7, key) end
  check.near(c.wheel_rate.rf, 44 * 0.86 ^ 2, 1e-12)
  check.near(c.wheel_rate.front, (42 + 44) / 2 * 0.86 ^ 2, 1e-12, "of both wheels the mean")
  check.equal(c.wheel_rate.lr, nil, "springs at the rear are alike")
  check.contains(tostring(c), "front 31.1 left, 32.5 right N/mm")
end)

-- ---- a car with everything -----------------------------------------------------------------------------------------------------

-- way: "right" or "left", where y counts; the same numbers with y to the other side are the car in a mirror, once its sides are exchanged.
local function full(way, axles, more)
  local l, r = "l", "r"
  if way == "left" then l, r = r, l end
  local spec = {title = "Bittern", axes = {x = "back", y = way, z = "up"}, ground = -120, axles = axles, chassis = {torsion = 4100},
    parts = {
      sy.part "body" {mass = 560, at = {2380, 14, 250}, shape = sy.box{2600, 1400, 500}},
      sy.part "driver" {mass = 80, at = {2300, 310, 240}},
      sy.part "left front corner" {mass = 27, at = {1002, -722, 168}, unsprung = l .. "f"},
      sy.part "right front corner" {mass = 28, at = {1000, 735, 170}, unsprung = r .. "f"},
      sy.part "rear axle beam" {mass = 60, at = {3400, 3, 180}, unsprung = "rear"},
      sy.tank "fuel" {shape = sy.box{300, 700, 200}, at = {2700, -40, 200}, density = 0.745, fill = 25},
    },
    shafts = {
      {name = "a", inner = {part = "body", at = {3380, -200, 190}}, outer = {wheel = l .. "r", at = {3400, -640, 180}}, joint = "cv"},
      {name = "b", inner = {part = "body", at = {3380, 210, 190}}, outer = {wheel = r .. "r", at = {3400, 640, 180}}, joint = "cv"}},
    clearances = {{name = "floor", a = {part = "body", at = {2200, 100, 0}}, b = "ground", asked = 40},
                  {name = "arch", a = {wheel = l .. "f", at = {1002, -722, 460}}, b = {part = "body", at = {1002, -722, 560}}, asked = 20}},
    points = {jack = {1500, -600, 10}, eye = {900, 400, 100}},
  }
  return sy.car(with(spec, more or {}))
end

local F = {name = "front", at = 1000, track = 1450, loaded_radius = 288, spring_rate = 40, motion_ratio = 0.9, tyre_rate = 180,
           bar_rate = 8, roll_centre = 35, perch_pitch = 1.5, bump = 60, droop = 70}
local R = {name = "rear", at = 3400, track = 1440, loaded_radius = 300, spring_rate = 52, motion_ratio = 0.8, tyre_rate = 210,
           roll_centre = 60, perch_pitch = 2, bump = 70, droop = 80}
local FL = {at = 1004, half_track = 722, loaded_radius = 286, spring_rate = 43, motion_ratio = 0.92, tyre_rate = 176,
            perch_pitch = 1.25, bump = 55, droop = 64}
local FR = {half_track = 735, tyre_rate = 185}
local RL, RR = {half_track = 716}, {at = 3395, half_track = 729, spring_rate = 56, perch_pitch = 1.75, bump = 62}

local front_sided, rear_sided = with(F, {track = 1457, left = FL, right = FR}), with(R, {track = 1445, left = RL, right = RR})

local function sided(way)
  if way == "right" then return full(way, {front_sided, rear_sided}) end
  return full(way, {with(front_sided, {left = FR, right = FL}), with(rear_sided, {left = RR, right = RL})})
end

local swapped = {lf = "rf", rf = "lf", lr = "rr", rr = "lr", left = "right", right = "left"}

-- Rounding: sums run over the wheels in another order. Lengths of up to some m, loads of up to some hundred kg, both good to 1e-13 of
-- their size, lose a few digits in the solutions.
local CLOSE = 1e-9

-- got[key] against the mirror's, tables by wheel or side exchanged
local function same_in_mirror(got, mirror, what)
  if type(got) == "number" then return check.near(got, mirror, CLOSE, what) end
  for key, value in pairs(got) do
    if type(value) == "number" or type(value) == "table" then
      same_in_mirror(value, mirror[swapped[key] or key], what .. "." .. tostring(key))
    end
  end
end

local function pick(t, names)
  local list = {}
  for _, name in ipairs(names) do list[name] = t[name] end
  return list
end

local function negative(value)
  if type(value) == "number" then return -value end
  local list = {}
  for key, x in pairs(value) do list[key] = -x end
  return list
end

-- Left side up, about the length of the car: the other way round in a mirror.
local turned = {roll = true, twist = true, bars = true}

test("every_answer_is_the_mirrors", function()
  local car, mirror = sided "right", sided "left"
  local function compare(what, ask, names, mirrored)
    local a, b = ask(car), (mirrored or ask)(mirror)
    for _, name in ipairs(names) do
      if turned[name] then same_in_mirror(a[name], negative(b[name]), what .. "." .. name)
      elseif name == "cross_share" then check.near(a[name], 100 - b[name], CLOSE, what)
      else same_in_mirror(check.ok(a[name], what .. "." .. name), b[swapped[name] or name], what .. "." .. name) end
    end
    if a.sd then same_in_mirror(pick(a.sd, {"mass", "front_share", "height", "lf", "rr"}), b.sd, what .. ".sd") end
  end
  local loads = {"lf", "rf", "lr", "rr", "front_share"}
  compare("balance", function(c) return c:balance() end, {"lf", "rf", "lr", "rr", "mass", "cg", "front", "left", "cross_share", "wheelbase",
    "yaw_inertia", "yaw_index", "unsprung", "sprung"})
  compare("corners", function(c) return c:corners{pads = {lf = 4}, bars = "connected", perches = {rr = 1}} end, {"lf", "rf", "lr", "rr",
    "heights", "travel", "pitch", "roll", "twist", "bars", "wheel_rate", "ride_hz", "cross_share"},
    function(c) return c:corners{pads = {rf = 4}, bars = "connected", perches = {lr = 1}} end)
  local one, other = car:corners(), mirror:corners()
  for key in pairs{lf = 1, rf = 1, lr = 1, rr = 1} do
    for _, steps in ipairs{"per_turn", "per_pad_mm"} do
      local a, b = one[steps][key], other[steps][swapped[key]]
      same_in_mirror(pick(a, loads), b, steps)
      check.near(a.height, b.height, CLOSE)
      check.near(a.cross_share, -b.cross_share, CLOSE)
    end
  end
  compare("attitude", function(c) return c:without "driver":attitude{downforce = {front = 20, rear = 40}} end, {"heights", "travel",
    "pitch", "roll", "twist", "rake", "ground", "frequency", "node", "deflection", "hop", "wheel_rate"})
  compare("transfer", function(c) return c:transfer{left_turn = 0.6, braking = 0.3} end, {"lf", "rf", "lr", "rr", "paths", "roll", "pitch",
    "front_transfer_share", "first_lift"}, function(c) return c:transfer{right_turn = 0.6, braking = 0.3} end)
  compare("stability", function(c) return c:stability{} end, {"ssf", "tip", "lift", "compliant", "side_g", "grade", "brake", "traction"})
  compare("stands", function(c) return c:stands{at = {"lf", {1600, 550, 0}, "rr", {3200, -500, 0}}} end, {"loads", "margin", "kg_to_tip"},
    function(c) return c:stands{at = {"rf", {1600, 550, 0}, "lr", {3200, -500, 0}}} end)
  compare("lowered", function(c) return c:lower{front = 10, rear = 20}:corners{} end, {"lf", "rr", "heights", "travel", "pitch", "roll"})
  local a, b = car:perches{cross_share = 48, notch = 0}, mirror:perches{cross_share = 52, notch = 0}
  local there = with(b.loads, {cross_share = 100 - b.loads.cross_share, left_share = 100 - b.loads.left_share,
    diagonal_ratio = 1 / b.loads.diagonal_ratio})
  same_in_mirror(pick(a, {"turns", "spring_mm", "loads", "heights"}),
    {turns = b.turns, spring_mm = b.spring_mm, heights = b.heights, loads = there}, "perches")
  for i = 1, 2 do
    local known = pick(car:shafts()[i], {"static_angle", "worst_angle", "plunge_used", "travels", "at"})
    same_in_mirror(known, mirror:shafts()[i], "shaft")
  end
  for _, pose in ipairs{"design", "as loaded", "bump", "droop"} do
    for i = 1, 2 do
      local x, y = car:clearances{at = pose}[i], mirror:clearances{at = pose}[i]
      check.near(x.gap, y.gap, 2e-4, pose) -- a gap is found to a ten thousandth of a millimetre
    end
  end
end)

test("both_sides_stated_alike_are_the_axles_numbers", function()
  local own = {"loaded_radius", "spring_rate", "motion_ratio", "tyre_rate", "perch_pitch", "bump", "droop", "at"}
  local function side(axle) return with(pick(axle, own), {half_track = axle.track / 2}) end
  local function stated(axle) return with(axle, {left = side(axle), right = side(axle)}) end
  -- everything by sides, and nothing by the axle that need not be
  local function bare(axle)
    local a = stated(axle)
    for _, field in ipairs(own) do if field ~= "at" then a[field] = nil end end
    a.track = nil
    return a
  end
  local plain = full("right", {F, R})
  for _, car in ipairs{full("right", {stated(F), stated(R)}), full("right", {bare(F), bare(R)})} do
    for what, ask in pairs{
      balance = function(c) return c:balance() end, corners = function(c) return c:corners{pads = {lf = 5}, bars = "connected"} end,
      perches = function(c) return c:perches{cross_share = 52} end, attitude = function(c) return c:attitude{} end,
      transfer = function(c) return c:transfer{left_turn = 0.7} end, stability = function(c) return c:stability{} end,
      shafts = function(c) return c:shafts() end, clearances = function(c) return c:clearances{at = {"bump", "as loaded"}} end,
      markout = function(c) return c:markout{} end, stands = function(c) return c:stands{at = {"lf", "rf", "lr", "rr"}} end,
      lowered = function(c) return c:lower{front = 12, rear = 5}:corners{} end,
      sheets = function(c) return require("steelyard.shop.sheets_text").of(c, {sheet = "lift"}) end,
    } do
      local a, b = ask(plain), ask(car)
      check.equal(tostring(b), tostring(a), what)
      check.equal(json.encode(b), json.encode(a), what)
    end
  end
end)

-- ---- what scripts set -----------------------------------------------------------------------------------------------------------

local function loads_of(car)
  local b, c = car:balance(), car:corners{pads = {lf = 3}}
  return {b.lf, b.rf, b.lr, b.rr, c.lf, c.rf, c.lr, c.rr, c.heights.lf, c.travel.rr}
end

local function same_loads(car, axles, what)
  local got, want = loads_of(car), loads_of(full("right", axles):corners() and full("right", axles))
  for i in ipairs(want) do check.near(got[i], want[i], CLOSE, what) end
end

test("set_of_a_side_changes_that_wheel", function()
  local plain = full("right", {F, R})
  check.near(plain:set("rear axle", {left = {half_track = 726}}):balance().lr,
    full("right", {F, with(R, {track = 1446, left = {half_track = 726}})}):balance().lr, CLOSE, "the right wheel stays")
  same_loads(plain:set("front axle", {right = {tyre_rate = 170}}), {with(F, {right = {tyre_rate = 170}}), R}, "a tyre")
  local twice = plain:set("front axle", {left = {spring_rate = 44}}):set("front axle", {left = {tyre_rate = 190}})
  same_loads(twice, {with(F, {left = {spring_rate = 44, tyre_rate = 190}}), R}, "one after the other")
  local car = sided "right"
  local both = car:set("front axle", {spring_rate = 50})
  same_loads(both, {with(front_sided, {spring_rate = 50, left = with(FL, {spring_rate = 50})}), rear_sided},
    "a number of the axle is of both")
  local wider = car:set("rear axle", {track = 1465})
  local moved = full("right", {front_sided, with(R, {
    track = 1465, left = with(RL, {half_track = 726}), right = with(RR, {half_track = 739})})})
  for _, key in ipairs{"lf", "rf", "lr", "rr"} do check.near(wider:balance()[key], moved:balance()[key], CLOSE, key) end
end)

test("a_trial_is_the_moved_car", function()
  local car = sided "right"
  local mass, cg, yaw, front_load, rear_load, lf, rf, lr, rr = car:trial("body", "back")(35)
  local b = car:move("body", {back = 35}):balance()
  for what, pair in pairs{mass = {mass, b.mass}, cg = {cg.x or cg, b.cg.x}, yaw = {yaw, b.yaw_inertia}, front = {front_load, b.front},
                          rear = {rear_load, b.rear}, lf = {lf, b.lf}, rf = {rf, b.rf}, lr = {lr, b.lr}, rr = {rr, b.rr}} do
    check.near(pair[1], pair[2], CLOSE, what)
  end
end)

test("moving_the_axle_takes_both_wheels", function()
  local car = sided "right":move("rear axle", {back = 40})
  local there = full("right", {front_sided, with(R, {at = 3440, track = 1445, left = RL, right = with(RR, {at = 3435})})}, {parts = {
      sy.part "body" {mass = 560, at = {2380, 14, 250}, shape = sy.box{2600, 1400, 500}},
      sy.part "driver" {mass = 80, at = {2300, 310, 240}},
      sy.part "left front corner" {mass = 27, at = {1002, -722, 168}, unsprung = "lf"},
      sy.part "right front corner" {mass = 28, at = {1000, 735, 170}, unsprung = "rf"},
      sy.part "rear axle beam" {mass = 60, at = {3440, 3, 180}, unsprung = "rear"},
      sy.tank "fuel" {shape = sy.box{300, 700, 200}, at = {2700, -40, 200}, density = 0.745, fill = 25}}})
  for _, key in ipairs{"lf", "rf", "lr", "rr"} do check.near(car:balance()[key], there:balance()[key], CLOSE, key) end
  check.equal(car:balance().wheelbase, 2440)
end)

-- The same lists of numbers set in any order and from scratch.
test("random_edits_are_the_car_from_scratch", function()
  local seed = 20
  local function random(n) seed = (seed * 1103515245 + 12345) % 2147483648; return seed // 65536 % n end
  local fields = {"spring_rate", "tyre_rate", "motion_ratio", "perch_pitch", "bump", "droop", "loaded_radius"}
  for _ = 1, 30 do
    local car, axles = sided "right", {copy(front_sided), copy(rear_sided)}
    for _, axle in ipairs(axles) do axle.left, axle.right = copy(axle.left), copy(axle.right) end
    for _ = 1, 6 do
      local i, field, side = 1 + random(2), fields[1 + random(#fields)], ({"left", "right", false})[1 + random(3)]
      local axle, value = axles[i], F[field] * (1 + random(20) / 100)
      if random(4) == 0 then -- a wheel of its own place
        side, field, value = side or "left", "half_track", 700 + random(50)
        axle.track = nil
      end
      car = car:set(i == 1 and "front axle" or "rear axle", side and {[side] = {[field] = value}} or {[field] = value})
      if side then axle[side][field] = value
      else axle[field], axle.left[field], axle.right[field] = value, nil, nil end
    end
    local fresh = full("right", axles)
    local a, b = car:corners{reset = true}, fresh:corners{}
    for _, key in ipairs{"lf", "rf", "lr", "rr"} do
      check.near(a[key], b[key], CLOSE, key)
      check.near(a.travel[key], b.travel[key], CLOSE, key)
      check.near(a.per_turn[key].height, b.per_turn[key].height, CLOSE, key)
    end
    check.near(car:clearances{at = "bump"}[2].gap, fresh:clearances{at = "bump"}[2].gap, 2e-4)
  end
end)

test("measured_along_other_axes_it_is_the_same_car", function()
  local function written(axes, place, at)
    local function side(t) return t.at and with(t, {at = at(t.at)}) or t end
    local function axle(t) return with(t, {at = at(t.at), left = side(t.left), right = side(t.right)}) end
    return sy.car{title = "Bittern", axes = axes, ground = -120, centre = axes.y == "left" and 40 or -40,
      axles = {axle(front_sided), axle(rear_sided)},
      parts = {sy.part "body" {mass = 560, at = place(2380, 14, 250)}, sy.part "driver" {mass = 80, at = place(2300, 310, 240)},
               sy.part "left front corner" {mass = 27, at = place(1002, -722, 168), unsprung = "lf"},
               sy.part "rear axle beam" {mass = 60, at = place(3400, 3, 180), unsprung = "rear"}}}
  end
  local a = written({x = "back", y = "right", z = "up"}, function(x, y, z) return {x, y - 40, z} end, function(x) return x end)
  local b = written({x = "forward", y = "left", z = "up"}, function(x, y, z) return {650 - x, 40 - y, z} end,
    function(x) return 650 - x end)
  local c, d = a:lower{rear = 12}:corners{pads = {rf = 3}}, b:lower{rear = 12}:corners{pads = {rf = 3}}
  for _, key in ipairs{"lf", "rf", "lr", "rr"} do
    check.near(c[key], d[key], CLOSE, key)
    check.near(c.heights[key], d.heights[key], CLOSE, key)
  end
  check.near(a:balance().cg.x, 650 - b:balance().cg.x, CLOSE)
end)

local function front_of(at) return with(front, {at = at, right = {at = at + 3, half_track = 731}}) end

test("three_and_six_wheels_stand_where_they_are", function()
  local function balances(axles, more)
    local parts = {sy.part "body" {mass = 900, at = {1500, 30, 300}}, sy.part "load" {mass = 100, at = {900, -200, 350}}}
    local car = sy.car{title = "Wheels (invented)", axes = {x = "back", y = "right", z = "up"}, axles = axles, parts = parts}
    local b, along, across, sum = car:balance(), 0, 0, 0
    for key, place in pairs(more) do
      sum, along, across = sum + b[key], along + b[key] * place[1], across + b[key] * place[2]
    end
    check.near(sum, 1000, CLOSE)
    check.near(along, 1000 * b.cg.x, 1e-6)
    check.near(across, 1000 * b.cg.y, 1e-6)
  end
  local single = {name = "rear", at = 2400, wheels = "one", loaded_radius = 300}
  balances({front_of(0), single}, {lf = {0, -725}, rf = {3, 731}, r = {2400, 0}})
  balances({front_of(0), with(front_of(1500), {name = "middle"}), with(front_of(2400), {name = "rear"})},
    {l1 = {0, -725}, r1 = {3, 731}, l2 = {1500, -725}, r2 = {1503, 731}, l3 = {2400, -725}, r3 = {2403, 731}})
end)

-- ---- uncertainties ----------------------------------------------------------------------------------------------------------------

test("a_side_errs_by_itself_the_axle_once_for_both", function()
  local load = sy.part "load" {mass = 60, at = {300, 500, 300}}
  local function spread(front_axle) return worked({}, {front_axle, rear}):add(load):corners{}.sd.lf end
  local bare = with(front, {spring_rate = 42, left = {half_track = 725}, right = {at = 3, half_track = 731}})
  local function of(side, sd)
    return spread(with(bare, {[side] = with(bare[side], {spring_rate = sy.sd(42, sd)})}))
  end
  local left, right = of("left", 2), of("right", 2)
  local both = {left = with(bare.left, {spring_rate = sy.sd(42, 2)}), right = with(bare.right, {spring_rate = sy.sd(42, 2)})}
  local each = spread(with(bare, both))
  local common = spread(with(bare, {spring_rate = sy.sd(42, 2)}))
  check.near(each, math.sqrt(left ^ 2 + right ^ 2), 1e-9 * each, "two errors")
  -- one error of both: the two effects add, with their signs, before they are squared
  local less = math.min(math.abs(common - (left + right)), math.abs(common - math.abs(left - right)))
  check.near(less, 0, 1e-6 * each, "one error")
  check.ok(math.abs(common - each) > 0.05 * each, "which is something else")
end)

test("the_other_wheel_keeps_its_error_when_one_is_set", function()
  local load = sy.part "load" {mass = 60, at = {300, 500, 300}}
  local known = with(front, {spring_rate = sy.sd(42, 2), left = {half_track = 725}, right = {at = 3, half_track = 731}})
  local car = worked({}, {known, rear}):add(load)
  local stiffer = car:set("front axle", {left = {spring_rate = sy.sd(60, 0.001)}})
  -- one error in both cars, of two wheels and then of the right one: in the change it counts with the difference of what it does
  local was, is = car:corners{}.sd.lf, stiffer:corners{}.sd.lf
  local row = sy.compare{car, stiffer, show = {"corners.lf"}}.rows[1]
  check.near(row.sd[2], math.abs(is - was), 1e-3 * is, "the left spring's own 0.001 N/mm is no thousandth of it")
  check.ok(row.sd[2] < 0.6 * math.sqrt(is ^ 2 + was ^ 2), "two errors would be more")
end)

-- ---- in words ----------------------------------------------------------------------------------------------------------------------

test("what_changed_names_the_wheel", function()
  local car = sided "right"
  local other = full("right", {front_sided, with(rear_sided, {track = 1449, left = with(RL, {half_track = 720}),
    right = with(RR, {at = 3398})})})
  local said = tostring(sy.changes(car, other)):gsub("%s+", " ")
  check.contains(said, "rear left half track 716 to 720, rear")
  check.contains(said, "right wheel 3.0 mm back on its axle")
  check.ok(not said:find("rear track", 1, true))
  local once = tostring(sy.changes(full("right", {F, R}), full("right", {F, with(R, {track = 1450})})))
  check.contains(once, "rear track 1440 to 1450")
end)

test("sheets_leave_room_for_both_sides", function()
  local sheets = tostring(require("steelyard.shop.sheets_text").of(sided "right"))
  for _, line in ipairs{"front left wheel from the centre plane _________ mm (drawn 722)",
                        "rear right wheel from the centre plane _________ mm (drawn 729)",
                        "wheelbase left _________ mm (drawn 2396)", "wheelbase right _________ mm (drawn 2395)",
                        "front loaded radius left _________ mm (drawn 286)", "front loaded radius right _________ mm (drawn 288)"} do
    check.contains(sheets, line)
  end
end)

test("marks_ends_and_stands_are_where_the_wheels_are", function()
  local car, at = sided "right", {}
  for _, row in ipairs(car:markout{}) do at[row.name] = row end
  check.near(at["lf wheel"].x, 1004, 1e-9)
  check.near(at["lf wheel"].y, -722, 1e-9)
  check.near(at["lf wheel"].height, 286, 1e-9)
  check.near(at["rr wheel"].x, 3395, 1e-9)
  check.near(at["rr wheel"].y, 729, 1e-9)
  -- four stands under the wheels carry what the balance of a car whose loads are all determinate says: their sum and moments
  local s, b = car:stands{at = {"lf", "rf", "lr", "rr"}}, car:balance()
  local loads = {}
  for i, key in ipairs{"lf", "rf", "lr", "rr"} do loads[i] = check.ok(s.loads[key], key) end
  check.near(loads[1] + loads[2] + loads[3] + loads[4], b.mass, CLOSE)
  check.near(loads[1] * -722 + loads[2] * 735 + loads[3] * -716 + loads[4] * 729, b.mass * b.cg.y, 1e-6)
  check.near(loads[1] * 1004 + loads[2] * 1000 + loads[3] * 3400 + loads[4] * 3395, b.mass * b.cg.x, 1e-6)
end)

test("travel_ends_at_each_wheels_own_stop", function()
  local car = sided "right"
  local rows = car:shafts()
  check.equal(rows[1].travels.bump, 70, "left rear: the axle's")
  check.equal(rows[2].travels.bump, 62, "right rear: its own")
  local lowered = car:lower{front = 0, rear = 10}:shafts()
  check.near(lowered[1].travels.bump, 60, 1e-9)
  check.near(lowered[2].travels.bump, 52 + 10 * 5 / 2400, 1e-9, "5 mm ahead of the axle the body is set that much less low")
  check.near(car:clearances{at = "design"}[2].gap - car:clearances{at = "bump"}[2].gap, 55, 1e-3, "left front")
  check.contains(table.concat(car:clearances{at = "bump"}.notes, "\n"), "on an axle of unlike travel by the larger")
end)

-- ---- measured ---------------------------------------------------------------------------------------------------------------------

-- A rigid car on four level pads, its rear lifted by so many degrees: contacts below the wheel centres. Sum and moments along and across
-- are the weight's, half of it on each diagonal. x back, y right, z up from the ground as it stands level, mm.
local wheels = {{"lf", 0, -725, 286}, {"rf", 5, 731, 290}, {"lr", 2400, -730, 301}, {"rr", 2395, 724, 298}}
local CG = {1380, 12, 420}

local function lifted(degrees)
  local cos, sin = math.cos(math.rad(degrees)), math.sin(math.rad(degrees))
  local function along(x, z) return x * cos - z * sin end -- what is high goes forward as the nose goes down
  local a, b = {}, {700, 700 * along(CG[1], CG[3]), 700 * CG[2], 350}
  for row = 1, 4 do
    a[row] = {}
    for i, w in ipairs(wheels) do a[row][i] = ({1, along(w[2], w[4]), w[3], (i == 2 or i == 3) and 1 or 0})[row] end
  end
  for c = 1, 4 do -- Gauss
    local best = c
    for r = c + 1, 4 do if math.abs(a[r][c]) > math.abs(a[best][c]) then best = r end end
    a[c], a[best], b[c], b[best] = a[best], a[c], b[best], b[c]
    for r = 1, 4 do
      local factor = r ~= c and a[r][c] / a[c][c] or 0
      for k = c, 4 do a[r][k] = a[r][k] - factor * a[c][k] end
      b[r] = b[r] - factor * b[c]
    end
  end
  local reading = {angle = degrees}
  for i, w in ipairs(wheels) do reading[w[1]] = b[i] / a[i][i] end
  return reading
end

local function scaled(height, mass)
  local function axle(name, at, l, r)
    return {name = name, at = at, left = {half_track = -l[3], loaded_radius = l[4], at = l[2]},
            right = {half_track = r[3], loaded_radius = r[4], at = r[2]}}
  end
  return sy.car{title = "On pads (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {axle("front", 0, wheels[1], wheels[2]), axle("rear", 2400, wheels[3], wheels[4])},
    parts = {sy.part "all" {mass = mass or 700, at = {CG[1], CG[2], height or CG[3]}, basis = "weighed"}}}
end

test("a_lift_finds_the_cg_of_unlike_wheels", function()
  local readings = {lifted(0), lifted(5), lifted(10), lifted(14)}
  local r = scaled(300):cg_height{by = "angle", sd = {pad = 0.1, angle = 0.02, radius = 1, wheelbase = 1}, readings = readings}
  -- one plane for all of it: radii and wheelbase count by loads as booked, which are those read level
  check.near(r.height, CG[3], 0.02, "height")
  check.near(r.cg.x, CG[1], 0.02, "behind")
  check.near(r.cg.y, CG[2], 1e-6, "across")
  check.near(r.mass, 700, 1e-6)
  -- the same without a car, its wheels stated
  local t = {by = "angle", sd = {pad = 0.1, angle = 0.02}, readings = readings, wheelbase = {left = 2400, right = 2390},
             radii = {front = 288, rear = 299.5}, tracks = {front = {left = 725, right = 731}, rear = {left = 730, right = 724}}}
  check.near(sy.cg_height(t).cg.y, CG[2], 1e-6)
  -- and from a table
  local lines = {"by,angle", "sd.pad,0.1", "sd.angle,0.02", "wheelbase.left,2400", "wheelbase.right,2390", "radii.front,288",
                 "radii.rear,299.5", "tracks.front.left,725", "tracks.front.right,731", "tracks.rear.left,730", "tracks.rear.right,724",
                 "angle,lf,rf,lr,rr"}
  for _, row in ipairs(readings) do
    lines[#lines + 1] = ("%.17g;%.17g;%.17g;%.17g;%.17g"):format(row.angle, row.lf, row.rf, row.lr, row.rr):gsub(",", "."):gsub(";", ",")
  end
  local path = os.tmpname()
  local function of_lines()
    local file <close> = assert(io.open(path, "wb"))
    file:write(table.concat(lines, "\n"), "\n")
    file:close()
    return require("steelyard.measure.cg_height.file").of(path)
  end
  check.near(of_lines().cg.y, sy.cg_height(t).cg.y, 1e-9)
  check.near(of_lines().height, sy.cg_height(t).height, 1e-9)
  lines[9] = "tracks.front,1456"
  check.raises(of_lines, {line = 9, field = "tracks.front", message = "as a whole and by its parts"})
  table.remove(lines, 9)
  check.raises(of_lines, {field = "tracks.front.right", message = "is missing"})
  os.remove(path)
  t.tracks.front = 1456 -- the middle of its track is not the centre plane
  check.ok(math.abs(sy.cg_height(t).cg.y - CG[2]) > 1)
  t.tracks.front = {left = 725}
  check.raises(function() sy.cg_height(t) end, {code = "missing", field = "tracks.front.right"})
  -- a plan is made between where the axles press as a whole
  local b = scaled():balance()
  local fore = 5 * b.rf / (b.lf + b.rf)
  local aft = 2400 - 5 * b.rr / (b.lr + b.rr)
  local function plan(wheelbase) return scaled():plan_lift{within = 10, pads = {sd = 0.1}, wheelbase = wheelbase} end
  check.near(plan().half_width, plan(aft - fore).half_width, 1e-9)
  check.ok(plan().half_width ~= plan(2400).half_width)
end)

test("a_side_tilt_counts_from_the_centre_plane", function()
  -- car and pads on one plane, left side up: N = W (b cos - h sin) / t of the left wheels, b from the right ones (balance of moments)
  local left, right, readings = (725 + 730) / 2, (741 + 734) / 2, {}
  for i, degrees in ipairs{0, 4, 8} do
    local cos, sin = math.cos(math.rad(degrees)), math.sin(math.rad(degrees))
    local function load(lever, sign) return 700 * (lever * cos + sign * CG[3] * sin) / (left + right) end
    readings[i] = {angle = degrees, left = load(right - CG[2], -1), right = load(left + CG[2], 1)}
  end
  local r = sy.cg_height{lifted = "left", by = "angle", on = "plane", sd = {pad = 0.1, angle = 0.01}, readings = readings,
    tracks = {front = {left = 725, right = 741}, rear = {left = 730, right = 734}}}
  check.near(r.height, CG[3], 1e-6)
  check.near(r.cg.y, CG[2], 1e-6)
  check.near((r.intervals.cg_left.low + r.intervals.cg_left.high) / 2, -CG[2], 1e-6)
end)

test("reconcile_takes_each_wheel_where_it_stands", function()
  local readings, loads = {}, lifted(0)
  for _, w in ipairs(wheels) do readings[w[1]] = sy.sd(loads[w[1]], 0.1) end
  local booked = scaled(420, sy.sd(690, 10))
  local sums = booked:reconcile{corners = readings}.sums -- mass, behind, left
  check.near(sums[1].scales, 700, 1e-9)
  check.near(sums[2].scales, CG[1], 1e-6)
  check.near(sums[3].scales, -CG[2], 1e-6)
  local axles = booked:reconcile{axles = {front = sy.sd(loads.lf + loads.rf, 0.1), rear = sy.sd(loads.lr + loads.rr, 0.1)}}
  check.near(axles.sums[2].scales, CG[1], 0.01, "where the loads as booked press")
end)

-- The ledger as measured takes the scales' places from another function of the library than the sums that reconcile prints.
test("the_corrected_car_knows_as_much_as_reconcile_says", function()
  local readings, loads = {}, lifted(0)
  for _, w in ipairs(wheels) do readings[w[1]] = sy.sd(loads[w[1]], 0.1) end
  local taped = {with(front, {at = sy.sd(0, 1)}), with(rear, {at = sy.sd(2400, 2)})}
  for _, axle in ipairs(taped) do
    axle.left = with(axle.left, {half_track = sy.sd(axle.left.half_track, 9)})
    axle.right = with(axle.right, {at = sy.sd(axle.right.at, 14)})
  end
  local booked = worked({parts = {sy.part "car" {mass = sy.sd(690, 10), at = {sy.sd(1400, 40), sy.sd(10, 20), 400}}}}, taped)
  for _, given in ipairs{{corners = readings},
                         {axles = {front = sy.sd(loads.lf + loads.rf, 0.1), rear = sy.sd(loads.lr + loads.rr, 0.1)}}} do
    local r = booked:reconcile(with(given, {correct = true}))
    local b = r.car:balance()
    check.near(b.mass, r.mass, 1e-9)
    for _, letter in ipairs{"x", "y"} do
      check.near(b.cg[letter], r.cg[letter], 1e-6) -- mm: places keep a picometre
      check.near(b.sd.cg[letter], r.sd.cg[letter], 1e-6)
    end
  end
end)

test("loads_of_scales_are_taken_away_where_the_wheels_stand", function()
  local t = {wheelbase = 2400, tracks = {front = {left = 725, right = 731}, rear = {left = 730, right = 724}},
             whole = {lf = 160, rf = 170, lr = 190, rr = 180}, without = {lf = 120, rf = 130, lr = 150, rr = 140}}
  check.near(sy.subtract(t).cg.y, 40 * (731 - 725 + 724 - 730) / 160, 1e-9)
  t.tracks.front.right = 751
  check.near(sy.subtract(t).cg.y, 40 * 20 / 160, 1e-9)
end)

-- ---- what is refused ------------------------------------------------------------------------------------------------------------------

local function refused(axle, want, second)
  check.raises(function() worked({}, {axle, second or rear}) end, want)
end

test("refusals", function()
  local one = {name = "front", at = 0, wheels = "one", loaded_radius = 290}
  local lump = {parts = {sy.part "body" {mass = 600, at = {1300, 0, 300}}}}
  check.raises(function() worked(lump, {with(one, {left = {tyre_rate = 180}}), rear}) end,
    {code = "geometry", part = "front", field = "left", message = "is a side of two wheels, this axle has one"})
  refused(with(front, {track = 1460}), {code = "clash", field = "track",
    message = "is 1460 mm, but the half tracks make 725 + 731 = 1456 mm"})
  refused(with(front, {right = {half_track = 1500}, left = {}}), {code = "geometry", field = "right.half_track",
    message = "is 1500 mm of a track of 1456 mm: nothing is left for the left wheel"})
  local without = copy(front)
  without.track, without.left = nil, {}
  refused(without, {code = "missing", field = "track", message = "is missing: only right states its half_track"})
  refused(with(front, {left = {half_track = 725, at = 5}}), {code = "geometry", field = "at",
    message = "is 0 mm, not between its wheels: left at 5 mm, right at 3 mm"})
  refused(with(front, {right = {at = 2500, half_track = 731}}), {code = "geometry", part = "rear", field = "at",
    message = 'its right wheel, at 2396 mm, does not stand behind that of "front" at 2500 mm'})
  refused(with(front, {left = {half_track = -725}}), {code = "range", field = "left.half_track"})
  refused(with(front, {left = {roll_centre = 20}}), {code = "unknown", field = "left.roll_centre",
    message = "there is no such field in a side of an axle"})
  -- said of the field that is there and not of the one that it stands for, which comes first in the text
  check.raises(function()
    sy.load("car.lua", [[vehicle { title = "t", axes = { x = "back", y = "right", z = "up" },
      axles = {
        { name = "front", at = 0,
          half_track = 725, loaded_radius = 290 },
        { name = "rear", at = 2400, track = 1450, loaded_radius = 300 } },
      parts = { part "body" { mass = 600, at = {1300, 0, 300} } } }]])
  end, {code = "unknown", line = 4, part = "front", field = "half_track", hint = "it is one of left and right: left = {"})
  check.raises(function()
    sy.load("car.lua", [[vehicle { title = "t", axes = { x = "back", y = "right", z = "up" },
      axles = {
        { name = "front", at = 0,
          left = { halftrack = 725, loadedradius = 290 }, right = { half_track = 722, loaded_radius = 290 } },
        { name = "rear", at = 2400, track = 1450, loaded_radius = 300 } },
      parts = { part "body" { mass = 600, at = {1300, 0, 300} } } }]])
  end, {code = "unknown", line = 4, part = "front", field = "left.halftrack", hint = '"half_track"'})
  refused(with(front, {left = {springrate = 20}}), {hint = '"spring_rate"'})
  refused(with(front, {left = 725}), {code = "type", field = "left"})
  local no_radius = copy(front)
  no_radius.loaded_radius, no_radius.left = nil, {loaded_radius = 290, half_track = 725}
  refused(no_radius, {code = "missing", field = "loaded_radius", message = "is missing: only left states its own"})
end)

test("refusals_of_what_is_set", function()
  local car = worked()
  local function set(changes, want) check.raises(function() car:set("front axle", changes) end, want) end
  set({left = {half_track = 700}, track = 1456, right = {half_track = 731}}, {code = "clash", field = "track"})
  set({left = {at = 10}}, {code = "geometry", part = "front", field = "at"})
  set({left = {at = 0}, right = {at = 2400}}, {code = "geometry", part = "rear", field = "at", message = "does not stand behind"})
  check.raises(function() car:move("rear axle", {forward = 200}):set("front axle", {right = {at = 2300}}) end,
    {code = "geometry", part = "rear", message = "its right wheel, at 2196 mm"})
  set({left = {loaded_radius = 0}}, {code = "range", field = "left.loaded_radius"})
  set({at = 10}, {code = "unavailable", field = "at"})
end)

test("a_rate_that_one_wheel_lacks_is_named", function()
  local lacks = copy(front)
  lacks.spring_rate = nil
  check.raises(function() worked({}, {lacks, rear}):corners{} end, {code = "missing", part = "front", field = "spring_rate",
    message = "is not given for the left wheel"})
end)

check.done()
