-- Pictures of the shop: gaps, stands, shafts, the floor. What must be on them, and where it stands, on cars that differ in all that they
-- rest on.
-- Under the command alone: where and in which locale a picture is drawn is what test_draw.lua shows.
-- With one compiler: it compares a picture with the result that it is drawn from.
-- Not under sanitizers: drawing is Lua, and what it asks of the core test_draw.lua, test_scene.lua and test_plot.lua ask there.
local check = dofile "tests/lua/check.lua"
local canvas = require "steelyard.draw.canvas"
local drawing = require "steelyard.draw.drawing"
local page = require "steelyard.print.page"
local picture = require "steelyard.draw.picture"
local rules = dofile "tests/lua/picture_rules.lua"
local sy = require "steelyard"
local text = require "steelyard.print.text"
local test = check.test

local function load_text(lines)
  local path = os.tmpname()
  local file = assert(io.open(path, "w"))
  file:write(lines)
  file:close()
  local made = sy.load(path)
  os.remove(path)
  return made
end

-- A vehicle file with more in it.
local function with(path, more)
  local file <close> = assert(io.open(path))
  return load_text((file:read "a":gsub("}%s*$", more .. "\n}\n")))
end

local twayblade = sy.load "vehicles/twayblade.lua"
local cars = {
  twayblade = twayblade:state "race start", bistort = sy.load "vehicles/bistort.lua", other_axes = rules.restated "vehicles/twayblade.lua",
  burnet = with("vehicles/burnet.lua", [[  clearances = {
    {name = "engine and fuel", a = "engine and gearbox", b = "fuel", asked = 60},
    {name = "exhaust and floor", a = "exhaust", b = "floor", asked = 30},
    {name = "floor over the road", a = "floor", b = "ground", asked = 80}}]]),
  first_guess = with("vehicles/first_guess.lua", [[  clearances = {{name = "engine and driver", a = "engine", b = "driver", asked = 60}}]]),
  bare = sy.load "vehicles/first_guess.lua"}
local names = {"twayblade", "bistort", "other_axes", "burnet", "first_guess", "bare"}

local function each(run, ask)
  for _, name in ipairs(names) do
    local result = ask(cars[name], name)
    for _, width in ipairs{180, 90} do
      local d = result and picture.of(result, {width = width})
      if d then run(d, result, ("%s %d"):format(name, width)) end
    end
  end
end

local function all_words(d)
  local list = {}
  for i, one in ipairs(rules.texts_of(drawing.canvas_of(d))) do list[i] = one.item.words end
  return table.concat(list, "\n")
end

local function find(d, what, from)
  local items = drawing.canvas_of(d).items
  for i = from or 1, #items do if items[i].what == what then return items[i], i end end
end


