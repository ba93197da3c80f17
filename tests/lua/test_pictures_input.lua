-- Pictures of awkward cars: names with marks of XML and names that run to the left, parts without shapes, everything in one place; and
-- files that cannot be written.
-- Under the command alone: where and in which locale a picture is drawn is what test_draw.lua shows.
-- With one compiler: it compares a picture with the names that it is drawn from.
-- Not under sanitizers: drawing is Lua, and what it asks of the core test_draw.lua, test_scene.lua and test_plot.lua ask there.

local check = dofile "tests/lua/check.lua"
local drawing = require "steelyard.draw.drawing"
local picture = require "steelyard.draw.picture"
local rules = dofile "tests/lua/picture_rules.lua"
local sy = require "steelyard"
local test = check.test

local function axle(name, at)
  return {name = name, at = at, track = 1400, loaded_radius = 300, spring_rate = 30, tyre_rate = 200, perch_pitch = 1.5, bump = 60,
          droop = 60}
end

-- A car of two large parts and a point of these names. o: {shapeless = true, at = one place for both}
local function car_of(one, two, o)
  o = o or {}
  local shape = not o.shapeless and sy.box {500, 400, 300} or nil
  return sy.car{title = ('Car of "%s" & <%s>'):format(one, two), axes = {x = "back", y = "right", z = "up"},
    axles = {axle("front", 0), axle("rear", 2400)},
    parts = {sy.part(one) {mass = 400, at = o.at or {1500, 0, 300}, shape = shape},
             sy.part(two) {mass = 200, at = o.at or {600, 20, 320}, shape = shape}},
    points = {[one .. " point"] = {1200, -300, 200}},
    clearances = {{name = one .. " and " .. two, a = one, b = two, asked = 40},
                  {name = two .. " and road", a = two, b = "ground", asked = 90}},
    shafts = {{name = "shaft of " .. one, inner = {part = one, at = {1700, 200, 300}}, outer = {wheel = "rr", at = {2400, 650, 300}},
               joint = "cv", static_limit = 12, worst_limit = 20}}}
end

-- All pictures of these modules that a car has, so wide.
local function each(car, width, run)
  for _, view in ipairs{"side", "plan", "front", "beam"} do run(car:draw{view = view, width = width}, view) end
  for _, result in ipairs{car:balance(), car:corners{}, car:perches{cross_share = 51}, car:clearances(), car:shafts(), car:markout(),
                          rules.lifted(car)} do
    run(picture.of(result, {width = width}), getmetatable(result).__name)
  end
end

-- Text between tags without a bare mark of XML.
local function well_formed(bytes, what)
  for between in bytes:gsub("<%?.-%?>", ""):gsub('<[%a/][^<>]*>', "\0"):gmatch "[^%z]+" do
    check.equal(between:find "[<>]", nil, what)
    check.equal(between:gsub("&%a+;", ""):gsub("&#%d+;", ""):find("&", 1, true), nil, what)
  end
end

test("names_with_marks_of_xml_are_escaped_in_every_picture", function()
  local car = car_of('a < b & "c"', "d > 'e'")
  for _, width in ipairs{180, 90} do
    each(car, width, function(d, what)
      rules.keep(check, d, what .. " " .. width)
      local bytes = drawing.svg_of(d)
      well_formed(bytes, what)
      check.contains(bytes, "&quot;a &lt; b &amp;")
    end)
  end
end)

test("names_that_run_to_the_left_are_isolated_in_every_picture", function()
  local name = "מנוע קדמי"
  local car = car_of(name, "דלק")
  for _, width in ipairs{180, 90} do
    each(car, width, function(d, what)
      rules.keep(check, d, what .. " " .. width)
      for _, words in ipairs(d.texts) do
        local alone = words:find(name, 1, true) and not words:find("Car of", 1, true) and #words < 60
        if alone then check.contains(words, "\u{2068}", what) end
      end
      check.contains(drawing.svg_of(d), name)
    end)
  end
end)

test("a_car_without_shapes_has_every_picture_and_says_so", function()
  local car = car_of("engine", "fuel", {shapeless = true})
  for _, width in ipairs{180, 90} do
    each(car, width, function(d, what) rules.keep(check, d, what .. " " .. width) end)
    check.contains(rules.said(picture.of(car:clearances(), {width = width})), "no shape")
    check.contains(table.concat(car:draw{width = width}.notes, " "), "2 of 2 bodies have no shape")
  end
end)

test("masses_in_one_place_have_every_picture", function()
  local car = car_of("engine", "fuel", {shapeless = true, at = {1000, 0, 300}})
  for _, width in ipairs{180, 90} do
    each(car, width, function(d, what)
      rules.keep(check, d, what .. " " .. width)
      for _, item in ipairs(drawing.canvas_of(d).items) do -- nothing of no size or without an end
        for _, loop in ipairs(item.loops or {}) do
          for _, p in ipairs(loop) do check.equal(p[1] == p[1] and p[2] == p[2] and math.abs(p[1]) + math.abs(p[2]) < 1e4, true, what) end
        end
      end
    end)
  end
end)

test("a_gap_of_nothing_is_drawn", function()
  local car = sy.car{axes = {x = "back", y = "right", z = "up"}, axles = {axle("front", 0), axle("rear", 2400)},
    parts = {sy.part "a" {mass = 400, at = {1000, 0, 300}, shape = sy.box {400, 400, 300}},
             sy.part "b" {mass = 200, at = {1400, 0, 300}, shape = sy.box {400, 400, 300}}},
    clearances = {{name = "a and b", a = "a", b = "b", asked = 10}}}
  for _, width in ipairs{180, 90} do
    local d = picture.of(car:clearances(), {width = width})
    rules.keep(check, d, "touching " .. width)
    check.contains(rules.said(d), "FAIL")
  end
end)

test("a_file_that_cannot_be_written_is_refused_and_nothing_is_left", function()
  local car = car_of("engine", "fuel")
  for _, result in ipairs{car:balance(), car:corners{}, car:clearances(), car:shafts(), car:markout(), rules.lifted(car)} do
    check.raises(function() result:plot "/nowhere/at/all/x.svg" end, {code = "io", file = "/nowhere/at/all/x.svg"})
    check.raises(function() result:plot "x.svq" end, {code = "unknown", field = "path", hint = "did you mean .svg?"})
    check.raises(function() result:plot "x" end, {code = "unknown", field = "path", message = "has no ending"})
    check.raises(function() result:plot("x.svg", {width = 0}) end, {code = "range", field = "width"})
  end
end)

check.done()
