-- assume = {shape = "density"}: parts without a shape are solid balls of 1,000 kg/m3. Inertia of a ball: 2/5 m r^2 (Meriam, Kraige &
-- Bolton, Engineering Mechanics: Dynamics, Table D/4); density and uncertainty: common practice, no source.
local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local sy = require "steelyard"
local test = check.test

local function ball(mass) return 0.4 * mass * (3 * mass / (4 * math.pi * 1000)) ^ (2 / 3) end

local function car(parts, more)
  local fields = {title = "assumed", axes = {x = "back", y = "right", z = "up"}, assume = {shape = "density"}, parts = parts,
    axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}}}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local engine, box = sy.part "engine" {mass = 96, at = {1780, 0, 300}}, sy.part "box" {mass = 41, at = {600, 10, 350}}

-- two masses about their joint CG, and a ball each
local function yaw(m, n, x, y) return m * n / (m + n) * (x ^ 2 + y ^ 2) + ball(m) + ball(n) end

test("parts_without_a_shape_have_the_inertia_of_balls", function()
  local b = car{engine, box}:balance()
  check.near(b.yaw_inertia, yaw(96, 41, 1.18, 0.01), 1e-9)
  check.equal(b.points, 0)
  check.contains(tostring(b), "2 of 2 parts have no shape and count as solid balls of 1,000 kg/m3, the inertia of each good to 50 %")
  check.ok(not tostring(b):find "at least")
  local plain = car({engine, box}, {assume = {within_mm = 5}}):balance()
  check.near(plain.yaw_inertia, yaw(96, 41, 1.18, 0.01) - ball(96) - ball(41), 1e-9)
  check.equal(plain.points, 2)
  check.contains(tostring(plain), "at least")
end)

test("what_states_a_shape_or_an_inertia_keeps_it", function()
  local b = car{sy.part "block" {mass = 90, at = {1000, 0, 300}, shape = sy.box {600, 400, 200}}}:balance()
  check.near(b.yaw_inertia, 90 / 12 * (0.6 ^ 2 + 0.4 ^ 2), 1e-9)
  check.near(b.sd.yaw_inertia, 0, 1e-12)
  check.ok(not tostring(b):find "solid ball")
  b = car{sy.part "block" {mass = 90, at = {1000, 0, 300}, inertia = {2, 3, 4}}}:balance()
  check.near(b.yaw_inertia, 4, 1e-9)
end)

test("all_of_them_share_one_error_of_half_their_inertia", function()
  local c = car{engine, box}
  check.near(c:balance().sd.yaw_inertia, 0.5 * (ball(96) + ball(41)), 1e-9)
  -- where they lie is known, so a move changes nothing of that
  check.near(sy.compare{c, c:move("engine", {back = 50}), show = {"yaw_inertia"}}.sd.yaw_inertia[2], 0, 1e-9)
  -- and of two files it is the same one
  check.near(sy.compare{c, car{engine, box}, show = {"yaw_inertia"}}.sd.yaw_inertia[2], 0, 1e-9)
  -- an engine that is heavier: its own inertia goes by the mass to the power of five thirds
  local uncertain = car{sy.part "engine" {mass = sy.sd(96, 0.5), at = {1780, 0, 300}}}:balance()
  check.near(uncertain.sd.yaw_inertia, math.sqrt((0.5 * ball(96)) ^ 2 + (5 / 3 * ball(96) / 96 * 0.5) ^ 2), 1e-9)
  check.near(c:set("engine", {mass = 120}):balance().yaw_inertia, yaw(120, 41, 1.18, 0.01), 1e-9)
end)

test("pairs_counts_tanks_people_and_stand_ins_too", function()
  local function alone(part, more) return car({part}, more):balance() end
  check.near(alone(sy.part "hub" {pair = true, mass = 7, at = {0, 700, 300}}).yaw_inertia, 2 * (ball(7) + 7 * 0.7 ^ 2), 1e-9)
  check.near(alone(sy.part "bolt" {count = 40, mass = 0.3, at = {0, 700, 300}}).yaw_inertia, 40 * ball(0.3), 1e-9)
  local tank = sy.tank "fuel" {capacity = 40, density = 0.75, fill = 20, dry_mass = 4, at = {1300, 0, 300}}
  check.near(alone(tank).yaw_inertia, ball(19), 1e-9)
  check.near(car{tank}:fill{fuel = 40}:balance().yaw_inertia, ball(34), 1e-9)
  check.near(alone(sy.person "driver" {mass = 80, at = {1000, 0, 400}}).yaw_inertia, ball(80), 1e-9)
  local mock_up = car({sy.part "engine" {mass = 96, at = {1780, 0, 300}, shape = sy.box {600, 500, 400}, stand_in = {mass = 48}}},
    {states = {sy.state "mock-up" {stand_ins = true}}})
  check.near(mock_up:state "mock-up":balance().yaw_inertia, ball(48), 1e-9)
  check.near(mock_up:balance().yaw_inertia, 96 / 12 * (0.6 ^ 2 + 0.5 ^ 2), 1e-9)
  check.near(car{engine}:add(box):balance().yaw_inertia, yaw(96, 41, 1.18, 0.01), 1e-9)
end)

test("an_inertia_that_is_a_number_can_pass_an_upper_limit", function()
  local limits = {{name = "agile", quantity = "yaw_inertia", max = 200}}
  check.equal(car({engine, box}, {limits = limits}):checks()[1].status, "pass")
  check.equal(car({engine, box}, {limits = limits, assume = {within_mm = 5}}):checks()[1].status, "unknown")
end)

-- Source: 14 passenger cars of SAE 1999-01-1336, tests/reference/vehicle_inertia.csv
test("measured_cars_stand_beside_it", function()
  local sum, count = 0, 0
  for line in io.lines "tests/reference/vehicle_inertia.csv" do
    local class, index = line:match "^[^#,]+,([^,]+),.*,([%d.]+)$"
    if class and (class:find "saloon" or class:find "estate" or class:find "hatch" or class:find "coupe") then
      sum, count = sum + core.number(index), count + 1
    end
  end
  check.equal(count, 14)
  local mean = core.fixed(sum / count, 2)
  local b = car{engine, box}:balance()
  -- about the axles: a and b behind and ahead of the CG
  local a = b.cg_behind / 1000
  check.contains(table.concat(b.notes, "\n"), ("a yaw inertia of %s m a b, here %.0f kg m2, which is not better than 15 %%"):format(mean,
    core.number(mean) * 137 * a * (2.4 - a)))
end)

test("another_word_is_refused", function()
  check.raises(function() car({engine}, {assume = {shape = "sphere"}}) end, {code = "unknown", field = "assume.shape"})
  check.raises(function() car({engine}, {assume = {shape = true}}) end, {code = "type", field = "assume.shape"})
end)

check.done()
