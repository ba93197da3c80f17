-- Building a car: plain parts that go straight to the ledger lie there just as those that go through a booking.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local from_file = require "steelyard.car.from_file"
local sy = require "steelyard"

-- The same spec without the short way. What the builder is asked for goes on to the real one.
local function build_by_bookings(spec)
  local real = core.builder
  core.builder = function(...)
    local builder = real(...)
    return {
      node = function() return false end,
      part = function(_, ...) return builder:part(...) end, pair = function(_, ...) return builder:pair(...) end,
      open = function(_, ...) return builder:open(...) end, close = function() return builder:close() end,
      finish = function() return builder:finish() end,
    }
  end
  local _, geometry, ledger = from_file.booked(spec)
  core.builder = real
  return geometry, ledger
end

local function compare(spec)
  local _, geometry, ledger = from_file.booked(spec)
  local other_geometry, other = build_by_bookings(spec)
  local items, others = ledger:items(true), other:items(true)
  check.equal(#items, #others)
  for i, item in ipairs(items) do
    check.equal(item, others[i], item.name)
    check.equal(core.item_totals(ledger, geometry, item.route), core.item_totals(other, other_geometry, item.route), item.name)
  end
  check.equal(core.balance(ledger, geometry), core.balance(other, other_geometry))
  local uncertainties = {"mass", "cg.x", "cg.y", "cg.z", "yaw_inertia", "inertia.xz", "unsprung.mass", "front_share", "lf"}
  local function sds(of, on) return (select(2, core.ask("balance", {now = of, geometry = on}, uncertainties, true))) end
  check.equal(sds(ledger, geometry), sds(other, other_geometry))
end

for _, name in ipairs{"first_guess", "twayblade", "burnet", "teasel", "fescue"} do
  check.test("plain_parts_of_" .. name .. "_lie_where_their_bookings_put_them", function()
    compare(require("steelyard.car.contents").inside(sy.load("vehicles/" .. name .. ".lua")).shared.spec)
  end)
end

check.test("plain_parts_in_any_axes_lie_where_their_bookings_put_them", function()
  for _, axes in ipairs{{"back", "right", "up"}, {"up", "forward", "left"}, {"left", "up", "back"}, {"down", "left", "forward"}} do
    local function at(back, right, up)
      local way, point = {back = back, forward = -back, right = right, left = -right, up = up, down = -up}, {}
      for i = 1, 3 do point[i] = way[axes[i]] end
      return point
    end
    local along = (axes[1] == "back" or axes[1] == "forward") and 1 or (axes[2] == "back" or axes[2] == "forward") and 2 or 3
    local function axle(back) return at(back, 0, 0)[along] end
    local car = sy.car{
      axes = {x = axes[1], y = axes[2], z = axes[3]}, assume = {estimate = "15 %", weighed = 0.01, within_mm = 12},
      axles = {{name = "front", at = axle(0), track = 1400, loaded_radius = 300},
               {name = "rear", at = axle(2400), track = 1420, loaded_radius = 300}},
      parts = {
        sy.part "a" {mass = 10, at = at(100, 5, 300)},
        sy.part "b" {mass = sy.sd(20, 0.5), at = at(900, -50, 400), shape = sy.tube{40, 3, 800}, basis = "weighed", tags = {"one", "two"}},
        sy.part "c" {mass = 5, at = at(1200, 0, 250), shape = sy.cylinder{diameter = 100, length = 300, axis = "x"}, count = 3,
          growth = 0.1},
        sy.group "g" {at = at(2000, 0, 300), turned = {nose_up = 3}, sy.part "d" {mass = 30, at = at(10, 20, 30), within_mm = 4,
          shape = sy.rod{500}}, sy.part "e" {mass = 7, at = at(0, 600, 0), pair = true, unsprung = {rear = 0.5, front = 0.25}}},
        sy.part "f" {mass = 9, at = at(0, 700, 300), pair = true, unsprung = "front", shape = sy.box{500, 200, 500}},
        sy.person "p" {mass = 80, at = at(1000, 200, 400)},
      },
      spares = {sy.part "s" {mass = 3, at = at(500, 0, 200)}},
    }
    compare(require("steelyard.car.contents").inside(car).shared.spec)
  end
end)

-- One value for each field of a part or a person, so that a field the short way does not know yet is booked both ways too.
local samples = {
  mass = sy.sd(61, 0.7), at = {1010, 180, 370}, within_mm = 4, turned = {nose_up = 7, nose_left = 20}, shape = sy.box{540, 310, 470},
  basis = "supplier", unsprung = {rear = 0.4, front = 0.25}, tags = {"one", "two"}, pair = true, includes = {"oil"}, excludes = {"oil"},
  bolted_to = {"other"}, growth = "12 %", stand_in = {mass = 14}, note = "said", scale = "pads", was = 58, count = 3,
  weighed = {reading = 61.4, on = "pads", pieces = 2}, inertia = {xx = 2.1, yy = 3.2, zz = 2.7, xy = 0.2, xz = -0.3, yz = 0.1},
}
local solid = {mass = 60, at = {1000, 200, 400}, shape = sy.box{500, 300, 450}}
local seated = {mass = 78, hip = {1010, 180, 250}, stature = 1780, torso = 25, knee = 120}
local seated_samples = {hip = {1000, 170, 240}, stature = 1910, torso = 31, knee = 100, thigh = 22, ankle = 96, shoulder = 55, elbow = 130,
                        head = 12, segments = "women"}

local function car_of(item)
  return sy.car{
    axes = {x = "back", y = "right", z = "up"}, assume = {estimate = "15 %", supplier = "3 %", within_mm = 12},
    axles = {{name = "front", at = 0, track = 1430, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    instruments = {{name = "pads", bias = sy.sd(0, 0.3), gain = sy.sd(1, 0.002)}},
    parts = {item, sy.part "other" {mass = 420, at = {1300, -20, 410}}},
  }
end

for _, kind in ipairs{"part", "person"} do
  for _, row in ipairs(require("steelyard.file.language.kinds")[kind]()) do
    check.test(("%s_with_%s_lies_where_its_booking_puts_it"):format(kind, row[1]), function()
      local sits = kind == "person" and samples[row[1]] == nil
      local fields = {}
      for key, value in pairs(sits and seated or solid) do fields[key] = value end
      if row[1] == "inertia" then fields.shape = nil end
      fields[row[1]] = sits and seated_samples[row[1]] or samples[row[1]]
      check.ok(fields[row[1]] ~= nil, "a sample of the field is wanted here")
      compare(require("steelyard.car.contents").inside(car_of(sy[kind] "it" (fields))).shared.spec)
    end)
  end
end

check.done()
