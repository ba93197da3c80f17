-- Motion-ratio curves, bump stops, anti-dive and its like, from file to page. Equilibrium is held against SciPy's least energy
-- (tests/reference/oracle_springs.py), rates and links against statics by hand (tests/test_bent.c).

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local sy = require "steelyard"
local test = check.test

local function axle(name, at, more)
  local a = {name = name, at = at, track = 1500, loaded_radius = 300, spring_rate = 42, motion_ratio = 0.86, tyre_rate = 190,
             roll_centre = 40, perch_pitch = 1.5}
  for key, value in pairs(more or {}) do a[key] = value end
  return a
end

-- 228 kg of body on each front wheel, 190 on each rear one, CG of it 500 mm high.
local function fields(front, rear, body)
  return {
    title = "Bent (invented)", axles = {axle("front", 0, front), axle("rear", 2400, rear)},
    parts = {
      sy.part "nose" {mass = body or 456, at = {0, 0, 500}}, sy.part "tail" {mass = 380, at = {2400, 0, 500}},
      sy.part "front wheel" {pair = true, mass = 25, at = {0, 750, 300}, unsprung = "front"},
      sy.part "rear wheel" {pair = true, mass = 25, at = {2400, 750, 300}, unsprung = "rear"},
    },
    spares = {sy.part "crates" {mass = 320, at = {300, 150, 450}}},
    states = {sy.state "empty" {}, sy.state "laden" {with = {"crates"}}}, design = "empty",
  }
end

local function car(front, rear, body) return sy.car(fields(front, rear, body)) end

local FALLING = {{-60, 0.9}, {-30, 0.9675}, {30, 0.7525}, {60, 0.75}} -- 0.86 at 0, a quarter of it less in 60 mm
local STOP = {gap = 20, rate = 80}

local function refused(front, rear, message) check.raises(function() car(front, rear) end, message) end

local function page(r) return (tostring(r):gsub("%s+", " ")) end -- without the ends of lines

-- ---- rates ------------------------------------------------------------------------------------------------------------------

-- 31.1 N/mm less 9.3: the worked case of tests/test_bent.c.
test("rate_and_frequency_are_those_where_the_car_stands", function()
  local empty = car{motion_ratio = FALLING, bump_stop = STOP}:state "empty"
  local r = empty:corners()
  check.near(r.wheel_rate.front, 31.1 - 9.3, 0.1)
  check.near(r.wheel_rate.rear, 42 * 0.86 ^ 2, 1e-9)
  local series = r.wheel_rate.front * 190 / (r.wheel_rate.front + 190)
  check.near(r.ride_hz.front, math.sqrt(1e3 * series / 228) / (2 * math.pi), 1e-9)
  check.near(empty:attitude().frequency.front, r.ride_hz.front, 1e-9)
  check.contains(page(r), "Wheel rate and ride frequency where it stands: front 21.7 N/mm, 1.47 Hz; rear 31.1 N/mm, 1.89 Hz.")
  local laden = car{motion_ratio = FALLING, bump_stop = STOP}:state "laden":corners()
  check.ok(laden.wheel_rate.front > 80, laden.wheel_rate.front) -- on its stops
  check.near((laden.wheel_rate.lf + laden.wheel_rate.rf) / 2, laden.wheel_rate.front, 1e-12)
  check.near(car{motion_ratio = FALLING}:state "laden":attitude().wheel_rate.front,
    car{motion_ratio = FALLING}:state "laden":corners().wheel_rate.front, 1e-12)
end)

test("a_curve_that_ends_before_the_travel_is_said_to_stay", function()
  local more = {motion_ratio = {{-20, 0.88}, {25, 0.85}}, bump = 60, droop = 50}
  check.contains(page(car(more):corners()), "motion ratios of the front axle are given from -20 to 25 mm of wheel travel and stay the "
    .. "same beyond")
  more.bump, more.droop = 25, 20
  check.ok(not page(car(more):corners()):find "stay the same")
end)