local function same_in_all_conventions(a, b)
  check.equal(b.texts, a.texts)
  local p, q = drawing.canvas_of(a), drawing.canvas_of(b)
  check.equal(#q.items, #p.items)
  for i, item in ipairs(p.items) do
    if item.what ~= "asked" and i <= #p.items - 3 then -- a hatched line more or less is rounding, and the foot has the digest of the file
      local one, other = {canvas.bounds_of(item)}, {canvas.bounds_of(q.items[i])}
      for k = 1, 4 do check.near(other[k], one[k], 1e-6) end
    end
  end
end

-- ---- gaps ---------------------------------------------------------------------------------------------------------------------

local function gaps_of(car, name) return car:clearances{at = name == "bistort" and {"design", "bump", "droop"} or nil} end

test("gaps_keep_the_rules", function()
  each(function(d, _, what) rules.keep(check, d, what) end, gaps_of)
  rules.keep(check, picture.of(twayblade:move("powertrain", {forward = 7}):clearances(), {}), "short")
  rules.keep(check, picture.of(twayblade:move("powertrain", {forward = 30}):clearances(), {}), "overlap")
end)

test("gaps_say_every_gap_that_is_not_wide_with_its_numbers", function()
  each(function(d, result, what)
    local all = all_words(d)
    for _, row in ipairs(result) do
      local wide = row.status == "pass" and row.gap >= 3 * row.asked
      if row.at == result[1].at then check.equal(all:find(row.name, 1, true) ~= nil or wide or d.width == 90, true, what .. row.name) end
      if not wide and row.status == "unknown" then check.contains((all:gsub("\n", " ")), "has no shape") end
    end
    for _, note in ipairs(result.notes) do check.contains((all:gsub("\n", " ")), text.sentence(note)) end
  end, gaps_of)
  local all = all_words(picture.of(cars.twayblade:clearances(), {}))
  check.contains(all, "10.0\u{A0}mm")
  check.contains(all, "91.0\u{A0}±\u{A0}17.0")
  check.contains(all, "engine leaves upwards", "and not shown")
  check.contains(all, "1:5 from the side")
end)

-- Of each detail: the measure by its own scale is the gap, and the strip is as deep as what is asked.
test("details_of_gaps_are_to_scale", function()
  local result = cars.twayblade:clearances()
  local d = picture.of(result, {})
  local c = drawing.canvas_of(d)
  local strips = {}
  for i, item in ipairs(c.items) do
    if item.what == "asked" and #item.loops == 1 and #item.loops[1] == 2 and item.weight == canvas.weights.fine then
      strips[#strips + 1] = i
    end
  end
  check.equal(#strips, 3)
  -- the sump: upright over the ground, from the file 132 above the road, 60 asked
  local edge = c.items[strips[3]].loops[1]
  local ground
  for i = 1, strips[3] do
    local item = c.items[i]
    if item.what == "ground" and item.weight == canvas.weights.ground then ground = item end
  end
  check.near((ground.loops[1][1][2] - edge[1][2]) * 5, 60, 1e-6)
  local point
  for i = strips[3], #c.items do if c.items[i].what == "point" then point = c.items[i] break end end
  local x1, y1, x2, y2 = canvas.bounds_of(point)
  check.near((ground.loops[1][1][2] - (y1 + y2) / 2) * 5, 132, 1e-6)
  check.near((x1 + x2) / 2, (edge[1][1] + edge[2][1]) / 2, 1e-6)
end)

test("a_gap_that_is_short_is_in_the_warm_hue_and_says_FAIL", function()
  local result = twayblade:move("powertrain", {forward = 7}):clearances()
  check.equal(result.status, "fail")
  local d = picture.of(result, {})
  local warm = 0
  for _, item in ipairs(drawing.canvas_of(d).items) do
    if item.colour == "fail" then
      warm = warm + 1
      if item.kind == "text" and item.words:find "^%a" then check.contains(item.words, "FAIL") end
    end
  end
  check.ok(warm > 3)
  for _, one in ipairs{"measure", "asked"} do check.equal(find(d, one).colour, "fail") end
  local fine = drawing.canvas_of(picture.of(cars.twayblade:clearances(), {}))
  for _, item in ipairs(fine.items) do check.equal(item.colour ~= "fail", true) end
end)

test("bodies_without_a_shape_are_open_dots", function()
  local d = picture.of(cars.burnet:clearances(), {})
  check.equal(find(d, "open").fill, "white")
  check.contains(all_words(d), "exhaust, no shape")
end)

test("gaps_are_the_same_in_all_conventions", function()
  same_in_all_conventions(picture.of(twayblade:clearances(), {}), picture.of(cars.other_axes:clearances(), {}))
end)

test("faces_are_as_far_apart_as_the_gap", function()
  for _, row in ipairs(cars.bistort:clearances()) do
    if not row.overlap then
      local sum = 0
      for letter in pairs(row.faces.a) do sum = sum + (row.faces.a[letter] - row.faces.b[letter]) ^ 2 end
      check.near(math.sqrt(sum), row.gap, 2e-3, row.name) -- to what the search for the nearest points leaves open
    end
  end
end)

-- ---- stands ---------------------------------------------------------------------------------------------------------------------

local JACKS = {"front jack, left", "front jack, right", "rear jack, left", "rear jack, right"}
local on_jacks = twayblade:state "kerb":stands{at = JACKS, without = {"engine", "transaxle", "battery"}}
local tipping = twayblade:state "kerb":stands{at = {{100, -400, 150}, {100, 400, 150}, {1650, 0, 160}},
                                              without = {"front suspension", "engine", "radiator"}}

local function stands_of(car, name)
  if name == "twayblade" or name == "bistort" or name == "other_axes" then return car:stands{at = JACKS, without = {"engine"}} end
  if name == "burnet" then return car:stands{at = {"lf", "rf", {2100, 0, 120}}, without = {"engine and gearbox"}} end
  return car:stands{at = {{200, -400, 150}, {200, 400, 150}, {2000, -400, 160}, {2000, 400, 160}}}
end

test("stands_keep_the_rules", function()
  each(function(d, _, what) rules.keep(check, d, what) end, stands_of)
  for _, width in ipairs{180, 90} do
    rules.keep(check, picture.of(on_jacks, {width = width}), "three steps")
    rules.keep(check, picture.of(tipping, {width = width}), "tipping")
  end
end)

test("stands_say_every_step_and_its_cautions", function()
  each(function(d, result, what)
    local all = all_words(d):gsub("\n", " "):gsub("\u{A0}", " "):gsub("−", "-")
    for i, step in ipairs(result.steps) do
      check.contains(all, ("%d %s"):format(i, step.what), what)
      check.contains(all, text.fixed(step.mass, 1) .. " kg, CG " .. text.fixed(step.margin, 0), what)
      for _, name in ipairs(result.stands) do check.contains(all, text.fixed(step.loads[name], 1), what) end
    end
    check.contains(all, "Nobody in or under the car while something heavy comes out", what)
    check.contains(all, "front", what)
    for _, note in ipairs(result.notes) do check.contains(all, text.sentence((note:gsub(" %+%- ", " ± "))), what) end
  end, stands_of)
end)

test("stands_and_cg_lie_where_the_car_has_them", function()
  local d = picture.of(on_jacks, {})
  local function middle(item)
    local x1, y1, x2, y2 = canvas.bounds_of(item)
    return (x1 + x2) / 2, (y1 + y2) / 2
  end
  -- from the file: front jacks at (420, -520 and 520), rear ones at (1990, -340 and 340)
  local fx, fy = middle(find(d, "stand front jack, left"))
  local gx = middle(find(d, "stand front jack, right"))
  local rx, ry = middle(find(d, "stand rear jack, left"))
  check.near((gx - fx) * d.scale, 1040, 1e-6)
  check.near((ry - fy) * d.scale, 1570, 1e-6)
  check.near((rx - fx) * d.scale, 180, 1e-6)
  local cx, cy = middle(find(d, "cg"))
  check.near((cy - fy) * d.scale + 420, on_jacks.steps[1].cg.x, 1e-6) -- x runs back
  check.near((cx - fx) * d.scale - 520, on_jacks.steps[1].cg.y, 1e-6) -- y runs right
  for i = 2, #on_jacks.steps do
    local x, y = middle(find(d, "step " .. i))
    check.near((y - fy) * d.scale + 420, on_jacks.steps[i].cg.x, 1e-6)
    check.near((x - fx) * d.scale - 520, on_jacks.steps[i].cg.y, 1e-6)
  end
  -- the measure of the least margin: two arrows from its middle
  local edge = find(d, "edge").loops[1]
  local dx, dy = edge[2][1] - edge[1][1], edge[2][2] - edge[1][2]
  local off = math.abs((cx - edge[1][1]) * dy - (cy - edge[1][2]) * dx) / math.sqrt(dx * dx + dy * dy)
  check.near(off * d.scale, on_jacks.steps[1].margin, 1e-6)
end)

test("a_step_that_tips_is_in_the_warm_hue_and_says_FAIL", function()
  check.equal(tipping.status, "fail")
  local d = picture.of(tipping, {})
  check.contains(all_words(d), "2 FAIL")
  check.equal(find(d, "step 2").colour, "fail")
  check.equal(find(d, "edge").colour, "fail")
  for _, item in ipairs(drawing.canvas_of(picture.of(on_jacks, {})).items) do check.equal(item.colour ~= "fail", true) end
end)

test("stands_are_the_same_in_all_conventions", function()
  local a, b = stands_of(twayblade, "twayblade"), stands_of(cars.other_axes, "other_axes")
  same_in_all_conventions(picture.of(a, {}), picture.of(b, {}))
end)

-- ---- shafts ---------------------------------------------------------------------------------------------------------------------

-- As half_shafts has it.
local function by_engine(car, what, list)
  local booked, positions = car:shafts(), {}
  for i, back in ipairs(list) do
    local moved = back == 0 and car or car:move(what, back > 0 and {back = back} or {forward = -back})
    local rows = moved:shafts()
    positions[i] = {back = back, front_share = moved:balance().front_share, status = rows.status, shafts = rows}
  end
  return page.result("half_shafts", {as_booked = booked, part = what, positions = positions, state = booked.state}, booked)
end

local PLACES = {-50, -25, 0, 25, 50, 75, 100}
local unlike = by_engine(cars.bistort, "transaxle", {-80, -40, 0, 40, 80})
local alike = by_engine(twayblade, "powertrain", PLACES)

local function shafts_of(car, name)
  if name == "bistort" then return unlike end
  if name == "twayblade" or name == "other_axes" or name == "bare" then
    return by_engine(car, "powertrain", PLACES)
  end
  return car:shafts()
end

test("shafts_keep_the_rules", function()
  each(function(d, _, what) rules.keep(check, d, what) end, shafts_of)
  for _, width in ipairs{180, 90} do
    rules.keep(check, picture.of(sy.load "vehicles/teasel.lua":shafts(), {width = width}), "propeller shaft")
    rules.keep(check, picture.of(cars.bistort:shafts(), {width = width}), "as booked alone")
  end
end)

test("shafts_say_their_numbers", function()
  each(function(d, result, what)
    local all, booked = all_words(d):gsub("\n", " "), rawget(result, "as_booked") or result
    for _, row in ipairs(booked) do
      check.contains(all, row.name, what)
      check.contains(all, text.fixed(row.static_angle, 1), what)
      check.contains(all, text.fixed(row.worst_angle, 1), what)
      check.contains(all, text.fixed(row.at.ride.length, 1), what)
      check.contains(all, text.fixed(row.cut_for, 1), what)
      for _, pose in pairs(row.at) do check.contains(all, text.fixed(math.max(pose.inner, pose.outer), 1) .. "°", what) end
    end
    for _, note in ipairs(booked.notes) do check.contains(all, text.sentence(note), what) end
    if result ~= booked then
      check.contains(all, "as booked", what)
      for _, position in ipairs(result.positions) do
        if position.status == "fail" then check.contains(all, "FAIL, rings: ", what) end
      end
    end
  end, shafts_of)
end)

test("sides_that_are_equal_are_drawn_once_and_said", function()
  local d = picture.of(alike, {})
  check.equal(find(d, "outer left half-shaft") ~= nil, true)
  check.equal(find(d, "outer right half-shaft"), nil)
  check.contains((all_words(d):gsub("\n", " ")), "equal within 0.05°")
  local other = picture.of(unlike, {})
  check.equal(find(other, "outer right half-shaft") ~= nil, true)
  check.equal(all_words(other):find "equal within", nil)
end)

-- The two limits of the file, 7 and 14 degrees, say where an angle stands.
test("without_shafts_nothing_is_said_of_places_tried", function()
  local said = rules.said(picture.of(by_engine(cars.burnet, "powertrain", PLACES), {}))
  check.contains(said, "The file states no shafts.")
  check.ok(not said:find("places tried", 1, true), said)
end)

test("dots_of_shafts_stand_at_their_angles", function()
  local d = picture.of(alike, {})
  local limits = {}
  for _, item in ipairs(drawing.canvas_of(d).items) do if item.what == "limit" then limits[#limits + 1] = item.loops[1][1][2] end end
  check.equal(#limits, 3) -- and that of the plunge
  local degree = (limits[1] - limits[2]) / 7
  check.ok(degree > 0)
  local booked = {}
  for _, item in ipairs(drawing.canvas_of(d).items) do if item.what == "booked" then booked[#booked + 1] = item end end
  check.equal(#booked, 3)
  check.near((limits[1] - booked[1].y) / degree + 7, alike.as_booked[1].static_angle, 1e-9)
  check.near((limits[1] - booked[2].y) / degree + 7, alike.as_booked[1].worst_angle, 1e-9)
  local rings = 0
  for _, item in ipairs(drawing.canvas_of(d).items) do
    if item.what == "fails" then
      rings = rings + 1
      check.equal(item.colour, "fail")
      check.equal(item.fill, "white")
    end
  end
  check.equal(rings, 3) -- at 75 back the ride height, at 100 both
end)

-- From the file: joints 450 apart across and 13 up, the wheel goes 65 up and 65 down.
test("joints_of_shafts_lie_where_the_file_and_the_travel_have_them", function()
  local d = picture.of(alike, {})
  local scale
  for words in all_words(d):gmatch "[^\n]+" do scale = scale or tonumber(words:match "^1:(%d+) from behind") end
  local inner, outer = find(d, "inner left half-shaft"), {}
  for _, item in ipairs(drawing.canvas_of(d).items) do if item.what == "outer left half-shaft" then outer[#outer + 1] = item end end
  check.equal(#outer, 3)
  check.near((inner.x - outer[2].x) * scale, 450, 1e-6)
  check.near((inner.y - outer[2].y) * scale, 13, 1e-6)
  check.near((outer[2].y - outer[1].y) * scale, 65, 1e-6)
  check.near((outer[3].y - outer[2].y) * scale, 65, 1e-6)
end)

test("a_shaft_says_where_its_joints_are", function()
  local row = twayblade:shafts{travels = {30}}[1]
  local function lies(at, x, y, z)
    check.near(at.x, x, 1e-9)
    check.near(at.y, y, 1e-9)
    check.near(at.z, z, 1e-9)
  end
  lies(row.inner_at, 2400, -170, 288)
  lies(row.at.ride.outer_at, 2400, -620, 301)
  check.near(row.at.droop.outer_at.z, 301 - 65, 1e-9)
  check.near(row.at.bump.outer_at.z, 301 + 65, 1e-9)
  check.near(row.listed[1].outer_at.z, 331, 1e-9)
end)

test("shafts_are_the_same_in_all_conventions", function()
  same_in_all_conventions(picture.of(by_engine(sy.load "vehicles/twayblade.lua", "powertrain", PLACES), {}),
                          picture.of(shafts_of(cars.other_axes, "other_axes"), {}))
end)

-- ---- the floor ------------------------------------------------------------------------------------------------------------------

local function floor_of(car, name)
  if name == "twayblade" then return twayblade:markout{state = "mock-up", trolleys = {-150, 2600}} end
  if name == "first_guess" then return car:markout{tapes = {{1000, -750}, {1500, -750}}} end -- poor, and one mark on their line
  if name == "bare" then return car:markout{trolleys = {{-500, 0, 0}, {2600, -400, 0}, {2600, 400, 0}}} end
  return car:markout()
end

test("the_floor_keeps_the_rules", function()
  each(function(d, _, what) rules.keep(check, d, what) end, floor_of)
end)

-- The numbers on the floor, in order: {first =, last =}.
local function numbers_of(d)
  local list = {}
  for _, item in ipairs(drawing.canvas_of(d).items) do
    local first, last = (item.what or ""):match "^number (%d+)%D*(%d*)$"
    if first then list[#list + 1] = {first = tonumber(first), last = tonumber(last) or tonumber(first)} end
  end
  table.sort(list, function(a, b) return a.first < b.first end)
  return list
end

test("the_floor_says_every_mark_with_its_numbers", function()
  each(function(d, result, what)
    local all = all_words(d):gsub("−", "-")
    for _, row in ipairs(result) do
      for _, number in ipairs{row.x, row.y, row.height, row.tapes.a, row.tapes.b} do
        check.contains(all, ("\n%s\n"):format(text.fixed(number, 0)), what .. row.name)
      end
      check.contains(all, row.crossing and text.fixed(row.crossing, 0) .. (row.poor and " poor" or "") or "in line", what)
    end
    local next_one = 1
    for _, run in ipairs(numbers_of(d)) do -- each mark has one number, its own or that of its run
      check.equal(run.first, next_one, what)
      next_one = run.last + 1
    end
    if next_one <= #result then
      check.contains((all:gsub("\n", " ")), ("Numbered to %d; the others by the grid"):format(next_one - 1), what)
      check.equal(d.width, 90, what)
    end
    check.contains(all, "front", what)
    for i, trolley in ipairs(result.trolleys) do
      check.contains(all, ("T%d at"):format(i), what)
      check.contains(all, text.fixed(trolley.load, 1), what)
    end
    for _, note in ipairs(result.notes) do check.contains((all:gsub("\n", " ")), text.sentence(note), what) end
  end, floor_of)
end)

test("a_poor_crossing_is_said_in_words", function()
  local result = floor_of(cars.first_guess, "first_guess")
  local poor, online = 0, 0
  for _, row in ipairs(result) do
    if not row.crossing then online = online + 1 elseif row.crossing < 30 then poor = poor + 1 end
  end
  check.ok(poor > 0 and online == 1 or online == 2)
  check.contains(all_words(picture.of(result, {})), " poor")
  check.contains(all_words(picture.of(result, {})), "poor crossing")
end)

test("marks_of_the_floor_lie_where_their_coordinates_are", function()
  for _, name in ipairs{"twayblade", "bistort"} do
    local result = floor_of(cars[name], name)
    local d = picture.of(result, {})
    local a, b = find(d, "tape A"), find(d, "tape B")
    -- the lines of numbers are as they are printed: assembly by assembly
    local order, groups, by_name = {}, {}, {}
    for _, row in ipairs(result) do
      if not by_name[row.assembly] then
        by_name[row.assembly] = {}
        groups[#groups + 1] = by_name[row.assembly]
      end
      table.insert(by_name[row.assembly], row)
    end
    for _, group in ipairs(groups) do table.move(group, 1, #group, #order + 1, order) end
    for i, row in ipairs(order) do
      local mark = find(d, "mark " .. i)
      check.near(math.sqrt((mark.x - a.x) ^ 2 + (mark.y - a.y) ^ 2) * d.scale, row.tapes.a, 1e-6, row.name)
      check.near(math.sqrt((mark.x - b.x) ^ 2 + (mark.y - b.y) ^ 2) * d.scale, row.tapes.b, 1e-6, row.name)
    end
    -- every arc lies on the circle about its tape point
    local arcs = 0
    for _, item in ipairs(drawing.canvas_of(d).items) do
      if item.what == "arc" then
        arcs = arcs + 1
        local from = arcs % 2 == 1 and a or b
        local row = order[(arcs + 1) // 2]
        for _, p in ipairs(item.loops[1]) do
          check.near(math.sqrt((p[1] - from.x) ^ 2 + (p[2] - from.y) ^ 2) * d.scale, arcs % 2 == 1 and row.tapes.a or row.tapes.b, 1e-6)
        end
        local first, last = item.loops[1][1], item.loops[1][5]
        local turn = math.abs(math.atan(last[2] - from.y, last[1] - from.x) - math.atan(first[2] - from.y, first[1] - from.x))
        check.ok(math.deg(math.min(turn, 2 * math.pi - turn)) <= 10 + 1e-9)
      end
    end
    check.equal(arcs, 2 * #result)
  end
end)

test("left_of_the_floor_is_the_left_of_the_car", function()
  local d = picture.of(cars.bistort:markout(), {})
  local left, right = find(d, "mark 1"), find(d, "mark 2") -- lf and rf wheel
  check.ok(left.x < right.x)
  check.ok(find(d, "mark 3").y > left.y) -- the rear is below
end)

test("the_floor_is_drawn_alike_in_all_conventions", function()
  local a, b = picture.of(sy.load "vehicles/twayblade.lua":markout(), {}), picture.of(cars.other_axes:markout(), {})
  for i = 1, 16 do
    local p, q = find(a, "mark " .. i), find(b, "mark " .. i)
    local pa, qa = find(a, "tape A"), find(b, "tape A")
    check.near((p.x - pa.x) * a.scale, (q.x - qa.x) * b.scale, 1e-6)
    check.near((p.y - pa.y) * a.scale, (q.y - qa.y) * b.scale, 1e-6)
  end
end)

-- ---- from the command line ----------------------------------------------------------------------------------------------------

test("commands_write_their_pictures", function()
  local path = os.tmpname()
  for _, line in ipairs{"clearance vehicles/twayblade.lua", "half_shafts vehicles/first_guess.lua", "propshaft vehicles/teasel.lua",
                        "mockup vehicles/twayblade.lua --trolleys -150,2600",
                        "stands vehicles/first_guess.lua 200,-400,150 200,400,150 2000,0,160"} do
    for _, ending in ipairs{".svg", ".txt"} do
      local ran = check.command(("%s %s --quiet --plot %s%s --replace"):format(check.steelyard, line, path, ending))
      check.equal(ran.err, "", line)
      local file = assert(io.open(path .. ending))
      check.contains(file:read "a", "Arithmetic, not permission.", line)
      file:close()
      os.remove(path .. ending)
    end
  end
  os.remove(path)
end)

check.done()
