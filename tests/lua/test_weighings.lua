--- Weighing records: what readings come to, what scales have in common, what is kept, and every refusal.
--
-- Sums are by hand, from the formulas at the head of weighings.lua; random ledgers against python3-uncertainties are in
-- tests/reference/oracle_weighing.py.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local AXLES = {{name = "front", at = 0, track = 1200, loaded_radius = 230}, {name = "rear", at = 1550, track = 1180, loaded_radius = 230}}

local function car(parts, instruments, more)
  local fields = {title = "Weighed", axes = {x = "back", y = "right", z = "up"}, axles = AXLES, parts = parts, instruments = instruments}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

-- a car of one part whose line is `fields`
local function one(fields, instruments, more)
  fields.at = fields.at or {700, 0, 300}
  return car({sy.part "hoop"(fields)}, instruments, more)
end

local function row(c, name)
  for _, each in ipairs(c:book().rows) do
    if each.name == name then return each end
  end
end

local bench = {name = "bench", step = 0.02, sd = 0.01, range = 60}

-- ---- what a reading comes to --------------------------------------------------------------------------------------------

test("a_reading_loses_its_zero_and_what_else_was_on", function()
  local r = row(one({mass = sy.sd(12, 2), weighed = {reading = 14.26, on = "bench", zero_before = 0.02, zero_after = 0.06,
    with = {strap = 0.35, ["two bolts"] = sy.sd(0.12, 0.03)}, note = "no paint"}}, {bench}), "hoop")
  check.near(r.mass, 14.26 - 0.04 - 0.35 - 0.12, 1e-14)
  -- repeatability, a step, a zero anywhere between, what is said of the bolts. Source: JCGM 100:2008, 4.3.7, F.2.2.1
  check.near(r.sd.mass, math.sqrt(0.01 ^ 2 + 0.02 ^ 2 / 12 + 0.04 ^ 2 / 12 + 0.03 ^ 2), 1e-15)
  check.equal(r.basis, "weighed")
  check.equal(r.was, {mass = 12.0, sd = 2.0, basis = "estimate"})
  check.equal(r.weighed, {reading = {14.26}, unit = "kg", on = "bench", zero_before = 0.02, zero_after = 0.06, pieces = 1,
    note = "no paint",
    with = {{name = "strap", mass = 0.35}, {name = "two bolts", mass = 0.12}}})
end)

-- Exact by definition: 1 lb = 0.45359237 kg, 1 oz = 1 lb / 16. Source: NIST Special Publication 811 (2008), Appendix B
test("a_reading_stays_in_its_unit_and_is_booked_in_kg", function()
  for unit, kg in pairs{kg = 1, g = 0.001, lb = 0.45359237, oz = 0.45359237 / 16} do
    local r = row(one{weighed = {reading = 31.4, zero_before = 0.2, unit = unit}}, "hoop")
    check.near(r.mass, 31.2 * kg, 4e-15 * kg, unit) -- a rounding or two of 31
    check.equal({r.weighed.reading[1], r.weighed.unit, r.weighed.zero_before}, {31.4, unit, 0.2})
  end
end)

test("a_scale_says_what_unit_it_reads_in", function()
  local crane = {name = "crane", unit = "lb", step = 0.5, range = 300}
  local r = row(one({weighed = {reading = 120, on = "crane"}}, {crane}), "hoop")
  check.near(r.mass, 120 * 0.45359237, 1e-13)
  check.near(r.sd.mass, 0.5 * 0.45359237 / math.sqrt(12), 1e-15)
  check.equal(r.weighed.unit, "lb")
  r = row(one({weighed = {reading = 54.4, unit = "kg", on = "crane"}}, {crane}), "hoop")
  check.near(r.mass, 54.4, 1e-13)
  check.near(r.sd.mass, 0.5 * 0.45359237 / math.sqrt(12), 1e-15)
end)

