-- Liquid lies as deep in its tank as the fill says: what that does to a car.
local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local core = require "steelyard.core"
local test = check.test

local TINY = 1e-9 -- mm; the ledger keeps a picometre

local tank_cars = dofile "tests/lua/tank_cars.lua"
local car_of, fuel = tank_cars.car_of, tank_cars.fuel

local FULL = 420 * 300 * 320 / 1e6 -- litres

test("liquid_in_a_box_lies_at_half_its_depth", function()
  local car = car_of {fuel()}
  for _, litres in ipairs {1, 17.3, 30, FULL} do
    local b = car:fill {fuel = litres}:balance()
    check.near(b.cg.z, 310 - 160 + 160 * litres / FULL, TINY)
    check.near(b.cg.x, 1290, TINY)
    check.near(b.cg.y, 40, TINY)
    check.near(b.mass, 0.75 * litres, 1e-12)
    -- the wet box: m (b^2 + c^2) / 12, Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, Table D/4
    local depth, m = 320 * litres / FULL / 1000, 0.75 * litres
    check.near(b.inertia.yy, m * (0.42 ^ 2 + depth ^ 2) / 12, 1e-9)
    check.near(b.inertia.zz, m * (0.42 ^ 2 + 0.3 ^ 2) / 12, 1e-9)
    check.equal(b.points, 0)
  end
end)

test("empty_tank_sits_at_its_middle_with_its_dry_mass", function()
  local b = car_of {fuel {dry_mass = 4}}:fill {fuel = 0}:balance()
  check.near(b.cg.z, 310, TINY)
  check.near(b.mass, 4, 0)
  local half = car_of {fuel {dry_mass = 4, fill = FULL / 2}}:balance()
  local m = 0.75 * FULL / 2
  check.near(half.cg.z, 310 - 80 * m / (m + 4), TINY)
end)

-- Two faces across each way: the sums of rectangles, Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, Table D/4.
test("empty_tank_is_a_sheet_over_its_shape_and_no_solid_block", function()
  local car = car_of {fuel {dry_mass = 4}}:fill {fuel = 0}
  local l, w, h = 0.42, 0.3, 0.32
  local across = {2 * w * h, 2 * l * h, 2 * l * w}
  local area = across[1] + across[2] + across[3]
  local xx = l ^ 2 / 12 * (3 * across[1] + across[2] + across[3])
  local yy = w ^ 2 / 12 * (across[1] + 3 * across[2] + across[3])
  check.near(car:balance().inertia.zz, 4 * (xx + yy) / area, 1e-12)
  check.contains(tostring(car:tank "fuel"), "The 4 kg of the empty tank count as an even sheet all over its shape.")
  check.equal(tostring(car_of {fuel()}:tank "fuel"):find("even sheet", 1, true), nil)
end)

test("brim_full_is_not_refused_for_the_last_bit", function()
  local tank = {shape = false, capacity = 0.3, fill = 0.1 + 0.2}
  check.near(car_of {fuel(tank)}:balance().mass, 0.75 * 0.3, 1e-15)
  tank.fill = 0.1
  local car = car_of({fuel(tank)}, {states = {sy.state "full" {fill = {fuel = 0.1 + 0.2}}}})
  check.near(car:fill {fuel = 0.1 + 0.2}:balance().mass, 0.75 * 0.3, 0)
  check.near(car:fill {fuel = 0.3}:balance().mass, 0.75 * 0.3, 0)
  check.near(car:state "full":balance().mass, 0.75 * 0.3, 1e-15)
  tank.unusable = 0.1 + 0.2
  check.ok(car_of {fuel(tank)})
  check.raises(function() car:fill {fuel = 0.3001} end, {code = "range", message = "0.3001 litres, the tank holds 0 to 0.3"})
end)

test("a_capacity_worked_out_from_a_shape_is_reported_without_a_tail_of_digits", function()
  local shape = sy.box {227, 331, 304.6} -- 22.886730200000002 in doubles
  check.raises(function() return car_of {fuel {shape = shape, fill = 30}} end,
    {code = "range", message = "is 30 litres, the tank holds 22.88673"})
  check.raises(function() return car_of {fuel {shape = shape, fill = 20}}:fill {fuel = 30} end, {message = "holds 0 to 22.88673"})
end)