test("curves_of_the_two_sides_are_said_to_stay_once", function()
  local function said(left, right)
    local lines = {}
    for line in page(car{left = {motion_ratio = left}, right = {motion_ratio = right}, bump = 60, droop = 50}:corners()):gmatch
      "motion ratios of the (.-) of wheel travel" do lines[#lines + 1] = line end
    return lines
  end
  check.equal(said({{-20, 0.88}, {25, 0.85}}, {{-20, 0.9}, {25, 0.86}}), {"front axle are given from -20 to 25 mm"})
  check.equal(said({{-20, 0.88}, {25, 0.85}}, {{-20, 0.9}, {30, 0.86}}),
    {"left front wheel are given from -20 to 25 mm", "right front wheel are given from -20 to 30 mm"})
  check.equal(said({{-60, 0.88}, {65, 0.85}}, {{-20, 0.9}, {30, 0.86}}), {"right front wheel are given from -20 to 30 mm"})
end)

test("a_curve_of_one_ratio_is_that_ratio", function()
  local plain, curve = car():state "laden", car{motion_ratio = {{-60, 0.86}, {0, 0.86}, {60, 0.86}}}:state "laden"
  local a, b = plain:corners{perches = {lf = 2}}, curve:corners{perches = {lf = 2}}
  for _, key in ipairs{"lf", "rf", "lr", "rr"} do
    check.near(b[key], a[key], 1e-10)
    check.near(b.per_turn.lf[key], a.per_turn.lf[key], 1e-10)
  end
end)

-- A lift with free springs takes those at the design height.
test("a_lift_on_free_springs_takes_the_rate_as_drawn", function()
  local readings = {{lift = 0, front = 506, rear = 430}, {lift = 300, front = 518}, {lift = 300, front = 519}}
  local function lift(c, suspension)
    return c:cg_height{lifted = "rear", by = "wheel", suspension = suspension, readings = readings, sd = {pad = 0.5, lift = 1}}
  end
  local function height(...) return lift(...).height end
  local function notes(...) return table.concat(lift(...).notes, "\n") end
  local bent, rate = car{motion_ratio = FALLING}, car{motion_ratio = FALLING}:corners().wheel_rate
  check.near(height(bent, "free"), height(bent, {front = rate.front, rear = rate.rear}), 1e-6)
  check.contains(notes(bent, "free"), "wheels are taken to give as at the design height")
  check.contains(notes(car({bump_stop = STOP}), "free"), "wheels are taken to give as at the design height")
  check.ok(not notes(car(), "free"):find "design height")
  check.ok(not notes(bent, "locked"):find "design height")
end)

-- ---- stops --------------------------------------------------------------------------------------------------------------------

test("a_stop_that_is_touched_is_named_with_how_far", function()
  local c = car({bump_stop = STOP}):state "laden"
  local r = c:corners()
  check.near(r.bump_stops.lf, r.travel.lf - 20, 1e-9)
  check.equal(r.bump_stops.lr, nil)
  check.contains(page(r), ("Lf on its bump stop, %s mm into it."):format(core.fixed(r.bump_stops.lf, 1)))
  check.contains(page(c:attitude()), "Lf on its bump stop")
  check.contains(page(c:perches{cross_share = 50}), "Lf on its bump stop")
  local still = c:state "empty"
  check.equal(next(still:corners().bump_stops), nil)
  check.ok(not page(still:transfer{left_turn = 0.1}):find "bump stop")
  check.contains(page(still:transfer{braking = 1}), "Lf on its bump stop")
  local bend = still:transfer{left_turn = 0.9}
  check.ok(bend.bump_stops.rf and not bend.bump_stops.lf)
  check.contains(page(bend), "Rf on its bump stop")
  check.equal(car():corners().bump_stops, nil)
end)

-- Spring and stop together are stiffer: 60 kg a wheel by hand.
test("a_load_goes_onto_spring_and_stop", function()
  local c = car({bump_stop = {gap = 12, rate = 70}}):add(sy.part "sack" {mass = 120, at = {0, 0, 400}})
  local wheel, force = 42 * 0.86 ^ 2, 60 * 9.80665
  check.near(c:corners().travel.lf, 12 + (force - wheel * 12) / (wheel + 70), 1e-9)
end)

test("at_the_end_of_bump_the_stop_is_pressed_and_the_travel_over", function()
  local r = car({bump_stop = {gap = 5, rate = 5}, bump = 14}):state "laden":corners()
  check.near(r.travel.lf, 14, 1e-9)
  check.contains(page(r), "Lf on its bump stop, 9.0 mm into it.")
  check.contains(page(r), "The lf suspension is at the end of its bump travel.")
end)

-- ---- set lower ----------------------------------------------------------------------------------------------------------------

-- The same car drawn anew 10 mm lower: what is sprung 10 mm down, and travels that much nearer to bump.
test("a_lowered_body_uses_up_curve_and_gap", function()
  local c = car({motion_ratio = FALLING, bump_stop = STOP, bump = 60, droop = 60}):state "empty":lower{front = 10, rear = 10}
  local anew = fields{motion_ratio = {{-70, 0.9}, {-40, 0.9675}, {20, 0.7525}, {50, 0.75}}, bump_stop = {gap = 10, rate = 80}, bump = 50,
                      droop = 70}
  anew.parts[1], anew.parts[2] = sy.part "nose" {mass = 456, at = {0, 0, 490}}, sy.part "tail" {mass = 380, at = {2400, 0, 490}}
  local a, b = c:state "laden":corners(), sy.car(anew):state "laden":corners()
  check.near(a.wheel_rate.front, b.wheel_rate.front, 1e-9)
  for _, key in ipairs{"lf", "rf", "lr", "rr"} do
    check.near(a[key], b[key], 1e-9)
    check.near(a.travel[key], b.travel[key] + 10, 1e-9)
  end
  check.near(a.bump_stops.lf, b.bump_stops.lf, 1e-9)
end)

-- ---- uncertainties ------------------------------------------------------------------------------------------------------------

-- Against solving again with the number a little changed; half a hundredth of the uncertainty leaves some millionths of it.
local function sd_by_steps(make, sd, answer)
  local step = 0.005
  return math.abs(answer(make(step * sd)) - answer(make(-step * sd))) / (2 * step)
end

test("uncertainties_of_masses_go_through_bent_springs", function()
  local function made(more, sd)
    return sy.car(fields({motion_ratio = FALLING, bump_stop = STOP}, nil, sd and sy.sd(456 + more, sd) or 456 + more)):state "laden"
  end
  local function load(c) return c:corners{pads = {lf = 8}}.lf end
  check.near(made(0, 3):corners{pads = {lf = 8}}.sd.lf, sd_by_steps(made, 3, load), 1e-5)
  local function height(c) return c:attitude{pads = {lf = 8}}.heights.front end
  check.near(made(0, 3):attitude{pads = {lf = 8}}.sd.heights.front, sd_by_steps(made, 3, height), 1e-5)
end)

test("uncertainties_of_rates_gaps_and_links_count", function()
  local function standing(of) return function(more) return car(of(more)):state "laden":attitude() end end
  local function height(r) return r.heights.front end
  local cases = {
    {2, function(x) return {motion_ratio = FALLING, spring_rate = x} end, 42},
    {1.5, function(x) return {bump_stop = {gap = x, rate = 80}} end, 20},
    {9, function(x) return {bump_stop = {gap = 20, rate = x}} end, 80},
  }
  for i, case in ipairs(cases) do
    local sd, of, value = table.unpack(case)
    local make = standing(of)
    local stated = make(sy.sd(value, sd)).sd.heights.front
    check.ok(stated > 0.1, i) -- mm
    check.near(stated, sd_by_steps(function(by) return make(value + by) end, sd, height), 1e-4 * stated, i)
  end
  local function braked(front) return car(front):transfer{braking = 0.8, brake_front_share = 60} end
  local function pitch(r) return r.pitch end
  local anti = braked{anti_dive = sy.sd(40, 5)}.sd.pitch
  check.near(anti, sd_by_steps(function(by) return braked{anti_dive = 40 + by} end, 5, pitch), 1e-6)
  local angle = braked{anti_dive = {angle = sy.sd(5, 1)}}.sd.pitch
  check.near(angle, sd_by_steps(function(by) return braked{anti_dive = {angle = 5 + by}} end, 1, pitch), 1e-6)
  local function shared(share) return car{anti_dive = {angle = 5}}:transfer{braking = 0.8, brake_front_share = share} end
  check.near(shared(sy.sd(60, 4)).sd.pitch, sd_by_steps(function(by) return shared(60 + by) end, 4, pitch), 1e-6)
end)

-- ---- links ----------------------------------------------------------------------------------------------------------------------

local ONTO_FRONT = (836 * 500 + 100 * 300) / 2400 -- kg at 1 g

test("full_anti_dive_leaves_the_springs_and_the_loads", function()
  local plain, held = car():transfer{braking = 0.8}, car{anti_dive = 100}:transfer{braking = 0.8}
  for _, key in ipairs{"lf", "rf", "lr", "rr"} do check.near(held[key], plain[key], 1e-9) end
  check.near(held.travel.lf, 0, 1e-9)
  check.near(held.heights.front, -0.8 * ONTO_FRONT / 2 * 9.80665 / 190, 1e-9, "what the tyre gives")
  check.near(held.heights.rear, plain.heights.rear, 1e-9)
  check.near(held.pitch, math.deg((held.heights.front - held.heights.rear) / 2400), 1e-9)
  check.near(held.links.front, 100, 1e-12)
  check.equal(plain.links, nil)
  check.contains(page(held), "Links carry 100.0 % of what braking puts onto the front axle, past the springs; tyres carry all of it.")
  check.contains(page(held), ("Body at the front axle %s mm down, at the rear axle %s mm up against standing."):format(
    core.fixed(-held.heights.front, 1), core.fixed(held.heights.rear, 1)))
  check.contains(page(plain), "Anti-dive and anti-squat are not modelled")
  check.contains(page(car{anti_dive = 30}:transfer{drive = 0.3}), "No anti-squat is given: all of the load transfer goes through the "
    .. "springs.")
end)

-- tan(angle) L / h x share: the classical condition (tests/test_bent.c, from memory).
test("an_angle_is_worth_its_tangent_by_wheelbase_height_and_share", function()
  local height = ONTO_FRONT * 2400 / 936
  local full = math.deg(math.atan(height / 2400 / 0.62))
  local r = car({anti_dive = {angle = full}}, {anti_squat = {angle = 6}}):transfer{braking = 0.7, brake_front_share = 62}
  check.near(r.links.front, 100, 1e-9)
  check.near(r.links.front_share, 62, 1e-12)
  check.ok(not page(r):find "is taken as shared")
  local assumed = car{anti_dive = {angle = full}}:transfer{braking = 0.7}
  check.near(assumed.links.front_share, 100 * (506 + 0.7 * ONTO_FRONT) / 936, 1e-9)
  check.contains(page(assumed), ("The brake force is taken as shared as the axles are loaded then, %s %% of it in front; "
    .. "brake_front_share states it."):format(core.fixed(assumed.links.front_share, 1)))
  local drive = car({anti_dive = 20}, {anti_squat = {angle = 6}}):transfer{drive = 0.4}
  check.near(drive.links.rear, 100 * math.tan(math.rad(6)) * 2400 / height, 1e-9)
  check.contains(page(drive), "of what drive puts onto the rear axle, past the springs")
  check.ok(not page(drive):find "is taken as shared")
end)

-- ---- unlike sides ---------------------------------------------------------------------------------------------------------------

test("a_side_states_a_curve_of_its_own", function()
  local one = car{right = {motion_ratio = FALLING}}:corners()
  check.near(one.wheel_rate.lf, 42 * 0.86 ^ 2, 1e-9)
  check.near(one.wheel_rate.rf, car{motion_ratio = FALLING}:corners().wheel_rate.front, 1e-6)
  check.near(one.wheel_rate.front, (one.wheel_rate.lf + one.wheel_rate.rf) / 2, 1e-9)
  local plain = car{motion_ratio = FALLING, left = {motion_ratio = 0.86}}:corners()
  check.near(plain.wheel_rate.lf, one.wheel_rate.lf, 1e-9)
  check.near(plain.wheel_rate.rf, one.wheel_rate.rf, 1e-9)
  refused({bump_stop = {gap = 50, rate = 50}, bump = 60, left = {bump = 45}}, nil,
    'axle "front", bump_stop.gap: is 50 mm, but bump ends at 45 mm')
  local low = car{right = {motion_ratio = FALLING}, bump_stop = STOP}:lower{front = 10, rear = 10}:state "laden":corners()
  check.near(low.bump_stops.rf, low.travel.rf - 20, 1e-9)
end)

-- ---- edits ----------------------------------------------------------------------------------------------------------------------

test("set_axles_are_those_written_anew", function()
  local c = car{motion_ratio = sy.sd(0.86, 0.01)}:set("front axle", {motion_ratio = FALLING, bump_stop = STOP, anti_dive = 25})
  local anew = car{motion_ratio = FALLING, bump_stop = STOP, anti_dive = 25}
  check.near(c:state "laden":corners().lf, anew:state "laden":corners().lf, 1e-9)
  check.near(c:transfer{braking = 0.5}.pitch, anew:transfer{braking = 0.5}.pitch, 1e-9)
  check.near(c:set("front axle", {motion_ratio = 0.86, bump_stop = {gap = 500, rate = 1}, anti_dive = 0}):state "laden":corners().lf,
    car():state "laden":corners().lf, 1e-9)
  check.raises(function() c:set("front axle", {anti_lift = 20}) end, 'axle "front", anti_lift: belongs to the last axle')
  check.raises(function() c:set("front axle", {bump = 15}) end, 'axle "front", bump_stop.gap: is 20 mm, but bump ends at 15 mm')
end)

test("another_curve_is_a_change_of_attitude", function()
  local a, b = car():state "laden", car{motion_ratio = FALLING}:state "laden"
  local change = b:attitude{against = a}
  check.near(change.heights.front, b:attitude().heights.front - a:attitude().heights.front, 1e-9)
  check.ok(change.heights.front < -5, change.heights.front) -- mm: the falling rate
end)

-- ---- mistakes, each read aloud ----------------------------------------------------------------------------------------------------

test("curves_that_are_none_are_refused", function()
  local function curve(points, message) refused({motion_ratio = points}, nil, 'axle "front", motion_ratio' .. message) end
  curve({}, ": has 0 points, a curve has 2 to 8 (as in motion_ratio = {{-60, 0.82}, {0, 0.80}, {60, 0.74}}: wheel travel in mm, and the "
    .. "ratio there)")
  curve({{0, 0.8}}, ": has 1 point")
  curve({{0, 1}, {1, 1}, {2, 1}, {3, 1}, {4, 1}, {5, 1}, {6, 1}, {7, 1}, {8, 1}}, ": has 9 points")
  curve({0.8, 0.7}, "[1]: must be {travel, ratio}, is the number 0.8")
  curve({{-20, 0.8}, {20}}, "[2]: must be {travel, ratio}, is a table")
  curve({{-20, 0.8}, {20, 0.7, 3}}, "[2]: must be {travel, ratio}, is a table")
  curve({{20, 0.8}, {-20, 0.7}}, "[2]: is at -20 mm of travel, after a point at 20 mm (points are listed from droop, which counts below 0, "
    .. "to bump)")
  curve({{-20, 0.8}, {-20, 0.7}}, "[2]: is at -20 mm of travel, after a point at -20 mm")
  curve({{-20, 0.8}, {20, 0}}, "[2], ratio: must be above 0, is 0")
  curve({{-20, 0.8}, {20, -0.7}}, "[2], ratio: must be above 0, is -0.7")
  curve({{-20, 0.8}, {2e4, 0.7}}, "[2], travel: must be 1000 mm or less, is 20000 mm")
  curve({{-20, "0.8"}, {20, 0.7}}, '[1], ratio: must be a number, is the text "0.8" (write it without quotes)')
  curve({{-20, sy.sd(0.8, 0.01)}, {20, 0.7}}, "[1], ratio: has an uncertainty, which a point of a curve cannot state (state it in "
    .. "spring_rate: 1 % of the ratios does at the wheel what 2 % of the spring's rate does)")
  curve("rising", ': must be a number or a curve, is the text "rising" (as in motion_ratio = {{-60, 0.82}')
  curve("0.8", ': must be a number, is the text "0.8"')
end)

test("a_rate_that_turns_negative_is_refused_with_wheel_and_travel", function()
  local c = car{motion_ratio = {{-50, 0.86}, {0, 0.86}, {50, 0.4}}}
  for _, call in ipairs{"corners", "attitude", "stability"} do
    check.raises(function() return tostring(c[call](c)) end, {code = "range", field = "motion_ratio", message = "falls so fast that the "
      .. "rate at the wheel is -29.4 N/mm 50 mm up from the design height, must be above 0 from droop to bump"})
  end
  check.raises(function() c:corners() end, "left front wheel, motion_ratio: falls so fast")
  check.ok(c:balance().mass > 0) -- what needs no springs does not mind
  check.ok(car{motion_ratio = {{-50, 0.86}, {0, 0.86}, {50, 0.4}}, bump = 0}:corners().mass > 0)
  local soft = car{motion_ratio = FALLING}
  check.raises(function() soft:corners{perches = {rf = 190}} end, "falls so fast")
end)

local FILE = [[
vehicle { title = "Bent (invented)", axes = { x = "forward", y = "left", z = "up" },
  lowered = { front = %d,
    rear = %d },
  axles = { { name = "front", at = 1000, track = 1500, loaded_radius = 300, spring_rate = 42, tyre_rate = 190, bump = 60, droop = 60,
      motion_ratio = %s, bump_stop = { gap = 35, rate = 80 },
      right = { motion_ratio = %s } },
    { name = "rear", at = %d, track = 1500, loaded_radius = 300, spring_rate = 42, tyre_rate = 190, bump = 50, droop = 60 } },
  parts = { part "body" { mass = 500, at = {0, 0, 400} } } }
]]

test("what_a_file_says_of_travel_is_refused_at_its_line", function()
  local function said(front, rear, left, right, at) return sy.load("bent.lua", FILE:format(front, rear, left, right, at or -1400)) end
  local falling = "{{-60, 0.9}, {0, 0.86}, {60, 0.3}}"
  check.equal(said(40, 0, "0.86", "0.8"):corners().travel.lf, 40, "on its stop")
  check.raises(function() said(70, 0, "0.86", "0.8") end, {file = "bent.lua", line = 2, field = "lowered",
    message = "bump of the front axle ends 60 mm from the design height; a body 70.0 mm lower is out of range"})
  check.raises(function() said(0, 70, "0.86", "0.8") end, {file = "bent.lua", line = 3, field = "lowered",
    message = "bump of the rear axle ends 50 mm from the design height"})
  check.raises(function() said(50, -450, "0.86", "0.8", 600) end, {file = "bent.lua", line = 3, field = "lowered.rear",
    message = "has only the wheelbase of 400 mm to turn over"})
  check.raises(function() said(0, 0, falling, "0.8"):corners() end, {file = "bent.lua", line = 5, part = "left front wheel",
    field = "motion_ratio", message = "falls so fast"})
  check.raises(function() said(0, 0, "0.86", falling):attitude() end, {line = 6, part = "right front wheel"})
  local err = check.raises(function()
    said(0, 0, "0.86", "0.8"):set("front axle", {motion_ratio = {{-60, 0.9}, {0, 0.86}, {60, 0.3}}}):corners()
  end, {part = "left front wheel"})
  check.equal(err.line, nil, "a script said so")
end)

test("stops_that_cannot_be_are_refused", function()
  local function stop(given, message, more)
    local front = more or {}
    front.bump_stop = given
    refused(front, nil, 'axle "front", bump_stop' .. message)
  end
  stop({gap = 60, rate = 50}, ".gap: is 60 mm, but bump ends at 60 mm: the stop would never be touched", {bump = 60})
  stop({gap = -5, rate = 50}, ".gap: must be 0 mm or more, is -5 mm")
  stop({gap = 20}, ".rate: is missing")
  stop({rate = 20}, ".gap: is missing")
  stop({gap = 20, rate = 0}, ".rate: must be above 0 N/mm, is 0 N/mm")
  stop({gap = 20, rate = 50, travel = 3}, ".travel: there is no such field in a bump stop")
  stop(20, ": must be a table { ... }, is the number 20")
end)

test("links_of_the_wrong_axle_are_refused", function()
  refused(nil, {anti_dive = 30}, 'axle "rear", anti_dive: belongs to the first axle (what keeps the tail from rising under braking is '
    .. "anti_lift)")
  refused({anti_lift = 30}, nil, 'axle "front", anti_lift: belongs to the last axle (what keeps the nose from diving under braking is '
    .. "anti_dive)")
  refused({anti_dive = 300}, nil, 'axle "front", anti_dive: must be 200 % or less, is 300 %')
  refused({anti_dive = "30 %"}, nil, 'axle "front", anti_dive: must be a number in %, is the text "30 %"')
  refused({anti_dive = {}}, nil, 'axle "front", anti_dive.angle: is missing')
  refused({anti_dive = {angel = 3}}, nil, 'anti_dive.angel: there is no such field in a side-view angle (did you mean "angle"?)')
  refused({anti_dive = {angle = 70}}, nil, 'anti_dive.angle: must be 60 deg or less, is 70 deg')
  local six = fields()
  six.axles[3] = axle("third", 3000, {anti_squat = 20})
  check.raises(function() sy.car(six) end, 'axle "third", anti_squat: is known of vehicles with two axles, this one has 3')
  check.raises(function() car{anti_dive = {angle = 4}}:transfer{braking = 0.5, brake_front_share = 0.6} end,
    "brake_front_share: is 0.6 %, no brakes are set so (shares are in per cent: 60, not 0.6)")
end)

check.done()
