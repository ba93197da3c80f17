--- unaccounted = true in a group: it counts as it was weighed, and what it has beyond its parts is a line of its own.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local ROUNDING = 1e-9 -- kg and mm: sums of a few numbers below 10^4 in doubles, and places kept to a picometre

local function powertrain(more)
  local group = {at = {1780, 0, 330},
    sy.part "engine" {mass = sy.sd(96.2, 0.1), at = {0, 0, 12}, basis = "weighed"},
    sy.part "mount" {pair = true, mass = sy.sd(2.2, 0.1), at = {0, 150, 12}, basis = "weighed"},
    sy.part "transaxle" {mass = sy.sd(52, 0.2), at = {380, 20, -45}}}
  for key, value in pairs(more or {}) do group[key] = value end
  return sy.group "powertrain" (group)
end

local function car(group, more)
  local fields = {title = "Gap (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
    parts = {group, sy.part "tub" {mass = sy.sd(81, 3), at = {1000, 13, 360}}}}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function row(c, path)
  for _, r in ipairs(c:book().rows) do
    if r.path == path then return r end
  end
end

local weighed = {whole = sy.sd(155, 0.5), unaccounted = true}
local PARTS, GAP = 96.2 + 2 * 2.2 + 52, 155 - (96.2 + 2 * 2.2 + 52)
local PARTS_SD = math.sqrt(0.1 ^ 2 + 0.2 ^ 2 + 0.2 ^ 2) -- a pair's two pieces share one error

test("whole_alone_never_changes_a_total", function()
  check.near(car(powertrain()):balance().mass, car(powertrain{whole = sy.sd(155, 0.5)}):balance().mass, 0)
  check.equal(row(car(powertrain{whole = sy.sd(155, 0.5)}), "powertrain/unaccounted"), nil)
  check.equal(row(car(powertrain{whole = sy.sd(155, 0.5), unaccounted = false}), "powertrain/unaccounted"), nil)
end)

test("the_group_comes_to_the_whole_and_its_cg_stays", function()
  local without, with = row(car(powertrain()), "powertrain"), row(car(powertrain(weighed)), "powertrain")
  check.near(without.mass, PARTS, ROUNDING)
  check.near(with.mass, 155, ROUNDING)
  for _, letter in ipairs{"x", "y", "z"} do check.near(with.cg[letter], without.cg[letter], ROUNDING, letter) end
  check.near(car(powertrain(weighed)):balance().mass, 155 + 81, ROUNDING)
end)

test("the_line_has_the_uncertainty_of_the_weighing_and_stands_at_the_groups_cg", function()
  local group, line = row(car(powertrain(weighed)), "powertrain"), row(car(powertrain(weighed)), "powertrain/unaccounted")
  check.near(line.mass, GAP, ROUNDING)
  check.near(line.sd.mass, 0.5, ROUNDING)
  for _, letter in ipairs{"x", "y", "z"} do check.near(line.cg[letter], group.cg[letter], ROUNDING, letter) end
  check.equal({line.basis, line.note, line.depth}, {"weighed", "the weighed whole less the parts", 1})
end)

-- Neither the parts' own errors nor those of the gap are in it.
test("the_groups_uncertainty_is_that_of_the_whole", function()
  check.near(row(car(powertrain(weighed)), "powertrain").sd.mass, 0.5, ROUNDING)
  check.near(row(car(powertrain{whole = 155, unaccounted = true}), "powertrain").sd.mass, 0, 0)
end)

-- sqrt(sum m (r - cg)^2 / sum m), by hand from the parts
test("its_place_is_as_uncertain_as_the_parts_are_spread", function()
  local line = row(car(powertrain(weighed)), "powertrain/unaccounted")
  local masses, x, y, z = {96.2, 2.2, 2.2, 52}, {0, 0, 0, 380}, {0, 150, -150, 20}, {12, 12, 12, -45}
  for letter, places in pairs{x = x, y = y, z = z} do
    local first, second = 0, 0
    for i, mass in ipairs(masses) do first, second = first + mass * places[i], second + mass * places[i] ^ 2 end
    check.near(line.sd.cg[letter], math.sqrt(second / PARTS - (first / PARTS) ^ 2), 1e-6, letter) -- a difference of squares
  end
end)