test("a_shape_that_is_wrong_is_named_and_not_a_capacity_that_is_missing", function()
  for _, case in ipairs{{"box {420, 300}", "shape", "needs its height"}, {"box {420, 0, 320}", "shape", "above 0"},
      {'"box"', "shape", "must be a shape"}, {"sphere {-3}", "shape", "above 0"}, {"5", "shape", "must be a shape"}} do
    local failure = check.raises(function()
      sy.load("leaf.lua", ([[vehicle { title = "t", axles = {{name = "front", at = 900, track = 1400, loaded_radius = 300},
        {name = "rear", at = 3300, track = 1400, loaded_radius = 300}},
        parts = {tank "fuel" {shape = %s, at = {1290, 0, 310}, density = 0.745, fill = 3}}}]]):format(case[1]))
    end, {message = case[3]})
    check.contains(failure.field, case[2], case[1])
  end
end)

test("lying_cylinder_half_full_has_its_liquid_at_4_r_over_3_pi", function()
  -- the centroid of a half circle: Meriam & Kraige, Engineering Mechanics: Statics, Table D/3
  local volume = math.pi / 4 * 0.3 ^ 2 * 0.9 * 1000
  local car = car_of {fuel {shape = sy.cylinder {300, 900}, fill = volume / 2}}
  check.near(car:balance().cg.z, 310 - 4 * 150 / (3 * math.pi), 1e-8)
  local sphere = car_of {fuel {shape = sy.sphere {300}, fill = math.pi / 12 * 0.3 ^ 3 * 1000}}
  check.near(sphere:balance().cg.z, 310 - 3 * 150 / 8, 1e-8) -- half a ball: 3 r / 8, the same table
end)

test("tank_without_a_shape_stays_where_it_is", function()
  local b = car_of {sy.tank "fuel" {capacity = 40, at = {1290, 40, 310}, density = 0.75, fill = 10}}:balance()
  check.near(b.cg.z, 310, TINY)
  local cone = car_of {sy.tank "fuel" {shape = sy.cone {300, 400}, at = {1290, 40, 310}, density = 0.75, fill = 5}}:balance()
  check.near(cone.cg.z, 310, TINY)
end)

test("a_capacity_less_than_the_shape_is_foam_spread_evenly", function()
  local b = car_of {fuel {capacity = FULL * 0.9, fill = FULL * 0.45}}:balance()
  check.near(b.cg.z, 310 - 80, TINY)
  check.near(b.mass, 0.75 * FULL * 0.45, 1e-12)
end)

test("liquid_in_a_leaning_tank_stays_level", function()
  -- nose up by the angle of its diagonal, half full: the wet part is a triangle with its corner at the back below, its centroid a
  -- third of the sides from there
  local angle = math.atan(320, 420)
  local at = car_of {fuel {turned = {nose_up = math.deg(angle)}, fill = FULL / 2}}:balance().cg
  local group = car_of {sy.group "cell" {at = {1290, 40, 310}, turned = {nose_up = math.deg(angle)},
    fuel {at = {0, 0, 0}, fill = FULL / 2}}}
  local back, up = 420 / 2 - 420 / 3, -320 / 2 + 320 / 3 -- along the tank
  local x, z = 1290 + back * math.cos(angle) + up * math.sin(angle), 310 - back * math.sin(angle) + up * math.cos(angle)
  check.near(at.x, x, 1e-8)
  check.near(at.z, z, 1e-8)
  check.near(group:balance().cg.x, x, 1e-8)
  check.near(group:balance().cg.z, z, 1e-8)
end)

