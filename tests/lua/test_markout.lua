--- car:markout: the mock-up on its trolleys, marks by two tapes, and what must never enter the car's own total.

local check = dofile "tests/lua/check.lua"
local scenario = dofile "tests/lua/scenario_a.lua"
local sy = require "steelyard"
local test = check.test

-- The eighteen lines of a first guess with stand-ins, invented; totals worked out twice apart from this project. Stand-ins kg at x: tub
-- buck 34 at 1020, foam engine 14 at 1810, empty gearbox case 21 at 2390, corner dummies 16 at 0 and 16 at 2450.
local stand_ins = {["tub and hoop"] = 34, engine = 14, transaxle = 21, ["front corners"] = 16, ["rear corners"] = 16}
local function mock_up()
  local lines = {}
  for _, line in ipairs(scenario.lines) do
    lines[#lines + 1] = sy.part(line[1]){mass = sy.sd(line[2], line[6]), at = {line[3], line[4], line[5]}, unsprung = line.unsprung,
      stand_in = stand_ins[line[1]] and {mass = sy.sd(stand_ins[line[1]], 0.5)} or nil}
  end
  return sy.car{title = "Mock-up (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1500, loaded_radius = 290}, {name = "rear", at = 2450, track = 1480, loaded_radius = 305}},
    parts = lines, states = {sy.state "mock-up" {stand_ins = true}, sy.state "race start" {}},
    points = {["crank flange"] = {1818.88, 218.88, 345}, ["sump"] = {at = {1700, 20, 120}, part = "engine"}, ["tail"] = {at = {2700, 0,
      500}, part = "exhaust"}}}
end

test("trolleys_carry_the_stand_ins", function()
  local m = mock_up():markout{state = "mock-up", trolleys = {-150, 2600}}
  check.near(m.mass, 101, 1e-9)
  check.near(m.trolleys[2].load, 59.8, 0.05)
  check.near(m.trolleys[1].load, 41.2, 0.05)
  check.near(mock_up():state "mock-up":balance().cg.x, 1479.3, 0.05)
  -- uncertainties: rear = sum m (x + 150) / 2750, each mass good to 0.5
  local sum = 0
  for _, x in ipairs{1020, 1810, 2390, 0, 2450} do sum = sum + (0.5 * (x + 150) / 2750) ^ 2 end
  check.near(m.trolleys[2].sd.load, math.sqrt(sum), 1e-9)
  -- the other way round
  local swapped = mock_up():markout{state = "mock-up", trolleys = {2600, -150}}
  check.near(swapped.trolleys[1].load, m.trolleys[2].load, 1e-9)
  check.near(swapped.trolleys[1].sd.load, m.trolleys[2].sd.load, 1e-9)
end)

test("a_stand_in_never_enters_the_cars_own_total", function()
  local car = mock_up()
  check.near(car:balance().mass, 770.8, 1e-9)
  car:markout{state = "mock-up", trolleys = {-150, 2600}}
  check.near(car:balance().mass, 770.8, 1e-9)
  check.near(car:state "race start":balance().mass, 770.8, 1e-9)
  check.contains(table.concat(car:markout{state = "mock-up"}.notes, "\n"), "this is the mock-up, its mass is not the car's")
end)

local function mark(m, name)
  for _, row in ipairs(m) do if row.name == name then return row end end
  error("no mark " .. name)
end

-- The same crank flange by tapes from (0, 0) and (2450, 0): 1832 and 668 mm, and with 2 mm a tape x +-1.6, y +-6.3.
test("two_tapes_with_uncertainty_and_a_warning_where_they_cross_flat", function()
  local m = mock_up():markout{tapes = {{0, 0}, {2450, 0}}}
  local flange = mark(m, "crank flange")
  check.near(flange.tapes.a, 1832, 0.05)
  check.near(flange.tapes.b, 668, 0.05)
  check.near(flange.sd.x, 1.6, 0.05)
  check.near(flange.sd.y, 6.3, 0.05)
  check.equal(flange.poor, true)
  check.equal(flange.why, "the tapes cross at 26 deg")
  check.near(flange.height, 345, 1e-9)
  check.contains(table.concat(m.notes, "\n"), "hold them to points further to the side")
  -- from the side they cross well
  local side = mock_up():markout{points = {"crank flange"}, tapes = {{600, -1500}, {2450, -1500}}}
  check.equal(side[1].poor, false)
  check.ok(side[1].sd.y < 3)
  check.near(side[1].tapes.a, math.sqrt(1218.88 ^ 2 + 1718.88 ^ 2), 0.01)
end)

