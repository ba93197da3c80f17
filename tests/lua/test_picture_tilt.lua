-- The picture of the tilt table: rules of layout, its rays, wheels and liquid by their angles and the scale, its words.

local check = dofile "tests/lua/check.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local picture = require "steelyard.draw.picture"
local sy = require "steelyard"
local test = check.test

local twayblade = sy.load "vehicles/twayblade.lua"
local results = {
  twayblade = twayblade:state "race start":stability{},
  ["left low"] = twayblade:state("two up"):move("fuel", {left = 300}):stability{required = 50},
  burnet = sy.load("vehicles/burnet.lua"):stability{required = 35},
  ["first guess"] = sy.load("vehicles/first_guess.lua"):stability{},
  bistort = sy.load("vehicles/bistort.lua"):stability{required = 45},
  ["other axes"] = rules.restated("vehicles/twayblade.lua"):state "race start":stability{}, gentle = twayblade:stability{required = 5},
  steep = twayblade:stability{required = 85},
}

local items, all_text = rules.items, rules.said

test("pictures_of_a_tilt_table_keep_the_rules", function()
  for name, result in pairs(results) do
    for _, width in ipairs{180, 90} do rules.keep(check, picture.of(result, {width = width}), name .. " " .. width) end
  end
end)

local function angle_of(line)
  local p, q = line.loops[1][1], line.loops[1][2]
  return math.deg(math.atan(p[2] - q[2], math.abs(q[1] - p[1])))
end

test("rays_stand_at_the_angles_of_the_result", function()
  for name, r in pairs(results) do
    local d, low = picture.of(r, {width = 180}), r.worse_side
    local first = r.compliant.lift and r.compliant.lift[low].angle or r.lift[low].angle
    check.near(angle_of(items(d, "ray first")[1]), first, 1e-6, name)
    check.near(angle_of(items(d, "table plane")[1]), first, 1e-6, name)
    check.near(angle_of(items(d, "ray tip")[1]), r.tip[low], 1e-6, name)
    check.near(angle_of(items(d, "ray required")[1]), r.required, 1e-6, name)
    local line = items(d, "ray first")[1].loops[1]
    check.equal(line[2][1] < line[1][1], low == "right") -- seen from behind the table rises to the left where the right is low
  end
end)

-- Seen from behind: tracks 1450 and 1460 are at right angles to the wheels' own height, so two wheels stand as far apart as the track.
test("wheels_lean_with_the_table_and_the_one_that_lifts_is_open", function()
  for _, name in ipairs{"twayblade", "other axes"} do
    local r = results[name]
    local d = picture.of(r, {width = 180})
    local at, dashed = {}, {}
    for _, key in ipairs{"lf", "rf", "lr", "rr"} do
      local wheel = items(d, "wheel " .. key)[1]
      local x, y = 0, 0
      for _, p in ipairs(wheel.loops[1]) do x, y = x + p[1] / #wheel.loops[1], y + p[2] / #wheel.loops[1] end
      at[key], dashed[key] = {x, y}, wheel.dash == "dashed"
    end
    local function apart(a, b) return math.sqrt((at[a][1] - at[b][1]) ^ 2 + (at[a][2] - at[b][2]) ^ 2) * d.scale end
    check.near(apart("lf", "rf"), 1450, 1e-6)
    check.near(apart("lr", "rr"), 1460, 1e-6)
    for key, open in pairs(dashed) do check.equal(open, key == r.compliant.lift.right.wheel) end
  end
end)

-- The liquid's area in the tank of one cross-section, as its share of it, is its share of the capacity.
test("liquid_lies_level_with_its_own_volume", function()
  local car = sy.car{title = "one box", axes = {x = "back", y = "right", z = "up"}, axles = {
    {name = "front", at = 0, track = 1500, loaded_radius = 300}, {name = "rear", at = 2400, track = 1500, loaded_radius = 300}},
    parts = {sy.part "all" {mass = 600, at = {1200, 0, 400}},
             sy.tank "fuel" {shape = sy.box{500, 400, 300}, at = {1200, 0, 400}, density = 0.75, fill = 24}}}
  local function area(loop)
    local sum = 0
    for i, p in ipairs(loop) do
      local q = loop[i % #loop + 1]
      sum = sum + (p[1] * q[2] - q[1] * p[2]) / 2
    end
    return math.abs(sum)
  end
  local d = picture.of(car:stability{required = 30}, {width = 180})
  local wet = items(d, "liquid")[1].loops[1]
  check.near(area(wet) / area(items(d, "tank")[1].loops[1]), 24 / 60, 1e-6)
  local top = {}
  for _, p in ipairs(wet) do top[#top + 1] = p[2] end
  table.sort(top)
  check.near(top[1], top[2], 1e-9) -- two corners of the level surface
end)

test("words_say_what_lifts_what_presses_and_whether_fuel_is_reached", function()
  local r = results.twayblade
  local said = all_text(picture.of(r, {width = 180}))
  for _, words in ipairs{"59.2 ± 0.3°", "60°", "FAIL", "up the hill 33.6 kg", "down the hill 346.7 kg", "left front", "pick-up wet", "CG",
                         "right side low", "nobody on the low side", "Not a driving limit"} do
    check.contains(said, words)
  end
  check.contains(all_text(picture.of(results.bistort, {width = 90})), "pick-up dry")
  check.contains(all_text(picture.of(results["first guess"], {width = 90})), "dry or wet is unknown")
end)

-- At the angle where the rigid car tips nothing is left up the hill; both sides carry what weighs across the table. Two wheels on every
-- axle of the same track, rates unknown: up = m (cos a (t / 2 - e) - sin a h) / t, e towards the low side.
test("what_presses_across_the_table_is_the_statics_of_an_incline", function()
  local car = sy.car{title = "block", axes = {x = "back", y = "right", z = "up"}, axles = {
    {name = "front", at = 0, track = 1500, loaded_radius = 300}, {name = "rear", at = 2400, track = 1500, loaded_radius = 300}},
    parts = {sy.part "all" {mass = 600, at = {1100, 60, 420}}}}
  local r = car:stability{}
  local a = math.rad(r.hill.angle)
  check.equal(r.hill.low, "right")
  check.equal(r.hill.on_springs, false)
  check.near(r.hill.up, 600 * (math.cos(a) * (750 - 60) - math.sin(a) * 420) / 1500, 1e-6)
  check.near(r.hill.up + r.hill.down, 600 * math.cos(a), 1e-6)
end)

check.done()