test("fills_leave_no_trace", function()
  local car = car_of({fuel {dry_mass = 3.1}, sy.part "engine" {mass = 90, at = {1700, 0, 350}}},
    {states = {sy.state "kerb" {fill = {fuel = "90 %"}}}})
  local direct = car:fill {fuel = 11.3}:balance()
  for _, detour in ipairs {car:fill {fuel = 2}:fill {fuel = 11.3}, car:state "kerb":fill {fuel = 11.3},
    car:move("fuel", {up = 37}):fill {fuel = 11.3}:move("fuel", {down = 37}), car:set("fuel", {fill = 4}):fill {fuel = 11.3}} do
    local b = detour:balance()
    check.equal(b.cg.z, direct.cg.z)
    check.equal(b.inertia.yy, direct.inertia.yy)
  end
  local moved = car:move("fuel", {up = 10}):fill {fuel = 11.3}:book("fuel").rows[1].cg.z
  check.near(moved, car:fill {fuel = 11.3}:book("fuel").rows[1].cg.z + 10, TINY)
end)

test("set_changes_the_tank_and_its_liquid_follows", function()
  local car = car_of {fuel()}
  check.near(car:set("fuel", {at = {1290, 40, 410}}):balance().cg.z, car:balance().cg.z + 100, TINY)
  check.near(car:set("fuel", {at = {z = 410}}):balance().cg.z, car:balance().cg.z + 100, TINY)
  check.near(car:set("fuel", {density = 0.9}):balance().cg.z, car:balance().cg.z, TINY)
  check.near(car:set("fuel", {shape = sy.box {420, 300, 400}}):balance().cg.z, 310 - 200 + 200 * 30 / (420 * 300 * 400 / 1e6), TINY)
end)

test("pair_of_tanks_fills_on_both_sides", function()
  local saddle = {pair = true, shape = sy.cylinder {200, 500, axis = "z"}, at = {1290, 340, 410}, density = 0.75, fill = 5,
                  turned = {left_up = 12}}
  local car = car_of {sy.tank "saddle" (saddle)}
  saddle.fill = 12
  local built = car_of {sy.tank "saddle" (saddle)}:balance()
  local filled = car:fill {saddle = 12}:balance()
  check.near(filled.cg.y, 0, TINY)
  check.near(filled.cg.z, built.cg.z, TINY)
  check.near(filled.inertia.xx, built.inertia.xx, 1e-9)
  local left = car:fill {saddle = 12}:without "saddle/right":balance().cg
  local right = car:fill {saddle = 12}:without "saddle/left":balance().cg
  check.near(left.y, -right.y, TINY)
  check.ok(math.abs(math.abs(left.y) - 340) > 1, "the liquid runs down the lean")
end)

test("mesh_of_a_box_holds_what_the_box_holds", function()
  local path = os.tmpname() .. ".obj"
  local file = assert(io.open(path, "w"))
  for i = 0, 7 do file:write(("v %d %d %d\n"):format((i & 1) * 300, (i >> 1 & 1) * 420, (i >> 2 & 1) * 320)) end
  file:write "f 1 3 4 2\nf 5 6 8 7\nf 1 2 6 5\nf 3 7 8 4\nf 1 5 7 3\nf 2 4 8 6\n"
  file:close()
  local axes = {x = "right", y = "back", z = "up"} -- left-handed
  local function at(shape)
    return car_of({sy.tank "fuel" {shape = shape, at = {40, 1290, 310}, density = 0.75, fill = 13, turned = {nose_up = 9, left_up = 5}}},
      {axes = axes}):balance()
  end
  local a, b = at(sy.mesh {path, unit = "mm"}), at(sy.box {420, 300, 320})
  for _, letter in ipairs {"x", "y", "z"} do check.near(a.cg[letter], b.cg[letter], 1e-8, letter) end
  for _, name in ipairs {"xx", "yy", "zz", "xy", "xz", "yz"} do check.near(a.inertia[name], b.inertia[name], 1e-10, name) end
  os.remove(path)
end)

