--- car:hoist: attitude, tensions, uncertainties, hooks, booms, and what is refused. The statics behind it are tested in tests/test_hoist.c
--- and against energy minimisation in tests/reference/oracle_hoist.py.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function deg(x) return math.deg(x) end

-- An engine of 120 kg at (1800, 10, 400), x back, y right, z up, with a gearbox of 40 behind it.
local function car_of(more)
  local fields = {
    title = "Lifted (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
    parts = {
      sy.group "powertrain" {sy.part "engine" {mass = sy.sd(120, 1), at = {sy.sd(1800, 4), 10, 400}},
        sy.part "gearbox" {mass = 40, at = {2300, 10, 350}}},
      sy.part "tub" {mass = 300, at = {1000, 0, 350}}, sy.part "loom" {mass = sy.unknown, at = {1700, 0, 400}}},
    points = {["eye"] = {at = {1830, 10, sy.sd(640, 3)}, part = "engine"}, ["loose eye"] = {1700, 10, 640}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

-- The point lies 30 behind the CG and 240 above it: the nose goes down by atan(30 / 240).
-- Uncertainties: of x 4 mm at the CG, of height 3 mm at the eye; d pitch / dx = 240 / R^2, d pitch / dz = 30 / R^2 with R^2 = 30^2 + 240^2.
test("one_point_hangs_plumb_through_the_cg_with_its_uncertainty", function()
  local h = car_of():hoist("engine", {points = {"eye"}})
  check.near(h.pitch, -deg(math.atan(30, 240)), 1e-9) -- nose up is positive
  check.near(h.roll, 0, 1e-9)
  check.near(h.mass, 120, 1e-9)
  check.near(h.legs[1].tension, 120, 1e-9)
  check.near(h.legs[1].sd.tension, 1, 1e-9)
  local r2 = 30 ^ 2 + 240 ^ 2
  check.near(h.sd.pitch, deg(math.sqrt((4 * 240 / r2) ^ 2 + (3 * 30 / r2) ^ 2)), 0.0005) -- by differences over one sd: curved a little
  check.equal(h.fit.move_point, "30 forward")
  check.equal(h.status, "pass")
end)

test("a_point_on_a_part_goes_with_it_and_coordinates_do_not", function()
  local car = car_of():move("engine", {back = 50})
  check.near(car:hoist("engine", {points = {"eye"}}).pitch, -deg(math.atan(30, 240)), 1e-9)
  check.near(car:hoist("engine", {points = {{1830, 10, 640}}}).pitch, deg(math.atan(20, 240)), 1e-9)
  -- turned with its part: 5 degrees nose up about the engine's own place; hung, it takes the same attitude in space
  local turned = car_of():move("engine", {nose_up = 5}):hoist("engine", {points = {"eye"}})
  check.near(turned.pitch, -deg(math.atan(30, 240)) - 5, 1e-9)
end)

-- Symmetrical legs of 400 on points 300 either side: asin(300 / 400) = 48.59 deg from the upright, W / (2 cos) each.
test("two_legs_share_and_steep_ones_are_warned_of", function()
  local points = {{1500, 10, 600}, {2100, 10, 600}}
  local h = car_of():hoist("engine", {points = points, legs = 400})
  check.near(h.legs[1].angle, 48.59, 0.005)
  check.near(h.legs[1].tension, 120 / 2 / math.cos(math.asin(0.75)), 1e-9)
  check.equal(h.status, "near")
  check.contains(h.why, "stands 49 deg from the upright, over 45 is steep")
  local flat = car_of():hoist("engine", {points = points, legs = 330})
  check.equal(flat.status, "fail")
  check.contains(flat.why, "over 60 is refused")
  check.equal(car_of():hoist("engine", {points = points, legs = 430}).status, "pass")
end)

test("several_things_are_lifted_as_one", function()
  local h = car_of():hoist("powertrain", {points = {{1925, 10, 700}}})
  check.near(h.mass, 160, 1e-9)
  check.near(h.pitch, 0, 1e-9) -- 120 at 1800 and 40 at 2300: the CG is at 1925
  local list = car_of():hoist({"engine", "gearbox"}, {points = {{1925, 10, 700}}})
  check.near(list.pitch, 0, 1e-9)
  check.near(list.sd.pitch, h.sd.pitch, 1e-6)
  -- the uncertainty of the engine's mass moves the joint CG by sd (1800 - 1925) / 160, that of its place by 120 / 160 x 4
  local sd = math.sqrt((1 * 125 / 160) ^ 2 + 3 ^ 2)
  check.near(h.sd.pitch, deg(sd / (700 - 387.5)), 0.0005)
end)

test("the_hook_belongs_over_the_cg", function()
  local points = {{1600, 10, 600}, {1950, 10, 600}}
  local h = car_of():hoist("engine", {points = points, hook = {1775, 10, 1000}})
  check.near(h.hook.x, 1800, 1e-9)
  check.near(h.hook.y, 10, 1e-9)
  check.equal(h.hook_shift:match "^%d+ %a+", "25 back")
  -- with the lengths it names, it hangs as drawn
  local again = car_of():hoist("engine", {points = points, legs = h.fit.lengths})
  check.near(again.pitch, 0, 1e-9)
  check.near(again.roll, 0, 1e-9)
  check.equal(again.hook_shift, nil)
  check.contains(tostring(again), "It hangs as it is to be fitted.")
end)

test("a_fitting_angle_may_be_asked_for", function()
  local points = {{1600, 10, 600}, {1950, 10, 600}}
  for _, case in ipairs{{{nose_down = 8}, -8}, {{nose_up = 3}, 3}} do
    local h = car_of():hoist("engine", {points = points, legs = {400, 400}, hang = case[1]})
    local again = car_of():hoist("engine", {points = points, legs = h.fit.lengths})
    check.near(again.pitch, case[2], 1e-9)
    check.near(h.fit.off, 0, 1e-6)
  end
  local chosen = car_of():hoist("engine", {points = points, hang = {nose_down = 8}})
  check.equal(chosen.chosen, true)
  check.near(chosen.pitch, -8, 1e-9)
  check.ok(chosen.legs[1].angle < 31 and chosen.legs[2].angle < 31, "legs within 30 deg of the upright")
end)

-- Two points 40 mm to the right of the CG and 200 above it cannot hold it level: it rolls by atan(40 / 200), right side up.
test("two_legs_cannot_hold_a_roll_and_it_is_said", function()
  local h = car_of():hoist("engine", {points = {{1600, 50, 600}, {2000, 50, 600}}})
  check.near(h.roll, -deg(math.atan(40, 200)), 1e-9)
  check.near(h.fit.off, deg(math.atan(40, 200)), 1e-9)
  check.contains(tostring(h), "2 legs cannot hold it straight where these points are")
end)

test("points_and_legs_may_have_names", function()
  local named = car_of():hoist("engine", {points = {front = {1600, 10, 600}, rear = {1950, 10, 620}}, legs = {front = 420, rear = 380}})
  local listed = car_of():hoist("engine", {points = {{1600, 10, 600}, {1950, 10, 620}}, legs = {420, 380}})
  check.near(named.pitch, listed.pitch, 1e-12)
  check.equal(named.legs[2].point, "rear")
  check.equal(tostring(check.raises(function()
    car_of():hoist("engine", {points = {front = {1600, 10, 600}, rear = {1950, 10, 620}}, legs = {front = 420, aft = 380}})
  end, "")), "legs: are 1 for 2 points")
end)

test("a_slack_leg_is_named", function()
  local h = car_of():hoist("engine", {points = {{1780, 10, 640}, "loose eye"}, legs = {300, 900}})
  check.equal(h.slack, {"loose eye"})
  check.equal(h.status, "fail") -- of two legs one carries nothing
  check.contains(h.why, "loose eye goes slack: 120.0 kg on 1780, 10, 640")
  check.equal(h.legs[2].status, "fail")
  check.near(h.legs[1].tension, 120, 1e-9)
  check.contains(tostring(h), "slack")
end)

-- A file whose front axle is not at 0, whose ground and centre plane are not at 0, and which counts forward and right.
local function odd_car()
  local function p(behind, right, up) return {3300 - behind, right - 25, up + 140} end
  return sy.car{title = "Lifted, odd datum (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = 140, centre = -25,
    axles = {{name = "front", at = 3300, track = 1450, loaded_radius = 288}, {name = "rear", at = 900, track = 1460, loaded_radius = 301}},
    parts = {sy.part "engine" {mass = sy.sd(120, 1), at = p(1800, 10, 400)}, sy.part "tub" {mass = 300, at = p(1000, 0, 350)}},
    points = {eye = p(1830, 10, 640), ["the same eye"] = p(1830, 10, 640)}}, p
end

test("the_same_point_twice_is_refused", function()
  local car, p = odd_car()
  local function says(points, want)
    check.equal(tostring(check.raises(function() car:hoist("engine", {points = points, legs = 400}) end, "")), want)
  end
  says({"eye", "eye"}, "points[2]: eye is given twice")
  says({"eye", "the same eye"}, 'leg 2, point: is 0 mm from that of leg 1, two legs need points 10 mm apart or more')
  says({"eye", p(1500, 10, 640), p(1830, 16, 640)}, 'leg 3, point: is 6 mm from that of leg 1, two legs need points 10 mm apart or '
    .. "more")
  check.raises(function() car:hoist("engine", {points = {"eye", "the same eye"}}) end, {code = "geometry"}) -- legs chosen
  check.raises(function() car:hoist("engine", {points = {"eye", "the same eye"}, hook = p(1800, 10, 1000)}) end, {code = "geometry"})
  check.ok(car:hoist("engine", {points = {"eye", p(1830, 21, 640)}, legs = 400}))
end)

-- Four legs of the same length over the CG pull alike; of lengths in whole millimetres one is slack, and a turn tightens it.
test("a_fourth_leg_of_rounded_length_is_near_and_a_long_one_fails", function()
  local points = {{1500, -190, 600}, {1500, 210, 600}, {2100, -190, 600}, {2100, 210, 600}}
  local function of(last) return car_of():hoist("engine", {points = points, legs = {600, 600, 600, last}}) end
  check.equal(of(600).slack, {})
  local rounded = of(600.6)
  check.equal(#rounded.slack, 1)
  check.equal(rounded.status, "near")
  check.contains(rounded.why, "tighten until it pulls, meanwhile ")
  for _, leg in ipairs(rounded.legs) do
    if leg.slack then check.ok(leg.slack_by > 0 and leg.slack_by < 1) end
  end
  local long = of(603)
  check.equal(long.status, "fail")
  check.contains(long.why, "goes slack: ")
  check.equal(of(sy.sd(603, 3)).status, "near") -- its length is not known better
end)

-- Two points of which one pulls next to nothing: the CG is good to 4 mm and lies 2 mm inside, so its leg may as well be slack.
test("a_leg_that_may_go_slack_is_near", function()
  local h = car_of():hoist("engine", {points = {{1798, 10, 640}, {2050, 10, 640}}})
  check.near(h.pitch, 0, 1e-9)
  check.ok(h.legs[2].tension > 0 and h.legs[2].tension < 2)
  check.equal(h.status, "near")
  check.contains(h.why, "2050, 10, 640 may go slack: it pulls less than its own +-")
end)

-- One eye 140 ahead of the CG and 240 above it: nose up by atan(140 / 240) = 30.3 deg.
test("what_hangs_far_from_how_it_is_fitted_is_said", function()
  local car, p = odd_car()
  local h = car:hoist("engine", {points = {p(1660, 10, 640)}})
  check.near(h.pitch, deg(math.atan(140, 240)), 1e-9)
  check.near(h.off, deg(math.atan(140, 240)), 1e-9)
  check.equal(h.status, "near")
  check.contains(h.why, "it hangs 30 deg from how it is to be fitted, over 10 it must be led in by hand")
  local fitted = car:hoist("engine", {points = {p(1660, 10, 640)}, hang = {nose_up = 30}})
  check.equal(fitted.status, "pass") -- so it is to hang
  check.near(fitted.off, deg(math.atan(140, 240)) - 30, 1e-9)
end)

test("points_below_the_cg_turn_it_over", function()
  local h = car_of():hoist("engine", {points = {{1600, 10, 300}, {2000, 10, 300}}, legs = 600})
  check.equal(h.status, "fail")
  check.contains(h.why, "it turns over: the points lie below its CG")
end)

test("the_boom_counts_at_its_next_longer_position", function()
  local boom = {{1000, 500}, {1250, 250}, {1500, sy.sd(130, 0)}}
  local function at(reach, tackle) return car_of():hoist("engine", {points = {"eye"}, boom = boom, reach = reach, tackle = tackle}) end
  check.near(at(1000).boom_margin, 380, 1e-9)
  check.near(at(1001).boom_margin, 130, 1e-9)
  check.equal(at(1400).status, "pass")
  check.near(at(1400).boom_margin, 10, 1e-9)
  check.equal(at(1400, 9).status, "near") -- 1 kg, and the mass is good to 1.96
  check.equal(at(1400, 11).status, "fail")
  check.contains(at(1400, 11).why, "131.0 kg on a boom rated 130 kg at that reach")
  check.equal(at(1501).status, "fail")
  check.contains(at(1501).why, "not rated beyond 1500 mm")
  check.equal(car_of():hoist("engine", {points = {"eye"}, boom = boom}).status, "unknown")
  check.equal(car_of():hoist("engine", {points = {"eye"}, reach = 1200}).status, "unknown")
end)

test("an_unknown_mass_is_unknown", function()
  local h = car_of():hoist({"engine", "loom"}, {points = {"eye"}})
  check.equal(h.status, "unknown")
  check.contains(h.why, "1 mass of engine and loom is not known")
end)

test("printed_with_its_cautions", function()
  local shown = tostring(car_of():hoist("engine", {points = {"eye"}}))
  check.contains(shown, "Hangs nose down 7.1 +- 1.9 deg.")
  check.contains(shown, "Eye bolts lose rating off their axis")
  check.contains(shown, "Nobody under the load")
  check.contains(shown, "local codes and licensed practice decide")
end)

test("messages_of_bad_input", function()
  local car = car_of()
  local function says(o, want) check.equal(tostring(check.raises(function() car:hoist("engine", o) end, "")), want) end
  says(nil, "points: are needed: where the legs hold on (write points = {{x, y, z}, ...} or names of points)")
  says({points = {}}, "points: are 0, one to four are possible")
  says({points = {"ey"}}, 'points[1]: no point is called "ey" (did you mean "eye"?)')
  says({points = {{1600, 10}}}, "points[1]: has no z")
  says({points = {{1600, 10, "600"}}}, 'points[1].z: must be a number in mm, is the text "600" (write it without quotes)')
  says({points = {{1600, 10, 0 / 0}}}, "points[1].z: is not a number (0/0)")
  says({points = {7}}, "points[1]: must be {x, y, z} in mm or the name of a point of the file, is the number 7")
  says({points = {"eye", "loose eye"}, legs = {300}}, "legs: are 1 for 2 points")
  says({points = {"eye"}, legs = 0}, "legs[1]: must be above 0 mm, is 0 mm")
  says({points = {"eye"}, legs = 300, hook = {1800, 10, 900}}, "hook: stands beside legs: a fixed hook gives their lengths")
  says({points = {{1500, 10, 600}, {2100, 10, 600}}, legs = 290},
    'part "engine", legs: 1 and 2 are too short to meet: their points are 600 mm apart')
  says({points = {{1800, 10, 400}}}, 'part "engine", points: the point is at the cg: it hangs any way round')
  says({points = {"eye"}, leg = 300}, 'car:hoist has no field "leg" (did you mean "legs"?)')
  says({points = {"eye"}, boom = {{1200, 300}, {1000, 400}}, reach = 1000}, "boom[2]: must reach further than the line before it")
  says({points = {"eye"}, boom = {{1200}}, reach = 1000}, "boom[1]: must be a number in kg, is not given")
  says({points = {"eye"}, hang = {back = 3}}, "hang: is how it is to hang, such as {nose_down = 3, left_up = 1}")
  check.equal(tostring(check.raises(function() car:hoist("loom", {points = {"eye"}}) end, "")),
    'part "loom": has no mass, so nothing hangs')
  check.raises(function() car:hoist("engin", {points = {"eye"}}) end, {code = "unknown", hint = "engine"})
  check.raises(function() car:hoist("rear axle", {points = {"eye"}}) end, {code = "type", message = "is an axle"})
end)

-- The same in a file that counts forward, left and down.
test("the_files_axes_do_not_matter", function()
  local car = car_of{axes = {x = "forward", y = "left", z = "down"},
    axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = -2400, track = 1460, loaded_radius = 301}},
    parts = {sy.part "engine" {mass = sy.sd(120, 1), at = {sy.sd(-1800, 4), -10, -400}}, sy.part "tub" {mass = 300, at = {-1000, 0, -350}}},
    points = {}}
  local a = car:hoist("engine", {points = {{-1600, 10, -600}, {-2000, 10, -620}}, legs = {400, 380}})
  local b = car_of():hoist("engine", {points = {{1600, -10, 600}, {2000, -10, 620}}, legs = {400, 380}})
  check.near(a.pitch, b.pitch, 1e-9)
  check.near(a.roll, b.roll, 1e-9)
  check.near(a.sd.pitch, b.sd.pitch, 1e-9)
  check.near(a.hook.z, -b.hook.z, 1e-9)
end)

check.done()
