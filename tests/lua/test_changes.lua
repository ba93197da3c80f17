--- What changed between two cars: every kind of change reported, and lines that add up.
--
-- The totals that lines must add up to are worked out here from the lists below by mass times arm and the lever rule (front share
-- = 1 - x/L behind the front axle, Meriam and Kraige, Engineering Mechanics: Statics, article 5/3), not by the library.
-- Tolerances of 1e-9 are far above the roundings of sums of a few thousand and far below any digit printed.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local changes_trend = require "steelyard.answers.changes.trend"
local test = check.test

local BASE = 2400
local names = {"mass", "front_share", "left_share", "height", "yaw_inertia"}

local function car_of(parts, more)
  local fields = {
    title = "Changed (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = BASE, track = 1400, loaded_radius = 300}},
    parts = parts, states = {sy.state "as raced" {}, sy.state "empty" {without = {"driver"}}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function copy(value)
  if type(value) ~= "table" or getmetatable(value) then return value end
  local t = {}
  for key, item in pairs(value) do t[key] = copy(item) end
  return t
end

-- name -> fields; a list keeps the order
local function list_of_parts(list)
  local parts = {}
  for i, entry in ipairs(list) do parts[i] = sy.part(entry[1])(copy(entry[2])) end
  return parts
end

-- the same list changed: edit(fields by name) returns nothing, a name given as false is left out
local function base_list()
  return {
    {"tub", {mass = sy.sd(83.7, 2.3), at = {1070, 13, 361}}},
    {"engine", {mass = sy.sd(96.2, 4), at = {1790, -17, 318}, basis = "supplier"}},
    {"battery", {mass = 11.9, at = {410, 222, 247}}},
    {"corner", {pair = true, mass = 23.5, at = {0, 690, 290}, unsprung = "front"}},
    {"rear corner", {pair = true, mass = 25.1, at = {BASE, 685, 300}, unsprung = "rear"}},
    {"driver", {mass = 78.4, at = {1010, 180, 370}}},
  }
end

local function car_with(edit)
  local list = base_list()
  local by_name = {}
  for _, entry in ipairs(list) do by_name[entry[1]] = entry[2] end
  local extra = edit and edit(by_name, list) or nil
  return car_of(list_of_parts(list), extra)
end

local function value(x) return type(x) == "table" and x.value or x end

-- mass, front share, left share, CG height and yaw inertia of points, straight from the list
local function answers(list)
  local m, x, y, z, q = 0, 0, 0, 0, 0
  for _, entry in ipairs(list) do
    local f = entry[2]
    for side = 1, f.pair and 2 or 1 do
      local mass, at = value(f.mass), f.at
      local across = side == 2 and -at[2] or at[2]
      m, x, y, z = m + mass, x + mass * at[1], y + mass * across, z + mass * at[3]
      q = q + mass * (at[1] ^ 2 + across ^ 2) * 1e-6
    end
  end
  -- equal tracks: the left wheels carry W (1/2 - y/track), y to the right
  return {mass = m, front_share = 100 * (1 - x / m / BASE), left_share = 100 * (0.5 - y / m / 1400), height = z / m,
          yaw_inertia = q - (x * x + y * y) / m * 1e-6}
end

local function row_of(result, part)
  for _, row in ipairs(result.rows) do
    if row.part == part then return row end
  end
end

local function check_sums(result, before, after, what)
  for _, name in ipairs(names) do
    local key, sum = "d_" .. name, 0
    for _, row in ipairs(result.rows) do sum = sum + row[key] end
    check.near(sum, after[name] - before[name], 1e-9, (what or "") .. name)
    check.near(result.total[key], after[name] - before[name], 1e-9, (what or "") .. "total " .. name)
    check.near(result.sums[key], sum, 1e-12, "sums")
    check.near(result.before[name], before[name], 1e-9, "before")
    check.near(result.after[name], after[name], 1e-9, "after")
  end
end

-- ---- the lines add up ---------------------------------------------------------------------------------------------------

-- a small generator of our own, the same everywhere (Lehmer 1951: 48271 mod 2^31 - 1)
local function dice(seed)
  local state = seed
  return function(low, high)
    state = state * 48271 % 2147483647
    return low + (high - low) * state / 2147483647
  end
end

local function random_change(throw, list)
  local new = {}
  for i, entry in ipairs(list) do
    local f, kind = copy(entry[2]), throw(0, 5)
    if kind > 1 or i <= 2 then new[#new + 1] = {entry[1], f} end
    if kind < 2 then f.mass = value(f.mass) * throw(0.4, 1.9) end
    if kind > 1.5 and kind < 3 then f.at = {f.at[1] + throw(-300, 300), f.at[2] + throw(0, 60), f.at[3] + throw(-50, 50)} end
  end
  for k = 1, math.floor(throw(0, 3)) do
    local name = ("new %d, %.0f"):format(k, throw(0, 1e6))
    new[#new + 1] = {name, {mass = throw(1, 60), at = {throw(-500, 2600), throw(-400, 400), throw(100, 600)}}}
  end
  return new
end

test("lines_of_forty_random_changes_add_up_to_the_change_by_mass_times_arm", function()
  local throw = dice(20260314)
  for k = 1, 40 do
    local old = random_change(throw, base_list())
    local new = random_change(throw, old)
    local result = sy.changes(car_of(list_of_parts(old), {states = {}}), car_of(list_of_parts(new), {states = {}}))
    check_sums(result, answers(old), answers(new), "case " .. k .. ", ")
  end
end)

test("a_change_alone_has_the_whole_change", function()
  local edits = {
    function(p) p.tub.mass = 90 end, function(p) p.battery.at = {500, 100, 300} end, function(p) p.corner.mass = 21 end,
    function(_, list) list[#list + 1] = {"ballast", {mass = 31, at = {-200, 300, 120}}} end,
    function(_, list) table.remove(list, 3) end,
  }
  for i, edit in ipairs(edits) do
    local list, by_name = base_list(), {}
    for _, entry in ipairs(list) do by_name[entry[1]] = entry[2] end
    edit(by_name, list)
    local result = sy.changes(car_with(), car_with(edit))
    check.equal(#result.rows, 1, "case " .. i)
    check_sums(result, answers(base_list()), answers(list))
  end
end)

test("swapping_old_and_new_turns_every_line_round", function()
  local function edit(p, list)
    p.tub.mass, p.engine.at = 97, {1750, 10, 330}
    list[#list + 1] = {"ballast", {mass = 31, at = {-200, 300, 120}}}
  end
  local there, back = sy.changes(car_with(), car_with(edit)), sy.changes(car_with(edit), car_with())
  check.equal(#there.rows, 3)
  for _, row in ipairs(there.rows) do
    for _, name in ipairs(names) do check.near(row_of(back, row.part)["d_" .. name], -row["d_" .. name], 1e-10, row.part) end
  end
end)

test("lines_do_not_depend_on_the_order_of_the_file", function()
  local function edit(p) p.tub.mass, p.engine.at, p.battery.mass = 97, {1750, 10, 330}, 14 end
  local function turned(more)
    return function(p, list)
      if more then edit(p) end
      for i = 1, #list // 2 do list[i], list[#list + 1 - i] = list[#list + 1 - i], list[i] end
    end
  end
  local one, other = sy.changes(car_with(), car_with(edit)), sy.changes(car_with(turned()), car_with(turned(true)))
  for _, row in ipairs(one.rows) do
    for _, name in ipairs(names) do check.near(row_of(other, row.part)["d_" .. name], row["d_" .. name], 1e-10) end
  end
end)

-- Every order of making the changes one by one, averaged: Shapley, "A value for n-person games", 1953. It takes n! steps, so it is
-- not what the library does, but for small changes the two differ in third order only.
local function shapley(edits)
  local share, orders = {}, {}
  local function permute(done, left)
    if #left == 0 then orders[#orders + 1] = done return end
    for i = 1, #left do
      local rest = table.move(left, 1, #left, 1, {})
      local k = table.remove(rest, i)
      permute(table.move({k}, 1, 1, #done + 1, table.move(done, 1, #done, 1, {})), rest)
    end
  end
  permute({}, {1, 2, 3})
  for _, order in ipairs(orders) do
    local list, by_name = base_list(), {}
    for _, entry in ipairs(list) do by_name[entry[1]] = entry[2] end
    local before = answers(list)
    for _, k in ipairs(order) do
      edits[k](by_name)
      local after = answers(list)
      for _, name in ipairs(names) do
        share[k] = share[k] or {}
        share[k][name] = (share[k][name] or 0) + (after[name] - before[name]) / #orders
      end
      before = after
    end
  end
  return share
end

test("lines_are_the_average_over_all_orders_but_for_third_order", function()
  local edits = {function(p) p.tub.mass = 85.2 end, function(p) p.engine.at = {1830, -17, 310} end, function(p) p.battery.mass = 13.1 end}
  local result = sy.changes(car_with(), car_with(function(p) for _, edit in ipairs(edits) do edit(p) end end))
  local share = shapley(edits)
  -- the masses change by 2.7 kg of 370: a relative 0.7 %, whose square is 5e-5
  for k, part in ipairs{"tub", "engine", "battery"} do
    for _, name in ipairs(names) do
      check.near(row_of(result, part)["d_" .. name], share[k][name], 5e-5 * (1 + math.abs(share[k][name])), part .. " " .. name)
    end
  end
end)

-- ---- what happened --------------------------------------------------------------------------------------------------------

local function happened(edit, part)
  local row = row_of(sy.changes(car_with(), car_with(edit)), part)
  return row and row.happened, row and table.concat(row.kinds, ", ")
end

test("every_kind_of_change_is_reported_in_words", function()
  local cases = {
    {"battery", function(p) p.battery.mass = 13 end, "mass 11.9 to 13.0", "re-weighed"},
    {"engine", function(p) p.engine.mass, p.engine.basis = sy.sd(98, 0.1), "weighed" end,
      "now weighed, was supplier, mass 96.2 to 98.0", "basis raised, re-weighed"},
    {"engine", function(p) p.engine.basis = "estimate" end, "now estimate, was supplier", "basis lowered"},
    {"engine", function(p) p.engine.mass = sy.sd(96.2, 0.5) end, "mass +- 0.980, was 7.84", "uncertainty"},
    {"battery", function(p) p.battery.at = {430, 217, 250.5} end, "20 back, 5 left, 3.5 up", "moved"},
    {"corner", function(p) p.corner.at = {-4, 700, 290} end, "4 forward, 10 out", "moved"},
    {"corner", function(p) p.corner.pair = nil end, "no longer a pair", "count"},
    {"corner", function(p) p.corner.unsprung = {front = 0.5} end, "carried by 0.5 of front, was front", "carrier"},
    {"corner", function(p) p.corner.unsprung = nil end, "carried by the body, was front", "carrier"},
    {"battery", function(p) p.battery.count = 2 end, "2 pieces, were 1", "count"},
    {"battery", function(p) p.battery.growth = "5 %" end, "growth 5 %, was 0 %", "growth"},
    {"battery", function(p) p.battery.shape = sy.box{200, 150, 180} end, "shape changed", "shape"},
    {"battery", function(p) p.battery.mass = sy.unknown end, "mass now unknown", "mass"},
    {"ballast", function(_, list) list[#list + 1] = {"ballast", {mass = 3, at = {0, 0, 100}}} end, "added", "added"},
    {"battery", function(_, list) table.remove(list, 3) end, "removed", "removed"},
  }
  for _, case in ipairs(cases) do
    local words, kinds = happened(case[2], case[1])
    check.equal(words, case[3], case[4])
    check.equal(kinds, case[4], case[3])
  end
end)

test("a_shape_changes_yaw_inertia_by_the_box_formula", function()
  local result = sy.changes(car_with(), car_with(function(p) p.battery.shape = sy.box{200, 150, 180} end))
  -- m (a^2 + b^2) / 12: Meriam and Kraige, Engineering Mechanics: Dynamics, table D/4
  check.near(row_of(result, "battery").d_yaw_inertia, 11.9 * (0.2 ^ 2 + 0.15 ^ 2) / 12, 1e-10)
end)

test("nothing_changed_says_so", function()
  local result = sy.changes(car_with(), car_with())
  check.equal(#result.rows, 0)
  check.contains(tostring(result), "Nothing has changed.")
end)

local function grouped(at, parts, turned)
  return car_of({
    sy.part "tub" {mass = sy.sd(83.7, 2.3), at = {1070, 13, 361}},
    sy.group "powertrain" {at = at, turned = turned, table.unpack(parts or {
      sy.part "engine" {mass = sy.sd(96.2, 0.3), at = {0, 5, 12}, within_mm = 4},
      sy.part "transaxle" {mass = sy.sd(41.3, 0.2), at = {560, 0, -40}, within_mm = 4}})},
  }, {states = {}})
end

test("a_group_that_moves_is_one_line", function()
  local result = sy.changes(grouped{1790, 0, 330}, grouped{1840, 0, 322})
  check.equal(#result.rows, 1)
  check.equal(result.rows[1].part, "powertrain")
  check.equal(result.rows[1].happened, "50 back, 8 down")
  -- 137.5 kg 50 mm back on a wheelbase of 2400 in a car of 221.2 kg, by the lever rule
  check.near(result.rows[1].d_front_share, -100 * 137.5 / 221.2 * 50 / BASE, 1e-9)
end)

test("a_part_that_moves_in_its_group_is_reported_in_the_new_place_of_the_group", function()
  local parts = {sy.part "engine" {mass = sy.sd(96.2, 0.3), at = {10, 5, 12}, within_mm = 4},
                 sy.part "transaxle" {mass = sy.sd(41.3, 0.2), at = {560, 0, -40}, within_mm = 4}}
  local result = sy.changes(grouped{1790, 0, 330}, grouped({1840, 0, 330}, parts))
  check.equal(#result.rows, 2)
  check.equal(row_of(result, "powertrain").happened, "50 back")
  check.equal(row_of(result, "powertrain/engine").happened, "10 back")
end)

test("a_turned_group_is_one_line", function()
  local result = sy.changes(grouped{1790, 0, 330}, grouped({1790, 0, 330}, nil, {nose_up = 3}))
  check.equal(#result.rows, 1)
  check.equal(result.rows[1].happened, "turned")
  -- the transaxle, 560 behind the point and 40 below it, goes down: -560 sin 3 + (-40)(cos 3 - 1), the engine 12 (cos 3 - 1)
  local s, c = math.sin(math.rad(3)), math.cos(math.rad(3)) - 1
  check.near(result.rows[1].d_height, (41.3 * (-560 * s - 40 * c) + 96.2 * 12 * c) / 221.2, 1e-9)
end)

test("a_part_that_became_a_group_is_one_line", function()
  local tub = sy.part "tub" {mass = sy.sd(83.7, 2.3), at = {1070, 13, 361}}
  local one = car_of({sy.part "powertrain" {mass = 137, at = {1900, 0, 330}}, tub}, {states = {}})
  local result = sy.changes(one, grouped{1790, 0, 330})
  check.equal(#result.rows, 1)
  check.equal(result.rows[1].happened, "one part before, now a group of 2 parts")
  check.near(result.rows[1].d_mass, 0.5, 1e-9)
  check.equal(sy.changes(grouped{1790, 0, 330}, one).rows[1].happened, "a group before, now one part")
end)

test("a_group_that_came_or_went_is_one_line", function()
  local without = car_of({sy.part "tub" {mass = sy.sd(83.7, 2.3), at = {1070, 13, 361}}}, {states = {}})
  local came, went = sy.changes(without, grouped{1790, 0, 330}), sy.changes(grouped{1790, 0, 330}, without)
  check.equal(#came.rows, 1)
  check.equal(came.rows[1].happened, "added, a group of 2 parts")
  check.equal(went.rows[1].happened, "removed, a group of 2 parts")
  check.near(went.rows[1].d_mass, -137.5, 1e-9)
end)

test("a_filled_tank_is_reported_in_litres", function()
  local function car(fill) return car_of({sy.part "tub" {mass = 80, at = {1000, 0, 300}},
    sy.tank "fuel" {capacity = 40, density = 0.75, fill = fill, dry_mass = 4, at = {1300, 0, 300}}}, {states = {}}) end
  local row = sy.changes(car(20), car(32)).rows[1]
  check.equal(row.happened, "32 litres, were 20")
  check.near(row.d_mass, 0.75 * 12, 1e-9)
end)

-- ---- axles and axes ---------------------------------------------------------------------------------------------------------

local function with_axle(front_at, rear_at, track)
  return {axles = {{name = "front", at = front_at, track = track or 1400, loaded_radius = 290},
                   {name = "rear", at = rear_at, track = 1400, loaded_radius = 300}}}
end

test("an_axle_moved_in_the_file_is_one_line_and_no_part_has_moved", function()
  local old = car_with(function() return with_axle(0, BASE) end)
  local new = car_with(function() return with_axle(30, BASE) end)
  local result = sy.changes(old, new)
  check.equal(#result.rows, 1)
  check.equal(result.rows[1].part, "axles and ground")
  check.contains(result.rows[1].happened, "front axle moved")
  check.near(result.rows[1].d_mass, 0, 1e-12)
  check.near(result.rows[1].d_height, 0, 1e-9)
  check.near(result.rows[1].d_yaw_inertia, 0, 1e-9)
  -- x measured from the new front axle, on the new wheelbase
  local x = (1 - answers(base_list()).front_share / 100) * BASE
  check.near(result.after.front_share, 100 * (1 - (x - 30) / (BASE - 30)), 1e-9)
end)

test("parts_are_still_matched_when_the_axle_moved_too", function()
  local result = sy.changes(car_with(), car_with(function(p) p.battery.mass = 14 return with_axle(30, BASE, 1440) end))
  check.equal(#result.rows, 2)
  check.equal(row_of(result, "battery").happened, "mass 11.9 to 14.0")
  check.contains(result.rows[1].happened, "front track 1400 to 1440")
  check.ok(result.sd.d_mass, "the two are matched error by error")
  check.near(result.sd.d_mass, 0, 1e-12, "the battery is stated without uncertainty, all else is shared")
end)

test("the_same_car_along_other_axes_has_not_changed", function()
  local other = car_with(function(_, list)
    for _, entry in ipairs(list) do
      local at = entry[2].at
      entry[2].at = {-at[1], -at[2], at[3] + 50}
    end
    return {axes = {x = "forward", y = "left", z = "up"}, ground = 50,
      axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = -BASE, track = 1400, loaded_radius = 300}}}
  end)
  local result = sy.changes(car_with(), other)
  check.equal(#result.rows, 0)
  for _, name in ipairs(names) do check.near(result.total["d_" .. name], 0, 1e-9, name) end
end)

-- ---- uncertainty -----------------------------------------------------------------------------------------------------------------

test("what_both_files_share_cancels_in_the_uncertainty", function()
  -- only the battery is stated anew: u^2 = u_old^2 + u_new^2 (JCGM 100:2008, 5.1.2), whatever the tub is uncertain by
  local old = car_with(function(p) p.battery.mass = sy.sd(11.9, 0.4) end)
  local new = car_with(function(p) p.battery.mass = sy.sd(12.6, 0.03) end)
  check.near(sy.changes(old, new).sd.d_mass, math.sqrt(0.4 ^ 2 + 0.03 ^ 2), 1e-12)
end)

test("a_group_moved_in_a_file_has_the_uncertainty_of_the_same_move_in_a_script", function()
  local old = grouped{1790, 0, 330}
  local moved = old:move("powertrain", {back = 50})
  local file, script = sy.changes(old, grouped{1840, 0, 330}), sy.changes(old, moved)
  check.equal(script.rows[1].happened, "50 back")
  for _, name in ipairs(names) do
    check.near(file.total["d_" .. name], script.total["d_" .. name], 1e-9, name)
    check.near(file.sd["d_" .. name], script.sd["d_" .. name], 1e-9, "sd of " .. name)
  end
  -- d(share) = -100 b/L m_p/M: its slopes are -100 b/L (1 - s)/M for the group's masses and +100 b/L s/M for the others'
  local s, k = 137.5 / 221.2, 100 * 50 / BASE / 221.2
  check.near(file.sd.d_front_share, k * math.sqrt((1 - s) ^ 2 * (0.3 ^ 2 + 0.2 ^ 2) + s ^ 2 * 2.3 ^ 2), 1e-9)
end)

test("an_edited_car_from_another_file_shares_errors_too", function()
  local function uncertain(p) p.battery.mass = sy.sd(11.9, 0.4) end
  local result = sy.changes(car_with(uncertain), car_with(uncertain):move("battery", {up = 30}))
  check.equal(row_of(result, "battery").happened, "30 up")
  check.near(result.sd.d_mass, 0, 0, "all masses are stated the same")
  -- m_b 30/M with the battery's 0.4 kg, and with the others' masses as far as M goes: d/dm_b = 30 (1 - s)/M, d/dM = 30 s/M, s = m_b/M
  local whole = 83.7 + 96.2 + 11.9 + 2 * (23.5 + 25.1) + 78.4
  local s = 11.9 / whole
  check.near(result.sd.d_height, 30 / whole * math.sqrt(((1 - s) * 0.4) ^ 2 + s ^ 2 * (2.3 ^ 2 + 4 ^ 2)), 1e-9)
end)

-- The same car in two files: the first measures back, right and up from the front axle and the ground, the second forward, left and up
-- from a point 50 mm below the rear axle's ground and 30 mm right of the centre plane. `edit` changes what the lines say in the first
-- file's numbers.
local function rich(other, edit)
  local f = {
    tub = {mass = sy.sd(83.7, 2.3), at = {{1070, 8}, {13, 4}, {361, 6}}},
    battery = {mass = sy.sd(11.9, 0.05), at = {{410, 3}, {222, 3}, {247, 3}}, scale = "bench"},
    bracket = {mass = sy.sd(2.2, 0.3), at = {{700, 9}, {-200, 9}, {300, 9}}},
    corner = {mass = sy.sd(23.5, 0.6), at = {{0, 2}, {690, 5}, {290, 4}}, pair = true, unsprung = "front"},
    engine = {mass = sy.sd(96.2, 1.3), at = {{0, 4}, {5, 4}, {12, 4}}},
    transaxle = {mass = sy.sd(41.3, 0.9), at = {{560, 5}, {0, 5}, {-40, 5}}, scale = "bench"},
    wing = {mass = sy.sd(7.1, 0.4), at = {{-600, 12}, {0, 1}, {200, 7}}},
    radiator = {mass = sy.sd(9.4, 0.2), at = {{-400, 10}, {20, 6}, {310, 8}}, scale = "bench"},
    powertrain = {1790, 0, 330}, names = {bracket = "bracket"}, more = {},
  }
  if edit then edit(f) end
  local function along(at, free) -- a place, or with `free` a vector from a group's
    local function number(v, sign, zero)
      return type(v) == "table" and sy.sd(sign * v[1] + (free and 0 or zero), v[2]) or sign * v + (free and 0 or zero)
    end
    if not other then return {number(at[1], 1, 0), number(at[2], 1, 0), number(at[3], 1, 0)} end
    return {number(at[1], -1, BASE), number(at[2], -1, 30), number(at[3], 1, 50)}
  end
  local function part(key, free)
    local fields, at = copy(f[key]), f[key].at
    if fields.pair and other then at = {at[1], {-at[2][1], at[2][2]}, at[3]} end -- both files state the piece of positive y
    fields.at = along(at, free)
    return sy.part(f.names[key] or key)(fields)
  end
  local parts = {
    part "tub", part "battery", part "bracket", part "corner",
    sy.group "powertrain" {at = along(f.powertrain), part("engine", true), part("transaxle", true)},
    sy.group "nose" {part "wing", part "radiator"},
  }
  if other then parts[1], parts[5] = parts[5], parts[1] end
  for _, key in ipairs(f.more) do parts[#parts + 1] = part(key) end
  return sy.car{
    title = "Filed twice (invented)", ground = other and 50 or 0, centre = other and 30 or 0,
    axes = other and {x = "forward", y = "left", z = "up"} or {x = "back", y = "right", z = "up"},
    instruments = {{name = "bench", step = 0.02, bias = sy.sd(0, 0.2), gain = sy.sd(1, 0.004)}},
    axles = {{name = "front", at = other and BASE or 0, track = 1400, loaded_radius = 290},
             {name = "rear", at = other and 0 or BASE, track = 1400, loaded_radius = 300}},
    parts = parts,
  }
end

-- Every quantity of a comparison, and all that changes() knows the uncertainty of, against the same edits made by a script in the first
-- file's own car, whose lines are the same by identity.
local function check_as_scripted(by_file, scripted, what)
  local first = rich(false)
  for _, other in ipairs{false, true} do
    local filed = rich(other, by_file)
    local want, got = sy.compare{first, scripted(first)}, sy.compare{first, filed}
    local changes = sy.changes(first, filed)
    for _, row in ipairs(want.rows) do
      local name = ("%s, %s, %s"):format(what, other and "other axes" or "same axes", row.name)
      check.near(got.sd[row.name][2], row.sd[2], 1e-9 * (1 + row.sd[2]), name)
      local sd = changes.sd["d_" .. row.name]
      if sd then check.near(sd, row.sd[2], 1e-9 * (1 + row.sd[2]), name .. " as what changed") end
    end
  end
end

test("a_change_between_two_files_is_as_uncertain_as_the_same_change_in_a_script", function()
  -- {how the file says so, how a script does}
  local function set_mass(key, mass)
    return function(f) f[key].mass = mass end, function(car) return car:set(key, {mass = mass}) end
  end
  local function set_at(key, index, to, sd)
    return function(f) f[key].at[index] = {to, sd} end, function(car, f)
      local at = {}
      for i, v in ipairs(f[key].at) do at[i] = i == index and sy.sd(to, sd) or sy.sd(v[1], v[2]) end
      return car:set(key, {at = at})
    end
  end
  local function add(name, mass, at)
    return function(car)
      return car:add(sy.part(name) {mass = mass, at = {sy.sd(at[1][1], at[1][2]), sy.sd(at[2][1], at[2][2]), sy.sd(at[3][1], at[3][2])}})
    end
  end
  local places -- what the lines say before
  rich(false, function(f) places = f end)
  local cases = {
    {"nothing", function() end, function(car) return car:named "again" end},
    {"re-weighed", set_mass("tub", sy.sd(88, 0.4))},
    {"moved back", set_at("tub", 1, 1100, 8)},
    {"moved left", set_at("tub", 2, -5, 4)},
    {"z known better", set_at("tub", 3, 361, 2)},
    {"a pair moved out", set_at("corner", 2, 700, 5)},
    {"a pair moved back", set_at("corner", 1, 4, 2)},
    {"in a group with a place", set_at("engine", 1, 20, 4)},
    {"in a group without", set_at("wing", 3, 250, 7)},
    {"what a scale weighed was moved", function(f) f.powertrain = {1840, 0, 320} end,
      function(car) return car:move("powertrain", {back = 50, down = 10}) end},
    {"renamed", function(f) f.names.bracket = "holder" end,
      function(car) return add("holder", sy.sd(2.2, 0.3), {{700, 9}, {-200, 9}, {300, 9}})(car:without "bracket") end},
    {"added", function(f) f.ballast, f.more = {mass = sy.sd(12, 0.1), at = {{-300, 5}, {100, 5}, {90, 5}}}, {"ballast"} end,
      add("ballast", sy.sd(12, 0.1), {{-300, 5}, {100, 5}, {90, 5}})},
  }
  for _, case in ipairs(cases) do
    check_as_scripted(case[2], function(car) return case[3](car, places) end, case[1])
  end
  -- all at once
  check_as_scripted(function(f)
    for i = 2, #cases do cases[i][2](f) end
  end, function(car)
    local now = copy(places)
    for i = 2, #cases do
      car = cases[i][3](car, now)
      cases[i][2](now)
    end
    return car
  end, "everything")
end)

test("a_new_certificate_is_another_scale", function()
  local function car(bias)
    return car_of({sy.part "tub" {mass = sy.sd(83.7, 0), at = {1070, 13, 361}, scale = "bench"}},
      {states = {}, instruments = {{name = "bench", step = 0.02, bias = sy.sd(0, bias)}}})
  end
  check.near(sy.changes(car(0.3), car(0.3)).sd.d_mass, 0, 0)
  check.near(sy.changes(car(0.3), car(0.4)).sd.d_mass, 0.5, 1e-12) -- two errors: 0.3 and 0.4
  check.near(sy.compare{car(0.3), car(0.4)}.sd.mass[2], 0.5, 1e-12)
end)

-- ---- renamed? ---------------------------------------------------------------------------------------------------------------

local function renaming(p, list)
  list[3][1] = "accumulator"
  p.battery.mass = sy.sd(11.8, 0.2)
end

test("same_place_and_mass_under_another_name_is_asked_about", function()
  local result = sy.changes(car_with(), car_with(renaming))
  check.equal(result.questions, {'is "accumulator" the old "battery"?'})
  check.equal(#result.rows, 2, "both lines stay: nothing is guessed")
  check.equal(row_of(result, "accumulator").question, 'is "accumulator" the old "battery"?')
  check.contains(tostring(result), 'Is "accumulator" the old "battery"?')
end)

test("another_place_or_mass_is_not_asked_about", function()
  local function elsewhere(p, list) renaming(p, list) p.battery.at = {410, 222, 260} end
  local function heavier(p, list) renaming(p, list) p.battery.mass = sy.sd(13, 0.2) end
  check.equal(sy.changes(car_with(), car_with(elsewhere)).questions, {})
  check.equal(sy.changes(car_with(), car_with(heavier)).questions, {})
end)

test("the_answer_makes_one_line_of_two", function()
  local result = sy.changes(car_with(), car_with(renaming), {renamed = {battery = "accumulator"}})
  check.equal(#result.rows, 1)
  check.equal(result.rows[1].happened, "was called battery, mass 11.9 to 11.8")
  check.equal(result.questions, {})
  check.near(result.rows[1].d_mass, -0.1, 1e-9)
  check.raises(function() sy.changes(car_with(), car_with(renaming), {renamed = {batery = "accumulator"}}) end,
    {code = "unknown", hint = "battery"})
end)

test("a_part_that_went_into_a_group_is_asked_about", function()
  local old = car_of({sy.part "loom" {mass = 9, at = {900, 0, 300}}, sy.part "tub" {mass = 80, at = {1000, 0, 300}}}, {states = {}})
  local new = car_of({sy.group "wiring" {sy.part "loom" {mass = 9, at = {900, 0, 300}}}, sy.part "tub" {mass = 80, at = {1000, 0, 300}}},
    {states = {}})
  check.equal(sy.changes(old, new).questions, {'is "wiring" the old "loom"?'})
end)

-- ---- states, options, files --------------------------------------------------------------------------------------------------

test("both_cars_are_compared_in_one_state", function()
  local old, new = car_with(), car_with(function(p) p.driver.mass = 90 end)
  local empty = sy.changes(old, new, {state = "empty"})
  check.equal(#empty.rows, 0)
  check.equal(empty.state, "empty")
  check.contains(table.concat(empty.notes, "\n"), "changed but not aboard: driver")
  check.equal(#sy.changes(old, new, {state = "as raced"}).rows, 1)
  check.raises(function() sy.changes(old:state "empty", new) end, {code = "clash", message = {"empty", "no state chosen"}})
  check.raises(function() sy.changes(old, new, {state = "emty"}) end, {code = "unknown", hint = "empty"})
end)

test("rows_are_in_file_order_or_by_size", function()
  local function edit(p) p.tub.mass, p.battery.mass, p.driver.mass = 84, 15, 60 end
  local function order(by)
    local list = {}
    for i, row in ipairs(sy.changes(car_with(), car_with(edit), {by = by}).rows) do list[i] = row.part end
    return list
  end
  check.equal(order(), {"tub", "battery", "driver"})
  check.equal(order "mass", {"driver", "battery", "tub"})
end)

test("wrong_options_are_refused_with_the_nearest", function()
  check.raises(function() sy.changes(car_with(), car_with(), {sate = "empty"}) end, {code = "unknown", hint = "state"})
  check.raises(function() sy.changes(car_with(), car_with(), {by = "hight"}) end, {code = "unknown", field = "by", hint = "height"})
  check.raises(function() sy.changes(car_with(), "no_such_file.lua") end, {code = "read", file = "no_such_file.lua"})
end)

local H = "vehicles/history/sedge-"

test("files_add_up_against_their_own_balances", function()
  for _, state in ipairs{"race start", "kerb"} do
    local old, new = H .. "2024-01-18.lua", H .. "2024-03-14.lua"
    local result = sy.changes(old, new, {state = state})
    local a, b = sy.load(old):state(state):balance(), sy.load(new):state(state):balance()
    for _, name in ipairs(names) do check.near(result.sums["d_" .. name], b[name] - a[name], 1e-9, name) end
    check.ok(result.sd.d_mass > 0)
  end
end)

test("dates_come_from_file_names", function()
  local date = changes_trend.date
  check.equal(date "old/mycar-2026-03-14.lua", "2026-03-14")
  check.equal(date "2026-03.lua", "2026-03")
  check.equal(date "car_2026-03-14b.lua", "2026-03-14")
  check.equal(date "mycar.lua", nil)
  check.equal(date "mycar-2026-13-01.lua", nil)
  check.equal(date "serial-92026-03-14.lua", nil)
  check.equal(date "2026-03-14/mycar.lua", nil, "a folder is not a date")
end)

test("a_trend_has_a_row_a_file_and_names_what_changed_most", function()
  local files = {H .. "2024-01-18.lua", H .. "2024-02-15.lua", H .. "2024-03-14.lua"}
  local result = changes_trend.of(files, {state = "race start"})
  check.equal(#result.rows, 3)
  check.equal(result.rows[1].date, "2024-01-18")
  check.equal(result.rows[1].most, nil)
  check.equal(result.rows[3].most.part, "powertrain")
  for i, path in ipairs(files) do
    local b = sy.load(path):state("race start"):balance()
    for _, name in ipairs(names) do check.near(result.rows[i][name], b[name], 1e-9, name) end
    check.near(result.rows[i].sd.mass, b.sd.mass, 1e-12)
  end
  check.equal(changes_trend.of(files, {state = "race start", by = "mass"}).rows[2].most.part, "loom")
end)

test("a_trend_says_when_dates_run_backwards_and_takes_them_from_the_caller", function()
  local files = {H .. "2024-02-15.lua", H .. "2024-01-18.lua"}
  local said = table.concat(changes_trend.of(files).notes, "\n")
  check.contains(said, "dated before the file in front of it")
  local result = changes_trend.of(files, {dates = {"first", "second"}})
  check.equal(result.rows[2].date, "second")
  check.raises(function() changes_trend.of(files, {dates = {"first"}}) end, {code = "type", field = "dates"})
end)

check.done()
