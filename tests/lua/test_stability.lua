-- car:stability. Closed forms and published values are in tests/test_stability.c and test_transfer.c, random cars against NumPy in
-- tests/reference/oracle_transfer.py.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function car(more, axles)
  local fields = {
    title = "Plain (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = axles or {{name = "front", at = 0, track = 1500, loaded_radius = 300},
                      {name = "rear", at = 2500, track = 1400, loaded_radius = 300}},
    parts = {sy.part "body" {mass = 800, at = {1000, 30, sy.sd(500, 10)}}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function deg(tangent) return math.deg(math.atan(tangent)) end

-- by hand; the half track at the CG is 750 - 50 x 1000 / 2500
test("rigid_answers_by_hand", function()
  local r = car():stability()
  check.near(r.ssf, 1450 / 1000, 1e-12)
  check.near(r.sd.ssf, 1450 / 1000 * 10 / 500, 1e-6)
  check.near(r.tip.left, deg(760 / 500), 1e-9, "the CG is 30 right")
  check.near(r.tip.right, deg(700 / 500), 1e-9)
  check.near(r.side.left_turn, 700 / 500, 1e-12, "a left turn pushes to the right")
  check.near(r.side_g, 700 / 500, 1e-12)
  check.near(r.grade.up, deg(1500 / 500), 1e-9)
  check.near(r.grade.down, deg(1000 / 500), 1e-9)
  check.near(r.sd.tip.right, math.deg(1 / (1 + 1.4 ^ 2)) * 1.4 * 10 / 500, 1e-6)
  check.equal(r.compliant.status, "unknown")
  check.contains(r.compliant.why, "spring_rate of the front axle")
end)

test("wheel_lift_off_comes_before_tipping", function()
  local r = car():stability()
  for _, side in ipairs{"left", "right"} do check.ok(r.lift[side].angle < r.tip[side], side) end
  check.ok(r.lift.left.wheel:sub(1, 1) == "r" and r.lift.right.wheel:sub(1, 1) == "l", "an upper wheel lifts")
end)

test("without_rates_it_can_fail_but_not_pass", function()
  check.equal(car():stability{required = 56}.status, "fail", "tips at 54.5")
  check.equal(car():stability{required = 20}.status, "unknown")
end)

local function sprung(more)
  local axles = {}
  for i, name in ipairs{"front", "rear"} do
    axles[i] = {name = name, at = (i - 1) * 2500, track = 1450, loaded_radius = 300, spring_rate = 40, tyre_rate = 200, bar_rate = 4}
    for key, value in pairs(more or {}) do axles[i][key] = value end
  end
  return car(nil, axles)
end

test("on_springs_it_tips_sooner_than_rigid", function()
  local r = sprung():stability{required = 30}
  for _, side in ipairs{"left", "right"} do
    check.ok(r.compliant.tip[side] < r.tip[side] and r.compliant.lift[side].angle <= r.compliant.tip[side], side)
  end
  check.equal(r.status, "pass")
  check.near(r.margin, r.compliant.lift.right.angle - 30, 1e-12)
  check.equal(r.worse_side, "right")
end)

test("hard_springs_tip_where_the_rigid_car_does", function()
  local r = sprung{spring_rate = 4e6, tyre_rate = 4e6}:stability()
  check.near(r.compliant.tip.left, r.tip.left, 1e-3, "springs 1e5 times harder than a car's")
end)

-- one standard uncertainty higher and lower, by hand
test("uncertainties_of_angles_are_those_of_the_height", function()
  local c = sprung()
  local a, high, low = c:stability(), c:move("body", {up = 0.1}):stability(), c:move("body", {down = 0.1}):stability()
  local function want(f) return math.abs(f(high) - f(low)) / 0.2 * 10 end
  local tip = want(function(r) return r.compliant.tip.left end)
  local lift = want(function(r) return r.compliant.lift.left.angle end)
  -- 1 %: slopes are taken 0.1 % before the wheel lifts
  check.near(a.sd.compliant.tip.left, tip, 0.01 * tip)
  check.near(a.sd.compliant.lift.left.angle, lift, 0.01 * lift)
  check.near(a.sd.margin, a.sd.compliant.lift.right.angle, 1e-12)
end)

-- Stiffer and softer springs, bars and roll centres by hand. The wheel is looked at shortly before it lifts: a whole standard
-- uncertainty would lift it, and half of the slope be lost.
test("uncertainties_of_rates_reach_the_wheel_lift_off_whole", function()
  local function lift(more) return sprung(more):stability().compliant.lift.left.angle end
  for field, list in pairs{spring_rate = {40, 2}, bar_rate = {4, 1}, roll_centre = {50, 20}, tyre_rate = {200, 20}} do
    local value, sd = list[1], list[2]
    local function both(v) return {roll_centre = 50, [field] = v} end
    -- front and rear are two uncertainties, which act alike on this car of equal ends but for the place of its CG: each by itself
    local want = 0
    for i = 1, 2 do
      local function at(way)
        local axles = {}
        for k, name in ipairs{"front", "rear"} do
          axles[k] = {name = name, at = (k - 1) * 2500, track = 1450, loaded_radius = 300, spring_rate = 40, tyre_rate = 200, bar_rate = 4,
                      roll_centre = 50}
        end
        axles[i][field] = value + 0.01 * sd * way
        return car(nil, axles):stability().compliant.lift.left.angle
      end
      want = want + ((at(1) - at(-1)) / 0.02) ^ 2
    end
    local plain = sprung(both(value)):stability().sd.compliant.lift.left.angle
    local sd_all = sprung(both(sy.sd(value, sd))):stability().sd.compliant.lift.left.angle
    check.ok(want > 0 and lift(both(value)) > 0, field)
    check.near(sd_all, math.sqrt(plain ^ 2 + want), 0.01 * math.sqrt(want), field) -- as above, 0.1 % before the lift
  end
end)

test("a_three_wheeler_of_uncertain_springs_has_an_uncertain_margin", function()
  local c = car({parts = {sy.part "body" {mass = 400, at = {850, 0, 400}}}},
    {{name = "front", at = 0, track = 1300, loaded_radius = 280, spring_rate = sy.sd(30, 2), tyre_rate = 180, bar_rate = 6},
     {name = "rear", at = 2100, wheels = "one", loaded_radius = 290, spring_rate = 50, tyre_rate = 190}})
  local r = c:stability{required = 30}
  check.ok(r.sd.margin and r.sd.margin > 0.01, "it lifts and tips at once")
  check.contains(tostring(r), ("beyond the 30 deg required"))
  check.near(r.sd.compliant.tip.left, r.sd.compliant.lift.left.angle, 0.02 * r.sd.margin)
end)

test("a_margin_inside_its_uncertainty_is_near", function()
  local r = sprung():stability()
  check.equal(sprung():stability{required = r.compliant.lift.right.angle - r.sd.margin}.status, "near")
end)

-- 800 kg, a 1000, b 1500, h 500, mu 0.8: by hand
test("split_drive_by_hand", function()
  local r = car():stability{mu = 0.8, drive_front_share = 60}
  check.near(r.traction.split, 0.8 * 1500 / (0.6 * 2500 + 400), 1e-12)
  check.equal(r.split.limited_by, "front")
  check.near(r.split.ideal, 100 * (1500 - 400) / 2500, 1e-10)
  check.equal(r.split.front_share, 60)
  check.ok(r.sd.traction.split > 0 and r.sd.split.ideal > 0)
  check.contains(tostring(r), "With 60 % of the drive in front 0.63 +- 0.01 g, a grade of 63 %, then the front axle slips; both")
  local rear = car():stability{mu = 0.8, drive_front_share = sy.sd(20, 2)}
  check.near(rear.traction.split, 0.8 * 1000 / (0.8 * 2500 - 400), 1e-12)
  check.equal(rear.split.limited_by, "rear")
  check.ok(rear.sd.traction.split > car():stability{mu = 0.8, drive_front_share = 20}.sd.traction.split)
  check.near(car():stability{mu = 0.8, drive_front_share = 44}.traction.split, 0.8, 1e-12)
  check.equal(car():stability().split, nil)
  check.equal(car():stability().traction.split, nil)
  check.raises(function() car():stability{drive_front_share = 0.4} end, "drive_front_share: is 0.4 %, no drive is split so (shares")
  check.raises(function() car():stability{drive_front_share = 140} end, "drive_front_share: is 140, must be between 0 and 100")
end)

test("traction_and_brakes_by_hand", function()
  local r = car():stability{mu = 0.8, brake_front_share = 70}
  check.near(r.traction.front, 0.8 * 1500 / (2500 + 400), 1e-12)
  check.near(r.traction.rear, 0.8 * 1000 / (2500 - 400), 1e-12)
  check.near(r.traction.all, 0.8, 1e-12)
  check.near(r.brake.critical_z, (0.7 * 2500 - 1500) / 500, 1e-12)
  check.near(r.brake.ideal, 100 * (1500 + 0.8 * 500) / 2500, 1e-10)
  check.equal(r.brake.locks_first, "rear", "0.8 is above 0.5")
  check.near(r.brake.at, 0.8 * 1000 / (0.3 * 2500 + 400), 1e-12)
  check.equal(car():stability{mu = 0.3, brake_front_share = 70}.brake.locks_first, "front")
  check.contains(tostring(r), "front 0.41 +- 0.01 g, a grade of 41 %; rear 0.38 +- 0.01 g, a grade of 38 %; "
    .. "all wheels 0.80 g, a grade of 80 %.")
  local uncertain = car():stability{mu = sy.sd(0.8, 0.05)}
  check.near(uncertain.sd.traction.all, 0.05, 1e-6)
end)

-- two wheels in front, CG 850 behind: the edge from a front wheel to the rear one is 650 x (2100 - 850) / 2100 wide there
test("a_three_wheeler_gains_by_braking_and_loses_by_drive", function()
  local c = car({parts = {sy.part "body" {mass = 400, at = {850, 0, 400}}}},
    {{name = "front", at = 0, track = 1300, loaded_radius = 280}, {name = "rear", at = 2100, wheels = "one", loaded_radius = 290}})
  local r = c:stability()
  check.near(r.side.left_turn, 650 * 1250 / 2100 / 400, 1e-12)
  check.near(c:stability{braking = 0.5}.side_g, 650 * (1250 + 200) / 2100 / 400, 1e-12)
  check.near(c:stability{drive = 0.5}.side_g, 650 * (1250 - 200) / 2100 / 400, 1e-12)
  check.near(r.lines[3].left_turn, 650 * (1250 + 200) / 2100 / 400, 1e-12)
  check.equal(r.lines[1].edge.left_turn, {"rf", "r"})
  check.equal(r.ssf, nil)
  check.near(r.lift.left.angle, r.tip.left, 1e-9)
  check.contains(tostring(r), "braking 0.50 g")
end)

test("nose_load_of_a_trailer", function()
  local c = car({parts = {sy.part "box" {mass = 500, at = {2700, 0, 600}}}},
    {{name = "coupling", at = 0, wheels = "one", loaded_radius = 300}, {name = "axle", at = 3000, track = 1500, loaded_radius = 300}})
  local r = c:stability()
  check.near(r.nose_load, 50, 1e-9)
  check.contains(tostring(r), "Nose load 50.0 kg, 10.0 % of the whole")
  check.ok(not tostring(r):find "Traction at" and r.brake == nil, "it has no engine")
  local tail = car({parts = {sy.part "box" {mass = 500, at = {3100, 0, 600}}}},
    {{name = "coupling", at = 0, wheels = "one", loaded_radius = 300}, {name = "axle", at = 3000, track = 1500, loaded_radius = 300}})
  -- 500 x 100 / 3000
  check.raises(function() tail:stability() end, "nose_load: would be 16.7 kg up: its load lies behind the wheels and lifts the coupling")
end)

test("quantities_for_limits", function()
  local c = car{limits = {{name = "stability", quantity = "stability.ssf", min = 1.6},
                         {name = "side", quantity = "stability.side_g", min = 1}}}
  local checks = c:checks()
  check.equal(checks[1].status, "fail")
  check.equal(checks[2].status, "pass")
  check.near(checks[2].value, 1.4, 1e-12)
end)

test("cautions_are_printed", function()
  local shown = tostring(sprung():stability())
  for _, words in ipairs{"Not a driving limit", "nobody in the car", "licensed practice", "Chassis taken as rigid"} do
    check.contains((shown:gsub("%s+", " ")), words)
  end
end)

-- two wheels in front, CG 300 behind the axle and 500 high: 0.6 g moves the force 300 ahead, onto it
test("braking_that_tips_by_itself_leaves_no_turn", function()
  local c = car({parts = {sy.part "body" {mass = 400, at = {300, 0, 500}}}},
    {{name = "front", at = 0, track = 1300, loaded_radius = 280}, {name = "rear", at = 2100, wheels = "one", loaded_radius = 290}})
  local r = c:stability{braking = 0.7}
  check.equal(r.side_g, 0)
  check.contains(tostring(r), "tips without any turn")
  check.near(c:stability{braking = 0.5}.side_g, 650 * (1800 + 250) / 2100 / 500, 1e-12)
end)

test("what_makes_no_sense_is_refused", function()
  check.raises(function() car():stability{brake_front_share = 0.6} end, "60, not 0.6")
  check.raises(function() car{parts = {sy.part "x" {mass = 5, at = {0, 900, 300}}}}:stability() end, "outside the wheels")
  check.raises(function() car():stability{mu = 0} end, "mu: is 0, must be between")
  check.raises(function() car():stability{requried = 60} end, 'did you mean "required"')
  check.raises(function() car():stability{brake_front_share = 0.7, required = 95} end, "required: is 95")
  check.raises(function() car():stability{braking = 0.2, drive = 0.2} end, "cannot go with braking")
  check.raises(function() car{parts = {sy.part "x" {mass = sy.unknown, at = {0, 0, 0}}}}:stability() end, "mass")
end)

-- By hand: forces in kg, air with the weight on the tyres, the mass pushed at the height where it stands under the air.
test("downforce_counts_in_turns_traction_and_braking", function()
  local g = 9.80665
  local function x(back) return -640 - back end -- x forward, from a datum behind the tail's nose: nothing is at 0
  local function make(more)
    local function axle(name, at)
      local a = {name = name, at = at, track = 1500, loaded_radius = 300}
      for key, value in pairs(more) do a[key] = value end
      return a
    end
    return sy.car{title = "Winged (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = 75, centre = -12,
      axles = {axle("front", x(0)), axle("rear", x(2500))},
      parts = {sy.part "body" {mass = 700, at = {x(1200), -12, sy.sd(75 + 450, 5)}}}}
  end
  local down, rigid = {front = 60, rear = 110}, make{}:stability{downforce = {front = 60, rear = 110}, mu = 1.3, brake_front_share = 62}
  local springs = make{spring_rate = 40, tyre_rate = 200}
  local plain, r = springs:stability{mu = 1.3}, springs:stability{downforce = down, mu = 1.3, brake_front_share = 62}
  local rate = 40 * 200 / 240
  local sinks = (60 * g / (2 * rate)) * (1300 / 2500) + (110 * g / (2 * rate)) * (1200 / 2500)
  check.near(r.sink, sinks, 1e-9)
  check.equal(rigid.sink, nil)
  check.contains(tostring(rigid), "How far the body sinks under it is not known")
  check.contains(tostring(r), "Downforce 60 kg front and 110 kg rear. Under it the CG stands")
  for answer, height in pairs{[rigid] = 450, [r] = 450 - sinks} do
    local on = {700 * 1300 / 2500 + 60, 700 * 1200 / 2500 + 110}
    check.near(answer.side.left_turn, 870 * 750 / (700 * height), 1e-9)
    check.near(answer.brake.ideal, 100 * (on[1] + 1.3 * 700 * height / 2500) / 870, 1e-9)
    local z = answer.brake.front_locks
    if z then check.near(0.62 * z * 700, 1.3 * (on[1] + z * 700 * height / 2500), 1e-8) end
    check.near(0.38 * answer.brake.rear_locks * 700, 1.3 * (on[2] - answer.brake.rear_locks * 700 * height / 2500), 1e-8)
    check.near(answer.traction.all, math.min(1.3 * 870 / 700, on[1] * 2500 / (700 * height)), 1e-9)
    check.near(answer.brake.curve[2].front_share, 100 * (on[1] + 0.4 * 700 * height / 2500) / 870, 1e-9)
  end
  check.near(r.tip.left, plain.tip.left, 1e-12, "a table stands still")
  check.near(r.grade.up, plain.grade.up, 1e-12)
  check.near(r.compliant.tip.left, plain.compliant.tip.left, 1e-12)
  -- uncertainties: of the height as without air, and of the downforce by stepping it
  check.near(r.sd.side.left_turn, r.side.left_turn * 5 / (450 - sinks), 1e-6)
  local known = springs:stability{downforce = {front = sy.sd(60, 4), rear = 110}, mu = 1.3}
  local more = springs:stability{downforce = {front = 64, rear = 110}, mu = 1.3}.side.left_turn
  local less = springs:stability{downforce = {front = 56, rear = 110}, mu = 1.3}.side.left_turn
  check.near(known.sd.side.left_turn ^ 2 - r.sd.side.left_turn ^ 2, ((more - less) / 2) ^ 2, 1e-9)
  check.equal(check.raises(function() springs:stability{downforce = {front = -800}} end).field, "downforce")
end)

check.done()
