-- Pictures of what is hard to draw: names with marks and letters that run to the left, one point alone, equal, unknown, infinite and
-- negative numbers, hundreds of inputs, files that cannot be written.
-- Under the command alone: where and in which locale a picture is drawn is what test_draw.lua shows.
-- With one compiler: it compares a picture with the result that it is drawn from.
-- Not under sanitizers: drawing is Lua, and what it asks of the core test_draw.lua, test_scene.lua and test_plot.lua ask there.

local check = dofile "tests/lua/check.lua"
local recipes = dofile "tests/pictures/recipes.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local axis = require "steelyard.draw.axis"
local drawing = require "steelyard.draw.drawing"
local picture = require "steelyard.draw.picture"
local pictures = require "steelyard.reference.pictures"
local results = require "steelyard.reference.results"
local sy = require "steelyard"
local trend = require "steelyard.answers.changes.trend"
local test = check.test

local twayblade = sy.load "vehicles/twayblade.lua":state "race start"
local first_guess = sy.load "vehicles/first_guess.lua"
local place = {moves = "powertrain", decided = first_guess}

local all = {} -- {kind, result}
for _, kind in ipairs{"book", "changes", "comparison", "drivers", "engine_back", "fuel_burn", "sensitivity", "spread", "stability", "stint",
                      "trend", "weigh_next"} do
  local r = recipes[kind](twayblade, place)
  results.complete(r)
  all[#all + 1] = {kind, r}
end

-- The result with each value that is no table as change(key, value) has it.
local function changed(value, change, key)
  if type(value) ~= "table" then return change(key, value) end
  local other = {}
  for k, v in next, value do other[k] = changed(v, change, k) end
  return setmetatable(other, getmetatable(value))
end

-- draw(drawing or nil, error or nil, what) of every picture of the results changed so, at both widths.
local function each(change, draw)
  for _, entry in ipairs(all) do
    local r = changed(entry[2], change, "")
    for _, row in ipairs(pictures.of[entry[1]]) do
      for _, width in ipairs{180, 90} do
        local fine, d = pcall(picture.of, r, {kind = row[1], width = width})
        draw(fine and d or nil, not fine and d or nil, ("%s, %s, %d"):format(entry[1], row[1], width))
      end
    end
  end
end

local named = {name = true, part = true, what = true, driver = true, heading = true, state = true, title = true, file = true, date = true}

test("names_of_every_kind_keep_the_rules", function()
  local hard = 'T & <t> "q" \u{5D0}\u{5D1} with a name so long that it has no room beside its bar anywhere '
  each(function(key, value) return type(value) == "string" and named[key] and hard .. value or value end, function(d, err, what)
    check.equal(err, nil, what)
    rules.keep(check, d, what)
    local svg = drawing.svg_of(d)
    check.contains(svg, "T &amp; &lt;t&gt;", what)
    check.equal(svg:find("<t>", 1, true), nil, what)
    check.equal(#d:text() > 0, true)
  end)
end)

test("numbers_that_are_all_equal_are_drawn_or_refused_in_a_sentence", function()
  each(function(_, value) return math.type(value) == "float" and 0.0 or value end, function(d, err, what)
    if err then
      check.equal({type(err), err.code}, {"table", "unavailable"}, what .. ": " .. tostring(err))
    else
      check.contains(drawing.svg_of(d), "</svg>", what)
    end
  end)
end)

test("an_axis_of_what_is_not_finite_is_refused", function()
  for _, value in ipairs{math.huge, -math.huge, 0 / 0} do
    check.raises(function() axis.scale(0, value, {name = "mass, kg"}) end,
                 {code = "unavailable", message = "a number of mass, kg is not finite: it cannot be drawn"})
  end
  for _, kind in ipairs{"trend", "weigh_next"} do
    for _, entry in ipairs(all) do
      if entry[1] == kind then
        local r = changed(entry[2], function(_, value) return math.type(value) == "float" and math.huge or value end, "")
        check.raises(function() picture.of(r, {}) end, {code = "unavailable"})
      end
    end
  end
end)

-- The steps between -6 and 5 millions, counted in billionths, wrapped: it went through them one by one.
test("an_axis_spans_millions_both_ways", function()
  for _, range in ipairs{{-6e6, 5e6}, {-6.1e8, 3.8e8}, {-1e12, 2e12}, {-1e-9, 2e-9}} do
    local s = axis.scale(range[1], range[2])
    check.equal(#s.ticks >= 4 and #s.ticks <= 6, true, range[1])
    check.equal(s.from <= range[1] and s.to >= range[2], true)
  end
  check.equal(axis.scale(-0.0, 8).from, 0.0)
  check.equal(1 / axis.scale(-0.0, 8).ticks[1] > 0, true) -- no minus before a nought
end)

test("unknown_and_infinite_variants_leave_gaps", function()
  local r = sy.study{first_guess, vary = {sy.vary("powertrain", "back", -50, 75, 6)}, show = {"front_share"}, quiet = true,
                     limits = {front_share = {41, 43}}}
  local whole = #rules.items(picture.of(r, {}), "variant")
  for _, value in ipairs{math.huge, -math.huge, 0 / 0, false} do
    local other = changed(r, function(_, v) return v end, "")
    other.columns = changed(r.columns, function(_, v) return v end, "")
    other.columns.front_share = r.columns.front_share:list()
    other.columns.front_share[3] = value
    local d = picture.of(other, {})
    rules.keep(check, d, tostring(value))
    check.equal(#rules.items(d, "variant") < whole, true, tostring(value))
    check.equal(#rules.items(d, "line"), 2) -- before it and behind it
  end
end)

test("one_file_row_or_place_alone_is_drawn", function()
  local r = changed(all[11][2], function(_, v) return v end, "")
  r.rows = {r.rows[1]}
  rules.keep(check, picture.of(r, {}), "one file")
  local fuel = changed(all[6][2], function(_, v) return v end, "")
  fuel.stint = {fuel.stint[1]}
  check.contains(drawing.svg_of(picture.of(fuel, {})), "</svg>")
  local next_one = changed(all[12][2], function(_, v) return v end, "")
  next_one.weigh_next = {}
  check.contains(rules.said(picture.of(next_one, {})), "Every line is known better than by a scale of 0.1 kg and a tape of 2 mm.")
end)

test("three_hundred_inputs_are_a_few_and_the_others_together", function()
  local parts, files, dates = {}, {}, {}
  for i = 1, 300 do
    parts[i] = sy.part("part " .. i) {mass = sy.sd(1 + i / 100, 0.1), at = {10 * i, 0, 300}}
    dates[i] = "car " .. i
    files[i] = first_guess:set("driver", {mass = 60 + i / 10})
  end
  local car = sy.car{title = "Many (invented)", axes = {x = "back", y = "right", z = "up"}, parts = parts,
    axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}}}
  local other = car
  for i = 1, 60 do other = other:set("part " .. i, {mass = 2 + i / 50}) end
  local few = {table.move(files, 1, 60, 1, {}), {dates = table.move(dates, 1, 60, 1, {})}}
  for what, r in pairs{masses = car:book(), tornado = sy.sensitivity{car, show = {"front_share"}},
                       ["weigh next"] = recipes.weigh_next(car), waterfall = sy.changes(car, other), history = trend.of(few[1], few[2]),
                       ["side by side"] = sy.compare(files)} do
    for _, width in ipairs{180, 90} do
      local d = picture.of(r, {width = width})
      rules.keep(check, d, what)
      check.equal(d.height < 600, true, what)
    end
  end
  check.contains(rules.said(picture.of(sy.compare(files), {})), "300 cars side by side")
  check.contains(table.concat(picture.of(sy.compare(files), {}).notes, "\n"), "the first 12 of 300 cars are drawn")
end)

test("what_cannot_be_written_says_so_and_leaves_nothing", function()
  for _, entry in ipairs(all) do
    local there = "/no/such/folder/a.svg"
    check.raises(function() entry[2]:plot(there) end, {code = "io"})
    check.raises(function() entry[2]:plot "a.bmp" end, {code = "unknown", field = "path"})
    check.raises(function() entry[2]:plot "a" end, {code = "unknown", field = "path", hint = "write .svg, .png, .pdf or .txt"})
  end
end)

test("the_option_is_named_as_it_was_typed", function()
  for _, words in ipairs{"balance vehicles/first_guess.lua", "window vehicles/first_guess.lua"} do
    local ran = check.command(("%s %s --quiet --plot a.bmp"):format(check.steelyard, words))
    check.equal({ran.out, ran.code, ran.err}, {"", 3,
      "steelyard: --plot: a.bmp: a drawing is not written as .bmp (write .svg, .png, .pdf or .txt)\n"}, words)
  end
end)

check.done()
