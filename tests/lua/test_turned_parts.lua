-- Parts and pairs in turned groups, or turned by themselves: which way their errors point, and what a later car:set leaves alone.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local AXLES = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}}

local function car_of(parts, more)
  local fields = {title = "Turned (invented)", axes = {x = "back", y = "left", z = "up"}, axles = AXLES, parts = parts}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

-- A pair in a group that is turned inside a turned group; `side` is where the stated piece lies, `at` and `sd` move and uncertainty its
-- place.
local function pair_in_turned_groups(side, at, sd)
  local place = {}
  for i, x in ipairs{-284, side * 198, 111} do place[i] = sy.sd(x + at[i], sd[i]) end
  return car_of{
    sy.part "tub" {mass = sy.sd(10, 0), at = {700, 0, 300}},
    sy.group "outer" {at = {1000, 50, 300}, turned = {nose_up = 10},
      sy.group "inner" {at = {100, 20, 30}, turned = {nose_left = 20},
        sy.part "corner" {pair = true, mass = sy.sd(20, 0), at = place}}}}
end

-- The law of propagation itself (JCGM 100:2008, 5.1.2): u(y) = |dy/dx| u(x), the derivative taken by a step to both sides.
test("uncertainty_of_a_pair_follows_the_piece_that_was_stated", function()
  local none, step = {0, 0, 0}, 0.01 -- mm; the answers are quadratic in it, so only rounding is left: some 1e-10 of them by the step
  for _, side in ipairs{1, -1} do
    for i = 1, 3 do
      local uncertainty, more, less = {0, 0, 0}, {0, 0, 0}, {0, 0, 0}
      uncertainty[i], more[i], less[i] = 1, step, -step
      local sd = pair_in_turned_groups(side, none, uncertainty):balance().sd
      local up, down = pair_in_turned_groups(side, more, none):balance(), pair_in_turned_groups(side, less, none):balance()
      local where = ("side %d, coordinate %d"):format(side, i)
      check.near(sd.yaw_inertia, math.abs(up.yaw_inertia - down.yaw_inertia) / (2 * step), 1e-9, where)
      check.near(sd.cg.x, math.abs(up.cg.x - down.cg.x) / (2 * step), 1e-7, where)
    end
  end
end)

-- J = m (a^2 + b^2) / 12 of a box: Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, Table D/4. Stood on its end, the length
-- points up.
test("a_turned_box_set_to_another_mass_stays_turned", function()
  local car = car_of{sy.part "box" {mass = 12, at = {1000, 0, 400}, shape = sy.box {600, 200, 300}}}
  local turned = car:move("box", {nose_up = 90}):set("box", {mass = 30})
  check.near(turned:balance().yaw_inertia, 30 * (0.3 ^ 2 + 0.2 ^ 2) / 12, 1e-12, "on its end") -- a few roundings
  check.near(car:set("box", {mass = 30}):balance().yaw_inertia, 30 * (0.6 ^ 2 + 0.2 ^ 2) / 12, 1e-12, "as filed")
  local anew = turned:set("box", {shape = sy.box {300, 200, 600}})
  check.near(anew:balance().yaw_inertia, 30 * (0.6 ^ 2 + 0.2 ^ 2) / 12, 1e-12, "a new shape lies as the part was turned")
  local stated = car_of{sy.part "block" {mass = 12, at = {1000, 0, 400}, inertia = {xx = 0.3, yy = 0.5, zz = 0.7}}}
  check.near(stated:move("block", {nose_up = 90}):set("block", {mass = 30}):balance().yaw_inertia, 0.3, 1e-12, "inertia goes along")
end)

test("a_tank_turned_and_filled_stays_turned", function()
  local car = car_of{sy.part "tub" {mass = 100, at = {1000, 0, 400}},
    sy.tank "fuel" {shape = sy.box {600, 200, 300}, at = {1000, 0, 400}, density = 0.75, fill = 20}}
  -- 30 of 36 litres, 250 mm deep as drawn: the liquid goes along as it lies, its depth then fore-aft
  local b = car:move("fuel", {nose_up = 90}):fill{fuel = 30}:balance()
  local tank, tub, off = 0.75 * 30, 100, 0.025 -- m between the liquid's middle and the tank's
  check.near(b.yaw_inertia, tank * (0.25 ^ 2 + 0.2 ^ 2) / 12 + tank * tub / (tank + tub) * off ^ 2, 1e-9)
end)

