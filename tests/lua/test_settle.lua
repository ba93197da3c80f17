-- Liquid that follows a car's attitude: on pads, under load, in turns and on a table; tanks turned, mirrored, moved, lowered.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test
local shift = require("steelyard.car.liquids").shift

local function axle(name, at, more)
  local a = {name = name, at = at, track = 1440, loaded_radius = 290, spring_rate = 45, motion_ratio = 0.9, tyre_rate = 200,
             bar_rate = 7, roll_centre = 40, perch_pitch = 1.5}
  for key, value in pairs(more or {}) do a[key] = value end
  return a
end

local function tank(fields, name)
  local t = {shape = sy.box {300, 700, 300}, at = {1290, 40, 330}, density = 0.75, fill = 30}
  for key, value in pairs(fields or {}) do t[key] = value end
  return sy.tank(name or "fuel")(t)
end

local function car_of(tanks, more)
  local parts = {sy.part "engine" {mass = 210, at = {1650, -60, 380}}, sy.part "tub" {mass = 330, at = {900, 50, 330}},
    sy.part "front corner" {pair = true, mass = 28, at = {0, 720, 290}, unsprung = "front"},
    sy.part "rear corner" {pair = true, mass = 33, at = {2400, 720, 290}, unsprung = "rear"}, table.unpack(tanks)}
  local fields = {title = "Liquids (invented)", axes = {x = "back", y = "left", z = "up"}, axles = {axle("front", 0), axle("rear", 2400)},
    parts = parts, design = "as drawn", spares = {sy.part "luggage" {mass = 60, at = {2500, 250, 600}}},
    states = {sy.state "as drawn" {}, sy.state "loaded" {with = {"luggage"}}, sy.state "mock-up" {stand_ins = true}}}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields):state "as drawn"
end

local function notes_of(r) return table.concat(r.notes, "\n") end

local KEYS = {"lf", "rf", "lr", "rr"}

local function same_loads(a, b, tolerance, what)
  for _, key in ipairs(KEYS) do check.near(a[key], b[key], tolerance, (what or "") .. " " .. key) end
end

-- Loads in equilibrium: their moments are those of the CG, here with the liquid moved; no springs in it.
local function balances(r, b, mass)
  local run, share = r.liquids[1], mass / b.mass
  local x = (r.lr + r.rr) / r.mass * 2400
  local y = (r.lf + r.lr - r.rf - r.rr) / r.mass * 720
  check.near(x, b.cg.x - share * run.forward, 1e-6, "moment fore and aft") -- mm; loads are found to 1e-13 of their sum
  check.near(y, b.cg.y + share * run.left, 1e-6, "moment across")
end