-- The angle between the two tapes at a mark, by the law of cosines from their lengths.
local function crossing(row, tapes)
  local base2 = (tapes[1].x - tapes[2].x) ^ 2 + (tapes[1].y - tapes[2].y) ^ 2
  local a, b = row.tapes.a, row.tapes.b
  return math.deg(math.acos((a * a + b * b - base2) / (2 * a * b)))
end

test("without_tape_points_they_lie_left_of_the_car_and_no_mark_is_poor", function()
  local left = {["vehicles/twayblade.lua"] = -1, ["vehicles/bistort.lua"] = -1, ["vehicles/teasel.lua"] = -1, ["vehicles/burnet.lua"] = -1}
  for path, sign in pairs(left) do -- y is right in all of them
    local m = sy.load(path):markout()
    local a, b, out = m.tape_points[1], m.tape_points[2], -math.huge
    check.near(a.y, b.y, 1e-9, path)
    for _, row in ipairs(m) do
      out = math.max(out, sign * row.y)
      local angle = crossing(row, m.tape_points)
      check.ok(angle > 30 and angle < 150, ("%s, %s: %.0f deg"):format(path, row.name, angle))
      check.equal(row.poor, false)
    end
    check.ok(sign * a.y >= out + 300, path .. ": room to kneel beside the outermost mark")
    check.contains(table.concat(m.notes, "\n"), "no tape points were given: A and B lie left of the car on the lines of its first and "
      .. "last axle")
  end
  -- on the lines of the axles, in a file whose front axle is at 1310, and whole 100 mm from its centre plane at 640
  local m = sy.load "vehicles/bistort.lua":markout()
  check.near(m.tape_points[1].x, 1310, 1e-9)
  check.near(m.tape_points[2].x, -1120, 1e-9)
  check.near((640 - m.tape_points[1].y) % 100, 0, 1e-9)
end)

test("points_of_ones_own_may_have_names", function()
  local m = mock_up():markout{points = {["crank flange, drawn"] = {1818.88, 218.88, 345}, bay = {0, 900}}, tapes = {A = {0, 0}, B = {2450,
    0}}}
  check.equal(m[1].name, "bay")
  check.near(m[1].height, 0, 1e-9)
  check.near(m[2].tapes.a, 1832, 0.05)
  check.equal(m[2].assembly, "car")
end)

test("a_place_between_the_tape_points_has_no_uncertainty_across", function()
  local m = mock_up():markout{points = {{1200, 0, 0}}, tapes = {{0, 0}, {2450, 0}}}
  check.equal(m[1].poor, true)
  check.equal(m[1].sd.x, nil)
  check.contains(m[1].why, "on the line between the tape points")
end)

