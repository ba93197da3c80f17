-- The picture of a CG height: rules of layout, and its marks measured back by their scales against the result.
-- Under the command alone: where and in which locale a picture is drawn is what test_draw.lua shows.
-- With one compiler: it compares a picture with the result that it is drawn from.
-- Not under sanitizers: drawing is Lua, and what it asks of the core test_draw.lua, test_scene.lua and test_plot.lua ask there.

local check = dofile "tests/lua/check.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local canvas = require "steelyard.draw.canvas"
local drawing = require "steelyard.draw.drawing"
local file = require "steelyard.measure.cg_height.file"
local picture = require "steelyard.draw.picture"
local sy = require "steelyard"
local test = check.test

-- A session on a car, level and up by the lifts, down again; loads that a CG height of 350 mm would show.
local function session(car, lifted, o)
  local b = car:balance()
  local front, readings = b.front, {}
  for i, lift in ipairs(o and o.lifts or {0, 200, 400, 600, 400, 200, 0}) do
    local gain = b.mass * 0.06 * math.tan(math.asin(lift / b.wheelbase)) + (i % 3 - 1) * 0.05
    if lifted == "rear" then readings[i] = {lift = lift, front = front + gain, rear = lift == 0 and b.rear or nil}
    else readings[i] = {lift = lift, rear = b.rear + gain, front = lift == 0 and front or nil} end
  end
  return car:cg_height{lifted = lifted, sd = {pad = 0.1, lift = 1, radius = 1}, readings = readings}
end

local twayblade = sy.load "vehicles/twayblade.lua":state "kerb"

local function side_lift(on)
  local readings = {}
  for i, angle in ipairs{0, 4, 8, 12} do
    local press, shift = on and math.cos(math.rad(angle)) or 1, 170 * math.tan(math.rad(angle))
    readings[i] = {angle = angle, left = (365 - shift) * press, right = (378 + shift) * press}
  end
  return twayblade:cg_height{lifted = "left", by = "angle", on = on, crown_radius = not on and 60 or nil, sd = {pad = 0.1, angle = 0.02},
                             readings = readings}
end

local alone = sy.cg_height{wheelbase = 2450, radii = {front = 290, rear = 305}, sd = {pad = 0.1},
  readings = {{lift = 0, front = 282.7, rear = 418.7}, {lift = 300, front = 284.4}, {lift = 600, front = 286.2}}}