test("a_turned_group_and_other_axes_keep_the_line_at_the_cg", function()
  for _, axes in ipairs{{x = "back", y = "right", z = "up"}, {x = "forward", y = "left", z = "up"}, {x = "back", y = "left", z = "up"}} do
    local sign = axes.x == "back" and 1 or -1
    local c = car(powertrain{whole = sy.sd(155, 0.5), unaccounted = true, turned = {nose_up = 7, left_up = 3}, at = {sign * 1780, 40, 330}},
      {axes = axes, axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288},
        {name = "rear", at = sign * 2400, track = 1460, loaded_radius = 301}}})
    local group, line = row(c, "powertrain"), row(c, "powertrain/unaccounted")
    for _, letter in ipairs{"x", "y", "z"} do check.near(line.cg[letter], group.cg[letter], ROUNDING, axes.x .. axes.y .. letter) end
  end
end)

test("an_inner_gap_is_in_the_outer_sum", function()
  local inner = powertrain(weighed)
  local c = car(sy.group "rear end" {whole = sy.sd(170, 0.5), unaccounted = true, inner,
    sy.part "frame" {mass = sy.sd(11, 0.1), at = {2000, 0, 300}}})
  check.near(row(c, "rear end/powertrain/unaccounted").mass, GAP, ROUNDING)
  check.near(row(c, "rear end/unaccounted").mass, 170 - 155 - 11, ROUNDING)
  check.near(row(c, "rear end").mass, 170, ROUNDING)
end)

test("the_book_tells_the_gap_without_the_line_and_what_is_booked", function()
  local k = row(car(powertrain(weighed)), "powertrain").closure
  check.near(k.sum, PARTS, ROUNDING)
  check.near(k.gap, GAP, ROUNDING)
  check.near(k.booked, GAP, ROUNDING)
  check.near(k.sd, math.sqrt(0.5 ^ 2 + PARTS_SD ^ 2), ROUNDING)
  check.equal(k.closes, false)
  check.contains(tostring(car(powertrain(weighed)):book()), "the gap booked as unaccounted")
end)

test("a_gap_below_nothing_is_booked_like_another", function()
  local c = car(powertrain{whole = sy.sd(152.3, 0.5), unaccounted = true})
  check.near(c:balance().mass, 152.3 + 81, ROUNDING)
  check.near(row(c, "powertrain").closure.booked, 152.3 - PARTS, ROUNDING)
  check.contains(tostring(c:book()), "Powertrain counts as weighed: unaccounted -0.30 kg.")
  local exact = car(powertrain{whole = 152.6, unaccounted = true})
  check.equal(row(exact, "powertrain").closure.closes, true)
  -- parts of which nothing is stated prove nothing against the scales
  local light = car(sy.group "powertrain" {whole = sy.sd(140, 0.5), unaccounted = true, sy.part "engine" {mass = 96, at = {1780, 0, 330}},
    sy.part "transaxle" {mass = 52, at = {2160, 0, 285}}})
  check.near(light:balance().mass, 140 + 81, ROUNDING)
end)

-- 148.05 kg at 149 mm where the parts have 148 kg at 52 * 380 / 148 mm: by hand
local measured = {mass = sy.sd(148.05, 0.5), cg = {sy.sd(149, 3), 7, sy.sd(-10, 3)}}
local two = {sy.part "engine" {mass = sy.sd(96, 0.1), at = {sy.sd(0, 2), 0, 12}},
             sy.part "transaxle" {mass = sy.sd(52, 0.3), at = {380, 20, -45}}}

local function placed(more)
  local group = {at = {1780, 0, 330}, whole = measured, unaccounted = true, two[1], two[2]}
  for key, value in pairs(more or {}) do group[key] = value end
  return car(sy.group "powertrain" (group))
end

test("a_measured_cg_counts_and_leaves_a_moment_without_a_place", function()
  local c = placed()
  local group, line = row(c, "powertrain"), row(c, "powertrain/unaccounted")
  check.near(group.mass, 148.05, ROUNDING)
  for letter, at in pairs{x = 1780 + 149, y = 7, z = 330 - 10} do check.near(group.cg[letter], at, 1e-8, letter) end
  check.near(group.sd.mass, 0.5, ROUNDING)
  for letter, sd in pairs{x = 3, y = 0, z = 3} do check.near(group.sd.cg[letter], sd, 1e-8, letter) end
  check.equal(line.cg, nil)
  check.near(line.mass, 0.05, ROUNDING)
  -- moments about the front axle add up: that of the group less those of its parts
  check.near(line.moment, (148.05 * (1780 + 149) - 96 * 1780 - 52 * 2160) / 1000, 1e-8)
  local k = group.closure
  check.near(k.moment.x, 148.05 * (149 - 52 * 380 / 148) / 1000, 1e-8)
  check.near(k.cg_gap.x, 149 - 52 * 380 / 148, 1e-8)
  -- by hand: both masses and the engine's place, as they move the CG of the two
  local by_mass = math.sqrt((0.1 * 52 * 380 / 148 ^ 2) ^ 2 + (0.3 * 96 * 380 / 148 ^ 2) ^ 2 + (2 * 96 / 148) ^ 2)
  check.near(k.cg_sd.x, math.sqrt(3 ^ 2 + by_mass ^ 2), 1e-6)
  check.equal(k.closes, false)
  local said = table.concat(c:book().notes)
  check.contains(said, "the gap booked as unaccounted: +0.05 kg, 2.29 kg m back, 0.29 kg m down")
  check.contains(said, "measured CG lies 15.5 +- 6.5 mm back of the parts'")
  check.contains(tostring(c:book()), "+0.05")
end)

