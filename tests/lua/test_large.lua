-- Much of something: a hundred thousand parts, a thousand moves.
-- Under the command alone: it holds figures of cars against figures; what a locale or another Lua could change are texts, read by others.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1400, loaded_radius = 290}}

-- Work that grew with the square of the parts would take hours: the test would never end.
test("a_hundred_thousand_parts_build_balance_and_move", function()
  local groups = {}
  local mass, moment, variance = 0, 0, 0 -- kg and kg mm, summed here as whole numbers of grams, so exactly
  for g = 1, 100 do
    local group = {}
    for k = 1, 1000 do
      local i = (g - 1) * 1000 + k
      local grams, x = i % 97 + 1, i * 7919 % 2500
      group[k] = sy.part("part " .. i) {mass = sy.sd(grams / 1000, 0.0005), at = {x, i * 104729 % 1400 - 700, i * 1299709 % 900}}
      mass, moment, variance = mass + grams, moment + grams * x, variance + 0.0005 ^ 2
    end
    groups[g] = sy.group("group " .. g) (group)
  end
  local car = sy.car{title = "Large (invented)", axles = axles, parts = groups}
  local b = car:balance()
  check.near(b.mass, mass / 1000, 1e-9)
  check.near(b.cg.x, moment / mass, 1e-9)
  check.near(b.sd.mass, math.sqrt(variance), 1e-9)
  check.equal(b.parts, 100000)
  local moved = car:move("part 5", {back = 100}):balance() -- 6 grams
  check.near((moved.cg.x - b.cg.x) * b.mass, 0.6, 1e-6) -- a difference of numbers 1000 times 5000 apart
  local group = car:move("group 7", {back = 100}):balance()
  check.ok(group.cg.x > b.cg.x)
end)

test("a_thousand_moves_in_a_state_are_there_when_it_is_left", function()
  local car = sy.car{title = "Long way (invented)", axles = axles,
    parts = {sy.part "tub" {mass = 200, at = {1000, 0, 350}}, sy.part "engine" {mass = 100, at = {1800, 0, 320}},
             sy.person "driver" {mass = 75, at = {1000, 0, 400}}},
    states = {sy.state "empty" {without = {"driver"}}}}
  local there = car:state "empty"
  for _ = 1, 1000 do there = there:move("engine", {back = 0.1}) end
  check.equal(there:balance().cg.x, car:state("empty"):move("engine", {back = 100}):balance().cg.x)
  check.equal(there:state():balance().cg.x, car:move("engine", {back = 100}):balance().cg.x)
  check.equal(there:state("empty"):move("engine", {forward = 100}):state():balance().cg.x, car:balance().cg.x)
  -- from the middle of a way two others can go on
  local half = car:state("empty"):move("engine", {back = 40})
  local one, other = half:move("engine", {back = 10}), half:move("engine", {up = 30}):move("tub", {back = 1})
  check.equal(other:state():balance().cg.x, car:move("engine", {back = 40}):move("tub", {back = 1}):balance().cg.x)
  check.equal(one:state():balance().cg.x, car:move("engine", {back = 50}):balance().cg.x)
  check.equal(half:state():balance().cg.x, car:move("engine", {back = 40}):balance().cg.x)
  check.equal(half:set("engine", {mass = 110}):state():balance().mass, 385)
end)

test("cars_read_one_after_the_other_do_not_pile_up", function()
  local parts = {}
  for i = 1, 200 do parts[i] = sy.part("part " .. i) {mass = 1 + i / 100, at = {10 * i, 0, 300}} end
  local most = 0
  for _ = 1, 300 do
    local car = sy.car{title = "One of many (invented)", axles = axles, parts = parts}
    for k = 1, 10 do car = car:move("part 7", {back = k}) end
    most = math.max(most, collectgarbage "count" // 1 | 0)
  end
  check.ok(most < 18000, ("%d KB at most"):format(most)) -- 8 MB, and as much again in a cycle
end)

check.done()
