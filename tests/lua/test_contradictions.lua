-- What contradicts itself is refused and said where: units that do not fit, a text where a list belongs, a part that is not there. The
-- car is measured forward from a bulkhead, left-handed, its ground and centre plane not at zero.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local file = [[
vehicle {
  title = "Odd (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -120, centre = 35,
  axles = {{name = "front", at = 1430, track = 1400, loaded_radius = 290}, {name = "rear", at = -970, track = 1420, loaded_radius = 300}},
  instruments = {{name = "bench", unit = "kg", step = 0.1}},
  assume = {estimate = "15 %", weighed = "1 %"},
  parts = {
    part "tub" {mass = 210, at = {300, 35, 180}},
    part "hoop" {at = {-200, 35, 500}, weighed = {reading = READING}},
    tank "fuel" {capacity = 40, at = {-100, 35, 190}, density = 0.745, fill = 30},
    person "driver" {mass = 78, at = {400, 250, 250}},
  },
  spares = {person "tall" {mass = 96, at = {390, 250, 252}}, person "stated" {mass = 96, at = {390, 250, 252}, basis = "estimate"}},
  limits = {limit "it" {LIMIT}},
}
]]

local function odd(limit, reading)
  return sy.load("odd.lua", (file:gsub("LIMIT", limit or 'quantity = "mass", max = 900'):gsub("READING", reading or "14.2")))
end

local function refused(limit, reading, want) check.raises(function() odd(limit, reading) end, want) end

test("a_limit_has_the_kind_of_its_quantity", function()
  refused('quantity = "front_share", max = 45*kg', nil, {code = "type", line = 13, field = "max",
    message = "must be a plain number in %, is a mass; front_share is in %"})
  refused('quantity = "mass", max = 900*mm', nil, {code = "type", field = "max", message = "must be a mass in kg, is a length"})
  refused('quantity = "height", max = 40*deg', nil, {code = "type", field = "max", message = "must be a length in mm"})
  refused('quantity = "height", max = 400, near = 3*kg', nil, {code = "type", field = "near"})
  refused('quantity = "stability.side_g", min = 1*kg', nil, {code = "type", field = "min", message = "is a mass; stability.side_g is in g"})
  refused('quantity = "yaw_index", min = 1*mm', nil, {code = "type", field = "min", message = "yaw_index is in plain numbers"})
  refused('quantity = "axle.front", max = 300*mm', nil, {code = "type", field = "max"})
  refused('quantity = "lf", max = 300*litre', nil, {code = "type", field = "max"})
  refused('quantity = "usable.fuel", min = 3*kg', nil, {code = "type", field = "min", message = "must be a volume in litre"})
  check.near(odd('quantity = "mass", max = 2000*lb'):checks()[1].max, 907.18474, 1e-9) -- 0.45359237 kg: NIST SP 811
  check.near(odd('quantity = "height", max = 20*inch'):checks()[1].max, 508, 1e-9)
  check.near(odd('quantity = "usable.fuel", min = 3'):checks()[1].min, 3, 0)
end)

test("a_reading_is_in_the_unit_of_its_record", function()
  refused(nil, '12*lb, unit = "kg"', {code = "clash", line = 8, field = "weighed.reading",
    message = 'is in lb, the record says unit = "kg"'})
  refused(nil, '{14.1, 12*lb}, unit = "kg"', {code = "clash", field = "weighed.reading[2]"})
  check.near(odd(nil, '12*lb, unit = "lb"'):book("hoop").rows[1].mass, 12 * 0.45359237, 1e-9)
  check.near(odd(nil, '14.2, tare = 200*g, unit = "kg"'):book("hoop").rows[1].mass, 14, 1e-9)
  check.near(odd(nil, '14.2, unit = "kg", with = {strap = 200*g}'):book("hoop").rows[1].mass, 14, 1e-9)
end)

test("show_is_a_list", function()
  local car = odd()
  check.raises(function() sy.compare{car, car, show = "front_share"} end, {code = "type", field = "show",
    message = "must be a list of names of quantities", hint = 'as in show = {"front_share", "mass"}'})
  check.raises(function() sy.compare{car, car, show = {}} end, {code = "type", field = "show"})
  check.raises(function() sy.compare{car, car, show = {front_share = true}} end, {code = "type", field = "show"})
  check.raises(function() sy.compare{car, car, show = 3} end, {code = "type", field = "show"})
end)

test("forms_are_for_parts_that_are_there", function()
  local sheets = require "steelyard.shop.sheets_text"
  for _, sheet in ipairs(sheets.names) do
    check.raises(function() sheets.of(odd(), {sheet = sheet, part = "tug"}) end, {code = "unknown", hint = 'did you mean "tub"?'})
  end
end)

test("nobody_is_an_estimate_for_want_of_a_basis", function()
  local car = odd()
  local function sd(c, what) return c:book(what).rows[1].sd.mass end
  check.equal(sd(car, "driver"), 0)
  check.near(sd(car, "tub"), 31.5, 1e-9)
  check.near(sd(car, "stated"), 14.4, 1e-9, "unless the file says so")
  check.equal(sd(car:set("driver", {mass = 80}), "driver"), 0)
  check.near(sd(car:set("driver", {basis = "weighed"}), "driver"), 0.78, 1e-9)
  check.equal(sy.compare{car, car:swap("driver", "tall"), show = {"mass"}}.rows[1].sd[2], 0)
  check.contains(table.concat(car:balance().notes, "\n"), "1 of 4 parts has no stated uncertainty and counts as exact")
end)

test("a_state_fills_a_tank_once", function()
  local twice = file:gsub('tank "fuel" (%b{})', 'group "g" {tank "fuel" %1}'):gsub("LIMIT", 'quantity = "mass", max = 900')
    :gsub("READING", "14.2"):gsub("  limits", '  states = {state "it" {fill = {fuel = 3, ["g/fuel"] = 4}}},\n  limits')
  check.raises(function() sy.load("odd.lua", twice) end, {code = "clash", part = "it", field = "fill.g/fuel",
    message = 'is the same tank as "fuel"'})
end)

test("a_state_swaps_in_what_is_not_aboard", function()
  local function with(state)
    return sy.load("odd.lua", (file:gsub("LIMIT", 'quantity = "mass", max = 900'):gsub("READING", "14.2"):gsub("  limits",
      ("  states = {state %q {%s}},\n  limits"):format("it", state))))
  end
  check.raises(function() with 'swap = {driver = "tub"}' end, {code = "clash", part = "it", field = "swap.driver",
    message = '"tub" is aboard already and cannot take another\'s place as well'})
  check.raises(function() with 'swap = {driver = "fuel", fuel = "driver"}' end, {code = "clash"})
  check.raises(function() with 'swap = {driver = "tall", fuel = "tall"}' end, {code = "clash", field = "swap.fuel",
    message = '"tall" takes the place of "driver" already'})
  check.near(with('swap = {driver = "fuel"}, without = {"fuel"}'):state("it"):balance().mass, 210 + 14.2 + 30 * 0.745, 1e-9)
  check.near(with('swap = {driver = "tall"}'):state("it"):balance().mass, 210 + 14.2 + 30 * 0.745 + 96, 1e-9)
end)

check.done()
