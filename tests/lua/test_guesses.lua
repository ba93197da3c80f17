--- car:guesses: by hand, what counts as inside, earlier files, refusals. tests/reference/oracle_guesses.py has it against NumPy.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local AXLES = {{name = "front", at = 0, track = 1500, loaded_radius = 290}, {name = "rear", at = 2400, track = 1480, loaded_radius = 300}}

local function car_of(parts, more)
  local fields = {title = "Guessed (invented)", axles = AXLES, parts = parts}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function part(name, fields)
  fields.at = {1000, 0, 300}
  return sy.part(name)(fields)
end

local function line(r, path)
  for _, l in ipairs(r.lines) do
    if l.path == path then return l end
  end
end

local function row(r, by, name)
  for _, one in ipairs(r.rows) do
    if one.by == by and one.name == name then return one end
  end
end

test("bias_scatter_and_honest_assume_by_hand", function()
  -- 10 as 11, 20 as 19, 40 as 46: +10, -5 and +15 %
  local r = car_of{part("a", {mass = 10, weighed = {reading = 11}}), part("b", {mass = 20, weighed = {reading = 19}}),
    part("c", {mass = 40, weighed = {reading = 46}}), part("d", {mass = 8, basis = "supplier", weighed = {reading = 8.2}}),
    part("e", {mass = 50})}:guesses()
  check.equal(#r.lines, 4)
  local estimate = row(r, "basis", "estimate")
  check.near(estimate.bias, 20 / 3, 1e-12)
  check.near(estimate.scatter, math.sqrt(((10 - 20 / 3) ^ 2 + (5 + 20 / 3) ^ 2 + (15 - 20 / 3) ^ 2) / 2), 1e-12)
  check.near(r.assume.estimate, math.sqrt((100 + 25 + 225) / 3), 1e-12)
  check.near(r.assume.supplier, 2.5, 1e-12)
  check.near(r.sd.assume.estimate, r.assume.estimate / math.sqrt(6), 1e-12)
  check.equal({estimate.was, estimate.is, estimate.stated, estimate.inside}, {70.0, 76.0, 0, 0})
  check.equal(row(r, "basis", "supplier").scatter, nil, "of one line")
  check.equal(row(r, "all", "all").lines, 4)
  check.contains(tostring(r), "An honest assume")
end)

test("inside_is_the_95_percent_of_what_was_stated_or_its_limits", function()
  local r = car_of({part("limits", {mass = sy.within(10, 1), weighed = {reading = 11}}),
    part("past them", {mass = sy.within(10, 1), weighed = {reading = 11.01}}),
    part("sd", {mass = sy.sd(10, 1), weighed = {reading = 11.9}}),
    part("past it", {mass = sy.sd(10, 1), weighed = {reading = 12}}), part("assumed", {mass = 10, weighed = {reading = 11.9}}),
    part("past that", {mass = 10, weighed = {reading = 12}}), part("nothing", {mass = 10, basis = "supplier", weighed = {reading = 30}})},
    {assume = {estimate = "10 %"}}):guesses()
  local inside = {limits = true, ["past them"] = false, sd = true, ["past it"] = false, assumed = true, ["past that"] = false}
  for name, is in pairs(inside) do check.equal(line(r, name).inside, is, name) end
  check.equal(line(r, "nothing").inside, nil)
  check.equal({row(r, "all", "all").inside, row(r, "all", "all").stated}, {3, 6})
  check.contains(tostring(r), "Outside what was stated of them: past it 12.00 as 10.00 kg (+20 %), past that")
end)

test("pairs_tanks_groups_and_was_count_by_piece", function()
  local r = car_of{
    sy.group "nose" {part("pair", {pair = true, mass = 5, weighed = {reading = 12, pieces = 2}}),
                     part("was", {mass = 3.3, was = 3, basis = "weighed"})},
    sy.group "whole" {weighed = {reading = 50}, part("inside", {mass = 48})},
    sy.tank "fuel" {capacity = 30, density = 0.7, fill = 10, dry_mass = 5, at = {1000, 0, 300}, weighed = {reading = 4}},
    part("unknown", {mass = sy.unknown, weighed = {reading = 4}})}:guesses()
  check.equal({line(r, "nose/pair").was, line(r, "nose/pair").is}, {5.0, 6.0})
  check.near(line(r, "nose/was").error, 10, 1e-12)
  check.equal({line(r, "nose/was").basis, line(r, "nose/was").group}, {"not stated", "nose"})
  check.near(line(r, "fuel").error, -20, 1e-12)
  check.equal(#r.lines, 3, "a group weighed whole has no guess, an unknown mass was none")
  check.contains(table.concat(r.notes, "\n"), "1 line was unknown before")
end)

test("earlier_cars_know_the_guess_of_a_line_that_was_overwritten", function()
  local first = car_of({part("a", {mass = 10, basis = "calculated"}), part("b", {mass = 20}), part("c", {mass = 3})})
  local second = car_of({part("a", {mass = sy.sd(11, 0.5)}), part("b", {mass = 21, basis = "weighed"}), part("c", {mass = 3})})
  local last = car_of({part("a", {mass = 12, basis = "weighed"}), part("b", {mass = 22, basis = "weighed"}),
    part("c", {mass = 4, weighed = {reading = 5}}), part("new", {mass = 7, basis = "weighed"})})
  check.equal(#last:guesses().lines, 1)
  local r = last:guesses{first, second}
  check.equal({line(r, "a").was, line(r, "a").basis, line(r, "a").sd.was}, {11.0, "estimate", 0.5}) -- the last guess of it
  check.equal({line(r, "b").was, line(r, "b").from}, {20.0, "Guessed (invented)"})
  check.equal(line(r, "c").was, 4.0, "what the file itself keeps goes before")
  check.equal(line(r, "new"), nil)
  check.contains(table.concat(r.notes, "\n"), "1 line weighed without an earlier mass")
  check.equal(#last:guesses(first).lines, 3)
  local sedge = sy.load("vehicles/history/sedge-2024-03-14.lua"):guesses "vehicles/history/sedge-2024-01-18.lua"
  check.equal(sedge.lines[1].from, "sedge-2024-01-18.lua")
  check.equal(sedge.other_files[1].name, "sedge-2024-01-18.lua")
end)

test("nothing_weighed_and_wrong_arguments", function()
  local r = car_of{part("a", {mass = 10})}:guesses()
  check.equal({#r.lines, #r.rows, r.notes[1]}, {0, 0, "nothing is weighed yet"})
  check.contains(tostring(r), "Nothing is weighed yet")
  check.contains(car_of{part("a", {mass = 10, basis = "weighed"})}:guesses().notes[1], "no earlier mass is known")
  check.raises(function() car_of{part("a", {mass = 10})}:guesses(3) end, {code = "type", message = "earlier cars or their files"})
  check.raises(function() car_of{part("a", {mass = 10})}:guesses "no/such.lua" end, {code = "read"})
end)

check.done()
