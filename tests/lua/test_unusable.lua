-- What cannot be drawn from a tank: stated in litres or worked out from a pick-up.
local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder))

local tank_cars = dofile "tests/lua/tank_cars.lua"
local car_of, fuel = tank_cars.car_of, tank_cars.fuel

-- ---- refusals ---------------------------------------------------------------------------------------------------------

local HEAD = 'vehicle { axes = {x = "back", y = "right", z = "up"},'
  .. ' axles = { { name = "front", at = 0, track = 1400, loaded_radius = 300 },'
  .. ' { name = "rear", at = 2400, track = 1400, loaded_radius = 300 } },\n'
  .. 'parts = { tank "fuel" { at = {1290, 0, 310}, density = 0.745, fill = 9,\n'

local function refuses(fields, want)
  local path = folder .. "/car.lua"
  local file <close> = assert(io.open(path, "w"))
  file:write(HEAD, fields, " } } }\n")
  file:close()
  want.part, want.kind, want.file, want.line = "fuel", "tank", path, want.line or 3
  check.raises(function() sy.load(path) end, want)
end

test("remainders_that_cannot_be_are_refused", function()
  refuses("capacity = 45, unusable = 46", {code = "range", field = "unusable", message = "is 46 litres, the tank holds 45"})
  refuses("capacity = 45, unusable = -1", {code = "range", field = "unusable", message = "must be 0 litre or more, is -1 litre"})
  refuses("capacity = 45, unusable = 2*kg", {code = "type", field = "unusable", message = "must be a volume in litre"})
  refuses("shape = box {420, 300, 320}, unusable = 2, pick_up = {0, 0, -150}",
    {code = "clash", field = "pick_up", message = "stands beside unusable, one of the two is enough"})
  refuses("capacity = 45, pick_up = {0, 0, -150}",
    {code = "missing", field = "pick_up", message = "needs the tank's shape", hint = "state unusable in litres instead"})
  refuses("shape = cone {300, 400}, pick_up = {0, 0, 0}", {code = "geometry", field = "pick_up", message = "is in a cone"})
  refuses("shape = box {420, 300, 320}, pick_up = {0, 0, -161}",
    {code = "geometry", field = "pick_up", message = "lies outside the tank's shape; it is measured from the tank's own place"})
  refuses("shape = box {420, 300, 320}, pick_up = {1290, 0, 160}",
    {code = "geometry", field = "pick_up", hint = "did you mean {0, 0, -150}?"})
  refuses("shape = box {420, 300, 320}, pick_up = {0, 0}", {code = "missing", field = "pick_up", message = "has no z"})
  refuses("shape = box {420, 300, 320}, pickup = {0, 0, 0}", {code = "unknown", field = "pickup", hint = "\"pick_up\""})
  refuses("capacity = 45, unuseable = 3", {code = "unknown", field = "unuseable", hint = "\"unusable\""})
end)

test("pick_ups_in_every_shape_are_measured_along_the_files_axes", function()
  -- x is back and y right here: a lying cylinder across, 300 round and 900 long
  for _, at in ipairs {{0, 449, 0}, {0, -449, 0}, {149, 0, 0}, {0, 0, -150}} do
    car_of {fuel {shape = sy.cylinder {300, 900}, pick_up = at}}
  end
  check.raises(function() car_of {fuel {shape = sy.cylinder {300, 900}, pick_up = {0, 451, 0}}} end, {code = "geometry"})
  check.raises(function() car_of {fuel {shape = sy.cylinder {300, 900}, pick_up = {151, 0, 0}}} end, {code = "geometry"})
  check.raises(function() car_of {fuel {shape = sy.box {420, 300, 320}, pick_up = {0, 200, 0}}} end, {code = "geometry"})
  car_of {fuel {shape = sy.box {420, 300, 320}, pick_up = {200, 0, 0}}}
  check.raises(function() car_of {fuel {shape = sy.ellipsoid {500, 400, 300}, pick_up = {200, 0, 100}}} end, {code = "geometry"})
  local saddle = sy.mesh {"vehicles/shapes/saddle_tank.obj", unit = "mm"}
  check.raises(function() car_of {fuel {shape = saddle, fill = 1, pick_up = {0, 0, -900}}} end, {code = "geometry"})
  check.raises(function() car_of {fuel {shape = saddle, fill = 1, pick_up = {0, 0, 0}}} end, {code = "geometry"}) -- over the shaft
  check.ok(car_of {fuel {shape = saddle, fill = 1, pick_up = {0, -165, -80}}}, "in one of its legs")
end)

