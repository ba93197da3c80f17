-- Pictures of cars and drivers side by side, of what to weigh next, of fuel that burns and of something at several places: that they
-- keep the rules, what stands on them and where; and how a quantity is called in a sentence.
-- Under the command alone: where and in which locale a picture is drawn is what test_draw.lua shows.
-- With one compiler: it compares a picture with the result that it is drawn from.
-- Not under sanitizers: drawing is Lua, and what it asks of the core test_draw.lua, test_scene.lua and test_plot.lua ask there.

local check = dofile "tests/lua/check.lua"
local recipes = dofile "tests/pictures/recipes.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local axis = require "steelyard.draw.axis"
local canvas = require "steelyard.draw.canvas"
local drawing = require "steelyard.draw.drawing"
local picture = require "steelyard.draw.picture"
local quantities = require "steelyard.reference.quantities"
local sy = require "steelyard"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"
local test = check.test

local cars = {{"twayblade", sy.load "vehicles/twayblade.lua":state "race start", "powertrain"},
              {"burnet", sy.load "vehicles/burnet.lua", "engine and gearbox"},
              {"first_guess", sy.load "vehicles/first_guess.lua":state "race start", "powertrain"},
              {"other_axes", rules.restated "vehicles/burnet.lua", "engine and gearbox"}}
local twayblade = cars[1][2]
local kinds = {"comparison", "drivers", "engine_back", "fuel_burn", "weigh_next"}

local results = {} -- by kind a list of {name, result}
for _, kind in ipairs(kinds) do
  results[kind] = {}
  for _, car in ipairs(cars) do
    table.insert(results[kind], {car[1], recipes[kind](car[2], {moves = car[3]})})
  end
end

local function each(run)
  for _, kind in ipairs(kinds) do
    for _, one in ipairs(results[kind]) do
      for _, width in ipairs{180, 90} do
        run(picture.of(one[2], {width = width}), ("%s of %s, %d"):format(kind, one[1], width), one[2], kind)
      end
    end
  end
end

test("they_keep_the_rules", function()
  each(function(d, what) rules.keep(check, d, what) end)
end)

-- Where a bar begins and ends, mm, without the line round it.
local function ends_of(bar)
  local loop = bar.loops[1]
  return loop[1][1], loop[2][1]
end