local function key(car)
  local b = car:balance()
  return b.mass, b.cg.x, b.cg.y, b.cg.z, b.yaw_inertia, b.inertia.xx, b.inertia.xz
end

test("a_pair_set_in_a_turned_group_is_the_same_in_either_order", function()
  local car = car_of{sy.part "tub" {mass = 100, at = {1000, 0, 400}}, sy.group "axle" {at = {2400, 0, 300},
    sy.part "arm" {pair = true, mass = 5, at = {-300, 400, 20}, shape = sy.rod {700, axis = "x"}, turned = {nose_left = 40}}}}
  local turn = {right_up = 15, nose_up = 8}
  local one, other = {key(car:move("axle", turn):set("arm", {mass = 8}))}, {key(car:set("arm", {mass = 8}):move("axle", turn))}
  for i = 1, #one do check.near(one[i], other[i], 1e-9, "answer " .. i) end -- mm and kg m2: places are kept to 1e-9 mm
end)

test("a_plain_mass_keeps_the_uncertainty_that_assume_gave_a_pair", function()
  local car = car_of({sy.part "arm" {pair = true, mass = 10, at = {1000, 400, 300}}}, {assume = {estimate = "5 %"}})
  check.near(car:set("arm", {mass = 20}):balance().sd.mass, 2 * 0.5, 1e-12, "one error of both")
end)

-- The words of a turn and the place of a line, read off the ledger as a file would state them: the file itself is the measure.
test("place_and_turn_of_a_line_are_those_that_its_file_states", function()
  local core = require "steelyard.core"
  local contents = require "steelyard.car.contents"
  local words = {nose_up = 12.5, left_up = -40, nose_left = 71}
  local car = car_of{sy.group "outer" {at = {1000.5, 50, 300}, turned = words,
    sy.group "inner" {at = {100, 20, 30}, turned = {nose_down = 20},
      sy.part "lead" {mass = 20, at = {1, -2, 3}, turned = {right_up = 5}, shape = sy.box {1, 2, 3}}}}}
  local c = contents.inside(car)
  local function stated(name, o) return core.stated(c.now, c.now:find(name)[1], c.geometry, o or {}) end
  local at, turned = stated "outer"
  for i, x in ipairs{1000.5, 50, 300} do check.near(at[i], x, 1e-9) end -- a picometre
  for word, angle in pairs(words) do check.near(turned[word], angle, 1e-12, word) end -- degrees: rounding
  at, turned = stated("lead", {turned = {right_up = 5}})
  for i, x in ipairs{1, -2, 3} do check.near(at[i], x, 1e-9) end
  check.near(turned.left_up, -5, 1e-12)
  -- at the top of the file the part lies and is turned as it does in the vehicle
  at, turned = stated("lead", {into = "", turned = {right_up = 5}})
  local alone = car_of{sy.part "lead" {mass = 20, at = at, turned = turned, shape = sy.box {1, 2, 3}}}:balance()
  local was = car:balance()
  for _, letter in ipairs{"x", "y", "z"} do check.near(alone.cg[letter], was.cg[letter], 1e-9) end
  for _, name in ipairs{"xx", "yy", "zz", "xy", "xz", "yz"} do
    check.near(alone.inertia[name], was.inertia[name], 1e-13, name) -- rounding of 20 kg at 1 m
  end
  -- and seen from another group as that group's own line would have it
  local inner, from_inner = stated("inner", {into = c.now:find("outer")[1]})
  local plain, from_plain = stated "inner"
  for i = 1, 3 do check.near(inner[i], plain[i], 1e-9) end
  check.near(from_inner.nose_up, from_plain.nose_up, 1e-12)
end)

check.done()