test("a_cg_is_judged_without_counting_and_in_the_groups_own_directions", function()
  local c = placed{unaccounted = false, turned = {nose_left = 90}}
  local k = row(c, "powertrain").closure
  -- the group's x, backwards, points to the right then
  check.near(k.cg.y, 149, 1e-8)
  check.near(k.cg.x, 1780 - 7, 1e-8)
  check.near(k.cg_gap.y, 149 - 52 * 380 / 148, 1e-8)
  check.equal({k.booked, k.moment}, {nil, nil})
  check.near(row(c, "powertrain").mass, 148, ROUNDING)
  check.contains(tostring(c:book()), "Powertrain does not close")
end)

test("a_measured_inertia_replaces_that_of_the_group", function()
  local function body(inertia) return {mass = 148.05, cg = {149, 7, -10}, inertia = inertia} end
  local c = placed{whole = body{xx = sy.sd(4, 0.1), yy = sy.sd(9, 0.2), zz = sy.sd(8, 0.3)}}
  local alone = c:without "tub":balance()
  check.near(alone.yaw_inertia, 8, 1e-9)
  check.near(alone.sd.yaw_inertia, 0.3, 1e-9)
  check.near(alone.inertia.xx, 4, 1e-9)
  local turned = c:without "tub":move("powertrain", {nose_up = 90}):balance() -- xx and zz change places
  check.near(turned.yaw_inertia, 4, 1e-9)
  check.near(turned.sd.yaw_inertia, 0.1, 1e-9)
end)

test("what_is_uncertain_of_a_part_comes_back_when_it_moves_alone", function()
  local c = placed()
  check.near(row(c:move("powertrain", {back = 70, nose_up = 3}), "powertrain").sd.mass, 0.5, ROUNDING)
  check.near(row(c:without "transaxle", "powertrain").sd.mass, math.sqrt(0.5 ^ 2 + 0.3 ^ 2), 1e-9)
  check.near(row(c:set("engine", {mass = sy.sd(97, 0.2)}), "powertrain").sd.mass, math.sqrt(0.5 ^ 2 + 0.1 ^ 2 + 0.2 ^ 2), 1e-9)
  -- as good as the ledger itself has it
  local out = c:without "powertrain/unaccounted"
  check.near(row(out, "powertrain").sd.mass, math.sqrt(0.1 ^ 2 + 0.3 ^ 2), 1e-9)
  check.near(row(out, "powertrain").mass, 148, ROUNDING)
end)

test("two_files_share_what_they_state_alike", function()
  local function with(bolt) return placed{two[1], two[2], sy.part "bolt" {mass = bolt, at = {0, 0, 0}}} end
  local same = sy.compare{with(1), with(1), show = {"mass", "front_share", "yaw_inertia"}}
  for _, name in ipairs{"mass", "front_share", "yaw_inertia"} do check.near(same.sd[name][2], 0, 1e-9, name) end
  -- the group weighs the same with a heavier bolt: it was weighed with it
  check.near(with(1):balance().mass, with(3):balance().mass, ROUNDING)
end)

