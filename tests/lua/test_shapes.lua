-- The moments of inertia that the shapes of a vehicle file give a part, each against its handbook formula.
-- Source: Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, Table D/4; hollow bodies by difference of two solid
-- ones of the same density. The formulas are remembered, the arithmetic is done here.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"

local MASS = 13.7 -- kg

-- One part alone on a car, so that the car's inertia is the part's own. x back, y right, z up.
local function inertia_of(shape, turned)
  local car = sy.car {
    title = "one part", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1430, loaded_radius = 291},
             {name = "rear", at = 2370, track = 1410, loaded_radius = 303}},
    parts = {sy.part "piece" {mass = MASS, at = {1130, 70, 345}, shape = shape, turned = turned}},
  }
  return car:balance().inertia
end

local function moments(shape, xx, yy, zz)
  local j = inertia_of(shape)
  local tolerance = 1e-12 * (xx + yy + zz) -- some thousand roundings of the sum
  check.near(j.xx, xx, tolerance, "xx")
  check.near(j.yy, yy, tolerance, "yy")
  check.near(j.zz, zz, tolerance, "zz")
end

local m = MASS
local function square(mm) return (mm / 1000) ^ 2 end

check.test("box_takes_length_fore_aft_width_across_height_upright", function()
  local a, b, c = square(430), square(260), square(310)
  moments(sy.box {430, 260, 310}, m / 12 * (b + c), m / 12 * (c + a), m / 12 * (a + b))
end)

check.test("cylinder_lies_across_unless_stated_otherwise", function()
  local r2, l2 = square(137 / 2), square(410)
  local along, across = m * r2 / 2, m * (r2 / 4 + l2 / 12)
  moments(sy.cylinder {137, 410}, across, along, across)
  moments(sy.cylinder {137, 410, axis = "x"}, along, across, across)
  moments(sy.cylinder {diameter = 137, length = 410, axis = "z"}, across, across, along)
end)

check.test("tube_takes_outer_diameter_and_wall", function()
  local sum, l2 = square(137 / 2) + square(137 / 2 - 9), square(410)
  local along, across = m * sum / 2, m * (sum / 4 + l2 / 12)
  moments(sy.tube {137, 9, 410}, across, along, across)
  moments(sy.tube {137, 9, 410, axis = "x"}, along, across, across)
end)

check.test("spheres_solid_and_hollow", function()
  local outer, inner = 0.137 / 2, 0.137 / 2 - 0.009
  local solid = 2 / 5 * m * outer ^ 2
  local hollow = 2 / 5 * m * (outer ^ 5 - inner ^ 5) / (outer ^ 3 - inner ^ 3)
  moments(sy.sphere {137}, solid, solid, solid)
  moments(sy.hollow_sphere {137, 9}, hollow, hollow, hollow)
end)

check.test("ellipsoid_takes_whole_axes", function()
  local a, b, c = square(430 / 2), square(260 / 2), square(310 / 2)
  moments(sy.ellipsoid {430, 260, 310}, m / 5 * (b + c), m / 5 * (c + a), m / 5 * (a + b))
end)

check.test("cone_is_about_its_own_cg", function()
  local r2, h2 = square(137 / 2), square(410)
  local along, across = 3 / 10 * m * r2, m * (3 / 20 * r2 + 3 / 80 * h2)
  moments(sy.cone {137, 410}, across, along, across)
  moments(sy.cone {137, 410, axis = "z"}, across, across, along)
end)

check.test("rod_is_thin", function()
  local across = m * square(610) / 12
  moments(sy.rod {610}, across, 0, across)
  moments(sy.rod {610, axis = "x"}, 0, across, across)
end)

check.test("plate_lies_flat_and_has_its_length_fore_aft", function()
  local a, b = square(430), square(260)
  moments(sy.plate {430, 260}, m / 12 * b, m / 12 * a, m / 12 * (a + b))
end)

check.test("turned_shape_has_a_product_of_inertia", function()
  -- a rod along x, nose up by t: x falls off as z rises, so the integral of x z dm is -m l^2/12 sin t cos t and the
  -- tensor entry is its negative
  local t = math.rad(20)
  local j = inertia_of(sy.rod {610, axis = "x"}, {nose_up = 20})
  local whole = m * square(610) / 12
  local tolerance = 1e-12 * whole
  check.near(j.xz, whole * math.sin(t) * math.cos(t), tolerance, "xz")
  check.near(j.xx, whole * math.sin(t) ^ 2, tolerance, "xx")
  check.near(j.zz, whole * math.cos(t) ^ 2, tolerance, "zz")
end)

check.done()
