-- car:inertia: about the CG and about a point, of the car and of a part of it.
local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}}

local function car(parts, more)
  local fields = {title = "inertia", axes = {x = "back", y = "right", z = "up"}, axles = axles, parts = parts}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

-- Uniform cube of edge b about its corner: 2/3 and -1/4 of M b^2, principal moments 1/6 about the long diagonal and 11/12 twice: standard
-- example of H. Goldstein, Classical Mechanics, ch. 5 (from memory)
test("cube_about_its_corner", function()
  local edge, mass = 300, 40
  local unit = mass * (edge / 1000) ^ 2
  local half = edge / 2
  local cube = sy.part "cube" {mass = sy.sd(mass, 0.5), at = {1000 + half, 200 + half, 100 + half}, shape = sy.box {edge, edge, edge}}
  local c = car({cube, sy.part "rest" {mass = 300, at = {900, 0, 300}}}, {points = {corner = {1000, 200, 100}}})
  for _, about in ipairs{"corner", {1000, 200, 100}} do
    local r = c:inertia{what = "cube", about = about}
    check.near(r.inertia.xx, 2 / 3 * unit, 1e-9)
    check.near(r.inertia.xy, -1 / 4 * unit, 1e-9)
    check.near(r.inertia.yz, -1 / 4 * unit, 1e-9)
    check.near(r.principal[1].moment, unit / 6, 1e-9)
    check.near(r.principal[2].moment, 11 / 12 * unit, 1e-9)
    check.near(r.principal[3].moment, 11 / 12 * unit, 1e-9)
    local axis = r.principal[1].axis
    for k = 1, 3 do check.near(math.abs(axis[k]), 1 / math.sqrt(3), 1e-9) end
    check.near(axis[1], axis[2], 1e-9) -- the diagonal runs back and to the right, and up
    check.near(axis[1], -axis[3], 1e-9)
    check.near(r.principal[1].off, math.deg(math.acos(1 / math.sqrt(3))), 1e-6)
    check.near(r.sd.inertia.xx, 0.5 / mass * r.inertia.xx, 1e-9)
    check.near(r.sd.principal[1], 0.5 / mass * unit / 6, 1e-9)
    check.near(r.about.x, 1000, 1e-9)
    check.equal(r.points, 0)
    check.contains(tostring(r), "Where moments are equal, every axis in the plane of theirs is one.")
  end
end)

test("about_the_cg_it_is_that_of_the_balance", function()
  for _, name in ipairs{"bistort", "twayblade", "teasel"} do
    local c = sy.load("vehicles/" .. name .. ".lua")
    local r, b = c:inertia(), c:balance()
    for _, entry in ipairs{"xx", "yy", "zz", "xy", "xz", "yz"} do
      check.near(r.inertia[entry], b.inertia[entry], 1e-9 * b.inertia.zz, name .. entry)
      check.near(r.sd.inertia[entry], b.sd.inertia[entry], 1e-9 * b.inertia.zz, name .. entry)
    end
    check.near(r.cg.z, b.cg.z, 1e-9)
    local sum = r.principal[1].moment + r.principal[2].moment + r.principal[3].moment
    check.near(sum, b.inertia.xx + b.inertia.yy + b.inertia.zz, 1e-9 * sum) -- the trace stays
    check.contains(tostring(r), "at least")
  end
end)

test("a_turned_box_has_its_axes_turned", function()
  local c = car{sy.part "beam" {mass = 30, at = {1000, 0, 300}, shape = sy.box {1200, 200, 100}, turned = {nose_up = 10}}}
  local r = c:inertia{what = "beam"}
  check.near(r.principal[1].off, 10, 1e-9)
  check.equal({r.principal[1].near, r.principal[2].near, r.principal[3].near}, {"fore-aft", "across", "upright"})
  check.near(r.principal[1].axis[1], math.cos(math.rad(10)), 1e-12)
  check.near(r.principal[1].axis[3], math.sin(math.rad(10)), 1e-12) -- forward along it is up
  check.near(r.principal[3].moment, 30 / 12 * (1.2 ^ 2 + 0.2 ^ 2), 1e-9)
end)

test("of_what_is_aboard_and_with_edits", function()
  local parts = {sy.group "pack" {at = {1500, 0, 300}, sy.part "cell" {pair = true, mass = 20, at = {0, 300, 0}},
                                  sy.part "box" {mass = 8, at = {0, 0, 50}}}, sy.part "tub" {mass = 100, at = {1000, 0, 300}}}
  local c = car(parts, {states = {sy.state "bare" {without = {"box"}}}})
  local r = c:state "bare":inertia{what = "pack"}
  check.near(r.mass, 40, 1e-9)
  check.near(r.inertia.zz, 2 * 20 * 0.3 ^ 2, 1e-9)
  check.equal({r.parts, r.points}, {1, 1})
  check.near(c:move("cell/left", {left = 100}):inertia{what = "cell"}.inertia.zz, 10 * 0.7 ^ 2, 1e-9)
end)

test("bad_questions_are_refused", function()
  local c = car{sy.part "loom" {mass = sy.unknown, at = {0, 0, 300}}, sy.part "tub" {mass = 100, at = {1000, 0, 300}}}
  check.raises(function() c:inertia{what = "loom"} end, {code = "missing", field = "mass"})
  check.raises(function() c:inertia{what = "looms"} end, {code = "unknown", hint = "loom"})
  check.raises(function() c:inertia{about = "corner"} end, {code = "unknown", field = "about"})
  check.raises(function() c:inertia{about = {1, 2}} end, {code = "missing", field = "about"})
  check.raises(function() c:inertia{abut = {1, 2, 3}} end, {code = "unknown"})
end)

check.done()
