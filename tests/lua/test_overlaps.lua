-- Which bodies of a car intersect or come near one another, by figures worked out by hand.
local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local sy = require "steelyard"
local test = check.test

local function file(parts, more)
  local fields = {title = "overlaps", axes = {x = "back", y = "right", z = "up"}, parts = parts,
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}}}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function box(name, x, more)
  local fields = {mass = 10, at = {x, 0, 300}, shape = sy.box {100, 100, 100}}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.part(name)(fields)
end

local function pairs_of(result)
  local list = {}
  for i, row in ipairs(result) do
    list[i] = ("%s, %s, %s"):format(row.a, row.b, row.overlap == true and "overlap" or core.fixed(row.overlap, 1))
  end
  return table.concat(list, "; ")
end

test("what_intersects_comes_by_mass_and_what_is_near_by_gap", function()
  local car = file {box("a", 0), box("b", 90), box("c", 183, {mass = 4}), box("d", 300, {mass = 12}), box("e", 402), box("f", 402)}
  check.equal(pairs_of(car:overlaps()), "a, b, overlap; e, f, overlap; b, c, overlap")
  local near = car:overlaps {gap = 18}
  check.equal(pairs_of(near), "a, b, overlap; e, f, overlap; b, c, overlap; d, e, 2.0; d, f, 2.0; c, d, 17.0")
  check.equal(near[3].mass, 4)
  check.equal(near.bodies, 6)
  check.equal(pairs_of(car:overlaps {gap = 17}), "a, b, overlap; e, f, overlap; b, c, overlap; d, e, 2.0; d, f, 2.0")
end)

test("what_belongs_together_is_left_out_and_counted", function()
  local car = file {box("a", 0), box("b", 90, {bolted_to = {"a"}}), box("c", 700, {bolted_to = {"rail"}}),
    sy.group "rail" {at = {740, 0, 0}, box("upper", 0), box("lower", 2)},
    sy.part "seat" {pair = true, mass = 5, at = {1500, 40, 300}, shape = sy.box {400, 100, 200}},
    sy.tank "fuel" {shape = sy.box {150, 200, 300}, at = {2200, 0, 300}, density = 0.75, fill = 3},
    sy.tank "drained" {shape = sy.box {150, 200, 300}, at = {2700, 0, 300}, density = 0.75, fill = 0}}
  local result = car:overlaps()
  check.equal(pairs_of(result), "rail/upper, rail/lower, overlap")
  check.equal(result.left_out, 5) -- a and b, c and both of the rail, the two seats, the fuel
  check.contains(tostring(result), "Left out: 3 bolted pairs, 1 pair of pieces of one part, 1 liquid in its tank.")
  -- a piece of the pair that was changed is a piece of it all the same
  check.equal(car:set("seat/left", {mass = 6}):overlaps().left_out, 5)
  -- what stands apart by now is not counted
  check.equal(car:move("b", {back = 200}):overlaps().left_out, 4)
  -- and what a bolted part meets besides is listed
  check.equal(pairs_of(car:move("b", {back = 610}):overlaps()),
    "b, c, overlap; b, rail/lower, overlap; b, rail/upper, overlap; rail/upper, rail/lower, overlap")
end)

test("the_car_is_asked_as_it_stands", function()
  local car = file({box("a", 0), box("b", 300), box("hub", 0, {at = {0, 0, 180}, unsprung = "front"})},
    {states = {sy.state "bare" {without = {"b"}}}})
  check.equal(pairs_of(car:overlaps()), "")
  check.equal(pairs_of(car:move("b", {forward = 205}):overlaps()), "a, b, overlap")
  check.equal(pairs_of(car:move("b", {forward = 205}):state("bare"):overlaps()), "")
  check.equal(pairs_of(car:move("b", {nose_up = 45, forward = 185}):overlaps()), "a, b, overlap") -- 141 mm long over its corners
  check.equal(pairs_of(car:lower {front = 25, rear = 25}:overlaps()), "a, hub, overlap") -- the body comes down on what stays
  check.equal(pairs_of(car:overlaps {gap = 20.5}), "a, hub, 20.0")
end)

test("a_gap_is_as_uncertain_as_the_places", function()
  local car = file {box("a", 0, {at = {sy.sd(0, 3), sy.sd(0, 9), 300}}), box("b", 104, {at = {sy.sd(104, 4), 0, 300}}),
                    box("c", 0, {at = {0, 100, 300}})}
  local result = car:overlaps {gap = 10}
  check.equal(pairs_of(result), "a, c, 0.0; a, b, 4.0; b, c, 4.0")
  check.near(result.sd[1], 9, 1e-6) -- they touch: the largest of all ways
  check.near(result.sd[2], 5, 1e-6)
  check.near(result.sd[3], 4, 1e-6)
end)

test("what_has_no_shape_is_counted_and_bad_words_are_refused", function()
  local car = file {box("a", 0), sy.part "loom" {mass = 3, at = {0, 0, 300}}, sy.part "hose" {mass = 1, at = {0, 0, 300}}}
  check.contains(tostring(car:overlaps()), "2 parts have no shape and are compared with nothing")
  check.contains(tostring(car:overlaps()), "Of 1 body, none overlap.")
  check.contains(tostring(car:without "hose":overlaps()), "1 part has no shape and is compared with nothing")
  check.raises(function() car:overlaps {gap = -1} end, {code = "range", field = "gap"})
  check.raises(function() car:overlaps {gap = "x"} end, {code = "type", field = "gap"})
  check.raises(function() car:overlaps {gaps = 1} end, {code = "unknown"})
end)

check.done()