test("a_tare_is_read_on_the_same_scale_and_takes_zero_and_bias_along", function()
  local biased = {name = "bench", sd = 0.01, bias = sy.sd(0.5, 0.2), gain = 1.02}
  local r = row(one({weighed = {reading = 14.26, tare = 1.1, zero_before = 0.3, on = "bench"}}, {biased}), "hoop")
  check.near(r.mass, (14.26 - 1.1) / 1.02, 1e-14)
  check.near(r.sd.mass, math.sqrt(2) * 0.01 / 1.02, 1e-15, "two readings, no bias")
  r = row(one({weighed = {reading = 14.26, tare = 1.1, zero_before = 0, zero_after = 0.06, on = "bench"}}, {biased}), "hoop")
  check.near(r.sd.mass, math.sqrt(2 * 0.01 ^ 2 + 0.06 ^ 2 / 12) / 1.02, 1e-15, "a zero that moves counts all the same")
end)

test("bias_and_gain_are_taken_out_and_their_uncertainty_stays", function()
  local r = row(one({weighed = {reading = 14.26, on = "bench"}}, {{name = "bench", bias = sy.sd(0.06, 0.02), gain = sy.sd(1.02,
    0.003)}}), "hoop")
  check.near(r.mass, 14.26 / 1.02 - 0.06, 1e-14)
  check.near(r.sd.mass, math.sqrt(0.02 ^ 2 + (14.26 / 1.02 * 0.003 / 1.02) ^ 2), 1e-14)
end)

-- A 10 kg weight compared with a standard: standard 10 000.005 g, u 22.5 mg, drift +-15 mg; difference read 20 mg, u 14.2 mg;
-- eccentricity and buoyancy +-10 mg each. Result 10 000.025 g, u 29.1 mg. The standard's error is the scale's gain, the two limits its
-- bias. Source: European co-operation for Accreditation, EA-4/02, Expression of the Uncertainty of Measurement in Calibration, 1999,
-- supplement 1, example S2
test("the_calibration_of_a_ten_kilogram_weight_has_its_published_uncertainty", function()
  local standard = 10.000005
  local comparator = {name = "comparator", bias = sy.sd(0, math.sqrt(2 / 3) * 10e-6),
    gain = sy.sd(1, math.sqrt(22.5 ^ 2 + 15 ^ 2 / 3) * 1e-6 / standard)}
  local r = row(one({weighed = {reading = sy.sd(standard + 20e-6, 14.2e-6), on = "comparator"}}, {comparator}), "hoop")
  check.near(r.mass, 10.000025, 1e-14)
  check.near(1e6 * r.sd.mass, 29.1, 0.05, "mg; half the last printed digit")
end)

test("repeats_are_averaged_and_the_step_is_not", function()
  local r = row(one({weighed = {reading = {14.2, 14.3, 14.6}, on = "bench"}}, {{name = "bench", step = 0.1}}), "hoop")
  check.near(r.mass, 43.1 / 3, 1e-14)
  -- s of 14.2, 14.3, 14.6: the squares of -1/6, -1/15 and 7/30 add up to 13/150
  check.near(r.sd.mass, math.sqrt(13 / 150 / 2 / 3 + 0.01 / 12), 1e-14)
  r = row(one({weighed = {reading = {14.2, 14.3, 14.6}, on = "bench"}}, {{name = "bench", step = 0.1, sd = 0.2}}), "hoop")
  check.near(r.sd.mass, math.sqrt(0.04 / 3 + 0.01 / 12), 1e-14, "what is known of the scale counts")
end)

test("equal_repeats_prove_nothing", function()
  local c = one({weighed = {reading = {14.2, 14.2, 14.2}, on = "bench"}}, {{name = "bench", step = 0.1}})
  check.near(row(c, "hoop").sd.mass, 0.1 / math.sqrt(12), 1e-15, "no better than one")
  c = one({weighed = {reading = {14.2, 14.2, 14.2}, on = "bench"}}, {{name = "bench"}})
  check.equal(c:balance().unstated.parts, 1)
  check.contains(tostring(c:balance()),
    "Hoop: 3 equal readings on bench prove nothing about its uncertainty as long as the scale's step is not said.")
end)

test("a_reading_with_an_uncertainty_of_its_own_takes_nothing_from_the_scale", function()
  local r = row(one({weighed = {reading = sy.sd(14.2, 0.3), on = "bench"}}, {bench}), "hoop")
  check.near(r.sd.mass, 0.3, 1e-15)
end)