test("a_fuller_tank_is_reported_as_filled_and_not_as_moved", function()
  local engine = {mass = 90, at = {1700, 0, 350}}
  local states = {states = {sy.state "out" {}}}
  local old = car_of({fuel {fill = 30}, sy.part "engine" (engine)}, states)
  local new = car_of({fuel {fill = 12}, sy.part "engine" (engine)}, states)
  local changes = sy.changes(old, new)
  check.equal(#changes.rows, 1)
  check.equal(table.concat(changes.rows[1].kinds, " "), "filled")
  check.ok(not table.concat(changes.notes, "\n"):find "cannot be matched", "what the two share is known")
end)

test("balance_says_where_the_liquid_lies_and_a_strange_density_is_mentioned", function()
  check.contains(table.concat(car_of {fuel()}:balance().notes, "\n"), "fuel: liquid at rest on level ground, as deep in its tank")
  local notes = table.concat(car_of {fuel {density = 7.45}}:balance().notes, "\n")
  check.contains(notes, "tank fuel: a density of 7.45 kg/L is that of no usual liquid")
  check.ok(not table.concat(car_of {fuel()}:balance().notes, "\n"):find "usual liquid")
end)

test("tank_liquid_leans_with_gravity_and_moves_by_i_over_v", function()
  -- nose down by 0.001 rad: the liquid runs forward by I / V, here 420^2 / 12 / depth (metacentric radius: K. J. Rawson, E. C. Tupper,
  -- Basic Ship Theory, ch. 3, from memory)
  local shape = {kind = "box", 420, 300, 320}
  local level, leaning = core.tank_liquid(shape, 20, {0, 0, 1}), core.tank_liquid(shape, 20, {-0.001, 0, 1})
  local depth = 320 * 20 / FULL
  check.near(level.depth, depth, 1e-9)
  check.near(level.centroid[3], -160 + depth / 2, 1e-9)
  check.near(level.metacentre, 420 ^ 2 / 12 / depth, 1e-8)
  check.near(leaning.centroid[1], 0.001 * 420 ^ 2 / 12 / depth, 1e-4)
  check.near(level.area, 42 * 30, 1e-9)
  check.equal(core.tank_liquid(shape, 0, {0, 0, 1}).centroid, nil)
  check.near(core.unusable(shape, {0, 0, -150}, {0, 0, 1}), 420 * 300 * 10 / 1e6, 1e-12) -- a pick-up 10 mm above the floor
  check.raises(function() return core.tank_liquid(shape, FULL + 1, {0, 0, 1}) end, {code = "range"})
  check.raises(function() return core.tank_liquid(shape, 10, {0, 0, 0}) end, {code = "range"})
  check.raises(function() return core.tank_liquid({kind = "rod", 100}, 10, {0, 0, 1}) end, {code = "unknown"})
end)

-- While the surface of a box meets neither floor nor brim it is a plane through the middle of the level one: the centre moves by
-- l^2 / 12 h of the slope, exactly, the metacentric radius I / V (K. J. Rawson, E. C. Tupper, Basic Ship Theory, ch. 3, from memory),
-- and up by half of that times the slope.
test("liquid_runs_forward_in_braking_and_outward_in_a_turn", function()
  local shift = require("steelyard.car.liquids").shift
  local car = car_of {fuel {fill = 20}, sy.part "rest" {mass = 85, at = {1200, 0, 400}}} -- 15 kg of 100
  local depth, slope = 320 * 20 / FULL, 0.3
  local s = shift(car, "fuel", slope, 0)
  check.near(s[1], 0.15 * slope * 420 ^ 2 / (12 * depth), TINY)
  check.near(s[2], 0, TINY)
  check.near(s[3], 0.15 * slope ^ 2 * 420 ^ 2 / (24 * depth), TINY)
  local turn = shift(car, "fuel", 0, slope)
  check.near(turn[2], 0.15 * slope * 300 ^ 2 / (12 * depth), TINY) -- a right turn: out is left
  check.near(turn[1], 0, TINY)
  local still = shift(car:fill {fuel = FULL}, "fuel", 1, 1)
  for i = 1, 3 do check.near(still[i], 0, 1e-6) end -- brim-full: nowhere to go, but for the rounding of a sum
  check.equal(shift(car_of {sy.tank "fuel" {capacity = 40, density = 0.75, fill = 30, at = {0, 0, 300}}}, "fuel", 1, 0), nil)
end)

check.done()