test("bars_of_cars_side_by_side_are_as_long_as_the_changes", function()
  for _, one in ipairs(results.comparison) do
    local r = one[2]
    for _, width in ipairs{180, 90} do
      local d, seen = picture.of(r, {width = width}), 0
      local said = rules.said(d)
      for _, row in ipairs(r.rows) do
        local mm -- of one
        for i = 2, #row.values do
          local bar = rules.items(d, ("change %d of %s"):format(i, row.name))[1]
          if bar then
            local from, to = ends_of(bar)
            seen = seen + 1
            mm = mm or (to - from) / math.abs(row.changes[i])
            check.near((to - from), math.abs(row.changes[i]) * mm, 1e-9, row.name)
            check.equal(bar.fill, row.changes[i] >= 0 and "ink" or "white")
            check.contains(said, (words.set(text.signed(row.changes[i], row.change_decimals)):gsub("\u{A0}", " ")))
            check.contains(said, text.fixed(row.values[i], row.decimals))
          end
        end
      end
      check.equal(seen >= 10, true, one[1])
      check.equal(#rules.items(d, "change 1 of front_share"), 0)
    end
  end
end)

test("what_a_driver_changes_stands_beside_the_first", function()
  local r = results.drivers[1][2]
  local said = rules.said(picture.of(r, {width = 180}))
  for i, who in ipairs(r.drivers) do
    check.contains(said, ("%s, %s kg"):format(who.name, text.plain(who.mass)))
    check.contains(said, ("%s %%"):format(text.fixed(who.front_share, 2)))
    if i > 1 then check.contains(said, words.set(text.signed(who.height - r.drivers[1].height, 1))) end
  end
  check.contains(said, "3 drivers side by side")
end)

test("a_broken_limit_says_FAIL_beside_its_car", function()
  local made = sy.load "vehicles/first_guess.lua"
  local r = sy.compare{made, made:move("powertrain", {back = 150}), show = {"front_share", "height"}}
  local d = picture.of(r, {})
  local fails = 0
  for _, row in ipairs(r.limits) do if row.status == "fail" and row.quantity == "front_share" then fails = fails + 1 end end
  check.equal(fails, 1)
  check.contains(rules.said(d), "FAIL")
  check.contains(rules.said(d), "limits broken")
end)

test("bars_of_what_to_weigh_next_are_95_percent_after_each_step", function()
  for _, one in ipairs(results.weigh_next) do
    local r = one[2]
    local d = picture.of(r, {width = 180})
    local now = rules.items(d, "now")
    check.equal(#now, #r.names, one[1])
    for i, name in ipairs(r.names) do
      local from, to = ends_of(now[i])
      local mm = (to - from) / r.sd[name]
      for k, step in ipairs(r.weigh_next) do
        local left, right = ends_of(rules.items(d, "step " .. k)[i])
        check.near(right - left, step.after[name] * mm, 1e-9)
        check.contains(rules.said(d), step.name)
      end
      local left, right = ends_of(rules.items(d, "all")[i])
      check.near(right - left, r.left[name] * mm, 1e-9)
    end
  end
end)

test("dots_of_a_burn_stand_at_their_litres", function()
  for _, one in ipairs(results.fuel_burn) do
    local r = one[2]
    local d = picture.of(r, {width = 180})
    local dots = rules.items(d, "row")
    check.equal(#dots % #r.stint, 0)
    local first, last = dots[1], dots[#r.stint]
    for i, line in ipairs(r.stint) do
      check.near(dots[i].x, first.x + (last.x - first.x) * (r.stint[1].litres - line.litres) / (r.stint[1].litres
        - r.stint[#r.stint].litres), 1e-9)
      check.near((dots[i].y - first.y) * (r.stint[#r.stint].front_share - r.stint[1].front_share),
        (last.y - first.y) * (line.front_share - r.stint[1].front_share), 1e-9)
    end
    check.equal(#rules.items(d, "mean") + #rules.items(d, "to set up"), 0)
    check.contains(rules.said(d), ("litres in %s, as it burns"):format(r.tank))
  end
end)

test("axle_loads_follow_what_moves", function()
  for _, one in ipairs(results.engine_back) do
    local d = picture.of(one[2], {width = 180})
    check.equal(#rules.items(d, "variant") >= 5 * #one[2].rows, true)
    check.contains(rules.said(d), one[2].part .. " back, mm (0: as booked)")
  end
end)

-- ---- names ------------------------------------------------------------------------------------------------------------------------

test("in_a_sentence_each_quantity_has_a_name_of_its_own", function()
  local seen = {}
  for _, name in ipairs(quantities.numbers) do
    local noun = words.noun(name)
    check.equal(seen[noun], nil, ("%s and %s"):format(name, seen[noun] or ""))
    check.equal(noun:find "[,(]", nil, noun)
    check.equal(#noun >= 4, true, noun)
    seen[noun] = name
  end
  check.equal(words.noun "usable.fuel", "usable fuel")
  check.equal(words.noun("l1", "l1"), "load on l1")
  check.equal(words.nouns{"front_share", "height"}, "the front share and the CG height")
end)

test("titles_read_well_for_all_quantities", function()
  for _, name in ipairs{"front_share", "cg.x", "corners.lf", "yaw_inertia", "shafts.worst_angle", "height"} do
    local noun = words.noun(name)
    local fine, r = pcall(sy.sensitivity, {twayblade, show = {name}})
    if fine then
      check.contains(rules.said(picture.of(r, {})), ("What makes the %s uncertain"):format(noun))
    end
    local study = sy.study{twayblade, vary = {sy.vary("powertrain", "back", -20, 20, 5)}, show = {name}, quiet = true}
    check.contains(rules.said(picture.of(study, {})), text.sentence(noun):gsub("%.$", "") .. " over powertrain back")
  end
end)

-- ---- what looking at them found -------------------------------------------------------------------------------------------------------

local function number(shown) return tonumber((shown:gsub("−", "-"))) end

test("ticks_of_values_stated_from_high_to_low_all_have_their_names", function()
  local r = sy.study{twayblade, vary = {sy.vary("powertrain", "back", {100, 50, 0, -50})}, show = {"front_share"}, quiet = true}
  local names = {}
  for _, one in ipairs(rules.texts_of((drawing.canvas_of(picture.of(r, {}))))) do
    if one.item.anchor == "middle" and number(one.item.words) then names[#names + 1] = number(one.item.words) end
  end
  check.equal(names, {-50, 0, 50, 100})
end)

test("where_ticks_have_no_room_for_all_names_zero_keeps_its_own", function()
  local marks = {low = -50, high = 100, marks = {}}
  for i = -5, 10 do table.insert(marks.marks, {10 * i, text.plain(10 * i)}) end
  for _, room in ipairs{30, 40, 60, 90} do
    local c = canvas.new(100)
    axis.draw_level(c, marks, function(value) return 5 + (value + 50) / 150 * room end, {left = 5, right = 5 + room, y = 10, most = 90})
    local zero = false
    for _, item in ipairs(c.items) do zero = zero or item.words == "0" end
    check.equal(zero, true, room)
  end
end)

test("a_car_that_was_changed_is_named_once_over_a_waterfall", function()
  local r = sy.changes(twayblade, twayblade:set("driver", {mass = 91}))
  local said = rules.said(picture.of(r, {}))
  check.contains(said, "race start: as booked, then driver mass 91")
  check.equal(said:find("smaller line", 1, true), nil)
  local dated = "vehicles/history/sedge-2024-"
  r = sy.changes(dated .. "01-18.lua", dated .. "02-15.lua", {state = "race start"})
  check.contains(rules.said(picture.of(r, {})), "race start: sedge-2024-01-18.lua, then sedge-2024-02-15.lua")
end)

test("three_coordinates_have_true_minus_signs", function()
  check.equal(words.name "-1255, 6, -694", "−1255, 6, −694")
  check.equal(words.name "axle-2", "axle-2")
end)

test("a_studys_own_limit_is_named_as_in_a_sentence", function()
  local r = sy.study{twayblade, vary = {sy.vary("powertrain", "back", -20, 20, 5)}, show = {"front_share"}, quiet = true,
                     limits = {front_share = {41, 42}}}
  check.contains(rules.said(picture.of(r, {})), "front share 41 to 42 %.")
end)

test("many_answers_are_counted_in_a_title", function()
  local r = sy.study{twayblade, vary = {sy.vary("powertrain", "back", -20, 20, 5)}, quiet = true,
                     show = {"front", "rear", "front_share", "left_share", "height"}}
  check.contains(rules.said(picture.of(r, {})), "Load on the front, load on the rear and 3 more over powertrain back")
end)

-- ---- names and numbers that are hard to draw ----------------------------------------------------------------------------------------

local hard = "T & <t> \u{5D0}\u{5D1}"

test("hard_names_are_drawn", function()
  local made = twayblade:set("driver", {mass = 80})
  local r = sy.compare{made:named(hard), made:move("powertrain", {back = 10}):named(hard .. "2")}
  local next_one = results.weigh_next[1][2]
  local other = setmetatable({weigh_next = {}}, getmetatable(next_one))
  for key, value in pairs(next_one) do if key ~= "weigh_next" then rawset(other, key, value) end end
  for i, step in ipairs(next_one.weigh_next) do
    other.weigh_next[i] = {name = hard .. i, path = "", field = step.field, with = step.with, before = step.before, after = step.after}
  end
  for what, one in pairs{comparison = r, weigh_next = other} do
    for _, width in ipairs{180, 90} do
      local d = picture.of(one, {width = width})
      rules.keep(check, d, what)
      check.contains(drawing.svg_of(d), "T &amp; &lt;t&gt;")
    end
  end
end)

test("nothing_known_and_nothing_changed_are_said", function()
  local same = picture.of(sy.compare{twayblade, twayblade, show = {"mass", "front_share"}}, {width = 90})
  rules.keep(check, same, "the same")
  check.contains(rules.said(same), "in all")
  local many = {twayblade}
  for i = 1, 40 do many[i + 1] = twayblade:move("powertrain", {back = i}) end
  many.show = {"front_share"}
  rules.keep(check, picture.of(sy.compare(many), {width = 90}), "41 cars")
end)

check.done()