test("pieces_weighed_together_are_divided", function()
  local biased = {name = "bench", bias = sy.sd(0, 0.02)}
  local c = car({sy.part "bolt" {count = 62, at = {0, 0, 0}, weighed = {reading = 0.48, pieces = 10, on = "bench"}},
    sy.part "rim" {pair = true, at = {0, 600, 230}, weighed = {reading = 12.4, pieces = 2, on = "bench"}},
    sy.part "hub" {pair = true, at = {0, 600, 230}, mass = 2, weighed = {reading = 1.9, on = "bench"}}}, {biased})
  check.near(row(c, "bolt").mass, 62 * 0.048, 1e-14)
  check.near(row(c, "bolt").sd.mass, 62 * 0.002, 1e-15)
  check.near(row(c, "rim").mass, 12.4, 1e-14)
  check.near(row(c, "rim").sd.mass, 0.02, 1e-15)
  check.equal({row(c, "hub").was.mass, row(c, "hub").mass}, {4.0, 3.8})
  check.near(c:balance().sd.mass, 0.02 * (62 / 10 + 1 + 2), 1e-14, "one bias for all")
end)

test("a_tank_is_weighed_empty", function()
  local c = car({sy.tank "fuel" {at = {900, 0, 250}, density = 0.75, capacity = 8, fill = 6, dry_mass = 1.2,
    weighed = {reading = 1.43, on = "bench"}}}, {bench})
  check.near(c:balance().mass, 1.43 + 4.5, 1e-14)
  check.near(c:fill{fuel = 0}:balance().mass, 1.43, 1e-14)
  check.equal(row(c, "fuel").was.mass, 1.2)
  check.contains(tostring(c:book()), "was, dry  1.200")
end)

-- ---- what is common to one scale ----------------------------------------------------------------------------------------

local biased = {name = "bench", step = 0.02, bias = sy.sd(0, 0.05)}

local function two(on_second)
  return car({sy.part "a" {at = {100, 0, 300}, weighed = {reading = 10, on = "bench"}},
    sy.part "b" {at = {1200, 0, 300}, weighed = {reading = 20, on = on_second}}}, {biased, {name = "floor", step = 0.02,
      bias = sy.sd(0, 0.05)}})
end

-- Source: JCGM 100:2008, 5.2.2 and F.1.2.3: an error in common adds up, errors apart add in squares
test("one_scale_errs_once_for_all_it_weighed", function()
  local own = 2 * 0.02 ^ 2 / 12
  check.near(two("bench"):balance().sd.mass, math.sqrt(own + 0.1 ^ 2), 1e-14)
  check.near(two("floor"):balance().sd.mass, math.sqrt(own + 2 * 0.05 ^ 2), 1e-14)
end)

test("the_same_scale_in_two_files_cancels_in_their_difference", function()
  local function file(reading)
    return car({sy.part "a" {at = {100, 0, 300}, weighed = {reading = reading, on = "bench"}},
      sy.part "b" {at = {1200, 0, 300}, weighed = {reading = 20, on = "bench"}}}, {biased})
  end
  local changes = sy.changes(file(10), file(11))
  check.near(changes.total.d_mass, 1, 1e-13)
  check.near(changes.sd.d_mass, math.sqrt(2) * 0.02 / math.sqrt(12), 1e-13, "two readings, no bias")
end)

test("a_file_without_scales_and_one_with_have_an_uncertainty_of_their_change", function()
  local before = one{mass = sy.sd(12, 2)}
  local after = one({mass = sy.sd(12, 2), weighed = {reading = 13, on = "bench"}}, {biased})
  local changes = sy.changes(before, after)
  check.near(changes.sd.d_mass, math.sqrt(4 + 0.02 ^ 2 / 12 + 0.05 ^ 2), 1e-13)
  check.equal(changes.rows[1].happened, "now weighed, was estimate, mass 12.0 to 13.0")
  check.equal(changes.rows[1].kinds, {"basis raised", "re-weighed"})
end)

