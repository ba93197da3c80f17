--- sy.plan_lift, car:plan_lift and result:plan: the least lift that does it, what touches, blocks, what limits it, refusals.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local core = require "steelyard.core"
local test = check.test

local function plan(change)
  local t = {within = 10, pads = {sd = 0.1}, lifted = "rear", wheelbase = 2450, radii = {front = 290, rear = 305}, mass = 701.4,
             front_share = 40.3, height = 348,
             low_points = {{name = "nose", forward = 750, height = 110}, {name = "tail", back = 3000, height = 150}}}
  if change then change(t) end
  return t
end

-- A session as planned: level, four steps up and down again, loads without error; its uncertainty must be the plan's.
local function session(lift, pad)
  local readings, car = {}, {wheelbase = 2450, radius = {290, 305}, lifted = "rear"}
  for k = 0, 8 do
    local step = lift * (k <= 4 and k or 8 - k) / 4
    local front = core.lift_load(car, 701.4, 0.403 * 701.4, 348, step > 0 and core.lift_tilt(car, step) or 0)
    local down = k > 4
    readings[#readings + 1] = {run = down and "down" or "up", lift = step, front = sy.sd(front, pad * math.sqrt(2)),
                               rear = step == 0 and sy.sd(701.4 - front, pad * math.sqrt(2)) or nil}
    if k == 4 then readings[#readings + 1] = {run = "down", lift = step, front = readings[#readings].front} end
  end
  return sy.cg_height{wheelbase = 2450, radii = {front = 290, rear = 305}, sd = {zero = 0}, readings = readings}
end

test("planned_uncertainty_is_what_the_session_then_has", function()
  local r = sy.plan_lift(plan())
  check.ok(r.possible)
  check.near(r.half_width, 1.96 * session(r.lift, 0.1).sd.height, 1e-6)
  check.ok(r.half_width <= 10)
  check.ok(1.96 * session(r.lift - 10, 0.1).sd.height > 10, "10 mm less does not do it")
  check.equal(r.limited_by, "the pads")
end)

-- dh = L/(W tan t) dF for equal radii: halve the uncertainty asked for, and the tangent doubles; four times the readings, half the tangent.
test("lift_follows_the_tangent_and_repeats_the_root", function()
  local function tangent(change) return math.tan(math.rad(sy.plan_lift(plan(change)).angle)) end
  local one = tangent()
  check.near(tangent(function(t) t.within = 5 end) / one, 2, 0.1) -- lifts are stated in steps of 10 mm
  check.near(tangent(function(t) t.pads = {sd = 0.2} end) / one, 2, 0.1)
  local r = sy.plan_lift(plan())
  check.near(math.tan(math.rad(r.choices[3].angle)) / one, 0.5, 0.05)
  check.equal({r.choices[1].repeats, r.choices[3].repeats}, {1, 4})
end)

test("first_to_touch_comes_first_with_the_worked_lift", function()
  local r = sy.plan_lift(plan(function(t) t.within = 3 end))
  -- 290 - 750 sin t - 180 cos t = 0; the rear hubs then stand 2450 sin t + 15 cos t - 15 higher
  local t = math.asin(290 / math.sqrt(750 ^ 2 + 180 ^ 2)) - math.atan(180, 750)
  check.equal(r.touches[1].point, "nose")
  check.near(r.touches[1].lift, 2450 * math.sin(t) + 15 * math.cos(t) - 15, 0.2) -- found to 0.1 mm
  check.equal(r.touches[2].lift, nil)
  check.ok(r.lift > r.touches[1].lift)
  local tilt = math.rad(r.angle)
  local deep = 290 - 750 * math.sin(tilt) - 180 * math.cos(tilt)
  check.equal(r.blocks, math.ceil((20 - deep) / 10) * 10)
  check.contains(tostring(r), "the nose (750 ahead, 110 high) touches")
  check.contains(tostring(r), "under all four pads")
  check.equal(sy.plan_lift(plan()).blocks, 0)
end)

test("lifting_the_front_makes_the_tail_touch", function()
  local r = sy.plan_lift(plan(function(t) t.lifted, t.within = "front", 2 end))
  check.equal(r.touches[1].point, "tail")
  -- about the rear hub, 550 ahead of the tail and 155 above it
  local t = math.asin(305 / math.sqrt(550 ^ 2 + 155 ^ 2)) - math.atan(155, 550)
  check.near(r.touches[1].lift, 2450 * math.sin(t) - 15 * math.cos(t) + 15, 0.2)
end)

test("what_cannot_be_had_is_said_with_what_limits_it", function()
  local r = sy.plan_lift(plan(function(t) t.within, t.sd = 2, {radius = 3} end))
  check.equal(r.possible, false)
  check.equal(r.limited_by, "the rear loaded radius") -- dh/dr_r = the rear share, the larger one
  check.equal(r.repeats, 8)
  check.contains(tostring(r), "even ")
  r = sy.plan_lift(plan(function(t) t.most = 100 end))
  check.equal(r.possible, true)
  check.ok(r.lift <= 100 and r.repeats > 1)
end)

test("pads_that_would_do_are_named", function()
  local r = sy.plan_lift(plan(function(t) t.sd = {radius = 1, lift = 2} end))
  check.equal(r.pads_needed.lift, math.floor((r.touches[1].lift - 20) / 10) * 10)
  local again = sy.plan_lift(plan(function(t)
    t.sd, t.pads, t.most = {radius = 1, lift = 2}, {sd = r.pads_needed.sd * 0.999}, r.pads_needed.lift
  end))
  check.equal({again.repeats, again.lift}, {1, r.pads_needed.lift})
end)

test("a_result_plans_its_own_repetition", function()
  local r = session(300, 0.1)
  local p = r:plan(5)
  check.ok(p.possible and p.lift > 300)
  check.near(p.half_width, 1.96 * session(p.lift, 0.1).sd.height, 1e-6)
end)

test("a_car_brings_its_mass_height_and_points", function()
  local car = sy.car{title = "Planned (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1500, loaded_radius = 290}, {name = "rear", at = 2450, track = 1480, loaded_radius = 305}},
    parts = {sy.part "all" {mass = 701.4, at = {0.597 * 2450, 0, 348}}}, points = {nose = {-750, 0, 110}, mirror = {700, 0, 900}}}
  local r = car:plan_lift{within = 3, pads = {sd = 0.1}}
  check.equal(r.lift, sy.plan_lift(plan(function(t) t.within = 3 end)).lift)
  check.equal({r.touches[1].point, #r.touches}, {"nose", 2})
  check.contains(r.heading, "Plan for Planned (invented)")
end)

-- Measured forward from a bulkhead, left-handed, its ground and centre plane not at zero.
test("low_points_are_where_their_parts_are_and_aboard", function()
  local car = sy.car{title = "Odd (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -120, centre = 35,
    axles = {{name = "front", at = 1430, track = 1400, loaded_radius = 290}, {name = "rear", at = -970, track = 1420, loaded_radius = 300}},
    parts = {sy.part "all" {mass = 701.4, at = {200, 35, 228}}, sy.part "wing" {mass = 4, at = {-1500, 35, 60}}},
    points = {nose = {2180, 35, -10}, lip = {at = {-1900, 35, 0}, part = "wing"}}, states = {sy.state "bare" {without = {"wing"}}}}
  local function heights(c)
    local found = {}
    for _, touch in ipairs(c:plan_lift{within = 5, pads = {sd = 0.5}}.touches) do found[touch.point] = touch.height end
    return found
  end
  check.near(heights(car).lip, 120, 1e-9)
  check.near(heights(car:move("wing", {up = 30})).lip, 150, 1e-9)
  check.near(heights(car).nose, 110, 1e-9)
  check.equal(heights(car:state "bare").lip, nil)
end)

-- Moments about the rear wheels' centres by hand: front = W (b cos t + (h - rr) sin t)/(L cos t + (rf - rr) sin t), rear up by t.
test("pads_are_foretold_by_statics", function()
  local r = sy.plan_lift(plan(function(t) t.lifts, t.corners = {0, 330}, {lf = 150, rf = 132.7, lr = 210, rr = 208.7} end))
  local L, rf, rr, W, h = 2450, 290, 305, 701.4, 348
  -- the lift is of the rear pads over the front ones: rr + 330 - rf is how far the rear centre stands above the front one
  local t = math.asin((330 + rr - rf) / math.sqrt(L ^ 2 + (rr - rf) ^ 2)) - math.asin((rr - rf) / math.sqrt(L ^ 2 + (rr - rf) ^ 2))
  local function front(height) -- nose down by t
    return W * (0.403 * L * math.cos(t) + (height - rr) * math.sin(t)) / (L * math.cos(t) + (rf - rr) * math.sin(t))
  end
  local row = r.expected[2]
  check.near(row.angle, math.deg(t), 1e-9)
  check.near(row.front, front(h), 1e-9)
  check.near(row.rear, W - front(h), 1e-9)
  check.near(row.per_10_mm, front(h + 10) - front(h), 1e-9)
  check.near(row.lf, 150 / 282.7 * row.front, 1e-9)
  check.near(row.rr, 208.7 / 418.7 * row.rear, 1e-9)
  check.near(r.expected[1].front, 0.403 * W, 1e-9)
  check.contains(tostring(r), "rear up, mm  tilt, deg  lf, kg  rf, kg  lr, kg  rr, kg  front if the CG is 10 mm higher")
  r = sy.plan_lift(plan())
  check.equal({#r.expected, r.expected[1].lf}, {5, nil})
  check.contains(tostring(r), "front, kg  rear, kg")
end)

local function refuses(name, change, want)
  test("refused_" .. name, function() check.raises(function() sy.plan_lift(plan(change)) end, want) end)
end

refuses("without_an_aim", function(t) t.within = nil end, {field = "within", code = "missing"})
refuses("without_pads", function(t) t.pads = nil end, {field = "pads", code = "missing"})
refuses("with_exact_pads", function(t) t.pads = {sd = 0} end, {field = "pads.sd", message = "no scale is exact"})
refuses("without_radii", function(t) t.radii = nil end, {field = "radii"})
refuses("without_a_mass", function(t) t.mass = nil end, {field = "mass"})
refuses("sides", function(t) t.lifted = "left" end, {field = "lifted"})
refuses("points_under_ground", function(t) t.low_points[1].height = -5 end, {part = "low point 1", field = "height"})
refuses("points_nowhere", function(t) t.low_points[1].forward = nil end, {part = "low point 1", code = "missing"})
refuses("typos", function(t) t.whithin = 5 end, {hint = "did you mean within?"})
refuses("half_corners", function(t) t.corners = {lf = 100, rf = 100, lr = 200} end, {field = "corners.rr", code = "missing"})
refuses("lifts_beyond_the_lever", function(t) t.lifts = {100, 2600} end, {field = "lifts[2]", code = "geometry"})
refuses("half_steps", function(t) t.steps = 2.5 end, {field = "steps", message = "whole number"})

check.done()
