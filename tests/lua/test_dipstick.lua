-- Litres by the height of the liquid: published fractions of a lying cylinder, and a leaning box by plane geometry.
local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function car(tank, axes)
  return sy.car{title = "dip", axes = axes or {x = "back", y = "right", z = "up"}, axles = {
      {name = "front", at = 0, track = 1450, loaded_radius = 288},
      {name = "rear", at = (axes and axes.x == "forward" and -1 or 1) * 2400, track = 1460, loaded_radius = 301}},
    parts = {tank, sy.part "tub" {mass = 300, at = {(axes and axes.x == "forward" and -1 or 1) * 1000, 0, 300}}}}
end

local function drum(more)
  local fields = {shape = sy.cylinder {200, 500, axis = "y"}, at = {1300, 0, 300}, density = 0.75, fill = 5}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.tank "fuel" (fields)
end

-- Volume fractions of a lying cylinder by depth over diameter: tests/reference/cylinder_partial_fill.csv
test("a_lying_cylinder_has_the_fractions_of_the_table", function()
  local r = car(drum()):dipstick("fuel", {step = 5})
  local full, of = math.pi * 0.1 ^ 2 * 0.5 * 1000, {}
  for _, row in ipairs(r.rows) do of[math.floor(row.height + 0.5)] = row.litres / full end
  for height, fraction in pairs{[20] = 0.052044, [50] = 0.195501, [60] = 0.252316, [100] = 0.5, [150] = 0.804499, [180] = 0.947956} do
    check.near(of[height], fraction, 6e-7, height) -- half of the last printed digit
  end
  check.near(r.capacity, full, 1e-9)
  check.near(r.deepest, 200, 1e-6)
  check.equal(#r.rows, 41)
  check.near(r.rows[1].litres, 0, 0)
  check.near(r.rows[41].litres, full, 1e-9)
end)

-- A box of 400 by 300 by 200 with its nose up by 20 deg: below the height at which the rear lower edge's triangle reaches its front one the
-- liquid is a wedge of h^2 / (2 sin cos) by 300; on its side that is 300 in place of 400.
test("a_leaning_box_holds_a_wedge", function()
  for _, axes in ipairs{{x = "back", y = "right", z = "up"}, {x = "forward", y = "left", z = "up"}} do
    local at = {(axes.x == "forward" and -1 or 1) * 1300, 0, 300}
    local c = car(sy.tank "fuel" {shape = sy.box {400, 300, 200}, at = at, density = 0.75, fill = 5}, axes)
    local t = math.rad(20)
    for _, lean in ipairs{{nose_up = 20}, {nose_down = 20}} do
      lean.step = 30
      local r = c:dipstick("fuel", lean)
      check.near(r.rows[4].litres, 90 ^ 2 / (2 * math.sin(t) * math.cos(t)) * 300 / 1e6, 1e-9)
      check.near(r.deepest, 400 * math.sin(t) + 200 * math.cos(t), 1e-6)
    end
    local r = c:dipstick("fuel", {left_up = 20, step = 30})
    check.near(r.rows[4].litres, 90 ^ 2 / (2 * math.sin(t) * math.cos(t)) * 400 / 1e6, 1e-9)
    -- what is in it stands where a row of that height says
    local now = c:dipstick("fuel", {left_up = 20, step = r.height})
    check.near(now.rows[2].litres, 5, 1e-9)
  end
end)

test("foam_takes_its_share_at_every_height", function()
  local r = car(drum{capacity = 10}):dipstick("fuel", {step = 100})
  check.near(r.rows[2].litres, 5, 1e-9)
  check.near(r.rows[3].litres, 10, 1e-9)
end)

test("the_table_prints_and_goes_to_a_spreadsheet", function()
  local c = car(drum())
  check.contains(tostring(c:dipstick("fuel", {nose_up = 2, right_up = 1})), "fuel, 2 deg nose up, 1 deg right side up")
  check.contains(tostring(c:dipstick "fuel"), "Now 5.0 litres stand")
  local csv = require("steelyard.answers.dipstick").csv(c:dipstick("fuel", {step = 100}))
  check.equal(csv, "height (mm),litres\n0.000,0.0000\n100.000,7.8540\n200.000,15.7080\n")
end)

test("bad_questions_are_refused", function()
  local c = car(drum())
  check.raises(function() c:dipstick() end, {code = "missing"})
  check.raises(function() c:dipstick "tub" end, {code = "type", message = "not a single tank"})
  check.raises(function() c:dipstick("fuel", {step = 0}) end, {code = "range", field = "step"})
  check.raises(function() c:dipstick("fuel", {step = 0.1}) end, {code = "range", field = "step", message = "2000 rows"})
  check.raises(function() c:dipstick("fuel", {nose_up = 95}) end, {code = "range", field = "nose_up"})
  check.raises(function() c:dipstick("fuel", {nose_up = 1, nose_down = 2}) end, {code = "clash", field = "nose_down"})
  check.raises(function() c:dipstick("fuel", {steps = 2}) end, {code = "unknown"})
  local bare = car(sy.tank "fuel" {capacity = 20, density = 0.75, fill = 5, at = {1300, 0, 300}})
  check.raises(function() bare:dipstick "fuel" end, {code = "missing", part = "fuel", field = "shape"})
end)

check.done()