-- As one body that errs as the weighing does: what the scales say of it is what they say of a part of that mass at that place. What its
-- pieces are uncertain by counts only when one of them is not as it was weighed, and then no single line can be named.
test("the_ledger_against_the_scales_has_the_whole_as_one_line", function()
  local readings = {axles = {front = 79, rear = 158}, sd = 0.3, height = sy.sd(310, 4)}
  local at = {sy.sd(1940, 7), sy.sd(12, 3), sy.sd(310, 5)}
  local function pieces(more)
    return sy.group "powertrain" {whole = {mass = sy.sd(152.3, 0.5), cg = at}, unaccounted = true,
      sy.part "engine" {mass = sy.sd(96, 6), at = {1780, 0, 330}, within_mm = 40},
      sy.part "transaxle" {mass = sy.sd(52, 4), at = {2160, 0, 285}, within_mm = 40}, more}
  end
  local r = car(pieces()):reconcile(readings)
  local one = car(sy.part "powertrain" {mass = sy.sd(152.3, 0.5), at = at}):reconcile(readings)
  check.near(r.chi2, one.chi2, 1e-9)
  check.near(r.sd.mass, one.sd.mass, 1e-9)
  check.equal(#r.rows, #one.rows)
  for i, want in ipairs(one.rows) do
    check.equal({r.rows[i].name, r.rows[i].field}, {want.name, want.field})
    for _, key in ipairs{"before", "after", "sd", "sd_before", "sigmas"} do check.near(r.rows[i][key], want[key], 1e-9) end
  end
  for _, changed in ipairs{car(pieces()):move("powertrain/engine", {back = 10}), car(pieces()):without "powertrain/engine"} do
    check.raises(function() changed:reconcile(readings) end, {code = "unavailable", message = '"powertrain" counts as it was weighed'})
  end
  -- only its mass was measured: its place is the pieces', as uncertain as they make it
  local heavy = car(powertrain{whole = sy.sd(152.3, 0.5), unaccounted = true})
  r = heavy:reconcile(readings)
  local found, b = {}, heavy:balance()
  for _, each in ipairs(r.rows) do
    found[each.name .. " " .. each.field] = each
    check.ok(not each.name:find "/")
  end
  check.near(found["powertrain mass"].before, 152.3, 1e-9)
  check.near(found["powertrain mass"].sd_before, 0.5, 1e-9)
  for _, sum in ipairs(r.sums) do
    local sd = ({mass = b.sd.mass, cg_behind = b.sd.cg.x, cg_left = b.sd.cg.y, height = b.sd.cg.z})[sum.name]
    check.near(sum.sd.ledger, sd, 1e-9)
  end
end)

test("a_file_without_any_uncertainty_books_the_whole_difference_and_says_so", function()
  local c = car(sy.group "powertrain" {whole = 150, unaccounted = true, sy.part "engine" {mass = 96, at = {1780, 0, 330}},
    sy.part "transaxle" {mass = 52, at = {2160, 0, 285}}})
  check.near(row(c, "powertrain/unaccounted").mass, 2, ROUNDING)
  check.contains(tostring(c:balance()), "neither the whole nor its parts have a stated uncertainty, so the whole difference is booked")
end)

test("wrong_wholes_are_refused_by_field", function()
  local function whole(t) return function() placed{whole = t} end end
  check.raises(whole{cg = {1, 2, 3}}, {code = "missing", part = "powertrain", field = "whole.mass"})
  check.raises(whole{mass = -1}, {code = "range", part = "powertrain", field = "whole.mass"})
  check.raises(whole{mass = 3, centre = {1, 2, 3}}, {code = "unknown", part = "powertrain", field = "whole.centre"})
  check.raises(whole{mass = 3, cg = {1, 2}}, {code = "missing", part = "powertrain", field = "whole.cg"})
  check.raises(whole{mass = 3, inertia = {1, 2, 9}}, {code = "geometry", part = "powertrain", field = "whole.inertia"})
  check.raises(whole "148", {code = "type", part = "powertrain", field = "whole"})
  local deep = two[1]
  for i = 1, 5 do deep = sy.group("g" .. i) {whole = 200, unaccounted = true, deep} end
  check.raises(function() car(deep) end, {code = "limit", part = "g5", field = "unaccounted", message = "at most 4"})
end)

test("parts_above_the_whole_are_refused_with_the_suspect", function()
  check.raises(function()
    car(sy.group "powertrain" {whole = sy.sd(150, 0.5), unaccounted = true, sy.part "engine" {mass = sy.sd(212.1, 0.1), at = {1780, 0,
      330}},
      sy.part "transaxle" {mass = sy.sd(54, 0.2), at = {2160, 0, 285}}})
  end, {code = "clash", part = "powertrain", field = "unaccounted",
    message = {"the parts come to 266.1 kg, 116.1 kg above the weighed whole of "
    .. "150.0 kg, more than their uncertainty explains", "a line cannot take mass away"}, hint = "engine (reads 212.1 kg: lb read as kg"})
  check.raises(function() car(powertrain{whole = sy.sd(120, 0.5), unaccounted = true}) end, {code = "clash", hint = "read the parts again"})
end)

test("a_gap_that_holds_a_part_without_a_mass_says_so", function()
  local c = car(sy.group "powertrain" {whole = sy.sd(150, 0.5), unaccounted = true, sy.part "engine" {mass = sy.sd(96, 0.1), at = {1780,
    0, 330}},
    sy.part "loom" {mass = sy.unknown, at = {1780, 0, 330}}})
  check.contains(tostring(c:balance()), "Powertrain: what is booked as unaccounted holds 1 part without a known mass.")
  check.raises(function()
    car(sy.group "powertrain" {whole = 150, unaccounted = true, sy.part "loom" {mass = sy.unknown, at = {1780, 0, 330}}})
  end, {code = "missing", part = "powertrain", field = "unaccounted", message = "no part of the group has a mass", hint = "book the whole"})
end)

test("what_goes_with_the_group_goes_with_the_line", function()
  local c = car(powertrain(weighed), {states = {sy.state "bare" {without = {"powertrain"}}}})
  check.near(row(c:move("powertrain", {back = 50}), "powertrain/unaccounted").cg.x, row(c, "powertrain/unaccounted").cg.x + 50, ROUNDING)
  check.near(c:state("bare"):balance().mass, 81, ROUNDING)
  check.near(c:without("powertrain/unaccounted"):balance().mass, PARTS + 81, ROUNDING)
  check.near(c:set("powertrain/unaccounted", {mass = 2}):balance().mass, PARTS + 2 + 81, ROUNDING)
  check.near(c:set("engine", {mass = 97.2}):balance().mass, 155 + 1 + 81, ROUNDING, "a heavier engine makes the group heavier")
end)

test("a_group_that_is_added_books_its_gap_too", function()
  local c = car(sy.part "ballast" {mass = 5, at = {900, 0, 100}})
  local added = c:add(powertrain(weighed))
  check.near(added:balance().mass, 5 + 81 + 155, ROUNDING)
  check.near(c:balance().mass, 86, ROUNDING, "the first car stays what it was")
  check.near(row(added:add(sy.group "cooling" {whole = 9, unaccounted = true, sy.part "radiator" {mass = 4, at = {-300, 0, 300}}}),
    "cooling/unaccounted").mass, 5, ROUNDING)
end)

test("a_gap_that_grew_is_a_change_like_another", function()
  local changes = sy.changes(car(powertrain(weighed)), car(powertrain{whole = sy.sd(157, 0.5), unaccounted = true}))
  check.equal(#changes.rows, 1)
  check.equal(changes.rows[1].part, "powertrain/unaccounted")
  check.near(changes.rows[1].d_mass, 2, ROUNDING)
end)

test("without_a_whole_or_with_a_part_of_that_name_it_is_refused", function()
  check.raises(function() car(powertrain{unaccounted = true}) end, {code = "missing", part = "powertrain", field = "unaccounted",
    message = "stands without whole, the mass of the group as weighed"})
  check.raises(function()
    car(powertrain{whole = 155, unaccounted = true, sy.part "unaccounted" {mass = 1, at = {0, 0, 0}}})
  end, {code = "clash", part = "powertrain", field = "unaccounted", message = "the group has one already"})
  check.raises(function() car(powertrain{whole = 155, unaccounted = "yes"}) end, {code = "type", field = "unaccounted",
    message = "must be true or false"})
  check.raises(function() car(powertrain(weighed)):set("powertrain", {unaccounted = true}) end, {code = "unavailable",
    field = "unaccounted", message = "is booked when the file is loaded"})
  check.raises(function() car(sy.part "engine" {mass = 3, at = {0, 0, 0}, unaccounted = true}) end, {code = "unknown",
    field = "unaccounted", message = "there is no such field in a part"})
end)

test("a_file_is_refused_at_the_line_of_the_group", function()
  local path = os.tmpname()
  local file = assert(io.open(path, "w"))
  file:write [[
vehicle { axes = { x = "back", y = "right", z = "up" },
  axles = { { name = "front", at = 0, track = 1450, loaded_radius = 288 },
            { name = "rear", at = 2400, track = 1460, loaded_radius = 301 } },
  parts = {
    part "tub" { mass = 81, at = {1000, 0, 360} },
    group "drive" { whole = sd(80, 0.5), unaccounted = true,
      part "engine" { mass = sd(96, 0.1), at = {1780, 0, 330} } } } }
]]
  file:close()
  local fine, err = pcall(sy.load, path)
  os.remove(path)
  check.equal({fine, err.line, err.part, err.field}, {false, 6, "drive", "unaccounted"})
end)

check.done()