test("changes_of_a_tank_keep_to_the_same_rules", function()
  local point, stated, dry = car_of {fuel {pick_up = {0, 0, -150}}}, car_of {fuel {unusable = 3}}, car_of {fuel()}
  check.raises(function() point:set("fuel", {unusable = 2}) end, {code = "clash", part = "fuel", field = "unusable"})
  check.raises(function() stated:set("fuel", {pick_up = {0, 0, 0}}) end, {code = "clash", field = "pick_up"})
  check.raises(function() point:set("fuel", {shape = sy.box {420, 300, 290}}) end, {code = "geometry", field = "pick_up"})
  check.raises(function() stated:set("fuel", {capacity = 2, fill = 1}) end,
    {code = "range", field = "unusable", message = "is 3 litres, the tank holds 2"})
  check.raises(function() dry:set("fuel", {pick_up = {z = -150}}) end, {code = "missing", field = "pick_up", message = "has no x"})
  check.raises(function() dry:add(sy.tank "oil" {capacity = 9, at = {0, 0, 0}, density = 0.9, fill = 3, unusable = 99}) end,
    {code = "range", part = "oil", field = "unusable"})
end)

-- ---- answers ----------------------------------------------------------------------------------------------------------

local TINY = 1e-9 -- litres
local BASE = 420 * 300 / 1e6 -- litres for each mm of depth

test("remainder_in_a_box_is_its_base_by_the_height_of_the_pick_up", function()
  local r = car_of {fuel {pick_up = {100, -20, sy.sd(-150, 2)}, fill = sy.sd(8, 0.2)}}:tank "fuel"
  check.near(r.unusable, BASE * 10, TINY)
  check.near(r.usable, 8 - BASE * 10, TINY)
  check.near(r.sd.unusable, BASE * 2, TINY) -- 2 mm of depth
  check.near(r.sd.usable, math.sqrt((BASE * 2) ^ 2 + 0.2 ^ 2), 1e-8) -- the uncertainty of the fill is found from that of a mass
  check.near(car_of {fuel {pick_up = {0, 0, -150}, capacity = BASE * 320 * 0.9}}:tank "fuel".unusable, 0.9 * BASE * 10, TINY) -- foam
end)

-- At 1 g the surface leans by 45 degrees through the pick-up, 100 mm behind the middle and 10 above the floor. Braking: it rises to the
-- front, through the floor 10 mm behind the pick-up and the brim at the front wall 310 mm ahead of it; wet is a triangle of 320 by 320.
-- Drive: a triangle of 110 mm behind the pick-up and 10 ahead of it. In a bend the pick-up, 20 mm left of the middle, has 130 mm of
-- floor to its left: a triangle of 140 at the left wall in a right turn, in a left turn one of 180 at the right wall.
test("remainder_under_1_g_is_a_wedge_through_the_pick_up", function()
  local r = car_of {fuel {pick_up = {100, -20, -150}}}:tank "fuel"
  check.near(r.under[1].unusable, 320 * 320 / 2 * 300 / 1e6, TINY, "braking")
  check.near(r.under[2].unusable, 120 * 120 / 2 * 300 / 1e6, TINY, "drive")
  check.near(r.under[3].unusable, 180 * 180 / 2 * 420 / 1e6, TINY, "left turn")
  check.near(r.under[4].unusable, 140 * 140 / 2 * 420 / 1e6, TINY, "right turn")
  check.equal(r.under[1].asked, "1 g braking")
  check.equal({r.under[3].left_turn, r.under[3].right_turn, r.under[3].braking, r.under[3].drive}, {1, 0, 0, 0})
end)