local function both_ends()
  local readings = {}
  for _, lifted in ipairs{"rear", "front"} do
    for _, lift in ipairs{0, 200, 400} do
      local stays = lifted == "rear" and "front" or "rear"
      local r = {run = lifted, lifted = lifted, lift = lift, [stays] = (stays == "front" and 300 or 400) + 0.006 * lift}
      if lift == 0 then r.front, r.rear = 300, 400 end
      readings[#readings + 1] = r
    end
  end
  return sy.load("vehicles/first_guess.lua"):cg_height{sd = {pad = 0.1}, readings = readings}
end

-- A jack holds the body 200 mm ahead of the rear axle line and 180 mm above the ground when level. Loads by moments about it, of a CG
-- height of 350 mm: what the front carries with the body turned by t about the middles of its wheels.
local JACK = {back = 200, height = 180} -- of the rear axle line, and up

local function jacked(car, by)
  local b, scene = car:balance(), car:scene()
  local back, radius = b.wheelbase - JACK.back, scene.wheels.lf.radius
  local readings = {{[by == "angle" and "angle" or "lift"] = 0, front = b.front, rear = b.rear}}
  for i, angle in ipairs{4, 8, 12} do
    local t = math.rad(angle)
    local function ahead(x, z) return x * math.cos(t) - (z - radius) * math.sin(t) end
    local raised = radius + back * math.sin(t) + (JACK.height - radius) * math.cos(t) - JACK.height
    readings[i + 1] = {front = b.mass * (1 - ahead(b.cg_behind, 350) / ahead(back, JACK.height))}
    if by == "angle" then readings[i + 1].angle = angle else readings[i + 1].lift = raised end
  end
  local axes = scene.axes
  local point = {x = 0, y = 0, z = 0}
  for _, one in ipairs{{"forward", -back}, {"up", JACK.height}, {"left", 0}} do
    local axis = axes[one[1]]
    point[axis.axis] = axis.zero + axis.sign * one[2]
  end
  return car:cg_height{lifted = "rear", by = by, jack = {point.x, point.y, point.z}, suspension = "locked", sd = {pad = 0.1},
                       readings = readings}
end

local results = {
  jack = jacked(twayblade, "jack"), ["jack by angle"] = jacked(twayblade, "angle"),
  ["jack, other axes"] = jacked(rules.restated "vehicles/twayblade.lua":state "kerb", "jack"),
  ["jack, three wheels"] = jacked(sy.load "vehicles/burnet.lua", "jack"),
  ["first guess"] = file.of("vehicles/readings/rear_lift.csv", sy.load "vehicles/first_guess.lua"),
  blocks = file.of("vehicles/readings/rear_blocks.csv", sy.load "vehicles/first_guess.lua"),
  bistort = file.of("vehicles/readings/bistort_lift.csv", sy.load "vehicles/bistort.lua"),
  sedge = file.of("vehicles/readings/sedge_lift.csv", sy.load "vehicles/sedge.lua"),
  twayblade = session(twayblade, "rear"), front = session(twayblade, "front"),
  burnet = session(sy.load "vehicles/burnet.lua", "rear"), ["burnet, front"] = session(sy.load "vehicles/burnet.lua", "front"),
  ["other axes"] = session(rules.restated "vehicles/twayblade.lua", "rear"),
  ["other axes, front"] = session(rules.restated "vehicles/twayblade.lua", "front"),
  side = side_lift(), plane = side_lift "plane", ["no car"] = alone, ["both ends"] = both_ends(),
}

local items, all_text = rules.items, rules.said

test("pictures_of_a_lift_keep_the_rules", function()
  for name, result in pairs(results) do
    for _, width in ipairs{180, 90} do rules.keep(check, picture.of(result, {width = width}), name .. " " .. width) end
  end
end)

test("the_height_its_cautions_and_loads_are_on_it", function()
  local r = results["first guess"]
  for _, width in ipairs{180, 90} do
    local d = picture.of(r, {width = width})
    local said = all_text(d)
    for _, words in ipairs{"348.0 ± 3.3 mm", "front 286.2 kg", "rear 415.2 kg", "front load, kg", "tangent of the tilt", "rear up, mm",
                           "off the fit, kg", "on 600 mm", "Front left", "14.2 degrees", "run down reads 0.35 kg more"} do
      check.contains(said, words)
    end
    check.contains(said, (r.notes[#r.notes]:gsub("\u{A0}", " "))) -- the caution, whole
    local large = 0
    for _, item in ipairs(drawing.canvas_of(d).items) do
      if item.kind == "text" and item.size == canvas.sizes.large and item.words:find "%d" then large = large + 1 end
    end
    check.equal(large, 1) -- the height alone
  end
end)

-- By the scale of the figure: the top of the blocks is the lift, the standing wheel is on the ground, the CG is the one that was found,
-- turned about the front middle: x cos t - (h - r) sin t, r + x sin t + (h - r) cos t.
test("what_is_drawn_measures_what_the_result_says", function()
  for name, lift in pairs{["first guess"] = 600, bistort = 600, sedge = 450, burnet = 600, ["other axes"] = 600} do
    local r = results[name]
    local d = picture.of(r, {width = 180})
    local ground, blocks = items(d, "ground")[1].loops[1][1][2], items(d, "blocks")[1].loops[1]
    local function up(y) return (ground - y) * d.scale end
    check.near(up(blocks[1][2]), lift, 1e-6)
    local steepest = 0
    for _, row in ipairs(r.rows) do steepest = math.max(steepest, row.angle) end
    local t, radius = math.rad(steepest), r.radii.front
    local cg = items(d, "cg")[1]
    check.near(up(cg.y), radius + r.cg_behind * math.sin(t) + (r.height - radius) * math.cos(t), 0.5) -- radii of unlike sides: their mean
    local low, middle = math.huge, nil
    for _, item in ipairs(drawing.canvas_of(d).items) do
      if (item.what or ""):find "^wheel" then
        low = math.min(low, up(item.y + item.long))
        if not middle or item.x < middle then middle = item.x end
      end
    end
    check.near(low, 0, 0.5)
    check.near((cg.x - middle) * d.scale, r.cg_behind * math.cos(t) - (r.height - radius) * math.sin(t), 4) -- axles whose sides differ
  end
end)

-- Dots of the readings by the ticks of both axes: two readings of one run give the scale, the others must lie on it.
test("readings_stand_where_their_tangent_and_load_are", function()
  local r = results["first guess"]
  local dots = items(picture.of(r, {width = 180}), "reading")
  check.equal(#dots, #r.rows)
  local function spot(row) return math.tan(math.rad(row.angle)), row.load end
  local order = {1, 2, 3, 4, 5, 9, 8, 7, 6} -- by run, by tilt
  local x1, y1 = spot(r.rows[1])
  local x5, y5 = spot(r.rows[5])
  local kx, ky = (dots[5].x - dots[1].x) / (x5 - x1), (dots[5].y - dots[1].y) / (y5 - y1)
  for i, dot in ipairs(dots) do
    local x, y = spot(r.rows[order[i]])
    check.near(dot.x, dots[1].x + kx * (x - x1), 1e-9)
    check.near(dot.y, dots[1].y + ky * (y - y1), 1e-9)
    check.equal(dot.fill, i <= 5 and "ink" or "white")
  end
end)

test("what_would_be_below_the_ground_is_called_a_failure", function()
  local d = picture.of(results.bistort, {width = 180})
  check.contains(all_text(d), "FAIL splitter lip")
  check.contains(all_text(d), "splitter lip, from 403 mm on, 53 mm at the steepest")
  check.equal(items(d, "below splitter lip")[1].colour, "fail")
  local other = all_text(picture.of(results.sedge, {width = 180}))
  check.contains(other, "First to touch, by the file: nose, from 571 mm on.")
  check.equal(other:find("FAIL", 1, true), nil)
end)

test("blocks_are_drawn_in_layers_and_named", function()
  local d = picture.of(results.blocks, {width = 180})
  check.equal(#items(d, "block"), 3)
  check.contains(all_text(d), "on blocks a + b + c + d, 602 mm")
end)

-- Its point is where the turn about the middles of the front wheels takes it, and no blocks stand under the wheels that hang.
test("a_jack_is_drawn_where_it_holds_the_body", function()
  for _, name in ipairs{"jack", "jack by angle", "jack, other axes", "jack, three wheels"} do
    local r = results[name]
    check.near(r.height, 350, 1, name) -- to what the mean of the radii of unlike sides leaves
    check.near(r.jack.rear.back, r.wheelbase - JACK.back, 1, name)
    check.near(r.jack.rear.height, JACK.height, 1e-9, name)
    for _, width in ipairs{180, 90} do
      local d = picture.of(r, {width = width})
      check.equal(#items(d, "blocks"), 0, name)
      local point, ground, front = items(d, "jacking point")[1], items(d, "ground")[1].loops[1][1][2], nil
      for _, item in ipairs(drawing.canvas_of(d).items) do
        if (item.what or ""):find "^wheel" and (not front or item.x < front) then front = item.x end
      end
      local t, radius = math.rad(r.rows[#r.rows].angle), r.radii.front
      local back, up = r.jack.rear.back, r.jack.rear.height
      check.near((ground - point.y) * d.scale, radius + back * math.sin(t) + (up - radius) * math.cos(t), 0.5, name)
      check.near((point.x - front) * d.scale, back * math.cos(t) - (up - radius) * math.sin(t), 4, name) -- axles whose sides differ
      check.near(items(d, "jack")[1].loops[1][1][2], ground, 1e-9, name) -- it stands on it
      local arrow = items(d, "load rear")[1].loops[1]
      check.near(arrow[1][1], point.x, 1e-9, name) -- the load is on the jack
      check.contains(all_text(d), "rear, jack ", name)
      check.contains(all_text(d), "wheels of that end hang", name)
    end
  end
  check.equal(results.twayblade.jack, nil)
end)

-- Level it stands on its wheels: another lever than the jack's, and so off the line of what is lifted.
test("the_line_of_a_jack_leaves_the_level_reading_out", function()
  local d = picture.of(results.jack, {width = 180})
  check.equal(#items(d, "reading"), 4)
  for _, item in ipairs(drawing.canvas_of(d).items) do
    if (item.what or ""):find "^fit " then check.equal(#item.loops[1], 3) end
  end
  check.contains(all_text(d), "those dots are off the line")
end)

test("a_measurement_without_a_car_has_the_charts_alone", function()
  local d = picture.of(alone, {width = 180})
  check.equal(d.scale, nil)
  check.equal(#items(d, "reading"), 3)
  check.equal(#items(d, "blocks"), 0)
end)

test("it_comes_out_as_text_too", function()
  local shown = picture.of(results["first guess"], {width = 180}):text()
  check.contains(shown, "348.0 +- 3.3 mm")
end)

check.done()
