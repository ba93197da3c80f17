-- Gaps between what must not touch, by figures worked out by hand.
local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function file(clearances, more)
  local fields = {
    title = "gaps", axes = {x = "back", y = "right", z = "up"}, clearances = clearances,
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300, bump = 60, droop = 50},
             {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = {
      sy.group "powertrain" {at = {1700, 0, 300},
        sy.part "block" {mass = 90, at = {0, 0, 0}, shape = sy.box {400, 300, 200}},
        sy.part "loom" {mass = 3, at = {0, 0, 150}}},
      sy.part "bulkhead" {mass = 9, at = {1400, 0, 400}, shape = sy.plate {600, 900, normal = "x"}},
      sy.part "damper" {pair = true, mass = 3, at = {1700, 330, 420}, shape = sy.cylinder {60, 300, axis = "z"}},
      sy.part "rim" {pair = true, mass = 9, at = {0, 720, 300}, unsprung = "front", shape = sy.cylinder {600, 200}},
      sy.part "arch" {pair = true, mass = 1, at = {0, 720, 680}, shape = sy.box {500, 200, 20}},
      sy.part "steering rack" {mass = 6, at = {150, 0, 300}, shape = sy.rod {1000}},
      sy.tank "fuel" {shape = sy.box {150, 900, 300}, at = {1200, 0, 300}, density = 0.75, fill = 10},
    },
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function gap(a, b, options, more)
  local spec = {name = "gap", a = a, b = b, asked = 10}
  for key, value in pairs(more or {}) do spec[key] = value end
  return file({spec}):clearances(options)[1]
end

local CLOSE = 2e-4 -- mm; the distance is found to a ten thousandth

test("shapes_stand_where_their_parts_do", function()
  check.near(gap("block", "bulkhead").gap, 1700 - 200 - 1400, CLOSE)
  check.near(gap("bulkhead", "block").gap, 100, CLOSE)
  check.near(gap("block", "damper").gap, 330 - 30 - 150, CLOSE) -- either of the pair
  check.near(gap("bulkhead", "fuel").gap, 1400 - 1200 - 75, CLOSE) -- the tank's middle, however full it is
  check.near(gap("block", {part = "bulkhead", at = {1400, 0, 500}, radius = 25}).gap, math.sqrt(100 ^ 2 + 100 ^ 2) - 25, CLOSE)
  check.near(gap("block", {at = {1400, -500, 450}, to = {1400, 500, 450}, radius = 20}).gap, math.sqrt(100 ^ 2 + 50 ^ 2) - 20, CLOSE)
end)

test("round_shapes_that_face_each_other_squarely_are_apart_by_what_lies_between", function()
  local car = file({{name = "ends", a = "first", b = "second", asked = 50}, {name = "road", a = "upright", b = "ground", asked = 100}},
    {parts = {
      sy.part "first" {mass = 9, at = {2880, 0, 400}, shape = sy.cylinder {80, 551.6, axis = "x"}},
      sy.part "second" {mass = 9, at = {3451.6, 0, 400}, shape = sy.cylinder {80, 551.6, axis = "x"}},
      sy.part "upright" {mass = 9, at = {1234.5, 77.7, 333.3}, shape = sy.cylinder {180, 410, axis = "z"}},
    }})
  local rows = car:clearances()
  check.near(rows[1].gap, 3451.6 - 2880 - 551.6, CLOSE)
  check.equal(rows[1].status, "fail")
  check.near(rows[2].gap, 333.3 - 205, CLOSE)
end)

test("moved_parts_take_their_shapes_along", function()
  local car = file {{name = "gap", a = "block", b = "bulkhead", asked = 10}}
  check.near(car:move("powertrain", {back = 30}):clearances()[1].gap, 130, CLOSE)
  local near = car:move("powertrain", {forward = 85}):clearances()
  check.near(near[1].gap, 15, CLOSE)
  check.equal(near.status, "pass")
  check.equal(car:move("powertrain", {forward = 95}):clearances().status, "fail")
  local through = car:move("powertrain", {forward = 110}):clearances()
  check.ok(through[1].overlap)
  check.contains(tostring(through), "FAIL")
  -- stood on its nose about its own middle: half of 200 towards the bulkhead instead of half of 400
  check.near(car:move("block", {nose_up = 90}):clearances()[1].gap, 200, CLOSE)
end)

test("marks_on_two_faces_count_along_the_line_between_them", function()
  local car = file {{name = "faces", a = {part = "block", at = {1500, 0, 300}}, b = {part = "bulkhead", at = {1400, 0, 300}}, asked = 10}}
  check.near(car:clearances()[1].gap, 100, CLOSE)
  local through = car:move("powertrain", {forward = 130}):clearances()[1]
  check.near(through.gap, -30, CLOSE)
  check.ok(through.overlap)
end)

test("what_has_no_shape_is_unknown_and_never_passed", function()
  local row = gap("loom", "bulkhead")
  check.equal(row.status, "unknown")
  check.contains(row.why, "powertrain/loom has no shape")
  row = gap("powertrain", "bulkhead") -- its block is known, its loom is not
  check.near(row.gap, 100, CLOSE)
  check.equal(row.status, "unknown")
  check.contains(row.why, "at most that: powertrain/loom has no shape")
  row = gap("powertrain", "bulkhead", nil, {asked = 120})
  check.equal(row.status, "fail")
  check.equal(file {{name = "n", a = "block", b = "bulkhead"}}:clearances().status, "unknown")
  check.equal(file(nil):clearances().status, "unknown")
  check.contains(file {{name = "n", a = "block", b = "bulkhead", asked = 1}}:without "bulkhead":clearances()[1].why, "not aboard")
end)

test("wheels_move_at_bump_and_droop", function()
  -- tread 600 under an arch whose lower side is at 670: 70, less 60 of bump
  check.near(gap("rim", "arch").gap, 70, CLOSE)
  check.near(gap("rim", "arch", {at = "bump"}).gap, 10, CLOSE)
  check.near(gap("rim", "arch", {at = "droop"}).gap, 120, CLOSE)
  local lowered = file {{name = "gap", a = "rim", b = "arch", asked = 10}}:lower {front = 20, rear = 20}
  check.near(lowered:clearances()[1].gap, 50, CLOSE)
  check.near(lowered:clearances {at = "bump"}[1].gap, 10, CLOSE) -- the stop is in the body
  local row = file {{name = "gap", a = {wheel = "lr", at = {2400, -720, 600}}, b = {at = {2400, -720, 660}}, asked = 1}}
    :clearances {at = "bump"}[1]
  check.equal(row.status, "unknown")
  check.contains(row.why, "the rear axle states no bump")
end)

-- A gap to the road is one of a pose. The figures by hand: the body goes down by the bump of an axle at its line and turns between them.
test("road_gap_is_of_the_body_on_wheels_that_stay_on_the_road", function()
  local axles = {{name = "front", at = 850, track = 1400, loaded_radius = 300, bump = 60, droop = 50},
                 {name = "rear", at = -1550, track = 1400, loaded_radius = 310, bump = 80, droop = 40}}
  local function at_road(x, z) return {at = {x, 77, z}} end
  local car = file({{name = "nose", a = at_road(1250, -50), b = "ground", asked = 10},
    {name = "sump", a = at_road(-350, 0), b = "ground", asked = 10}, {name = "rim", a = "upright", b = "ground", asked = 10}},
    {axes = {x = "forward", y = "right", z = "up"}, ground = -150, axles = axles,
    parts = {sy.part "upright" {pair = true, mass = 9, at = {850, 650, 120}, unsprung = "front", shape = sy.box {100, 40, 260}}}})
  local function gaps(car_, at)
    local list = {}
    for i, row in ipairs(car_:clearances {at = at}) do list[i] = row.gap end
    return list
  end
  local turn = math.atan(20, 2400) -- the tail goes 20 mm deeper than the nose
  local c, s = math.cos(turn), math.sin(turn)
  local want = {
    design = {100, 150, 140}, bump = {100 * c + 400 * s - 60, 150 * c - 1200 * s - 60, 140},
    droop = {100 * math.cos(math.atan(10, 2400)) + 400 * math.sin(math.atan(10, 2400)) + 50,
             150 * math.cos(math.atan(10, 2400)) - 1200 * math.sin(math.atan(10, 2400)) + 50, 140}}
  local nose = math.atan(60, 2400)
  want["front bump"] = {100 * math.cos(nose) - 400 * math.sin(nose) - 60, 150 * math.cos(nose) + 1200 * math.sin(nose) - 60, 140}
  local tail = math.atan(80, 2400)
  want["rear bump"] = {100 * math.cos(tail) + 400 * math.sin(tail), 150 * math.cos(tail) - 1200 * math.sin(tail), 140}
  for at, list in pairs(want) do
    local got = gaps(car, at)
    for i = 1, 3 do check.near(got[i], list[i], CLOSE, at .. " " .. i) end
  end
  -- lowered by 15: nearer as drawn, and at bump where the stops are in the body, as deep as before
  check.near(gaps(car:lower {front = 15, rear = 15}, "design")[2], 135, CLOSE)
  check.near(gaps(car:lower {front = 15, rear = 15}, "bump")[2], want.bump[2], 1e-3) -- 15 mm by the cosine of the turn
  check.equal(file({{name = "sump", a = at_road(-350, 0), b = "ground", asked = 10}}):clearances {at = "bump"}[1].status, "unknown")
end)

test("as_loaded_the_road_is_as_far_as_ride_height_says", function()
  local function axle(name, at) return {name = name, at = at, track = 1400, loaded_radius = 300, spring_rate = 40, tyre_rate = 200} end
  local places, points, list = {nose = {1500, -80, -40}, tail = {-2100, 300, -60}, upright = {850, 700, -20}}, {}, {}
  for name, at in pairs(places) do
    local part = name == "upright" and name or nil
    points[#points + 1] = {name = name, at = at, part = part}
    list[#list + 1] = {name = name, a = {at = at, part = part}, b = "ground", asked = 10}
  end
  local car = file(list, {axes = {x = "forward", y = "right", z = "up"}, ground = -150, centre = 20,
    axles = {axle("front", 850), axle("rear", -1550)},
    chassis = {torsion = 2000}, points = points, design = "light",
    parts = {sy.part "tub" {mass = 500, at = {-400, 20, 150}}, sy.part "upright" {mass = 20, at = {850, 720, 150}, unsprung = "front"},
             sy.person "passenger" {mass = 100, at = {-600, 400, 200}}},
    states = {sy.state "light" {without = {"passenger"}}, sy.state "heavy" {}}})
  for _, state in ipairs {"light", "heavy"} do
    local now = car:state(state)
    local ground = now:attitude().ground
    for _, row in ipairs(now:clearances {at = "as loaded"}) do
      check.near(row.gap, ground[row.name], 0.02, state .. " " .. row.name) -- a lean as an angle there, as a slope here
      local drawn = places[row.name][3] + 150
      check.ok(state == "light" or math.abs(row.gap - drawn) > 0.5, "the load moves it")
    end
  end
end)

-- A line from the middle of the floor to a corner leans with the body: its lower end is as high as ride_height says of that point.
test("as_loaded_what_has_a_length_leans_with_the_body", function()
  local function axle(name, at) return {name = name, at = at, track = 1400, loaded_radius = 300, spring_rate = 20, tyre_rate = 200} end
  local function lines(passenger)
    local middle, points, list = {-350, 20, -60}, {{name = "middle", at = {-350, 20, -60}}}, {}
    for i, way in ipairs {{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} do
      local corner = {-350 + 900 * way[1], 20 + 500 * way[2], -60}
      points[i + 1] = {name = "corner " .. i, at = corner}
      list[i] = {name = "corner " .. i, a = {at = middle, to = corner}, b = "ground", asked = 10}
    end
    local car = file(list, {axes = {x = "forward", y = "right", z = "up"}, ground = -150, centre = 20, points = points, design = "light",
      axles = {axle("front", 850), axle("rear", -1550)},
      parts = {sy.part "tub" {mass = 500, at = {-400, 20, 150}}, sy.person "passenger" {mass = 100, at = passenger}},
      states = {sy.state "light" {without = {"passenger"}}, sy.state "heavy" {}}}):state "heavy"
    local ground, leaning = car:attitude().ground, 0
    for _, row in ipairs(car:clearances {at = "as loaded"}) do
      check.near(row.gap, math.min(ground.middle, ground[row.name]), 0.05, row.name) -- a lean as an angle there, as a slope here
      if ground[row.name] < ground.middle - 2 then leaning = leaning + 1 end
    end
    check.ok(leaning > 0, "a corner is lower than the middle")
  end
  lines {-1500, 400, 200} -- behind and right
  lines {700, -300, 200} -- ahead and left
end)

test("clearance_in_a_state_is_as_loaded_where_springs_are_known", function()
  local out = check.command(check.steelyard .. ' clearance vehicles/twayblade.lua --state "two up"').out
  check.contains(out, "as loaded")
  check.equal(out:find("design", 1, true), nil)
  check.contains(check.command(check.steelyard .. ' clearance vehicles/twayblade.lua').out, "design")
  check.raises(function() file {{name = "n", a = "block", b = "ground", asked = 1}}:clearances {at = "as loaded"} end,
    {code = "missing", field = "spring_rate"})
end)

test("steered_wheels_come_closer", function()
  -- a rim 600 by 200 turned by 30 degrees: its inner face's rear edge, 20 outside the wheel's middle less 100, goes in by 300 sin 30
  local row = gap("rim", {at = {300, -400, 300}}, {at = "steer", steer = 30})
  -- the wheel's middle is (0, 700); the rim's rear inner edge is 300 back and 80 in of it; turned, both ways are tried
  local c, s = math.cos(math.rad(30)), math.sin(math.rad(30))
  local back, inward = 300 * c - 80 * s, 300 * s + 80 * c
  local along, off = 300 - back, 300 - inward
  check.ok(row.gap < math.sqrt(along ^ 2 + off ^ 2) + CLOSE, "the corner is a point of the rim")
  check.ok(row.gap > 60)
  check.equal(gap("rim", "steering rack", {at = "steer"}).status, "unknown")
  check.near(gap("rim", "steering rack", {at = "steer", steer = 0}).gap, gap("rim", "steering rack").gap, CLOSE)
end)

test("rocking_engine_swings_about_its_cg", function()
  local still = gap("block", "damper").gap
  local rocked = gap("block", "damper", {at = "rock", rock = {what = "powertrain", left_up = 4}}).gap
  -- the upper corner, 150 out and 100 - 4.84 up of the CG (block and loom together), comes out by its height's share
  local up = 150 * 3 / 93
  local corner = 150 * math.cos(math.rad(4)) + (100 - up) * math.sin(math.rad(4))
  check.near(rocked, still + 150 - corner, 0.5) -- the damper stands above: near the corner's level, not at it
  check.ok(rocked < still)
  local fixed = gap("bulkhead", "fuel", {at = "rock"}).gap
  check.near(fixed, 125, CLOSE)
end)

test("way_out_is_swept", function()
  check.near(gap("block", {at = {1700, -400, 700}, to = {1700, 400, 700}, radius = 10}).gap, 290, CLOSE)
  local row = gap("block", {at = {1700, -400, 700}, to = {1700, 400, 700}, radius = 10}, nil, {leaves = {up = 200}})
  check.near(row.gap, 90, CLOSE)
  check.ok(row.leaves)
  check.equal(gap("block", {at = {1700, -400, 700}, to = {1700, 400, 700}}, nil, {leaves = {up = 500}}).status, "fail")
end)

test("ground_is_asked_for_by_its_name", function()
  check.near(gap("block", "ground").gap, 200, CLOSE)
  local car = file {{name = "sump", a = "block", b = "ground", asked = 190}}
  check.equal(car:clearances().status, "pass")
  local low = car:lower {front = 20, rear = 20}:clearances()
  check.near(low[1].gap, 180, 1e-3)
  check.equal(low.status, "fail")
end)

test("uncertainty_of_the_places_is_the_uncertainty_of_the_gap", function()
  local car = sy.car {title = "uncertainty", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = {sy.part "a" {mass = 1, at = {sy.sd(1000, 3), sy.sd(0, 50), 300}, shape = sy.box {100, 100, 100}},
             sy.part "b" {mass = 1, at = {sy.sd(1250, 4), 0, 300}, shape = sy.box {100, 100, 100}}},
    clearances = {{name = "g", a = "a", b = "b", asked = 145}}}
  local row = car:clearances()[1]
  check.near(row.gap, 150, CLOSE)
  check.near(row.sd, 5, 1e-6)
  check.equal(row.status, "near") -- 5 to spare, less than 1.96 x 5
  local moved = sy.compare {car, car:move("b", {back = 10}), show = {"clearances.tightest"}}
  check.near(moved.rows[1].changes[2], 10, CLOSE)
  check.near(moved.rows[1].sd[2], 0, 1e-6) -- what both share cancels
end)

test("two_places_of_the_car_itself_have_an_error_each", function()
  local row = file({{name = "g", a = {at = {sy.sd(1000, 3), 0, 300}}, b = {at = {sy.sd(1250, 4), 0, 300}}, asked = 145}}):clearances()[1]
  check.near(row.gap, 250, CLOSE)
  check.near(row.sd, 5, 1e-6)
end)

test("limits_may_be_on_the_tightest_gap", function()
  local car = file({{name = "g", a = "block", b = "bulkhead", asked = 10}}, {limits = {{quantity = "clearances.tightest", min = 120}}})
  check.equal(car:checks()[1].status, "fail")
  check.near(car:checks()[1].value, 100, CLOSE)
end)

test("an_unknown_gap_is_not_hidden_behind_the_tightest_known_one", function()
  local known = {name = "block to bulkhead", a = "block", b = "bulkhead", asked = 10}
  local unknown = {name = "loom to bulkhead", a = "loom", b = "bulkhead", asked = 10} -- the loom has no shape
  local function shown(list, limit)
    local car = file(list, {limits = limit and {limit}})
    local row = sy.compare{car, car:move("bulkhead", {back = 95}), show = {"clearances.tightest"}}.rows[1]
    return row.verdicts, car:checks()[1]
  end
  check.equal(shown{known}, {"pass >10", "FAIL >10"})
  local verdicts, asked = shown({known, unknown}, {quantity = "clearances.tightest", min = 50})
  check.equal(verdicts, {"unknown", "FAIL >10"})
  check.equal(asked.status, "unknown")
  check.contains(asked.why, "at most that: loom to bulkhead")
  verdicts, asked = shown({unknown, known}, {quantity = "clearances.tightest", min = 120})
  check.equal(verdicts, {"unknown", "FAIL >10"})
  check.equal(asked.status, "fail") -- 100 known is short of 120 whatever the other is
end)

test("the_word_beside_the_tightest_gap_is_its_own_where_that_breaks_its_limit_too", function()
  local car = file{{name = "g", a = "block", b = "bulkhead", asked = 120}, {name = "h", a = "block", b = "fuel", asked = 400}}
  local row = sy.compare{car, car:move("bulkhead", {back = 1}), show = {"clearances.tightest"}}.rows[1]
  check.near(row.values[1], 1700 - 200 - 1200 - 75, CLOSE) -- 175 short of what is asked; the other one 20
  check.equal(row.verdicts[1], "FAIL >400")
  -- two balls 50 mm apart, 60 mm round each: nothing is asked of that gap, which keeps least
  local overlap = file{{name = "g", a = "block", b = "bulkhead", asked = 120},
    {name = "h", a = {part = "block", at = {1700, 0, 300}, radius = 60}, b = {part = "bulkhead", at = {1750, 0, 300}, radius = 60}}}
  local shown = sy.compare{overlap, overlap:move("bulkhead", {back = 1}), show = {"clearances.tightest"}}
  check.near(shown.rows[1].values[1], 50 - 120, CLOSE)
  check.equal(shown.rows[1].verdicts[1], "FAIL >120")
  check.contains(tostring(shown), "G: ", "the gap that is too small is named")
end)

test("mistakes_are_reported_in_a_sentence", function()
  local function refuses(spec, want) check.raises(function() return file {spec} end, want) end
  refuses({name = "n", a = "blok", b = "bulkhead"}, {code = "unknown", hint = "block"})
  refuses({name = "n", a = "block", b = "ground", leaves = {upp = 3}}, {code = "unknown", hint = "up"})
  refuses({name = "n", a = "block", b = "ground", leaves = {up = -3}}, {code = "range"})
  refuses({name = "n", a = "block", b = {wheel = "lf"}}, {code = "missing", message = "no shape of its own"})
  refuses({name = "n", a = "block", b = {radius = 3}}, {code = "missing", message = "neither part nor at"})
  refuses({name = "n", a = "block", b = {part = "bulkhead", to = {1, 2, 3}}}, {code = "missing", message = "the line begins there"})
  refuses({name = "n", a = "ground", b = "block"}, {code = "unknown"})
  local car = file {{name = "n", a = "block", b = "bulkhead", asked = 3}}
  check.raises(function() return car:clearances {at = "bumb"} end, {code = "unknown", hint = "bump"})
  check.raises(function() return car:clearances {att = "bump"} end, {code = "unknown", hint = "at"})
  check.raises(function() return car:clearances {at = "rock", rock = {what = "engin"}} end, {code = "unknown"})
  check.raises(function() return car:clearances {at = "rock", rock = {what = "powertrain", left_upp = 9}} end,
    {code = "unknown", message = "rock has no field", hint = "left_up"})
  check.raises(function() return car:clearances {at = "rock", rock = 9} end, {code = "type", message = "rock takes a table"})
  check.raises(function() return car:clearances {at = "rock", rock = {what = "powertrain", left_up = 4, nose_up = 2}} end,
    {code = "clash", field = "rock.nose_up"})
  check.raises(function() return car:clearances {at = "steer", steer = "30"} end, {code = "type"})
end)

check.done()
