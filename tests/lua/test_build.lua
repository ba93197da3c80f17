-- Building a car and changing it: a part booked with a field lies in the ledger as one that car:set gave the field. Totals depend on what
-- is in the car and not on how it came there.

local check = dofile "tests/lua/check.lua"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local sy = require "steelyard"

local UNCERTAINTIES = {"mass", "cg.x", "cg.y", "cg.z", "yaw_inertia", "inertia.xz", "unsprung.mass", "front_share", "lf"}

local function compare(built, changed)
  local a, b = contents.inside(built), contents.inside(changed)
  local items, others = a.now:items(true), b.now:items(true)
  check.equal(#items, #others)
  for i, item in ipairs(items) do
    local other = others[i]
    check.equal(core.item_totals(a.now, a.geometry, item.route), core.item_totals(b.now, b.geometry, other.route), item.name)
    other.number = item.number -- of the line as it reads now
    check.equal(item, other, item.name)
  end
  check.equal(core.balance(a.now, a.geometry), core.balance(b.now, b.geometry))
  local function sds(c) return (select(2, core.ask("balance", {now = c.now, geometry = c.geometry}, UNCERTAINTIES, true))) end
  check.equal(sds(a), sds(b))
end

-- One value for each field of a part, a tank or a person: a new field asks for one here.
local samples = {
  mass = sy.sd(61, 0.7), at = {1010, 180, 370}, within_mm = 4, turned = {nose_up = 7, nose_left = 20}, shape = sy.box{540, 310, 470},
  basis = "supplier", unsprung = {rear = 0.4, front = 0.25}, tags = {"one", "two"}, pair = true, includes = {"oil"}, excludes = {"oil"},
  bolted_to = {"other"}, growth = "12 %", stand_in = {mass = 14}, note = "said", scale = "pads", instrument = "pads", was = 58,
  count = 3, weighed = {reading = 61.4, on = "pads", pieces = 2}, inertia = {xx = 2.1, yy = 3.2, zz = 2.7, xy = 0.2, xz = -0.3, yz = 0.1},
}
local tank_samples = {density = sy.sd(0.8, 0.01), fill = sy.sd(11, 0.5), dry_mass = sy.sd(4, 0.2), capacity = 36, unusable = 2,
                      pick_up = {10, 0, -100}}
local fixed = {pair = true, hip = true, stature = true, torso = true, knee = true, thigh = true, ankle = true, shoulder = true,
               elbow = true, head = true, segments = true} -- car:set refuses them
local solid = {mass = 60, at = {1000, 200, 400}, shape = sy.box{500, 300, 450}}
local seated = {mass = 78, hip = {1010, 180, 250}, stature = 1780, torso = 25, knee = 120}
local held = {density = 0.745, fill = 22, at = {1290, 210, 310}, shape = sy.box{420, 300, 320}, dry_mass = 3}
local seated_samples = {hip = {1000, 170, 240}, stature = 1910, torso = 31, knee = 100, thigh = 22, ankle = 96, shoulder = 55, elbow = 130,
                        head = 12, segments = "women"}

local function car_of(axes, item)
  local function along(back) return (axes[1] == "back" and 1 or -1) * back end
  return sy.car{
    axes = {x = axes[1], y = axes[2], z = axes[3]}, assume = {estimate = "15 %", supplier = "3 %", within_mm = 12},
    axles = {{name = "front", at = along(0), track = 1430, loaded_radius = 300},
             {name = "rear", at = along(2400), track = 1400, loaded_radius = 300}},
    instruments = {{name = "pads", bias = sy.sd(0, 0.3), gain = sy.sd(1, 0.002)}},
    parts = {item, sy.part "other" {mass = 420, at = {along(1300), -20, 410}}},
  }
end

local function sample_of(kind, name)
  if kind == "tank" and tank_samples[name] ~= nil then return tank_samples[name], held end
  if kind == "tank" then return samples[name], held end
  if samples[name] ~= nil then return samples[name], solid end
  return seated_samples[name], seated
end

local function test_field(kind, name)
  local value, others = sample_of(kind, name)
  check.ok(value ~= nil, "a sample of the field is wanted here")
  for _, axes in ipairs{{"back", "right", "up"}, {"forward", "left", "up"}, {"back", "left", "down"}} do
    local with, without = {}, {}
    for key, other in pairs(others) do with[key], without[key] = other, other end
    if name == "inertia" then with.shape, without.shape = nil, nil end
    with[name] = value
    local built, bare = car_of(axes, sy[kind] "it" (with)), car_of(axes, sy[kind] "it" (without))
    if fixed[name] then
      check.ok(not pcall(bare.set, bare, "it", {[name] = value}))
    else
      compare(built, bare:set("it", {[name] = value}))
      with.pair, without.pair = with.count == nil or nil, true
      if with.pair then
        compare(car_of(axes, sy[kind] "it" (with)), car_of(axes, sy[kind] "it" (without)):set("it", {[name] = value}))
      end
    end
  end
end

for _, kind in ipairs{"part", "tank", "person"} do
  for _, row in ipairs(require("steelyard.file.language.kinds")[kind]()) do
    check.test(("%s_with_%s_is_one_that_was_set_to_it"):format(kind, row[1]), function() test_field(kind, row[1]) end)
  end
end

check.done()
