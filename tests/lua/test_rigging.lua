-- The picture of something on a hoist: what it says, what stands where, and that nothing stands in the way. Its coordinates are worked out
-- from a vehicle file of its own in tests/reference/oracle_rigging.py.
-- Under the command alone: where and in which locale a picture is drawn is what test_draw.lua shows.
-- With one compiler: it compares a picture with the result that it is drawn from.
-- Not under sanitizers: drawing is Lua, and what it asks of the core test_draw.lua, test_scene.lua and test_plot.lua ask there.
local check = dofile "tests/lua/check.lua"
local canvas = require "steelyard.draw.canvas"
local conventions = dofile "tests/lua/conventions.lua"
local drawing = require "steelyard.draw.drawing"
local picture = require "steelyard.draw.picture"
local rules = dofile "tests/lua/picture_rules.lua"
local sy = require "steelyard"
local text = require "steelyard.print.text"
local test = check.test

local function restated(path)
  local car = conventions.read(path)
  local to = conventions.new({x = "forward", y = "left", z = "up"}, {front = 55, centre = -20, ground = 140})
  local name = os.tmpname()
  local file <close> = assert(io.open(name, "w"))
  file:write(conventions.text(conventions.restated(car, conventions.map(conventions.of(car), to))))
  file:close()
  local made = sy.load(name)
  os.remove(name)
  return made
end

local twayblade, burnet, guess = sy.load "vehicles/twayblade.lua", sy.load "vehicles/burnet.lua", sy.load "vehicles/first_guess.lua"
local eyes = {"lifting eye, front", "lifting eye, rear"}
local boom = {{800, 600}, {1000, 450}, {1200, 300}, {1400, 120}}
-- four legs, one of them too long
local four = {{1505, -255, 565}, {1505, 255, 565}, {2055, -255, 565}, {2055, 255, 565}}

local hung = {
  eyes = twayblade:hoist("engine", {points = eyes, boom = boom, reach = 900, tackle = 25}),
  tilted = twayblade:hoist("engine", {points = {{1605, -55, 565}, {1955, 70, 590}}, legs = {620, 380}}),
  slack = twayblade:hoist("engine", {points = four, legs = {500, 500, 500, 560}}),
  one = twayblade:hoist("engine", {points = {{1700, 0, 600}}}),
  steep = twayblade:hoist("engine", {points = {{1300, 0, 500}, {2300, 0, 500}}, legs = 560}),
  three_wheels = burnet:hoist("powertrain", {points = {{1400, 60, 520}, {1700, -60, 520}}, hook = {1570, 0, 900}}),
  shapeless = guess:hoist("powertrain", {points = {{1600, 0, 600}, {2300, 0, 560}}}),
}
local names = {"eyes", "tilted", "slack", "one", "steep", "three_wheels", "shapeless"}

local function each(run)
  for _, name in ipairs(names) do
    for _, width in ipairs{180, 90, 300} do run(hung[name], picture.of(hung[name], {width = width}), ("%s %d"):format(name, width)) end
  end
end

test("it_keeps_the_rules", function()
  each(function(_, d, what) rules.keep(check, d, what) end)
end)

test("what_the_page_says_is_on_it", function()
  each(function(h, d, what)
    local all = table.concat(d.texts, " "):gsub("\u{A0}", " ")
    local function has(part) check.equal(all:find(part, 1, true) ~= nil, true, ("%s: %s"):format(what, part)) end
    has "Nobody under the load."
    has "Arithmetic, not permission: local codes and licensed practice decide."
    has("overall")
    has(h.status == "fail" and "FAIL" or h.status)
    has("from behind, left side left")
    for _, leg in ipairs(h.legs) do
      if leg.slack then has "slack" else has(text.fixed(leg.tension, 1)) end
      has(text.fixed(leg.angle, 0))
    end
    for _, line in ipairs(h.boom or {}) do has(text.fixed(line.margin, 1):gsub("^%-", "−")) end
    has(("1:%d"):format(d.scale))
  end)
end)

test("a_terminal_cuts_no_caution", function()
  each(function(_, d, what)
    if d.width > 180 then return end -- has more rows than a terminal's
    local shown = d:text():gsub("%s+", " ")
    check.equal(shown:find("local codes and licensed practice decide.", 1, true) ~= nil, true, what)
    check.equal(shown:find("Nobody under the load.", 1, true) ~= nil, true, what)
  end)
end)