test("one_force_is_answered_alone_and_a_starving_pick_up_is_reported", function()
  local car = car_of {fuel {pick_up = {100, 0, -150}, fill = 10}}
  local r = car:tank("fuel", {braking = 0.5})
  -- falling by half a millimetre for each: the floor is met 20 mm behind the pick-up, the front wall 155 mm up
  check.equal(#r.under, 1)
  check.near(r.under[1].unusable, 330 * 165 / 2 * 300 / 1e6, TINY)
  check.equal({r.under[1].dry, car:tank("fuel", {drive = 0.5}).under[1].dry}, {false, false})
  check.equal(car:fill {fuel = 8}:tank("fuel", {braking = 0.5}).under[1].dry, true)
  check.contains(tostring(car:tank "fuel"), "Holds 40.3 litres, 10.0 in it, the last 1.3 cannot be drawn: 8.7 usable.")
  check.contains(tostring(car:tank "fuel"), "draws air now")
  check.raises(function() car:tank("fuel", {braking = 1, drive = 1}) end, {code = "clash"})
  check.raises(function() car:tank("fuel", {brakin = 1}) end, {code = "unknown", hint = "\"braking\""})
  check.raises(function() car:tank "tub" end, {code = "unknown", message = "tub"})
  check.raises(function() car:tank() end, {code = "missing", message = "needs the name of a tank"})
end)

test("pick_up_turns_with_its_tank_and_with_its_group", function()
  -- nose up by 30 degrees: the pick-up in the corner behind at the floor is the lowest point, nothing stays below it
  local turned = {nose_up = 30}
  local corner, middle = {210, 0, -160}, {0, 0, -160}
  check.near(car_of {fuel {turned = turned, pick_up = corner}}:tank "fuel".unusable, 0, TINY)
  -- from the middle of the floor the level runs up at tan 30 towards the rear wall
  local wedge = 210 ^ 2 * math.tan(math.rad(30)) / 2 * 300 / 1e6
  check.near(car_of {fuel {turned = turned, pick_up = middle}}:tank "fuel".unusable, wedge, TINY)
  check.near(car_of {sy.group "cell" {at = {1290, 0, 300}, turned = turned, fuel {at = {0, 0, 0}, pick_up = middle}}}:tank "fuel".unusable,
    wedge, TINY)
  local twice = car_of {sy.group "cell" {at = {0, 0, 0}, turned = {nose_up = 10}, fuel {turned = {nose_up = 20}, pick_up = middle}}}
  check.near(twice:tank "fuel".unusable, wedge, TINY)
  -- tan 30 of braking is the same lean of what is level in the tank
  local g = math.tan(math.rad(30))
  check.near(car_of {fuel {pick_up = middle}}:tank("fuel", {drive = g}).under[1].unusable, wedge, TINY)
  check.near(twice:tank("fuel", {braking = g}).under[1].unusable, 0, 1e-7, "level with the floor again, but for the last digit of tan 30")
end)

test("stated_litres_are_taken_as_they_stand", function()
  local r = car_of {sy.tank "fuel" {capacity = 40, at = {1290, 40, 310}, density = 0.75, fill = 30, unusable = sy.sd(2.5, 0.4)}}:tank "fuel"
  check.equal({r.unusable, r.usable, r.sd.unusable}, {2.5, 27.5, 0.4})
  check.equal(r.under, nil)
  check.contains(table.concat(r.notes, "\n"), "what cannot be drawn under braking and in bends is not known")
  local silent = car_of {fuel()}:tank "fuel"
  check.equal({silent.unusable, silent.usable, silent.under}, {})
  check.contains(tostring(silent), "how much of it can be drawn is not known")
end)

test("pair_tells_of_the_one_that_is_written", function()
  local car = car_of {fuel {pair = true, at = {1290, 340, 310}, pick_up = {0, 0, -150}, fill = 12}}
  local r = car:tank "fuel"
  check.near(r.litres, 12, TINY)
  check.near(r.unusable, BASE * 10, TINY)
  check.contains(table.concat(r.notes, "\n"), "litres of one of the pair")
  check.contains(table.concat(car:fill {fuel = 1}:balance().notes, "\n"), "fuel holds 1.0 litres, less than the 1.3")
end)

test("a_mock_up_holds_no_fuel", function()
  local car = car_of({fuel {unusable = 2, stand_in = {mass = 5}}}, {states = {sy.state "mock-up" {stand_ins = true}}}):state "mock-up"
  check.raises(function() car:tank "fuel" end, {code = "unavailable", part = "fuel", message = "stand-in"})
end)

test("what_is_no_tank_is_reported_with_those_that_are", function()
  local car = car_of {fuel(), sy.part "tub" {mass = 90, at = {1700, 0, 350}},
                      sy.tank "oil" {capacity = 5, at = {1900, 0, 200}, density = 0.87, fill = 4}}
  check.raises(function() car:tank "tub" end, "tub is not a single tank (the car's tanks are fuel and oil)")
  check.raises(function() car:tank {"fuel", "oil"} end, "fuel and oil is not a single tank")
  check.raises(function() car_of {sy.part "tub" {mass = 90, at = {1700, 0, 350}}}:tank "tub" end, "(this car has none)")
end)

test("whole_laps_are_counted_down_to_the_remainder", function()
  local remarks = require("steelyard.answers.tank").remarks
  local r = car_of {fuel {unusable = 4, fill = 30}}:tank "fuel"
  check.contains(remarks(r, 30, 1.3)[1], "30.0 litres last 20 whole laps")
  check.contains(remarks(r, 5.3, 1.3)[1], "5.3 litres last 1 whole lap")
  check.equal(#remarks(car_of {fuel()}:tank "fuel", 30, 1.3), 1)
end)

test("balance_says_when_a_tank_holds_less_than_can_be_drawn", function()
  local tub = sy.part "tub" {mass = 90, at = {1700, 0, 350}}
  local car = car_of({fuel {pick_up = {0, 0, -150}}, tub}, {states = {sy.state "dry" {fill = {fuel = 0}}}})
  local function says(c) return table.concat(c:balance().notes, "\n"):match "fuel holds[^\n]*" end
  check.equal(says(car), nil)
  check.equal(says(car:state "dry"),
    "fuel holds 0.0 litres, less than the 1.3 that cannot be drawn from it: only draining it leaves so little")
  check.equal(says(car:fill {fuel = BASE * 10}), nil, "just what stays in it")
  check.equal(says(car:fill {fuel = 1}:without "fuel"), nil, "not aboard")
  check.ok(says(car:state "dry":move("tub", {back = 10})))
  check.equal(says(car:set("fuel", {pick_up = {z = -160}}):state "dry"), nil, "on the floor nothing stays")
  local later = car_of {sy.part "tub" {mass = 90, at = {1700, 0, 350}}}:add(fuel {unusable = 2, fill = 1})
  check.ok(says(later))
end)

test("a_balance_loads_no_springs_to_look_into_a_tank", function()
  local kept, names = {}, {"steelyard.tank", "steelyard.push", "steelyard.springs", "steelyard.liquids"}
  for _, name in ipairs(names) do kept[name], package.loaded[name] = package.loaded[name], nil end
  local notes = car_of {fuel {pick_up = {0, 0, -150}, fill = 1}}:balance().notes
  local loaded = {}
  for _, name in ipairs(names) do
    loaded[#loaded + 1] = package.loaded[name] and name
    package.loaded[name] = kept[name]
  end
  check.contains(table.concat(notes, "\n"), "only draining it leaves so little")
  check.equal(loaded, {})
end)

test("a_limit_on_usable_fuel_is_judged_with_its_uncertainty", function()
  local function judged(min, more)
    local tank = {pick_up = {0, 0, sy.sd(-150, 2)}, fill = 20}
    for key, value in pairs(more or {}) do tank[key] = value end
    return car_of({fuel(tank)}, {limits = {{name = "stint", quantity = "usable.fuel", min = min}}}):checks()[1]
  end
  local usable = 20 - BASE * 10
  check.near(judged(18).value, usable, TINY)
  check.near(judged(18).sd, BASE * 2, TINY)
  check.equal({judged(18).status, judged(usable - 0.4).status, judged(19).status}, {"pass", "near", "fail"}) -- 95 %: 1.96 x 0.252
  local broken = car_of({fuel {unusable = 2}}, {limits = {{quantity = "usable.fuel", min = 30}}}):checks()
  check.contains(tostring(broken), "2.0 litre under the limit")
  local function limited(name) return car_of({fuel()}, {limits = {{quantity = name, min = 3}}}):checks()[1].status end
  check.raises(function() limited "usable.feul" end, {code = "unknown", message = "usable.feul"})
  check.equal(limited "usable.fuel", "unknown")
  local car = car_of {fuel {unusable = 2}}
  local rows = sy.compare {car, car:fill {fuel = 10}, show = {"usable.fuel"}}.rows
  for i, litres in ipairs{28, 8} do check.near(rows[1].values[i], litres, 1e-13) end
  check.equal(rows[1].label, "fuel usable")
  -- the remainder's uncertainty is in both and goes out, each fill has its own
  local measured = car_of {fuel {pick_up = {0, 0, sy.sd(-150, 2)}}}
  local change = sy.compare {measured:fill {fuel = sy.sd(20, 0.3)}, measured:fill {fuel = sy.sd(10, 0.4)}, show = {"usable.fuel"}}.rows[1]
  check.near(change.changes[2], -10, TINY)
  check.near(change.sd[2], 0.5, 1e-8)
end)

os.execute("rm -r " .. folder)
check.done()