test("as_drawn_the_liquid_is_level_and_nothing_is_said", function()
  local c = car_of{tank()}
  local r = c:corners()
  same_loads(r, c:balance(), 1e-9)
  check.equal(#r.liquids, 1)
  check.equal(r.liquids[1].name, "fuel")
  check.near(r.liquids[1].litres, 30, 1e-12)
  for _, way in ipairs{"forward", "left", "up"} do check.near(r.liquids[1][way], 0, 1e-12, way) end
  check.ok(not notes_of(r):find "stand level")
  check.equal(car_of{}:corners().liquids, nil)
end)

-- A box whose surface meets neither floor nor brim: the centre goes down the slope by l^2 / 12 d of it (metacentric radius I / V: K. J.
-- Rawson, E. C. Tupper, Basic Ship Theory, ch. 3, from memory).
test("on_pads_and_under_load_the_liquid_runs_down_by_the_metacentric_radius", function()
  local c = car_of{tank()}
  local depth = 30e6 / (300 * 700)
  for _, r in ipairs{c:corners{pads = {lf = 12, lr = 9}}, c:state "loaded":corners(), c:state "loaded":attitude()} do
    local run = r.liquids[1]
    check.near(run.left, -math.rad(r.roll) * 700 ^ 2 / (12 * depth), 1e-9, "left side up: to the right")
    check.near(run.forward, -math.rad(r.pitch) * 300 ^ 2 / (12 * depth), 1e-9, "nose up: to the rear")
  end
  local r, loaded = c:corners{pads = {lf = 12, lr = 9}}, c:state "loaded"
  balances(r, c:balance(), 22.5)
  balances(loaded:corners(), loaded:balance(), 22.5)
  check.contains(notes_of(r), "fuel: 30.0 litres lie")
  check.contains(notes_of(r), "mm right from where they stand level")
  check.contains(notes_of(loaded:corners()), "mm back")
  -- the CG of an attitude has the liquid where it lies
  local a, still = loaded:attitude(), loaded:set("fuel", {shape = sy.cone {400, 700}, capacity = 60}):attitude()
  check.ok(math.abs(a.cg.x - still.cg.x) > 1e-3)
  check.contains(notes_of(still), "fuel: no shape to find a level in, its liquid counts at the tank's own place")
end)

test("on_a_slope_the_liquid_runs_down_it", function()
  local c = car_of{tank{shape = sy.box {300, 700, 400}}}
  local r, angle = c:corners{slope = {nose_up = 6}}, math.rad(6)
  local theta = -math.rad(r.pitch) -- nose down, against the slope
  local slope = (math.sin(angle) - theta * math.cos(angle)) / (math.cos(angle) + theta * math.sin(angle))
  check.near(r.liquids[1].forward, -slope * 300 ^ 2 / (12 * 30e6 / (300 * 700)), 1e-9)
  check.contains(notes_of(r), "mm back")
  local frozen = c:set("fuel", {shape = sy.cone {400, 700}, capacity = 60, at = {z = 330 - 200 + 30e6 / (300 * 700) / 2}})
  check.ok(r.rear > frozen:corners{slope = {nose_up = 6}}.rear)
  local moving, still = c:corners{slope = {nose_up = sy.sd(6, 0.5)}}.sd.front,
    frozen:corners{slope = {nose_up = sy.sd(6, 0.5)}}.sd.front
  check.ok(moving > still, "the liquid runs with a slope that is uncertain")
end)

test("tank_turned_since_filing_has_its_liquid_level_again", function()
  local filed = car_of{tank{turned = {nose_up = 12, left_up = -7}}}
  local turned = car_of{tank()}:move("fuel", {nose_up = 12, left_up = -7})
  check.ok(math.abs(turned:balance().cg.x - filed:balance().cg.x) > 0.1, "a balance takes it along as it lies")
  local grouped = car_of{sy.group "cell" {at = {1290, 40, 330}, turned = {nose_up = 12, left_up = -7}, tank{at = {0, 0, 0}}}}
  local group_moved = car_of{sy.group "cell" {at = {1290, 40, 330}, tank{at = {0, 0, 0}}}}:move("cell", {nose_up = 12, left_up = -7})
  local want, wanted = filed:transfer{right_turn = 0.6, braking = 0.3}, shift(filed, "fuel", 0.4, -0.3)
  for name, c in pairs{turned = turned, grouped = grouped, group_moved = group_moved} do
    same_loads(c:corners{reset = true}, filed:corners(), 1e-9, name) -- the doubles of a rotation
    local r = c:transfer{right_turn = 0.6, braking = 0.3, reset = true}
    same_loads(r, want, 1e-8, name)
    check.near(r.liquids[1].left, want.liquids[1].left, 1e-8, name)
    local got = shift(c, "fuel", 0.4, -0.3)
    for i = 1, 3 do check.near(got[i], wanted[i], 1e-9, name) end
  end
  balances(turned:corners(), filed:balance(), 22.5)
end)

test("pair_of_leaning_tanks_runs_as_in_the_mirror", function()
  local pair = {pair = true, shape = sy.cylinder {220, 600, axis = "x"}, at = {1500, 430, 300}, fill = 9,
                turned = {left_up = 15, nose_up = 4}}
  local c = car_of({tank(pair, "side tank")}, {axles = {axle("front", 0), axle("rear", 2400)},
    parts = {sy.part "tub" {mass = 540, at = {1200, 0, 350}}, sy.part "front corner" {pair = true, mass = 28, at = {0, 720, 290},
      unsprung = "front"}, tank(pair, "side tank")}})
  local left, right = c:transfer{left_turn = 0.7}, c:transfer{right_turn = 0.7}
  check.near(left.lf, right.rf, 1e-8)
  check.near(left.lr, right.rr, 1e-8)
  check.equal(left.liquids[1].name, "side tank/left")
  check.equal(left.liquids[2].name, "side tank/right")
  check.near(left.liquids[1].left, -right.liquids[2].left, 1e-8)
  check.near(left.liquids[2].up, right.liquids[1].up, 1e-8)
  check.ok(left.liquids[1].left < -10, "a left turn: to the right")
  -- a shift by hand: two single tanks, the right one filed as the mirror image
  pair.pair = nil
  local single = car_of{tank(pair, "a"), tank({shape = pair.shape, at = {1500, -430, 300}, fill = 9,
    turned = {left_up = -15, nose_up = 4}}, "b")}
  pair.pair = true
  local both = shift(car_of{tank(pair, "side tank")}, "side tank", 0.3, 0.5)
  local a, b = shift(single, "a", 0.3, 0.5), shift(single, "b", 0.3, 0.5)
  for i = 1, 3 do check.near(both[i], a[i] + b[i], 1e-9) end
end)

test("lowered_body_is_drawn_with_its_liquid_level", function()
  local tilted = car_of{tank()}:lower{rear = 60}
  local r = tilted:corners()
  check.near(r.heights.rear, -60, 1e-9)
  check.near(r.cross_share, 50, 1e-9)
  check.near(r.liquids[1].forward, 0, 1e-9, "from where it stands level, at that height")
  -- without the frozen liquid's lean: a body turned by the same angle in which the tank was filed leaning against it
  local angle = -math.deg(math.asin(60 / 2400))
  local filed = car_of{tank{turned = {nose_down = angle}}}
  check.near(shift(tilted, "fuel", 0.2, 0.3)[1], shift(filed, "fuel", 0.2, 0.3)[1], 1e-9)
  check.near(tilted:transfer{braking = 0.5}.liquids[1].forward, filed:transfer{braking = 0.5}.liquids[1].forward, 2, "near: springs as set")
  check.ok(tilted:state "loaded":corners().liquids[1].forward < 0)
end)

test("steady_force_runs_it_outward_and_forward_and_lifts_a_wheel_sooner", function()
  local c = car_of{tank()}
  local frozen = c:set("fuel", {shape = sy.cone {400, 700}, capacity = 60, at = {z = 330 - 150 + 30e6 / (300 * 700) / 2}})
  for _, key in ipairs(KEYS) do check.near(frozen:balance()[key], c:balance()[key], 1e-9, "the same car level") end
  local r, still = c:transfer{right_turn = 0.8, braking = 0.4}, frozen:transfer{right_turn = 0.8, braking = 0.4}
  local run = r.liquids[1]
  check.ok(run.left > 100 and run.forward > 5 and run.up > 10)
  check.ok(r.gain.lf > still.gain.lf and r.gain.rr < still.gain.rr)
  check.ok(math.abs(r.roll) > math.abs(still.roll))
  check.ok(r.first_lift.g < still.first_lift.g - 0.005)
  check.ok(r.pitch_gain > still.pitch_gain)
  check.contains(notes_of(r), "mm left and")
  check.contains(notes_of(r), "liquid as it comes to rest: no waves; baffles slow it down and do not hold it")
  -- the liquid's place is exact beside the uncertainties of masses and places
  local uncertain = {sy.part "ballast" {mass = sy.sd(40, 2), at = {sy.sd(1100, 5), sy.sd(-100, 5), 300}}}
  local function uncertainty(t) return car_of({t, uncertain[1]}):transfer{right_turn = 0.8, braking = 0.4}.sd end
  local moving, fixed = uncertainty(tank()), uncertainty(tank{shape = sy.cone {400, 700}, capacity = 60})
  for _, key in ipairs(KEYS) do check.near(moving[key], fixed[key], 0.01 * fixed[key], key) end -- a little elsewhere on a bent curve
  check.near(moving.first_lift.g, fixed.first_lift.g, 0.1 * fixed.first_lift.g)
end)

test("tilt_table_has_the_liquid_on_its_low_side", function()
  local c = car_of{tank{at = {1290, 0, 330}}}
  local empty, r = c:fill{fuel = 0}:stability(), c:stability()
  local frozen = c:set("fuel", {shape = sy.cone {400, 700}, capacity = 60, at = {z = 330 - 150 + 30e6 / (300 * 700) / 2}}):stability()
  check.near(r.ssf, frozen.ssf, 1e-12, "a number of the level car")
  for _, side in ipairs{"left", "right"} do
    check.ok(r.tip[side] < frozen.tip[side] - 0.1, "rigid tip, " .. side)
    check.ok(r.lift[side].angle < frozen.lift[side].angle - 0.1, "rigid lift, " .. side)
    check.ok(r.compliant.lift[side].angle < frozen.compliant.lift[side].angle - 0.1, "lift, " .. side)
    check.ok(r.compliant.tip[side] < frozen.compliant.tip[side] - 0.1, "tip, " .. side)
    check.ok(r.sd.compliant.lift[side].angle >= 0)
  end
  check.ok(r.grade.up < frozen.grade.up and r.side_g < frozen.side_g)
  check.equal(r.traction.rear, frozen.traction.rear)
  check.contains(notes_of(r), "fuel: liquid runs to the low side of a table, down a grade and outward in a turn")
  check.ok(not notes_of(empty):find "runs to the low side")
  -- the angle itself: there the pull goes through the line of the low wheels, with the liquid where it then is
  local slope = math.tan(math.rad(r.tip.left))
  local b, moved = c:balance(), shift(c, "fuel", 0, slope)
  check.near((720 - b.cg.y - moved[2]) / (b.height + moved[3]), slope, 1e-9)
end)

test("three_wheels_lift_and_tip_at_one_angle_with_liquid_too", function()
  local r = sy.load "vehicles/burnet.lua":state "two up":stability()
  check.near(r.lift.left.angle, r.tip.left, 1e-9)
  check.near(r.lift.right.angle, r.tip.right, 1e-9)
end)

test("perches_and_compared_cars_have_the_liquid_too", function()
  local c = car_of{tank()}:state "loaded"
  local p = c:perches{cross_share = 52, notch = 0}
  check.near(p.cross_share, 52, 1e-6)
  same_loads(c:corners{perches = p.turns}, p.loads, 1e-9)
  check.near(p.exact.loads.cross_share, 52, 1e-6)
  local compared = sy.compare{c, c:move("engine", {back = 50}), show = {"corners.lf"}}
  check.near(compared.rows[1].values[2], c:move("engine", {back = 50}):corners().lf, 1e-9)
end)

test("mesh_of_a_box_runs_as_the_box_does_in_left_handed_axes", function()
  local path = os.tmpname() .. ".obj"
  local file = assert(io.open(path, "w"))
  for i = 0, 7 do file:write(("v %d %d %d\n"):format((i & 1) * 300, (i >> 1 & 1) * 700, (i >> 2 & 1) * 300)) end
  file:write "f 1 3 4 2\nf 5 6 8 7\nf 1 2 6 5\nf 3 7 8 4\nf 1 5 7 3\nf 2 4 8 6\n"
  file:close()
  local axes = {axes = {x = "back", y = "right", z = "up"}}
  local function of(shape)
    return car_of({tank{shape = shape, turned = {nose_up = 9, left_up = 5}}}, axes):transfer{left_turn = 0.5, drive = 0.2}
  end
  local a, b = of(sy.mesh {path, unit = "mm"}), of(sy.box {300, 700, 300})
  same_loads(a, b, 1e-8)
  for _, way in ipairs{"forward", "left", "up"} do check.near(a.liquids[1][way], b.liquids[1][way], 1e-7, way) end
  os.remove(path)
end)

test("tanks_that_do_not_take_part_are_reported", function()
  local c = car_of{tank(), tank({unsprung = "rear", fill = 2, at = {2400, 0, 300}, shape = sy.box {100, 100, 300}}, "oil"),
    sy.tank "washer" {capacity = 5, fill = 3, at = {200, 300, 400}, density = 1}}
  local notes = notes_of(c:corners())
  check.contains(notes, "oil: carried by wheels, its liquid counts as lying still")
  check.contains(notes, "washer: no shape to find a level in, its liquid counts at the tank's own place")
  check.equal(#c:corners().liquids, 1)
  check.equal(#c:without("fuel"):transfer{braking = 0.3}.wheels, 4)
  check.equal(c:without("fuel"):transfer{braking = 0.3}.liquids, nil)
  check.equal(c:fill{fuel = 0}:corners().liquids, nil)
  local stood_in = car_of{tank{stand_in = {mass = 12, at = {1290, 0, 330}}}, sy.part "dummy" {mass = 300, at = {1200, 0, 300},
    stand_in = {mass = 400, at = {1200, 0, 300}}}}:state "mock-up"
  check.equal(stood_in:corners().liquids, nil)
  local added = car_of{}:add(tank())
  check.equal(added:transfer{braking = 0.3}.liquids[1].name, "fuel")
end)

check.done()
