-- Loads under three, four and more wheels, against numbers worked out by hand beside each test.
-- Source of the arithmetic: balance of forces and of moments about two lines on the ground. More than three wheels of which
-- nothing is known but that they carry alike: the least-norm solution A^T (A A^T)^-1 w of the three balances (the
-- Moore-Penrose inverse of a matrix of full row rank; here written out for wheels that lie symmetrically).
-- Tolerances of 1e-9 kg are far above the rounding of loads of some hundred kg and far below a printed digit.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function two(name, at, track) return {name = name, at = at, track = track, loaded_radius = 290} end
local function one(name, at) return {name = name, at = at, wheels = "one", loaded_radius = 290} end

local function lump(axles, mass, at, more)
  local fields = {title = "Lump (invented)", axes = {x = "back", y = "right", z = "up"}, axles = axles,
                  parts = {sy.part "lump" {mass = mass, at = at}}}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function notes_of(b) return table.concat(b.notes, "\n") end

local function loads(b, want)
  local sum = 0
  for key, load in pairs(want) do
    check.near(b[key], load, 1e-9, key)
    sum = sum + b[key]
  end
  check.near(sum, b.mass, 1e-9, "wheels carry all")
end

local tadpole = {two("front", 0, 1300), one("rear", 2400)}
local delta = {one("front", 0), two("rear", 2400, 1300)}

test("three_wheels_two_in_front", function()
  -- 400 kg, 900 back, 50 right: rear 400 x 900/2400 = 150; rf - lf = 400 x 50/650
  local between = 400 * 50 / 650
  for _, cross in ipairs{50, 30} do
    local b = lump(tadpole, 400, {900, 50, 310}, {cross_share = cross}):balance()
    loads(b, {lf = 125 - between / 2, rf = 125 + between / 2, r = 150})
    check.near(b.front, 250, 1e-9)
    check.near(b.rear, 150, 1e-9)
    check.near(b.front_share, 62.5, 1e-9)
    check.near(b.left, 125 - between / 2 + 75, 1e-9, "the single wheel counts half to each side")
    check.near(b.left_share, 100 * b.left / 400, 1e-9)
    check.equal(b.cross_share, nil)
    check.equal(b.diagonal_ratio, nil)
    check.equal(b.lr, nil)
    check.equal(b.lifted, {})
    check.contains(b.corner_basis, "three wheels: the loads follow from balance alone")
    check.ok(not notes_of(b):find("cross weight", 1, true))
    check.ok(not notes_of(b):find("rigid", 1, true), "a twisting chassis changes nothing on three wheels")
  end
end)

test("three_wheels_one_in_front", function()
  -- 400 kg, 900 back, 50 left: front 400 x 1500/2400 = 250; lr - rr = 400 x 50/650
  local between = 400 * 50 / 650
  local b = lump(delta, 400, {900, -50, 310}):balance()
  loads(b, {f = 250, lr = 75 + between / 2, rr = 75 - between / 2})
  check.near(b.front, 250, 1e-9)
  check.near(b.right, 75 - between / 2 + 125, 1e-9)
end)

test("three_wheels_have_the_uncertainty_of_their_balance", function()
  local b = lump(tadpole, sy.sd(400, 3), {sy.sd(900, 7), sy.sd(50, 4), 310}):balance()
  -- r = m x/L: dr/dm = x/L, dr/dx = m/L. lf = (m (1 - x/L) - m y/650)/2
  check.near(b.sd.r, math.sqrt((3 * 900 / 2400) ^ 2 + (400 * 7 / 2400) ^ 2), 1e-9)
  check.near(b.sd.lf, math.sqrt(((1 - 900 / 2400 - 50 / 650) * 3) ^ 2 + (400 / 2400 * 7) ^ 2 + (400 / 650 * 4) ^ 2) / 2, 1e-9)
end)

