--- car:stands: margins, pulls, steps and words. The plane statics behind it are tested in tests/test_support.c.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

-- 200 kg of engine at 400 behind the front axle, 300 of tub at 1500, 10 of battery at 2600; x back, y right.
local function car_of(more)
  local fields = {
    title = "On stands (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1300, loaded_radius = 280}, {name = "rear", at = 2300, track = 1300, loaded_radius = 290}},
    parts = {sy.part "engine" {mass = sy.sd(200, 2), at = {400, 0, 400}}, sy.part "tub" {mass = 300, at = {sy.sd(1500, 10), 0, 350}},
             sy.part "battery" {mass = 10, at = {2600, 0, 400}}},
    states = {sy.state "as it is" {}},
    points = {["left"] = {500, -300, 150}, ["right"] = {500, 300, 150}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local four = {"left", "right", {1400, -300, 150}, {1400, 300, 150}}

-- CG: (200 x 400 + 300 x 1500 + 10 x 2600) / 510 = 1090.196 mm behind the front axle. Between stands at 500 and 1400: margin 300 to the
-- sides (they are 300 off the centre line), 309.80 to the rear. Foremost 280 ahead (a tyre), rearmost 2600 (the battery; a tyre 2590).
-- Tail: 510 x 309.804 / 1200 = 131.667 kg; nose: 510 x 590.196 / 780 = 385.897 kg.
test("loads_margins_and_pulls_by_the_lever_rule", function()
  local s = car_of():stands{at = four}
  local x = (200 * 400 + 300 * 1500 + 10 * 2600) / 510
  check.near(s.margin, 300, 1e-9)
  check.near(s.kg_to_tip.rear, 131.667, 0.0005)
  check.near(s.kg_to_tip.front, 385.897, 0.0005)
  check.near(s.loads.left + s.loads.right, 510 * (1400 - x) / 900, 1e-9)
  check.near(s.loads.left, s.loads.right, 1e-9)
  check.equal(s.tips, false)
  check.equal(s.status, "pass")
  check.contains(table.concat(s.notes, "\n"), "more than three stands share the load as if all gave alike")
end)

-- Without the engine (310 kg, CG 1535.484) it lies 135.484 outside the rear stands.
test("the_step_that_tips_is_found_and_named", function()
  local s = car_of():stands{at = four, without = {"battery", "engine"}}
  check.equal(#s.steps, 3)
  check.equal(s.steps[1].status, "pass")
  check.equal(s.steps[2].what, "without battery")
  check.near(s.steps[2].mass, 500, 1e-9)
  check.near(s.steps[2].margin, 300, 1e-9) -- CG at 1060: the sides are nearer
  check.equal(s.tips, true)
  check.near(s.margin, -100, 1e-9) -- the tub alone lies at 1500
  check.equal(s.status, "fail")
  check.equal(s.why, "without engine: it tips over 1400, -300, 150 and 1400, 300, 150: the CG lies 100 mm outside")
  check.equal(s.kg_to_tip.rear, nil)
  check.near(s.loads.left, 0, 0)
  check.contains(s.heading, "without engine")
end)

-- The tail tips at 22 kg with the stands at 1131.96: 510 x (1131.961 - 1090.196) / (2600 - 1131.961) ... solved for 22 kg.
test("a_person_pulling_counts_thirty", function()
  local function rear(x) return car_of():stands{at = {"left", "right", {x, -300, 150}, {x, 300, 150}}} end
  local cg = (200 * 400 + 300 * 1500 + 10 * 2600) / 510
  local function place(kg) return (510 * cg + kg * 2600) / (510 + kg) end -- margin 510 d = kg (2600 - x)
  local weak = rear(place(22))
  check.near(weak.kg_to_tip.rear, 22, 1e-9)
  check.equal(weak.status, "fail")
  check.contains(weak.why, "kg at the tail tip it, and a person pulling counts 30")
  local tight = rear(place(34)) -- the CG is good to 6.5 mm and so the kilograms to about 2.4: 34 is within 95 % of 30
  check.equal(tight.status, "near")
  check.contains(tight.why, "little more than a person pulling")
  check.equal(rear(place(60)).status, "pass")
end)

-- Uncertainties: CG x = sum m x / M: the engine's mass moves it by 2 (400 - x) / 510, the tub's place by 10 x 300 / 510.
test("uncertainties_of_margin_and_pull", function()
  local s = car_of():stands{at = {{1000, -700, 0}, {1000, 700, 0}, {1200, -700, 0}, {1200, 700, 0}}}
  local cg = (200 * 400 + 300 * 1500 + 10 * 2600) / 510
  local sd = math.sqrt((2 * (400 - cg) / 510) ^ 2 + (10 * 300 / 510) ^ 2)
  check.near(s.margin, cg - 1000, 1e-9)
  check.near(s.sd.margin, sd, 1e-9)
  -- tail: M (1200 - x) / (2600 - 1200)
  check.near(s.sd.kg_to_tip.rear, math.sqrt((510 * sd / 1400) ^ 2 + ((1200 - cg) / 1400 * 2) ^ 2), 1e-6)
  local placed = car_of():stands{at = {{sy.sd(1000, 8), -700, 0}, {sy.sd(1000, 8), 700, 0}, {1200, -700, 0}, {1200, 700, 0}}}
  check.near(placed.sd.margin, math.sqrt(sd ^ 2 + 2 * (8 / 2) ^ 2), 1e-6) -- half of each of the two stands
end)

-- Nose: M (cg - s) / (n + s) with stands s behind and the nose n ahead of the front axle; each of the two stands carries half its edge.
test("the_places_pulled_at_and_the_stands_have_uncertainties_too", function()
  local cg = (200 * 400 + 300 * 1500 + 10 * 2600) / 510
  local exact = car_of{parts = {sy.part "engine" {mass = 200, at = {400, 0, 400}}, sy.part "tub" {mass = 300, at = {1500, 0, 350}},
    sy.part "battery" {mass = 10, at = {2600, 0, 400}}}}
  local s = exact:stands{at = four, nose = {sy.sd(-700, 25), 0, 300}}
  check.near(s.sd.kg_to_tip.front, 510 * (cg - 500) / 1200 ^ 2 * 25, 0.001 * s.kg_to_tip.front) -- by differences: curved by (25 / 1200)^2
  check.near(s.sd.kg_to_tip.rear, 0, 1e-12)
  local placed = exact:stands{at = {{sy.sd(500, 8), -300, 0}, {sy.sd(500, 8), 300, 0}, {1400, -300, 0}, {1400, 300, 0}},
    nose = {-700, 0, 300}}
  -- d/ds of (cg - s) / (n + s) is -(cg + n) / (n + s)^2, and half of it for each of the two
  check.near(placed.sd.kg_to_tip.front, math.sqrt(2) / 2 * 8 * 510 * (cg + 700) / 1200 ^ 2, 0.001 * s.kg_to_tip.front)
end)

test("wheels_stay_on_the_ground_and_the_ends_may_be_said", function()
  local s = car_of():stands{at = {"lf", "rf", {1800, 0, 200}}}
  local cg = (200 * 400 + 300 * 1500 + 10 * 2600) / 510
  check.near(s.loads["1800, 0, 200"], 510 * cg / 1800, 1e-9)
  check.equal(s.even, false)
  local far = car_of():stands{at = four, tail = {3400, 0, 300}, nose = {-900, 0, 300}}
  check.near(far.kg_to_tip.rear, 510 * (1400 - cg) / 2000, 1e-9)
  check.near(far.kg_to_tip.front, 510 * (cg - 500) / 1400, 1e-9)
  local under = car_of():stands{at = {{-300, -300, 0}, {-300, 300, 0}, {2700, -300, 0}, {2700, 300, 0}}}
  check.equal(under.kg_to_tip.rear, nil) -- the battery stands between the stands
  check.contains(tostring(under), "never")
end)

-- ---- where somebody leans --------------------------------------------------------------------------------------------------

-- The car above with a nose clip of 12 kg, its CG 150 ahead of the front axle and its box 1300 long, 900 wide: foremost 800 ahead. Three
-- conventions; in the second and third the front axle is not at 0, the ground not at 0, the centre plane not at 0, the third is
-- left-handed. place(behind, right, up) -> the file's coordinates.
local conventions = {
  {axes = {x = "back", y = "right", z = "up"}, at = {0, 2300}, ground = 0, centre = 0,
   place = function(behind, right, up) return {behind, right, up} end},
  {axes = {x = "back", y = "right", z = "up"}, at = {1730, 4030}, ground = -210, centre = 35,
   place = function(behind, right, up) return {1730 + behind, 35 + right, up - 210} end},
  {axes = {x = "forward", y = "right", z = "up"}, at = {3200, 900}, ground = 120, centre = -40,
   place = function(behind, right, up) return {3200 - behind, right - 40, 120 + up} end},
}

local function nosed(k, more)
  local p = conventions[k].place
  local fields = {
    title = "Nosed (invented)", axes = conventions[k].axes, ground = conventions[k].ground, centre = conventions[k].centre,
    axles = {{name = "front", at = conventions[k].at[1], track = 1300, loaded_radius = 280},
             {name = "rear", at = conventions[k].at[2], track = 1300, loaded_radius = 290}},
    parts = {sy.part "engine" {mass = 200, at = p(400, 0, 400)}, sy.part "tub" {mass = 300, at = p(1500, 0, 350)},
             sy.part "battery" {mass = 10, at = p(2600, 0, 400)},
             sy.part "nose clip" {mass = 12, at = p(-150, 0, 500), shape = sy.box {1300, 900, 200}}},
    points = {["tow eye"] = {at = p(-870, 200, 300), part = "nose clip"}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields), p
end

local NOSED, NOSED_CG = 522, (200 * 400 + 300 * 1500 + 10 * 2600 - 12 * 150) / 522
local function square(p) return {p(500, -300, 150), p(500, 300, 150), p(1400, -300, 150), p(1400, 300, 150)} end

test("the_nose_is_the_foremost_point_of_shapes", function()
  for k in ipairs(conventions) do
    local car, p = nosed(k, {points = {}})
    local s = car:stands{at = square(p)}
    check.near(s.kg_to_tip.front, NOSED * (NOSED_CG - 500) / (800 + 500), 1e-6) -- lever rule over the front stands
    check.equal(s.pulled_at.front.name, "nose clip")
    check.equal(s.pulled_at.front.kind, "shape")
    check.near(s.pulled_at.front.ahead, 800, 1e-3)
    check.near(s.pulled_at.front.x, p(-800, 0, 0)[1], 1e-3)
    check.near(s.kg_to_tip.rear, NOSED * (1400 - NOSED_CG) / (2600 - 1400), 1e-6) -- the battery has no shape: its CG
    local said = tostring(s):gsub("%s+", " ")
    check.contains(said, "Somebody pulls down at the nose 800 mm ahead of the front axle (nose clip), or at the tail 2600 mm behind the "
      .. "front axle (battery).")
    check.contains(said, "The tail is taken at the CG of battery, which has no shape: it lies farther out and tips with less")
  end
end)

-- A yaw of 90 degrees leaves half the width ahead of the clip's CG; one that moves takes its shape along.
test("a_shape_counts_where_its_part_went", function()
  for k in ipairs(conventions) do
    local car, p = nosed(k, {points = {}})
    check.near(car:move("nose clip", {nose_left = 90}):stands{at = square(p)}.pulled_at.front.ahead, 150 + 450, 1e-3)
    check.near(car:move("nose clip", {forward = 70}):stands{at = square(p)}.pulled_at.front.ahead, 870, 1e-3)
    local put = car:add(sy.part "rear wing" {mass = 4, at = p(2700, 0, 900), shape = sy.box {300, 1200, 40}})
    check.near(put:stands{at = square(p)}.pulled_at.rear.ahead, -2850, 1e-3)
    local set = car:set("nose clip", {shape = sy.box {1500, 900, 200}})
    check.near(set:stands{at = square(p)}.pulled_at.front.ahead, 900, 1e-3)
  end
end)

test("points_of_the_file_count_and_go_with_their_part", function()
  for k in ipairs(conventions) do
    local car, p = nosed(k)
    local s = car:stands{at = square(p), without = "nose clip"}
    check.near(s.steps[1].kg_to_tip.front, NOSED * (NOSED_CG - 500) / (870 + 500), 1e-6)
    check.equal(s.pulled_at.front.name, "tow eye") -- somebody pulls at what comes out until it is out
    local bare = car:without("nose clip"):stands{at = square(p)}
    check.near(bare.pulled_at.front.ahead, 280, 1e-9) -- the tyres
    check.contains(tostring(bare):gsub("%s+", " "), "tyre: state the nose if bodywork does, it tips with less")
    check.near(car:stands{at = square(p), nose = "tow eye"}.kg_to_tip.front, NOSED * (NOSED_CG - 500) / 1370, 1e-6)
  end
end)

-- A face square to the car has two corners equally far out. On a tripod with one stand in front the corner tips it, by moments about
-- the line between two stands: held = M times the CG's distance from it, beyond = the corner's.
test("of_points_equally_far_out_the_one_that_tips_first_counts", function()
  local car, p = nosed(3, {points = {}})
  local s = car:stands{at = {p(500, 0, 150), p(1400, -300, 150), p(1400, 300, 150)}}
  local function from_line(behind, right) -- twice the area of the triangle with the stands at (500, 0) and (1400, 300)
    return math.abs((1400 - 500) * (right - 0) - (300 - 0) * (behind - 500))
  end
  check.near(s.kg_to_tip.front, NOSED * from_line(NOSED_CG, 0) / from_line(-800, 450), 1e-3)
  check.near(math.abs(s.pulled_at.front.y + 40), 450, 1e-3)
end)

test("stands_may_have_names_and_lie_on_the_ground", function()
  local s = car_of():stands{at = {["front left"] = {500, -300}, ["front right"] = {500, 300}, ["rear left"] = {1400, -300},
    ["rear right"] = {1400, 300}}}
  check.near(s.kg_to_tip.rear, 131.667, 0.0005)
  check.equal(s.stands, {"front left", "front right", "rear left", "rear right"})
  check.near(s.loads["front left"], s.loads["front right"], 1e-9)
  check.equal(car_of():stands{at = {{500, -300}, {500, 300}, {1400, 0}}}.stands[3], "1400, 0")
end)

test("what_is_not_known_or_must_not_be_is_said", function()
  local car = car_of{parts = {sy.part "tub" {mass = 300, at = {1000, 0, 350}}, sy.part "loom" {mass = sy.unknown, at = {1000, 0, 350}},
                              sy.person "driver" {mass = 80, at = {1000, 0, 350}}}}
  local s = car:stands{at = four}
  check.equal(s.status, "unknown")
  check.contains(s.why, "a mass is not known")
  check.contains(table.concat(s.notes, "\n"), "driver is aboard: nobody is in a car on stands, choose a state without")
  check.contains(tostring(s), "local codes and licensed practice decide")
end)

test("messages_of_bad_input", function()
  local car = car_of()
  local function says(o, want) check.equal(tostring(check.raises(function() car:stands(o) end, "")), want) end
  says(nil, "at: is needed: where the stands are (a list of {x, y, z}, names of points or wheels)")
  says({at = {"left", "right"}}, "at: are 2, 3 to 16 stands are possible")
  says({at = {"left", "lift", "right"}}, 'at[2]: no point is called "lift" (did you mean "left"?)')
  says({at = {"left", "right", "left"}}, "at[3]: left is given twice")
  says({at = {"left", "right", {505, 300, 150}, {1400, 0, 150}}}, "at[3]: is 5 mm from right, two stands do not fit nearer than 10 mm")
  says({at = {{0, 0, 0}, {500, 0, 0}, {1500, 0, 0}}}, "at: lie on one line: the car would fall to either side")
  says({at = four, without = "engin"}, 'no part, group, tag or axle is called "engin" (did you mean "engine"?)')
  says({at = four, without = 7}, "without: is a name or a list of names, in the order they come out")
  says({at = four, nose = {0}}, "nose: has no y")
  says({at = {"left", "right", third = {1400, 0}}}, "at: is a list or has names, not both")
  says({at = four, with = "engine"}, 'car:stands has no field "with" (did you mean "without"?)')
end)

-- Nobody leans 30 kg on a model of 8: half its mass counts, and the result says so. By hand: 8 kg, stands 50 and 210 mm behind the front
-- axle, CG 137.69 behind it, nose 100 ahead: 8 x (137.69 - 50) / 150 = 4.677 kg at the nose.
test("a_light_thing_is_judged_by_half_its_mass", function()
  local function model(mass)
    return sy.car{title = "Model (invented)", axes = {x = "forward", y = "left", z = "up"}, ground = 12, centre = -5,
      axles = {{name = "front", at = 900, track = 200, loaded_radius = 50}, {name = "rear", at = 640, track = 200, loaded_radius = 50}},
      parts = {sy.part "body" {mass = mass, at = {762.31, -5, 90}}}}
  end
  local at = {{850, 60, 40}, {850, -70, 40}, {690, 60, 40}, {690, -70, 40}}
  local o = {at = at, nose = {1000, -5, 60}, tail = {600, -5, 60}}
  local r = model(8):stands(o)
  check.near(r.kg_to_tip.front, 8 * (137.69 - 50) / 150, 1e-9)
  check.near(r.person, 4, 1e-12)
  check.equal(r.status, "pass")
  check.contains(tostring(r), "It weighs under 60 kg, so a person pulling counts half its mass, 4.00 kg, and not 30")
  check.contains(tostring(r), "4.68")
  local heavy = model(60):stands(o)
  check.near(heavy.person, 30, 0)
  check.ok(not tostring(heavy):find "half its mass")
end)

check.done()