test("wheels_points_and_stand_ins_are_marked_by_assembly", function()
  local m = mock_up():markout{state = "mock-up"}
  check.near(mark(m, "lf wheel").height, 290, 1e-9) -- the loaded radius
  check.near(mark(m, "rr wheel").y, 740, 1e-9)
  check.equal(mark(m, "sump").assembly, "engine")
  check.equal(mark(m, "crank flange").assembly, "car")
  check.near(mark(m, "engine").x, 1810, 1e-9)
  for _, row in ipairs(m) do check.ok(row.name ~= "battery", "no stand-in, no mark") end
  check.contains(table.concat(m.notes, "\n"), "not marked, their part is not there: tail")
  check.near(mark(mock_up():move("engine", {back = 40, up = 5}):markout{state = "mock-up"}, "sump").height, 125, 1e-9)
  check.equal(#mock_up():markout{what = "engine"}, 1)
end)

test("three_trolleys_and_more_share_in_plan", function()
  local m = mock_up():markout{state = "mock-up", trolleys = {{-150, -300, 500}, {-150, 300, 500}, {2600, 0, 400}}}
  check.near(m.trolleys[3].load, 59.8, 0.05)
  check.near(m.trolleys[1].load, m.trolleys[2].load, 1e-9)
  check.near(m.trolleys[3].height, 400, 1e-9)
  local off = mock_up():markout{state = "mock-up", trolleys = {1600, 2600}}
  check.ok(off.trolleys[2].load < 0)
  check.contains(table.concat(off.notes, "\n"), "the trolley at 2600 would lift")
end)

test("printed_with_heights_and_uncertainties", function()
  local shown = tostring(mock_up():markout{state = "mock-up", trolleys = {-150, 2600}, tapes = {{0, 0}, {2450, 0}}})
  check.contains(shown, "On the trolleys: 101.0 kg.")
  check.contains(shown, "each good to 4 mm")
  check.contains(shown, "the tapes cross at 26 deg")
end)

test("messages_of_bad_input", function()
  local car = mock_up()
  local function says(o, want) check.equal(tostring(check.raises(function() car:markout(o) end, "")), want) end
  says({state = "mockup"}, 'no state is called "mockup" (did you mean "mock-up"?)')
  says({points = {"crank"}}, 'points[1]: no point is called "crank" (did you mean "crank flange"?)')
  says({tapes = {{0, 0}}}, "tapes: are two points {x, y} on the floor")
  says({tapes = {{0, 0}, {0, 0}}}, "tapes: start at one point")
  says({tape_sd = 0}, "tape_sd: must be above 0 mm")
  says({trolleys = {0, 0}}, "trolleys: stand in one place")
  says({trolleys = {0}}, "trolleys: are 1; two places along the car, or three points and more")
  -- the CG, at 1409.6 and 21.6 right, from the line (2000, -300) to (2600, 300): (590.4 + 321.6) / sqrt 2
  says({trolleys = {{2000, -300, 0}, {2600, 300, 0}, {2600, 0, 0}}}, "trolleys: do not hold it: the CG lies 645 mm outside")
  says({tapess = {}}, 'car:markout has no field "tapess" (did you mean "tapes"?)')
  says({what = "enigne"}, 'no part, group, tag or axle is called "enigne" (did you mean "engine"?)')
end)

-- The file's letters may run anyhow: trolleys stand at numbers along the car, and headings are the letters of the two level axes.
test("trolleys_and_headings_follow_the_letters_of_the_file", function()
  local function car(axes, place)
    return sy.car{title = "Letters", axes = axes, axles = {{name = "front", at = 0.1, track = 1200, loaded_radius = 280},
      {name = "rear", at = 2000.3, track = 1200, loaded_radius = 280}}, parts = {sy.part "all" {mass = 500, at = place(900, 40, 300)}}}
  end
  local usual = car({x = "back", y = "right", z = "up"}, function(back, right, up) return {back, right, up} end)
  local other = car({x = "right", y = "up", z = "back"}, function(back, right, up) return {right, up, back} end)
  local a, b = usual:markout{trolleys = {-200, 2300}}, other:markout{trolleys = {-200, 2300}}
  check.equal({b.trolleys[1].x, a.trolleys[1].y}, {nil, nil})
  for i, at in ipairs{-200, 2300} do -- to a rounding of metres
    check.near(b.trolleys[i].y, at, 1e-9)
    check.near(a.trolleys[i].x, at, 1e-9)
  end
  check.near(b.trolleys[1].load, a.trolleys[1].load, 1e-9)
  check.equal({table.concat(a.level), table.concat(b.level)}, {"xy", "xz"})
  check.ok(tostring(b):find "\nto chalk +x +z  height" and tostring(b):find "%+%- x, z", tostring(b))
  check.contains(tostring(b), "A (-900, 0.1) and B (-900, 2000.3)") -- without what metres leave of 2000.3
end)

check.done()