test("three_wheels_with_the_cg_outside_would_tip", function()
  -- one in front, 300 back and 150 right: rear 50, rr - lr = 400 x 150/650 = 92.3, so lr is below zero
  local between = 400 * 150 / 650
  local b = lump(delta, 400, {300, 150, 310}):balance()
  loads(b, {f = 350, lr = 25 - between / 2, rr = 25 + between / 2})
  check.ok(b.lr < 0, "not clipped")
  check.equal(b.lifted, {"lr"})
  check.contains(notes_of(b), "lr carries a negative load: the car would tip, the CG lies outside the wheels")
  check.contains(tostring(b), "Lr carries a negative load")
  local behind = lump(tadpole, 400, {2600, 0, 310}):balance()
  check.equal(behind.lifted, {"lf", "rf"})
  check.near(behind.front, -400 * 200 / 2400, 1e-9)
  check.near(behind.front_share, -100 * 200 / 2400, 1e-9)
  check.contains(notes_of(behind), "lf and rf carry a negative load")
end)

test("four_wheels_negative_loads_are_kept", function()
  -- 500 kg 100 ahead of the front axle: rear -500 x 100/2400
  local b = lump({two("front", 0, 1400), two("rear", 2400, 1400)}, 500, {-100, 0, 300}):balance()
  local rear = -500 * 100 / 2400
  loads(b, {lf = (500 - rear) / 2, rf = (500 - rear) / 2, lr = rear / 2, rr = rear / 2})
  check.near(b.front_share, 100 * (500 - rear) / 500, 1e-9)
  check.equal(b.lifted, {"lr", "rr"})
  check.contains(notes_of(b), "the CG lies outside the wheels")
end)

test("a_cross_share_out_of_reach_is_not_tipping", function()
  -- CG in the middle: lf + rf = 250, lf + lr = 250, rf + lr = 96 % of 500 = 480, so lf = (500 - 480)/2
  local four = {two("front", 0, 1400), two("rear", 2400, 1400)}
  loads(lump(four, 500, {1200, 0, 300}, {cross_share = 96}):balance(), {lf = 10, rf = 240, lr = 240, rr = 10})
  -- front 20 %: lf + rf = 100, lf + lr = 250, rf + lr = 480 gives lf = (100 + 250 - 480)/2
  local b = lump(four, 500, {1920, 0, 300}, {cross_share = 96}):balance()
  loads(b, {lf = -65, rf = 165, lr = 315, rr = 85})
  check.equal(b.lifted, {"lf"})
  check.contains(notes_of(b), "lf carries a negative load: it cannot be set to that cross weight")
  check.ok(not notes_of(b):find("tip", 1, true))
end)

-- Wheels at +-y: with S1 = sum x, S2 = sum x^2, T = sum y^2 over n wheels, A A^T splits into [n S1; S1 S2] and T, and the
-- load of a wheel is a + b x + c y with a = m (S2 - S1 X)/D, b = m (n X - S1)/D, D = n S2 - S1^2, c = m Y/T.
test("three_axles_by_least_norm", function()
  -- axles at 0, 2400, 3600 with half tracks 800, 750, 750; 3000 kg at 1500 back, 40 right:
  -- n = 6, S1 = 2 x 6000 = 12000, S2 = 2 (2400^2 + 3600^2) = 37.44e6, D = 6 x 37.44e6 - 144e6 = 80.64e6,
  -- T = 2 (800^2 + 2 x 750^2) = 3.53e6; a = 3000 (37.44e6 - 12000 x 1500)/D = 723.214..., b = 3000 (9000 - 12000)/D
  local a, slope, c = 3000 * 19.44e6 / 80.64e6, -9e6 / 80.64e6, 120000 / 3.53e6
  local car = lump({two("front", 0, 1600), two("middle", 2400, 1500), two("last", 3600, 1500)}, 3000, {1500, 40, 700})
  local b = car:balance()
  loads(b, {l1 = a - 800 * c, r1 = a + 800 * c, l2 = a + 2400 * slope - 750 * c, r2 = a + 2400 * slope + 750 * c,
            l3 = a + 3600 * slope - 750 * c, r3 = a + 3600 * slope + 750 * c})
  check.near(b.axle.front, 2 * a, 1e-9) -- 1446.43
  check.near(b.axle.middle, 2 * (a + 2400 * slope), 1e-9)
  check.near(b.axle.last, 2 * (a + 3600 * slope), 1e-9)
  check.near(b.front, b.axle.front, 1e-9)
  check.near(b.rear, b.axle.middle + b.axle.last, 1e-9, "rear is all behind the first axle")
  check.near(b.left, b.l1 + b.l2 + b.l3, 1e-9)
  check.near(b.wheelbase, 3600, 1e-9)
  check.equal(b.cross_share, nil)
  check.contains(b.corner_basis, "least-norm split")
  check.contains(tostring(b), "least-norm split")
  -- the three balances themselves
  check.near(b.axle.middle * 2400 + b.axle.last * 3600, 3000 * 1500, 1e-6)
  check.near((b.r1 - b.l1) * 800 + (b.r2 - b.l2 + b.r3 - b.l3) * 750, 3000 * 40, 1e-6)
end)