local function find(c, what, n)
  for _, item in ipairs(c.items) do
    if item.what == what then
      n = (n or 1) - 1
      if n == 0 then return item end
    end
  end
end

test("the_hook_stands_over_the_cg_and_legs_are_as_long_as_they_are", function()
  each(function(h, d, what)
    local c = drawing.canvas_of(d)
    for i = 1, 2 do
      local hook, cg = find(c, "hook", i), find(c, "cg", i)
      check.near(hook.x, cg.x, 1e-9, what)
      check.equal(hook.y < cg.y, true, what)
    end
    for _, leg in ipairs(h.legs) do -- along in the side view, across in the other, height in both
      local side, rear = find(c, "eye " .. leg.point), find(c, "eye " .. leg.point, 2)
      local hook, other = find(c, "hook"), find(c, "hook", 2)
      local along, across, down = side.x - hook.x, rear.x - other.x, side.y - hook.y
      check.near(down, rear.y - other.y, 1e-9, what)
      local length = d.scale * math.sqrt(along ^ 2 + across ^ 2 + down ^ 2)
      if leg.slack then check.near(length, leg.length - leg.slack_by, 1e-6, what) else check.near(length, leg.length, 1e-6, what) end
      check.near(math.deg(math.acos(d.scale * down / length)), leg.angle, 1e-6, what)
    end
  end)
end)

test("what_fails_is_in_the_warm_hue_and_named", function()
  local c = drawing.canvas_of(picture.of(hung.slack, {}))
  local failed = {}
  for _, item in ipairs(c.items) do
    if item.colour == "fail" then failed[item.kind] = (failed[item.kind] or 0) + 1 end
  end
  check.equal((failed.text or 0) > 2 and (failed.ellipse or 0) > 0, true)
  for _, item in ipairs(drawing.canvas_of(picture.of(hung.one, {})).items) do check.equal(item.colour ~= "fail", true) end
  check.equal(find(c, "leg " .. hung.slack.slack[1]).weight, canvas.weights.fine)
end)

test("how_it_stands_in_the_car_is_shown_where_it_differs", function()
  local tilted, straight = drawing.canvas_of(picture.of(hung.tilted, {})), drawing.canvas_of(picture.of(hung.eyes, {}))
  local path = "before engine/cylinder block"
  for _, item in ipairs(tilted.items) do if (item.what or ""):find "^before" then path = item.what break end end
  check.equal(find(tilted, path).dash, "earlier")
  for _, item in ipairs(straight.items) do check.equal(item.dash ~= "earlier", true) end
end)

test("it_is_the_same_in_all_conventions", function()
  local points, hook = {{1400, 60, 520}, {1700, -60, 520}}, {1570, 0, 900}
  local other = restated "vehicles/burnet.lua" -- x forward, y left, ground at 140
  local function out(p) return {55 - p[1], -20 - p[2], 140 + p[3]} end
  local h = other:hoist("powertrain", {points = {out(points[1]), out(points[2])}, hook = out(hook)})
  check.near(h.pitch, hung.three_wheels.pitch, 1e-6)
  local a, b = drawing.canvas_of(picture.of(hung.three_wheels, {})), drawing.canvas_of(picture.of(h, {}))
  for _, what in ipairs{"hook", "cg"} do
    for n = 1, 2 do
      check.near(find(b, what, n).x, find(a, what, n).x, 1e-6)
      check.near(find(b, what, n).y, find(a, what, n).y, 1e-6)
    end
  end
  local bodies = {{}, {}}
  for i, c in ipairs{a, b} do
    for _, item in ipairs(c.items) do if (item.what or ""):find "^body " then table.insert(bodies[i], {canvas.bounds_of(item)}) end end
  end
  check.equal(#bodies[1] > 0, true)
  check.equal(#bodies[2], #bodies[1])
  for i, one in ipairs(bodies[1]) do for k = 1, 4 do check.near(bodies[2][i][k], one[k], 1e-6) end end
end)

test("the_boom_is_rated_hole_by_hole", function()
  local h = hung.eyes
  check.equal(#h.boom, 4)
  for i, line in ipairs(h.boom) do
    check.near(line.margin, boom[i][2] - h.mass - 25, 1e-9)
    check.equal(line.used, line.reach == 1000)
  end
  check.equal({h.boom[3].status, h.boom[4].status}, {"pass", "fail"})
  check.near(h.boom_margin, h.boom[2].margin, 1e-12)
  check.equal(hung.tilted.boom, nil)
end)

check.done()