test("a_new_certificate_makes_a_new_error", function()
  local function file(sd, reading) return one({weighed = {reading = reading, on = "bench"}}, {{name = "bench", bias = sy.sd(0, sd)}}) end
  local changes = sy.changes(file(0.3, 10), file(0.4, 11))
  check.near(changes.sd.d_mass, 0.5, 1e-13)
  check.equal(changes.rows[1].happened, "weighed again, 10.0 to 11.0")
end)

test("book_says_what_each_scale_weighed_and_what_its_error_is", function()
  local book = two("bench"):book()
  check.equal(#book.by_scale, 1)
  check.equal({book.by_scale[1].name, book.by_scale[1].parts, book.by_scale[1].mass}, {"bench", 2, 30.0})
  check.near(book.by_scale[1].sd, 0.1, 1e-15)
  check.contains(tostring(book), "On bench: 2 lines, 30.0 kg; its own error, common to all of them, +- 0.20 kg.")
  check.contains(tostring(two("bench"):book "a"), "A read 10 kg on bench: 10.00 +- 0.10 kg.")
end)

test("a_stated_mass_with_its_scale_errs_with_the_scale", function()
  local c = one({mass = sy.sd(10, 0.01), basis = "weighed", scale = "bench"}, {{name = "bench", bias = sy.sd(0, 0.03),
    gain = sy.sd(1, 0.004)}})
  check.near(c:balance().sd.mass, math.sqrt(0.01 ^ 2 + 0.03 ^ 2 + 0.04 ^ 2), 1e-15)
end)

local function assembly(on)
  return car({sy.group "engine" {weighed = {reading = 31.02, on = "bench", with = {sling = 1}},
    sy.part "block" {at = {0, 0, 0}, weighed = {reading = 20, on = on}},
    sy.part "head" {at = {0, 0, 0}, weighed = {reading = 10, on = on}}}},
    {{name = "bench", step = 0.02, bias = sy.sd(0, 0.05), gain = sy.sd(1, 0.003)},
     {name = "floor", step = 0.02, bias = sy.sd(0, 0.05), gain = sy.sd(1, 0.003)}})
end

-- On one scale: 30.02 + b - (20 + b + 10 + b), so one bias, and the gain of the sling alone that hung there too (31.02 - 30 = 1.02);
-- on two: one bias and gain of the whole, two biases and the gain of the parts. Source: JCGM 100:2008, 5.2.2
test("a_group_weighed_in_one_piece_closes_with_the_scales_errors_in_common", function()
  local r = row(assembly "bench", "engine")
  check.near(r.closure.whole, 30.02, 1e-13)
  check.near(r.closure.gap, 0.02, 1e-13)
  check.near(r.closure.sd, math.sqrt(3 * 0.02 ^ 2 / 12 + 0.05 ^ 2 + (1.02 * 0.003) ^ 2), 1e-13)
  r = row(assembly "floor", "engine")
  check.near(r.closure.sd, math.sqrt(3 * 0.02 ^ 2 / 12 + 0.05 ^ 2 + (31.02 * 0.003) ^ 2 + 0.1 ^ 2 + (30 * 0.003) ^ 2), 1e-13)
  check.near(assembly "floor":balance().mass, 30, 1e-13, "a whole changes no total")
  check.contains(tostring(assembly "floor":book "engine"), "Engine read 31.02 kg on bench, less sling 1 kg: 30.02 kg in one piece.")
  local function refuses(fields, want)
    fields[1] = sy.part "a" {mass = 1, at = {0, 0, 0}}
    check.raises(function() car({sy.group "g"(fields)}, {bench}) end, want)
  end
  refuses({whole = 3, weighed = {reading = 3}}, {code = "clash", field = "whole", part = "g"})
  refuses({weighed = {reading = 3, pieces = 2}}, {code = "clash", field = "weighed.pieces"})
  refuses({weighed = {reading = 3, on = "bensh"}}, {code = "unknown", field = "weighed.on", hint = '"bench"'})
end)

-- ---- what becomes of it in studies --------------------------------------------------------------------------------------

test("set_with_another_mass_leaves_the_reading_behind", function()
  local c = one({mass = 12, weighed = {reading = 10, on = "bench"}}, {biased})
  local plain = c:set("hoop", {mass = 11})
  check.equal({row(plain, "hoop").mass, row(plain, "hoop").weighed}, {11.0})
  check.near(plain:balance().sd.mass, c:balance().sd.mass, 1e-15, "a plain number keeps the old uncertainty")
  local stated = c:set("hoop", {mass = sy.sd(11, 0.4)})
  check.near(stated:balance().sd.mass, 0.4, 1e-15, "the scale has no part in it")
  check.near(c:balance().mass, 10, 1e-15)
end)

test("set_with_another_mass_leaves_the_scale_behind", function()
  local scale = {name = "bench", bias = sy.sd(0, 0.02), gain = sy.sd(1, 0.003)}
  local function both(mass) return {sy.part "a" {mass = mass, at = {0, 0, 0}, scale = "bench"}, sy.part "b" {mass = 5, at = {0, 0, 0}}} end
  local c = car(both(sy.sd(10, 0.1)), {scale})
  local set = c:set("a", {mass = 11})
  check.near(set:balance().sd.mass, c:balance().sd.mass, 1e-15, "a plain number keeps the old uncertainty, the scale's in it")
  check.equal(row(set, "a").scale, nil)
  -- what the scale did to one part is then no error of the other
  local two_on_it = {sy.part "a" {mass = sy.sd(10, 0.1), at = {0, 0, 0}, scale = "bench"},
                     sy.part "b" {mass = sy.sd(10, 0.1), at = {0, 0, 0}, scale = "bench"}}
  local common = 0.02 ^ 2 + (10 * 0.003) ^ 2
  check.near(car(two_on_it, {scale}):balance().sd.mass, math.sqrt(2 * 0.1 ^ 2 + 4 * common), 1e-14)
  check.near(car(two_on_it, {scale}):set("a", {mass = 11}):balance().sd.mass, math.sqrt(2 * 0.1 ^ 2 + 2 * common), 1e-14)
end)

test("set_of_anything_else_leaves_the_reading_alone", function()
  local c = one({mass = 12, weighed = {reading = 10, on = "bench"}}, {biased})
  local moved = c:set("hoop", {at = {100, 0, 100}, growth = "5 %"})
  check.equal(row(moved, "hoop").weighed, row(c, "hoop").weighed)
  check.near(moved:balance().sd.mass, c:balance().sd.mass, 1e-15)
  local unknown = two("floor"):set("a", {mass = sy.unknown})
  check.equal({unknown:balance().unknown, row(unknown, "a").weighed}, {1})
  check.near(unknown:balance().sd.mass, math.sqrt(0.02 ^ 2 / 12 + 0.05 ^ 2), 1e-15, "of b alone")
  check.raises(function() two("bench"):set("a", {scale = "floor"}) end, {code = "clash", field = "scale"})
end)

test("set_may_name_another_scale_with_a_mass", function()
  local c = two("bench"):set("a", {mass = sy.sd(11, 0.1), scale = "floor"})
  -- a: 0.1 of its own and the floor scale's bias; b: its step and the bench's
  check.near(c:balance().sd.mass, math.sqrt(0.1 ^ 2 + 0.05 ^ 2 + 0.02 ^ 2 / 12 + 0.05 ^ 2), 1e-14)
end)

test("set_may_weigh_a_part", function()
  local c = car({sy.part "hoop" {mass = sy.sd(12, 2), at = {0, 0, 0}}}, {bench})
  local weighed = c:set("hoop", {weighed = {reading = 14.26, on = "bench"}})
  local r = row(weighed, "hoop")
  check.equal({r.mass, r.basis, r.was.mass, r.was.sd}, {14.26, "weighed", 12.0, 2.0})
  check.near(r.sd.mass, math.sqrt(0.01 ^ 2 + 0.02 ^ 2 / 12), 1e-15)
  check.equal(row(c, "hoop").mass, 12.0)
end)

test("add_may_bring_a_weighed_part", function()
  local c = one({mass = 12}, {bench}):add(sy.part "ballast" {at = {0, 0, 100}, weighed = {reading = 5.02, on = "bench"}})
  check.equal({row(c, "ballast").mass, row(c, "ballast").basis}, {5.02, "weighed"})
  check.raises(function() c:add(sy.part "lead" {at = {0, 0, 100}, weighed = {reading = 5.02, on = "bnch"}}) end,
    {code = "unknown", part = "lead", field = "weighed.on", hint = '"bench"'})
end)

test("a_stand_in_has_no_part_in_the_scales_error", function()
  local c = one({weighed = {reading = 10, on = "bench"}, stand_in = {mass = sy.sd(4, 0.1)}}, {biased},
    {states = {sy.state "mock-up" {stand_ins = true}}})
  check.near(c:state "mock-up":balance().sd.mass, 0.1, 1e-15)
end)

test("what_was_booked_before_may_stand_beside_any_mass", function()
  local c = one{mass = sy.sd(13.8, 0.1), basis = "weighed", was = sy.sd(12, 2)}
  check.equal(row(c, "hoop").was, {mass = 12.0, sd = 2.0})
  check.near(c:balance().mass, 13.8, 1e-15)
  check.equal(row(one{mass = sy.unknown, weighed = {reading = 3}}, "hoop").was, {unknown = true, basis = "estimate"})
  check.equal(one{mass = sy.unknown, weighed = {reading = 3}}:balance().unknown, 0)
end)

-- ---- what is worth a word -----------------------------------------------------------------------------------------------

local function said(fields, scale) return tostring(one({weighed = fields}, {scale}):balance()) end

test("a_zero_that_moved_several_steps_is_reported", function()
  local words = "Hoop: the zero on bench moved by 0.08 kg while it was weighed, its step is 0.02 kg: weigh it again."
  check.contains(said({reading = 10, on = "bench", zero_before = -0.02, zero_after = 0.06}, bench), words)
  check.ok(not said({reading = 10, on = "bench", zero_before = 0, zero_after = 0.06}, bench):find "moved", "three steps are no news")
end)

test("repeats_that_scatter_far_more_than_the_scale_are_reported", function()
  check.contains(said({reading = {10, 10.4}, on = "bench"}, bench),
    "Hoop: its 2 readings on bench scatter by 0.283 kg, the scale itself by 0.01 kg: was something touching it?")
  check.ok(not said({reading = {10, 10.02}, on = "bench"}, bench):find "scatter")
end)

-- ---- refusals -----------------------------------------------------------------------------------------------------------

local function refuses(weighed, want, fields)
  fields = fields or {}
  fields.weighed, fields.at = weighed, {700, 0, 300}
  want.part = "hoop"
  return check.raises(function() car({sy.part "hoop"(fields)}, {bench, {name = "crane", unit = "lb", range = 300}}) end, want)
end

test("every_wrong_record_is_refused_by_name", function()
  refuses({reading = 5, on = "bensh"}, {code = "unknown", field = "weighed.on", message = 'no instrument is called "bensh"',
    hint = '"bench"'})
  refuses({reading = 61, on = "bench"}, {code = "range", field = "weighed.reading", message = "is 61 kg, bench reads up to 60 kg"})
  refuses({reading = 140, unit = "kg", on = "crane"}, {code = "range", message = "crane reads up to 136"})
  refuses({reading = {5, 61}, on = "bench"}, {code = "range", field = "weighed.reading[2]"})
  refuses({reading = 5, tare = 5.5}, {code = "range", field = "weighed.tare",
    message = "is 5.5 kg, no less than the reading with the part on, 5 kg"})
  refuses({reading = 0.5, with = {strap = 0.6}}, {code = "range", field = "weighed.with", message = "leaves -0.1 kg for the part"})
  refuses({reading = 0.5, zero_before = 0.5}, {code = "range", field = "weighed.reading", message = "leaves 0 kg for the part"})
  refuses({reading = "5,2"}, {code = "type", field = "weighed.reading", hint = "decimals take a point"})
  refuses({reading = {}}, {code = "missing", field = "weighed.reading"})
  refuses({reading = 0 / 0}, {code = "range", field = "weighed.reading"})
  refuses({}, {code = "missing", field = "weighed.reading"})
  refuses({raeding = 5}, {code = "unknown", field = "weighed.raeding", hint = '"reading"'})
  refuses({reading = 5, unit = "lbs"}, {code = "unknown", field = "weighed.unit", hint = '"lb"'})
  refuses({reading = 5, pieces = 0}, {code = "range", field = "weighed.pieces"})
  refuses({reading = 5, with = 0.3}, {code = "type", field = "weighed.with"})
  refuses({reading = 5, with = {0.3}}, {code = "type", field = "weighed.with[1]", hint = "strap = 0.35"})
  refuses({reading = 5, with = {strap = -0.3}}, {code = "range", field = "weighed.with.strap"})
  refuses(5, {code = "type", field = "weighed"})
end)

test("a_mass_that_is_weighed_twice_over_is_refused", function()
  refuses({reading = 5}, {code = "clash", field = "mass", message = "is weighed already"}, {mass = 5.1, basis = "weighed"})
  refuses({reading = 5, on = "bench"}, {code = "clash", field = "scale"}, {scale = "crane"})
  refuses({reading = 5}, {code = "clash", field = "was"}, {mass = 5.1, was = 6})
end)

test("a_part_needs_a_mass_or_a_weighing", function()
  check.raises(function() one{} end, {code = "missing", field = "mass"})
  check.raises(function() one{scale = "bench", mass = 3} end, {code = "unknown", field = "scale", hint = "instruments ="})
end)

test("every_wrong_instrument_is_refused", function()
  local function wrong(fields, want) return check.raises(function() one({mass = 3}, {fields}) end, want) end
  wrong({name = "b", step = 0}, {code = "range", field = "step", message = "must be above 0"})
  wrong({name = "b", step = -0.1}, {code = "range", field = "step"})
  wrong({name = "b", sd = -0.1}, {code = "range", field = "sd"})
  wrong({name = "b", range = 0}, {code = "range", field = "range"})
  wrong({name = "b", gain = 0}, {code = "range", field = "gain"})
  wrong({name = "b", unit = "stone"}, {code = "unknown", field = "unit"})
  wrong({name = "b", steps = 1}, {code = "unknown", hint = '"step"'})
  wrong({step = 1}, {code = "missing", field = "instruments[1].name"})
end)

-- What a file says, with the place of the mistake in it.
test("refusals_name_file_and_line", function()
  local path = os.tmpname()
  local file <close> = assert(io.open(path, "wb"))
  file:write [[
vehicle { axes = { x = "back", y = "right", z = "up" },
  axles = { { name = "front", at = 0, loaded_radius = 230, track = 1200 }, { name = "rear", at = 1550, loaded_radius = 230,
    track = 1200 } },
  parts = {
    part "hoop" { at = {700, 0, 300},
      weighed = { reading = 30.42*lb, on = "bench",
        zero_before = 0.1*mm } },
  },
  instruments = { { name = "bench", step = 5*g, range = 60*kg } } }
]]
  file:close()
  check.raises(function() sy.load(path) end, {code = "type", file = path, line = 7, part = "hoop", field = "weighed.zero_before"})
  local again <close> = assert(io.open(path, "wb"))
  again:write((([[vehicle { axes = { x = "back", y = "right", z = "up" },
    axles = { { name = "front", at = 0, loaded_radius = 230, track = 1200 }, { name = "rear", at = 1550, loaded_radius = 230,
      track = 1200 } },
    parts = { part "hoop" { at = {700, 0, 300}, weighed = { reading = 30.42*lb, on = "bench", zero_before = 5*g } } },
    instruments = { { name = "bench", step = 5*g, range = 60*kg } } }]])))
  again:close()
  local r = row(sy.load(path), "hoop")
  os.remove(path)
  check.near(r.mass, 30.42 * 0.45359237 - 0.005, 1e-14)
  check.near(r.sd.mass, 0.005 / math.sqrt(12), 1e-16)
  check.equal({r.weighed.unit, r.weighed.reading[1]}, {"lb", 30.42})
end)

check.done()