test("least_norm_negative_loads_say_tip_only_when_the_cg_is_outside", function()
  -- wheels at 0 (single), 700 (half track 500), 1300 (single); 10 kg at 100: n = 4, S1 = 2700, S2 = 2 x 700^2 + 1300^2 = 2.67e6,
  -- D = 4 x 2.67e6 - 2700^2 = 3.39e6; c3 = 10 (2.67e6 - 2700 x 100 + (4 x 100 - 2700) 1300)/D = 10 x -0.59e6/3.39e6
  local axles = {one("front", 0), two("middle", 700, 1000), one("rear", 1300)}
  local b = lump(axles, 10, {100, 0, 300}):balance()
  check.near(b.c3, -5.9 / 3.39, 1e-9)
  check.near(b.c1, 10 * 2.4 / 3.39, 1e-9)
  check.equal(b.lifted, {"c3"})
  check.contains(notes_of(b), "c3 carries a negative load: off the ground the others share the load in another way than shown")
  check.contains(notes_of(lump(axles, 10, {-100, 0, 300}):balance()), "the CG lies outside the wheels")
  -- 100 back the wheels reach 500 x 100/700 = 71.4 to each side
  check.contains(notes_of(lump(axles, 10, {100, 72, 300}):balance()), "the CG lies outside the wheels")
  check.ok(not notes_of(lump(axles, 10, {100, 71, 300}):balance()):find("outside", 1, true))
end)

test("too_few_wheels_or_all_on_one_line_cannot_stand", function()
  check.raises(function() lump({one("front", 0), one("rear", 1300)}, 100, {600, 0, 300}) end,
    {code = "geometry", field = "axles", message = "two wheels do not stand"})
  check.raises(function() lump({one("front", 0), one("middle", 700), one("rear", 1300)}, 100, {600, 0, 300}) end,
    {code = "geometry", field = "axles", message = "on one line"})
end)

test("a_moved_axle_changes_the_loads_and_not_the_cg_of_the_body", function()
  local car = lump({two("front", 0, 1400), two("rear", 2400, 1400)}, 500, {1200, 0, 300})
  local b = car:move("rear axle", {back = 100}):balance()
  check.near(b.wheelbase, 2500, 1e-9)
  check.near(b.rear, 500 * 1200 / 2500, 1e-9)
  check.near(b.cg.x, 1200, 1e-9)
  local f = car:move("front axle", {forward = 150}):balance()
  check.near(f.cg.x, 1200, 1e-9, "file coordinates go on meaning the same floor")
  check.near(f.cg_behind, 1350, 1e-9)
  check.near(f.front_share, 100 * (2400 - 1200) / 2550, 1e-9)
end)

check.done()
