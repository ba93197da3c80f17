--- Records of a vehicle file: the same numbers as the calls that a script makes by hand, the car as it then stood, every refusal.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local contents = require "steelyard.car.contents"
local measured = require "steelyard.measure.records.measured"
local records = require "steelyard.measure.records"
local shortest, test = require("steelyard.core").shortest, check.test

local TWO = {{name = "front", at = 0, track = 1500, loaded_radius = 290}, {name = "rear", at = 2400, track = 1480, loaded_radius = 300}}
local THREE = {{name = "front", at = 0, track = 1300, loaded_radius = 280}, {name = "rear", at = 2100, wheels = "one",
  loaded_radius = 290}}
local SIX = {{name = "steered", at = 300, track = 1500, loaded_radius = 290},
             {name = "first", at = 2400, track = 1480, loaded_radius = 300},
             {name = "second", at = 3100, track = 1480, loaded_radius = 300}}

local PADS = {name = "pads", step = 0.1, sd = 0.2, gain = sy.sd(1.002, 0.0005), bias = sy.sd(0.3, 0.05),
              each = {bias = sy.sd(0, 0.1), gain = sy.sd(1, 0.001)}}

-- A car of invented parts with these records.
local function car_of(list, more)
  local fields = {title = "Recorded (invented)", axes = {x = "back", y = "right", z = "up"}, axles = TWO, instruments = {PADS},
    parts = {sy.part "tub" {mass = sy.sd(380, 8), at = {1200, 5, 350}, within_mm = 15},
             sy.group "powertrain" {at = {1900, 0, 320}, sy.part "engine" {mass = sy.sd(140, 1), at = {0, 0, 0}, within_mm = 5},
                                    sy.part "gearbox" {mass = sy.sd(42, 1), at = {430, 20, -30}, within_mm = 5}},
             sy.tank "fuel" {capacity = 50, fill = 30, density = 0.745, at = {1300, 0, 300}},
             sy.person "driver" {mass = 78, at = {1000, 180, 350}}},
    spares = {sy.part "ballast" {mass = 20, at = {900, -200, 100}}},
    states = {sy.state "kerb" {without = {"driver"}}, sy.state "race" {with = {"ballast"}}}, points = {sill = {1200, 600, 150}},
    records = list}
  for key, value in pairs(more or {}) do fields[key] = value or nil end -- false: without
  return sy.car(fields)
end

local function one(record, more) return car_of({sy.record "it" (record)}, more):record "it" end

local LOADS = {lf = 130.2, rf = 131.2, lr = 187.6, rr = 188.1}

-- ---- the same numbers ------------------------------------------------------------------------------------------------------------

test("corners_are_those_of_corner_scales_and_reconcile_by_hand", function()
  local r = one{kind = "corners", state = "kerb", corners = LOADS, instrument = "pads"}
  local shifted = {} -- what all pads show too much; each errs by 0.1 by itself
  for key, load in pairs(LOADS) do shifted[key] = load - 0.3 * 1.002 end
  local by_hand = sy.corner_scales{runs = {shifted}, step = 0.1, sd = {reading = 0.2, offset = 0.1},
    gain = sy.sd(1.002, 1.002 * 0.001)}
  for _, key in ipairs{"mass", "lf", "rf", "lr", "rr", "front_share", "left_share", "cross_share"} do
    check.near(r.reading[key], by_hand[key], 1e-12 * by_hand[key], key)
  end
  -- the zero and the gain of all pads move all loads at once: the mass by four and by all of it, a share by what it is off an even one
  local function with_common(name, zero, gain) return math.sqrt(by_hand.sd[name] ^ 2 + (0.05 * zero) ^ 2 + (0.0005 / 1.002 * gain) ^ 2) end
  check.near(r.reading.sd.mass, with_common("mass", 4, r.mass), 1e-9)
  check.near(r.reading.sd.lf, with_common("lf", 1, r.reading.lf), 1e-9)
  check.near(r.reading.sd.cross_share, with_common("cross_share", (200 - 4 * r.reading.cross_share) / r.mass, 0), 1e-9)
  local rec = car_of():state("kerb"):reconcile{corners = r.reading}
  for _, sum in ipairs(rec.sums) do
    check.equal(r.against.ledger[sum.name], sum.scales and sum.ledger, sum.name)
    check.equal(r.against.sigmas[sum.name], sum.sigmas, sum.name)
  end
  check.equal({r.p, r.fits, r.state}, {rec.p, rec.fits, "kerb"})
  -- by hand: what was read less bias, over gain
  local mass = 0
  for _, load in pairs(LOADS) do mass = mass + load / 1.002 - 0.3 end
  check.near(r.mass, mass, 1e-10)
end)

test("repeats_and_runs_are_those_by_hand", function()
  local r = one{kind = "corners", corners = {lf = {130.2, 130.6}, rf = {131.2, 131.0}, lr = {187.6, 187.4}, rr = {188.1, 188.5}}}
  local by_hand = sy.corner_scales{runs = {LOADS, {lf = 130.6, rf = 131, lr = 187.4, rr = 188.5}}}
  check.equal({r.reading.lf, r.reading.sd.lf, r.reading.repeatability}, {by_hand.lf, by_hand.sd.lf, by_hand.repeatability})
  local function run(pads)
    return {lf = 130.2, rf = 131.2, lr = 187.6, rr = 188.1, pads = pads, zero_before = 0.1, zero_after = {A = 0.3}}
  end
  local first, second = run{lf = "A", rf = "B", lr = "C", rr = "D"}, run{lf = "B", rf = "A", lr = "D", rr = "C"}
  r = one{kind = "corners", corners = {first, second}}
  check.equal(r.reading.rr, sy.corner_scales{runs = {first, second}}.rr)
  -- pads of the record stand for those of a run that names none
  local plain = run(nil)
  plain.zero_after = nil
  local named = run{lf = "A", rf = "B", lr = "C", rr = "D"}
  named.zero_after = nil
  check.equal(one{kind = "corners", corners = plain, pads = {fl = "A", rf = "B", lr = "C", rr = "D"}}.reading.rows,
    sy.corner_scales{runs = {named}}.rows)
end)

test("readings_are_in_the_unit_of_the_instrument_or_in_their_own", function()
  local kg = 0.45359237 -- NIST SP 811 (2008), App. B.8
  local r = sy.load("lb.lua", [[vehicle { axles = { { name = "front", at = 0, track = 1500, loaded_radius = 290 },
    { name = "rear", at = 2400, track = 1480, loaded_radius = 300 } }, parts = { part "tub" { mass = sd(640, 9), at = {1400, 0, 300} } },
    instruments = { instrument "farm scale" { unit = "lb", step = 0.5 } }, records = { record "it" { kind = "corners",
      instrument = "farm scale", corners = { lf = 287, rf = 289.5, lr = 413.5, rr = 188.1*kg } } } }]]):record "it"
  check.near(r.mass, (287 + 289.5 + 413.5) * kg + 188.1, 1e-10)
  check.near(r.reading.sd.lf, 0.5 * kg / math.sqrt(12), 1e-12)
end)

test("tables_are_those_that_the_commands_read", function()
  local car = sy.load "vehicles/tansy.lua"
  local r = car:record "rear lift"
  local then_car = sy.load "vehicles/history/tansy-2026-02-01.lua"
  local file = require "steelyard.measure.cg_height.file"
  local t = file.read "vehicles/readings/tansy_lift.csv"
  t.state, t.sd.pad, t.sd.step = nil, 0.1, 0.1
  local by_hand = then_car:state("no driver"):cg_height(t)
  check.equal({r.height, r.sd.height, r.mass, r.against.ledger.height, r.state},
    {by_hand.height, by_hand.sd.height, by_hand.mass, by_hand.against.ledger, "no driver"})
  -- and what the pads' gain, 0.05 % of all and of each, and the bias of each of the two do to the mass
  check.near(r.rows[2].sd.read, math.sqrt(r.sd.mass ^ 2 + 1.5 * (0.0005 * r.mass) ^ 2 + 2 * 0.1 ^ 2), 1e-9)
  local swapped = one({kind = "corners", from = "vehicles/readings/corners_swapped.csv"},
    {parts = {sy.part "tub" {mass = sy.sd(700, 90), at = {1400, 5, 350}, within_mm = 90}}, spares = false, states = false})
  local read = require("steelyard.measure.corner_scales.file").of "vehicles/readings/corners_swapped.csv"
  check.equal({swapped.mass, swapped.reading.sd.lf}, {read.mass, read.sd.lf})
end)

-- a table that names the state was held against everything in the file
test("a_table_of_loads_may_name_the_load_state", function()
  local path = os.tmpname() .. ".lua"
  local folder, name = path:match "^(.*/)([^/]*)%.lua$"
  local function written(to, body)
    local file <close> = assert(io.open(to, "wb"))
    file:write(body)
  end
  local function record(state, stated)
    written(folder .. name .. ".csv", ("state,%s\nwheel,reading\nlf,130\nrf,131\nlr,187\nrr,188\n"):format(state))
    written(path, ([[vehicle { axles = { { name = "front", at = 0, track = 1500, loaded_radius = 290 },
      { name = "rear", at = 2400, track = 1480, loaded_radius = 300 } },
      parts = { part "tub" { mass = sd(636, 8), at = {1412, 5, 350} }, person "driver" { mass = 78, at = {1000, 180, 350} } },
      states = { state "kerb" { without = {"driver"} }, state "race" {} },
      records = { record "it" { kind = "corners", %s from = "%s.csv" } } }]]):format(stated, name))
    return sy.load(path):record "it"
  end
  local r = record("kerb", "")
  check.equal({r.state, r.against.ledger.mass}, {"kerb", 636})
  check.equal(record('"no driver"', 'state = "kerb",').state, "kerb")
  check.raises(function() record("race", 'state = "kerb",') end, {code = "clash", field = "state", message = 'and the table'})
  check.raises(function() record('"no driver"', "") end, {code = "missing", field = "state",
    message = 'says "no driver", which this file has not', hint = "its states are kerb and race"})
  os.remove(path)
  os.remove(folder .. name .. ".csv")
end)

test("axles_of_any_name_three_wheels_and_six", function()
  local r = one{kind = "axles", axles = {front = sy.sd(330, 1), rear = sy.sd(332, 1)}}
  check.near(r.mass, 662, 1e-12)
  check.near(r.sd.mass, math.sqrt(2), 1e-12)
  local three = one({kind = "corners", corners = {lf = 152, rf = 146, r = 290}},
    {axles = THREE, parts = {sy.part "tub" {mass = sy.sd(580, 5), at = {1030, 10, 300}, within_mm = 20}},
     spares = false, states = false, points = false})
  check.near(three.mass, 588, 1e-12)
  check.near(three.front_share, 100 * 298 / 588, 1e-10)
  check.equal(three.cross_share, nil)
  local load = {sy.part "load" {mass = sy.sd(1800, 20), at = {1900, 4, 800}, within_mm = 40}}
  local wheels = {l1 = 250, r1 = 255, l2 = 310, r2 = 318, l3 = 330, r3 = 335}
  local six = one({kind = "corners", instrument = "pads", corners = wheels},
    {axles = SIX, parts = load, spares = false, states = false, points = false, instruments = {{name = "pads", sd = 0.5}}})
  check.near(six.mass, 1798, 1e-10)
  check.near(six.sd.mass, 0.5 * math.sqrt(6), 1e-10)
  check.near(six.front_share, 100 * 505 / 1798, 1e-10) -- the first axle
  check.near(six.left_share, 100 * 890 / 1798, 1e-10)
  check.equal({six.reading.l3, six.reading.cross_share == nil}, {330, true})
  check.contains(tostring(six), "l3, kg")
  local axles = one({kind = "axles", axles = {steered = sy.sd(505, 1), first = sy.sd(628, 1), second = sy.sd(665, 1)}},
    {axles = SIX, parts = load, spares = false, states = false, points = false})
  check.near(axles.mass, 1798, 1e-10)
  check.near(axles.reading.second, 665, 1e-10)
end)

-- 40 random cars along other axes and from other zeros, of two, three and four wheels on two axles, and of three axles: a record of loads
-- near their own says what sy.corner_scales and car:reconcile make of the same readings.
test("random_cars_say_what_the_calls_say_by_hand", function()
  math.randomseed(1313)
  local function about(value, spread) return value + spread * (2 * math.random() - 1) end
  local forms = {{{2, 2}, {"lf", "rf", "lr", "rr"}}, {{1, 2}, {"f", "lr", "rr"}}, {{2, 1}, {"lf", "rf", "r"}},
                 {{2, 2, 2}, {"l1", "r1", "l2", "r2", "l3", "r3"}}}
  local sides = {{x = "back", y = "right", z = "up"}, {x = "forward", y = "right", z = "up"}, {x = "back", y = "left", z = "down"}}
  for case = 1, 40 do
    local wheels, keys = table.unpack(forms[case % 4 + 1])
    local axes, ground, centre, at, axles, parts = sides[case % 3 + 1], about(0, 300), about(0, 700), about(0, 2000), {}, {}
    local along, up = axes.x == "back" and 1 or -1, axes.z == "up" and 1 or -1
    for i, count in ipairs(wheels) do
      axles[i] = {name = "axle " .. i, at = at + along * 1300 * (i - 1), wheels = count == 1 and "one" or "two",
                  track = count == 2 and about(1450, 80) or nil, loaded_radius = about(290, 15)}
    end
    for i = 1, 6 do
      parts[i] = sy.part("p" .. i){mass = sy.sd(about(120, 60), about(4, 3)), within_mm = 30,
        at = {at + along * about(650 * (#wheels - 1), 400), about(centre, 150), ground + up * about(350, 100)}}
    end
    local more = {axes = axes, ground = ground, centre = centre, axles = axles, parts = parts, spares = false, states = false,
                  points = false, instruments = {{name = "pads", sd = 0.4, step = 0.1}}}
    local b, loads, as_axles = car_of(nil, more):balance(), {}, {}
    for _, key in ipairs(keys) do loads[key] = about(b[key], 2) end
    local r = one({kind = "corners", instrument = "pads", corners = loads}, more)
    local mass, plain = 0, {}
    for key, load in pairs(loads) do
      mass, plain[key] = mass + load, sy.sd(load, math.sqrt(0.4 ^ 2 + 0.1 ^ 2 / 12))
    end
    check.near(r.mass, mass, 1e-9, "case " .. case)
    local by_hand = car_of(nil, more):reconcile{corners = #wheels == 2 and sy.corner_scales{runs = {loads}, sd = 0.4, step = 0.1} or plain}
    for _, sum in ipairs(by_hand.sums) do
      if sum.scales then check.near(r.against.sigmas[sum.name], sum.sigmas, 1e-6, ("case %d, %s"):format(case, sum.name)) end
    end
    for i, axle in ipairs(axles) do as_axles[axle.name] = sy.sd(b.axle[axle.name] + i, 0.7) end
    local s = one({kind = "axles", axles = as_axles}, more)
    for _, sum in ipairs(car_of(nil, more):reconcile{axles = as_axles}.sums) do
      if sum.scales then check.near(s.against.sigmas[sum.name], sum.sigmas, 1e-6, ("case %d, axles, %s"):format(case, sum.name)) end
    end
  end
end)

test("an_assembly_and_heights_are_held_against_the_ledger", function()
  local r = one{kind = "assembly", of = "powertrain", mass = sy.sd(183.2, 0.3), cg = {sy.sd(2002, 2), sy.sd(6, 2), sy.sd(311, 3)},
                inertia = {zz = sy.sd(9, 0.4)}}
  -- 140 kg at 1900, 0, 320 and 42 kg at 2330, 20, 290
  check.near(r.against.ledger.mass, 182, 1e-12)
  check.near(r.against.ledger.cg_behind, (140 * 1900 + 42 * 2330) / 182, 1e-9)
  check.near(r.against.ledger.cg_left, -42 * 20 / 182, 1e-9)
  check.near(r.against.sigmas.mass, 1.2 / math.sqrt(2 + 0.3 ^ 2), 1e-12)
  check.near(r.against.ledger.yaw_inertia, 140 * 42 / 182 * (0.43 ^ 2 + 0.02 ^ 2), 1e-9) -- reduced mass times distance squared
  -- 1900 + 430 x 42 / 182, a thousandth of it by masses; places 5 / sqrt 3 each
  local place = math.sqrt((140 / 182 * 5) ^ 2 + (42 / 182 * 5) ^ 2) / math.sqrt(3)
  local share = 430 * math.sqrt(140 ^ 2 + 42 ^ 2) / 182 ^ 2
  check.near(r.against.sigmas.cg_behind, (2002 - (140 * 1900 + 42 * 2330) / 182) / math.sqrt(4 + place ^ 2 + share ^ 2), 1e-9)
  local heights = one{kind = "ride heights", heights = {sill = sy.sd(147, 1)}}
  check.equal({heights.rows[1].name, heights.rows[1].ledger, heights.rows[1].gap}, {"sill", 150, -3})
  check.contains(tostring(heights), "as drawn, for want of rates")
end)

-- Of a whole and pieces on one scale only what its errors do to the difference counts; book does the same (JCGM 100:2008, 5.2.2).
test("an_assembly_weighed_on_the_scale_of_its_pieces_shares_its_errors", function()
  local function on(instrument)
    return one({kind = "assembly", of = "powertrain", mass = sy.sd(182.5, 0.01), instrument = "hoist"}, {
      instruments = {{name = "hoist", gain = sy.sd(1, 0.01)}, {name = "other", gain = sy.sd(1, 0.01)}},
      parts = {sy.part "tub" {mass = 300, at = {1000, 0, 300}}, sy.group "powertrain" {
        sy.part "engine" {mass = sy.sd(140, 0.01), at = {1900, 0, 320}, instrument = instrument},
        sy.part "gearbox" {mass = sy.sd(42, 0.01), at = {2330, 0, 320}, instrument = instrument}}}, spares = false, states = false})
  end
  check.ok(on("other").against.sigmas.mass < 0.3, "two gains of 1 % of 182 kg")
  check.near(on("hoist").against.sigmas.mass, 0.5 / math.sqrt(3 * 0.01 ^ 2 + (0.5 * 0.01) ^ 2), 1e-3)
end)

-- ---- the car as it then stood -----------------------------------------------------------------------------------------------------

test("a_record_speaks_of_the_file_as_written_whatever_was_done_since", function()
  local car = car_of{sy.record "it" {kind = "corners", state = "kerb", corners = LOADS}}
  local was = car:record "it"
  local now = car:state("race"):move("powertrain", {back = 300}):set("tub", {mass = 500}):fill{fuel = 1}:lower{front = 20, rear = 20}
  check.equal(now:record("it").rows, was.rows)
  check.equal(now:record("it").heading, was.heading)
end)

test("state_fill_with_and_without_are_those_of_the_record", function()
  local function booked(record)
    record.kind, record.corners = "corners", LOADS
    return one(record).against.ledger.mass
  end
  local all = 380 + 182 + 30 * 0.745 + 78
  check.near(booked{}, all, 1e-9)
  check.near(booked{state = "kerb", fill = {fuel = 10}}, all - 78 - 20 * 0.745, 1e-9)
  check.near(booked{state = "kerb", fill = {fuel = "50 %"}, with = "driver"}, all - 5 * 0.745, 1e-9)
  check.near(booked{without = {"driver", "gearbox"}}, all - 78 - 42, 1e-9)
  check.near(booked{state = "race", without = "ballast"}, all, 1e-9, "what the state brings may have been left out")
  check.near(booked{with = {"ballast"}}, all + 20, 1e-9)
  check.equal(one({kind = "corners", corners = LOADS, state = "kerb", with = "ballast"}).state, "kerb, with ballast")
end)

local function write(path, text)
  local file <close> = assert(io.open(path, "wb"))
  file:write(text)
end

local FILE = [[
vehicle { title = "Then and now (invented)", axles = { { name = "front", at = 0, track = 1500, loaded_radius = 290 },
  { name = "rear", at = 2400, track = 1480, loaded_radius = 300 } },
  parts = { part "tub" { mass = sd(%s, 8), at = {1200, 5, 350}, within_mm = 15 }, %s }, states = { state "kerb" {} },
  records = { %s } } ]]

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir -p " .. folder .. "/history"))
local _ <close> = setmetatable({}, {__close = function() os.execute("rm -rf " .. folder) end})

local function now(more)
  write(folder .. "/now.lua", FILE:format("400", 'part "nose" { mass = 12, at = {-300, 0, 300} }', more))
  return sy.load(folder .. "/now.lua")
end
local CORNERS = "corners = { lf = 100, rf = 100, lr = 100, rr = 101 }"

test("a_named_file_is_read_when_first_asked_and_its_records_do_not_count", function()
  local car = now(('record "a" { kind = "corners", file = "history/then.lua", state = "kerb", %s }'):format(CORNERS))
  check.raises(function() car:record "a" end, {code = "read", message = "no such file"})
  check.equal(car:records()[1].placed, false)
  check.contains(car:records()[1].why, "no such file")
  write(folder .. "/history/then.lua", FILE:format("380", "", 'record "b" { kind = "nothing there" }'))
  local r = car:record "a"
  check.near(r.against.ledger.mass, 380, 1e-9)
  check.equal({r.stood_in, r.file.name}, {"history/then.lua", "then.lua"})
  check.equal(car:records()[1].placed, true)
  check.near(car:move("tub", {back = 10}):record("a").against.ledger.mass, 380, 1e-9)
  car = now(('record "a" { kind = "corners", file = "history/then.lua", state = "kerbb", %s }'):format(CORNERS))
  check.raises(function() car:record "a" end, {code = "unknown", line = 4, part = "a", field = "state", hint = 'did you mean "kerb"?',
    message = 'no state of history/then.lua is called "kerbb"'})
  car = now('record "a" { kind = "corners", file = "history/then.lua", corners = { f = 100, lr = 100, rr = 101 } }')
  check.raises(function() car:record "a" end, {code = "unknown", part = "a", field = "corners",
    message = '"f" is not a wheel of the car as it then stood', hint = "they are lf, rf, lr and rr"})
  car = now('record "a" { kind = "assembly", of = "engin", mass = 3, file = "history/then.lua" }')
  check.raises(function() car:record "a" end, {message = 'engin'})
end)

test("another_car_is_not_placed", function()
  write(folder .. "/history/other.lua", FILE:gsub('"tub"', '"hull"'):format("380", "", ""))
  local list = now(('record "a" { kind = "corners", file = "history/other.lua", %s }'):format(CORNERS)):records()
  check.equal({list[1].placed, list[1].why}, {false, "history/other.lua is another car"})
  check.contains(tostring(list), "is another car")
end)

test("one_that_cannot_be_worked_out_hides_no_other", function()
  local car = car_of{sy.record "lost" {kind = "lift", from = "no/such.csv"}, sy.record "it" {kind = "corners", corners = LOADS}}
  local list = car:records()
  check.equal({list[1].headline, list[2].headline ~= nil, #list.notes}, {nil, true, 1})
  check.contains(list[1].why, "no/such.csv")
  check.equal(#car_of({}):records(), 0)
end)

test("readings_far_from_the_ledger_are_shown_all_the_same", function()
  local r = one({kind = "corners", corners = {lf = 130.2, rf = 131.2, lr = 1187.6, rr = 188.1}},
    {parts = {sy.part "tub" {mass = 662, at = {1200, 5, 350}}}, spares = false, states = false})
  check.equal(r.rows[1].name, "mass")
  check.contains(r.notes[1], "no adjustment within its uncertainties")
end)

-- ---- what its instrument does ---------------------------------------------------------------------------------------------------

local function variance_of(entry, weights)
  local v = 0
  for i, a in ipairs(entry.keys) do
    for k, b in ipairs(entry.keys) do v = v + (weights[a] or 0) * (weights[b] or 0) * entry.covariance[i][k] end
  end
  return v
end

-- 60 random sets of runs on pads that move about: what the readings scatter by and what each pad's bias and gain do, one by one, make the
-- uncertainty that the least-squares fit of core/measure/weigh.h gives in all.
test("what_each_error_does_adds_up_to_the_uncertainty_of_the_fit", function()
  math.randomseed(20260207)
  local pads = {"A", "B", "C", "D"}
  for case = 1, 60 do
    local runs, bias, gain, sd = {}, 0.3 * math.random(), 0.002 * math.random(), 0.05 + 0.3 * math.random()
    for i = 1, math.random(1, 4) do
      for k = 4, 2, -1 do
        local j = math.random(k)
        pads[k], pads[j] = pads[j], pads[k]
      end
      runs[i] = {pads = {lf = pads[1], rf = pads[2], lr = pads[3], rr = pads[4]}}
      for _, key in ipairs{"lf", "rf", "lr", "rr"} do runs[i][key] = 120 + 40 * math.random() end
    end
    local car = car_of({sy.record "it" {kind = "corners", instrument = "set", corners = runs}},
      {instruments = {{name = "set", sd = sd, each = {bias = sy.sd(0, bias), gain = sy.sd(1, gain)}}}})
    local c = contents.inside(car)
    local entry = measured.of(c, records.find(c, "it"))
    local fit = sy.corner_scales{runs = runs, sd = {reading = sd, offset = bias}, gain = sy.sd(1, gain)}
    local p = fit.cross_share / 100
    for of, weights in pairs{mass = {lf = 1, rf = 1, lr = 1, rr = 1}, front = {lf = 1, rf = 1}, left = {lf = 1, lr = 1},
      cross_share = {lf = -100 * p / fit.mass, rr = -100 * p / fit.mass, rf = 100 * (1 - p) / fit.mass, lr = 100 * (1 - p) / fit.mass},
      lf = #runs == 1 and {lf = 1} or nil, rr = #runs == 1 and {rr = 1} or nil} do -- runs that scatter widen the diagonal alone
      local v = variance_of(entry, weights)
      for name, does in pairs(entry.instruments) do
        local by_bias, by_gain = 0, 0
        for key, weight in pairs(weights) do
          by_bias, by_gain = by_bias + weight * does.bias[key], by_gain + weight * does.gain[key]
        end
        if name ~= "set" then v = v + (by_bias * bias) ^ 2 + (by_gain * gain) ^ 2 end
      end
      -- repeats that scatter by more than stated count by their scatter in both
      check.near(math.sqrt(v), fit.sd[of], 1e-9 * fit.sd[of] + 1e-10, ("case %d, %s"):format(case, of))
    end
    -- what all pads have in common: one kg of bias is one kg on each wheel, as far as swapping them does not tell
    check.near(entry.instruments.set.gain.lf, entry.loads.lf, 1e-7, "a gain error of all is a share of the load")
  end
end)

-- Nobody knows whether the pad under lf was the same one the other day: what it has of its own is the record's own.
test("pads_without_names_share_nothing_and_those_with_names_err_in_the_ledger_of_that_day", function()
  local c = contents.inside(car_of{sy.record "it" {kind = "corners", instrument = "pads", corners = LOADS}})
  local entry = measured.of(c, records.find(c, "it"))
  check.equal({entry.instruments.pads ~= nil, entry.instruments["pads/lf"]}, {true})
  local load = entry.loads.lf
  check.near(entry.covariance[1][1], (0.2 ^ 2 + 0.1 ^ 2 / 12) / 1.002 ^ 2 + 0.1 ^ 2 + (0.001 * load) ^ 2, 1e-9)
  check.near(entry.covariance[1][2], 0, 1e-12) -- the effects are differences of loads of some 100 kg
  check.near(entry.instruments.pads.bias.lf, 1, 1e-9)
  local tansy = contents.inside(sy.load "vehicles/tansy.lua")
  entry = measured.of(tansy, records.find(tansy, "first scales"))
  local number = contents.inside(entry.car).shared.context.scales
  check.equal({number.pads ~= nil, number["pads/A"] ~= nil, entry.instruments["pads/D"] ~= nil}, {true, true, true})
  check.equal(#tansy.shared.spec.instruments, 3, "the file's own are as they were")
end)

test("a_lift_and_an_assembly_say_what_they_measured", function()
  local car = sy.load "vehicles/tansy.lua"
  local c = contents.inside(car)
  local lift, r = measured.of(c, records.find(c, "rear lift")), car:record "rear lift"
  check.equal({lift.keys, lift.height, lift.height_sd}, {{"front", "rear"}, r.height, r.sd.height})
  check.near(lift.loads.front + lift.loads.rear, r.mass, 1e-9)
  -- and of the two pads each has a bias and a gain of its own, 0.1 kg and 0.05 %
  local own = 2 * 0.1 ^ 2 + 0.0005 ^ 2 * (lift.loads.front ^ 2 + lift.loads.rear ^ 2)
  check.near(lift.covariance[1][1] + lift.covariance[2][2], r.sd.mass ^ 2 + own, 1e-12)
  local whole = measured.of(c, records.find(c, "powertrain"))
  check.equal({whole.keys, whole.of, whole.instruments["hoist scale"].bias.mass}, {{"mass", "forward", "left", "up"}, "powertrain", 1})
  check.equal({whole.loads.forward, whole.loads.left, whole.loads.up, whole.covariance[2][2]}, {-1968, -15, 316, 16})
  local none, why = measured.of(c, records.find(c, "ride heights"))
  check.equal(none, nil)
  check.contains(why, "set up")
end)

-- ---- a side lifted --------------------------------------------------------------------------------------------------------------

-- A rigid body on two round treads, its left or right side lifted so that it rolls by `angle`: the lifted side reads
-- W [(y + t/2) cos - (h - rho) sin] / (t cos), y towards that side (moments about the other contact: statics, derived by hand).
local SIDE = {mass = 640, left = 14, height = 342, track = 1480, crown = 60}

local function side_table(lifted)
  local y, half = lifted == "left" and SIDE.left or -SIDE.left, SIDE.track / 2
  local lines = {"lifted," .. lifted, "by,angle", "crown_radius," .. SIDE.crown, "sd.pad,0.2", "sd.angle,0.05", "angle,left,right"}
  for _, degrees in ipairs{0, 7, 13} do
    local up = SIDE.mass * (y + half - (SIDE.height - SIDE.crown) * math.tan(math.rad(degrees))) / SIDE.track
    local down = SIDE.mass - up
    lines[#lines + 1] = ("%d,%s,%s"):format(degrees, shortest(lifted == "left" and up or down), shortest(lifted == "left" and down or up))
  end
  return table.concat(lines, "\n") .. "\n"
end

-- One part whose mass and coordinates err by themselves, seen from three datums in three conventions of axes.
local BODY = {mass = 610, mass_sd = 12, forward = -1300, left = -6, up = 355, sd = {4, 9, 20}}
local WAYS = {{"back", "right", "up", 0, 0, 0}, {"forward", "left", "up", 730, 45, -70}, {"back", "left", "up", -315, 20, 110}}

local function side_car(way, lifted, instrument)
  local sign = {way[1] == "forward" and 1 or -1, way[2] == "left" and 1 or -1, 1}
  local function coordinate(i, value) return sign[i] * value + way[i + 3] end
  write(folder .. "/side.csv", side_table(lifted))
  local named = instrument and ', instrument = "pads"' or ""
  write(folder .. "/side.lua", ([[
vehicle { title = "On its side (invented)", axes = { x = "%s", y = "%s", z = "up" }, centre = %d, ground = %d,
  axles = { { name = "front", at = %d, track = 1480, loaded_radius = 290 }, { name = "rear", at = %d, track = 1480, loaded_radius = 300 } },
  instruments = { %s },
  parts = { part "body" { mass = sd(%d, %d), at = {sd(%d, %d), sd(%d, %d), sd(%d, %d)}%s } },
  records = { record "side lift" { kind = "lift", from = "side.csv"%s } } }]]):format(way[1], way[2], way[5], way[6], coordinate(1, 0),
    coordinate(1, -2400), instrument or "", BODY.mass, BODY.mass_sd, coordinate(1, BODY.forward), BODY.sd[1],
    coordinate(2, BODY.left), BODY.sd[2], coordinate(3, BODY.up), BODY.sd[3], named, named))
  return sy.load(folder .. "/side.lua")
end

-- Two independent statements of one number are weighted by their inverse variances (weighted mean, from memory).
local function weighted(a, a_sd, b, b_sd)
  local p, q = a_sd ^ -2, b_sd ^ -2
  return (p * a + q * b) / (p + q), (p + q) ^ -0.5
end

test("a_lifted_side_tells_mass_height_and_how_far_left", function()
  for _, way in ipairs(WAYS) do
    for _, lifted in ipairs{"left", "right"} do
      local car = side_car(way, lifted)
      local r = car:record "side lift"
      check.near(r.reading.mass, SIDE.mass, 1e-6)
      check.near(r.reading.height, SIDE.height, 1e-6) -- mm
      check.near(r.reading.cg_left, SIDE.left, 1e-6)
      check.equal(rawget(r.reading, "front_share"), nil)
      local c = contents.inside(car)
      local entry = measured.of(c, records.find(c, "side lift"))
      check.equal({entry.keys, entry.body, entry.height}, {{"mass", "left", "up"}, true})
      local built = car:as_built()
      local before, after = car:balance(), built:balance()
      local mass, mass_sd = weighted(BODY.mass, BODY.mass_sd, SIDE.mass, r.reading.sd.mass)
      local left, left_sd = weighted(BODY.left, BODY.sd[2], SIDE.left, r.reading.sd.cg_left)
      local up, up_sd = weighted(BODY.up, BODY.sd[3], SIDE.height, r.reading.sd.height)
      local sign = way[2] == "left" and 1 or -1
      check.near(after.mass, mass, 1e-6)
      check.near(after.sd.mass, mass_sd, 1e-6)
      check.near(sign * (after.cg.y - way[5]), left, 1e-5)
      check.near(after.sd.cg.y, left_sd, 1e-6)
      check.near(after.height, up, 1e-5)
      check.near(after.sd.height, up_sd, 1e-6)
      -- how the weight lies from front to rear was not read
      check.near(after.front_share, before.front_share, 1e-9)
      check.near(after.sd.front_share, before.sd.front_share, 1e-9)
      local said = tostring(built)
      check.ok(not said:find "nan", said)
      local page = tostring(require("steelyard.measure.records.built").result(built))
      for _, words in ipairs{"CG left of centre, mm", "CG height, mm"} do check.contains(page, words) end
    end
  end
end)

-- A pad that shows b too much on one side moves the CG by b (y_side - y) / W, a gain of its own by its load as much: moments by hand.
test("pads_that_err_each_by_itself_move_mass_and_place_of_a_lifted_side_together", function()
  local plain = contents.inside(side_car(WAYS[2], "left"))
  local free = measured.of(plain, records.find(plain, "side lift")).covariance
  local c = contents.inside(side_car(WAYS[2], "left", 'instrument "pads" { bias = sd(0, 0.3), gain = sd(1, 0.002), \
    each = { bias = sd(0, 0.2), gain = sd(1, 0.001) } }'))
  local entry = measured.of(c, records.find(c, "side lift"))
  local want = {{0, 0}, {0, 0}}
  for _, side in ipairs{740, -740} do
    local load = SIDE.mass * (0.5 + (side > 0 and SIDE.left or -SIDE.left) / SIDE.track)
    local by, variance = {1, (side - SIDE.left) / SIDE.mass}, 0.2 ^ 2 + (0.001 * load) ^ 2
    for i = 1, 2 do for k = 1, 2 do want[i][k] = want[i][k] + by[i] * by[k] * variance end end
  end
  for i = 1, 2 do
    for k = 1, 2 do check.near(entry.covariance[i][k] - free[i][k], want[i][k], 1e-9) end
  end
  check.near(entry.covariance[3][3], free[3][3], 1e-12)
  -- what all pads share: twice the bias in the mass, and the place goes towards the middle by as much of it
  check.near(entry.instruments.pads.bias.mass, 2, 0)
  check.near(entry.instruments.pads.bias.left, -2 * SIDE.left / SIDE.mass, 1e-9)
  check.near(entry.instruments.pads.gain.mass, SIDE.mass, 1e-6)
  check.equal(entry.instruments.pads.gain.left, nil)
end)

-- Level, W (L - x) / L on the front pads; the rear lifted by `angle`: front W [b cos + (h - r) sin] / (L cos), equal radii (statics).
test("an_end_lifted_on_four_pads_says_that_their_place_across_corrects_nothing", function()
  local W, b, h, L, r = 640, 1050, 342, 2400, 290
  local lines = {"lifted,rear", "by,angle", "sd.pad,0.2", "sd.angle,0.05", "angle,lf,rf,lr,rr"}
  for _, degrees in ipairs{0, 7, 13} do
    local front = W * (b + (h - r) * math.tan(math.rad(degrees))) / L
    local rear = W - front
    lines[#lines + 1] = ("%d,%s,%s,%s,%s"):format(degrees, shortest(0.51 * front), shortest(0.49 * front), shortest(0.51 * rear),
                                                  shortest(0.49 * rear))
  end
  write(folder .. "/four.csv", table.concat(lines, "\n") .. "\n")
  write(folder .. "/four.lua", [[vehicle { title = "Lifted (invented)", axes = { x = "forward", y = "left", z = "up" },
    axles = { { name = "front", at = 300, track = 1480, loaded_radius = 290 },
      { name = "rear", at = -2100, track = 1480, loaded_radius = 290 } },
    parts = { part "body" { mass = sd(610, 12), at = {sd(-1000, 9), sd(-6, 9), sd(355, 20)} } },
    records = { record "lift" { kind = "lift", from = "four.csv" } } }]])
  local car = sy.load(folder .. "/four.lua")
  local reading = car:record("lift").reading
  check.near(reading.height, h, 1e-6)
  check.near(reading.cg_left, 0.02 * 740, 1e-6)
  local made = car:as_built()
  check.near(made:balance().cg.y, -6, 1e-9)
  check.near(made:balance().sd.cg.y, 9, 1e-9)
  check.contains(table.concat(require("steelyard.measure.records.built").result(made).notes, "\n"),
    "record lift: how far left the CG lies, as read on four pads, corrects nothing; a record of corners does")
end)

-- ---- words of the file -------------------------------------------------------------------------------------------------------------

test("instrument_is_the_word_and_the_older_ones_are_read", function()
  local function part(fields) fields.at = {1200, 0, 300} return car_of(nil, {parts = {sy.part "tub" (fields)}, spares = false,
    states = false}):balance() end
  local new = part{mass = sy.sd(380, 1), instrument = "pads"}
  check.equal(part{mass = sy.sd(380, 1), scale = "pads"}.sd.mass, new.sd.mass)
  check.ok(new.sd.mass > 1)
  local weighed = part{weighed = {reading = 380, instrument = "pads"}}
  check.equal(part{weighed = {reading = 380, on = "pads"}}.sd.mass, weighed.sd.mass)
  check.equal(part{weighed = {reading = 380}, scale = "pads"}.mass, weighed.mass)
  check.raises(function() part{mass = 380, scale = "pads", instrument = "pads"} end,
    {code = "clash", field = "scale", message = "means the same as instrument"})
  check.raises(function() part{weighed = {reading = 380, on = "pad"}} end, {code = "unknown", field = "weighed.on", hint = '"pads"'})
  check.raises(function() part{weighed = {reading = 380, instrument = "pad"}} end, {field = "weighed.instrument", hint = '"pads"'})
end)

-- bias and gain of all pads are common to two parts; what a pad has of its own is each part's.
test("of_a_set_of_pads_each_part_has_a_pads_own_error", function()
  local function mass_sd(each, common)
    return car_of(nil, {parts = {sy.part "a" {weighed = {reading = 100}, instrument = "set", at = {1200, 0, 300}},
      sy.part "b" {weighed = {reading = 100}, instrument = "set", at = {1200, 0, 300}}}, spares = false, states = false,
      instruments = {sy.instrument "set" {each = each, bias = common}}}):balance().sd.mass
  end
  check.near(mass_sd(nil, sy.sd(0, 0.3)), 0.6, 1e-12)
  check.near(mass_sd{bias = sy.sd(0, 0.3)}, 0.3 * math.sqrt(2), 1e-12)
  check.near(mass_sd{gain = sy.sd(1, 0.002)}, 0.2 * math.sqrt(2), 1e-12)
end)

test("instruments_and_records_stand_as_items_or_as_tables", function()
  local item, plain = sy.instrument "hoist" {step = 0.1, certificate = "C 7"}, {name = "hoist", step = 0.1, certificate = "C 7"}
  for _, said in ipairs{item, plain} do
    local car = car_of({{name = "it", kind = "corners", corners = LOADS, instrument = "hoist"}}, {instruments = {said}})
    check.equal({car:record("it").reading.sd.lf, contents.inside(car).shared.spec.instruments[1].certificate}, {0.1 / math.sqrt(12), "C 7"})
  end
  check.raises(function() car_of(nil, {instruments = {sy.instrument "a" {name = "b"}}}) end,
    {code = "clash", message = 'stands inside, and "a" in front'})
  check.raises(function() car_of(nil, {instruments = {sy.record "a" {}}}) end, {code = "type", message = "a record has no place here"})
end)

test("dates_are_those_of_the_calendar", function()
  local function is_date(date)
    local fine, err = pcall(car_of, {sy.record "it" {kind = "corners", corners = LOADS, date = date}})
    return fine or err.field ~= "date" and err
  end
  -- 1900 was no leap year and 2000 one: the Gregorian rule, ISO 8601-1:2019, 4.2.1
  for _, date in ipairs{"2026", "2026-03", "2026-03-14", "2024-02-29", "2000-02-29", "2026-12-31T23:59", "2026-03-14T09:30:05Z",
                        "2026-03-14T09:30+01:00"} do check.equal(is_date(date), true, date) end
  for _, date in ipairs{"14.3.2026", "03/14/2026", "2026-3-14", "2026-13-01", "2026-02-30", "2023-02-29", "1900-02-29", "2026-00-10",
                        "2026-03-00", "2026-03-14 09:30", "2026-03-14T24:01", "2026-03-14T9:30", "2026-03-14T09:60", "", "yesterday",
                        "2026-03-14T09:30+25:00", 2026} do check.equal(is_date(date), false, tostring(date)) end
  check.raises(function() car_of{sy.record "it" {kind = "corners", corners = LOADS, date = "14.3.2026"}} end, {code = "content",
    part = "it",    field = "date", message = '"14.3.2026" is not a date of ISO 8601', hint = "2026-03-14"})
end)

-- ---- every refusal --------------------------------------------------------------------------------------------------------------

local function refuses(record, want)
  want.part = want.part or "it"
  check.raises(function() car_of{sy.record "it" (record)} end, want)
end

test("mistakes_are_found_when_the_file_is_loaded", function()
  refuses({corners = LOADS}, {code = "missing", field = "kind", message = "is missing"})
  refuses({kind = "corner", corners = LOADS}, {code = "unknown", field = "kind", hint = 'did you mean "corners"?'})
  refuses({kind = "corners", corners = LOADS, state = "kreb"}, {code = "unknown", field = "state", hint = 'did you mean "kerb"?',
    message = 'no state is called "kreb"'})
  refuses({kind = "corners", corners = LOADS, instrument = "pad"}, {code = "unknown", field = "instrument", hint = 'did you mean "pads"?',
    message = 'no instrument is called "pad"'})
  refuses({kind = "corners", corners = {f = 100, lr = 100, rr = 100}}, {code = "unknown", field = "corners.f",
    message = '"f" is not a wheel of this car'})
  refuses({kind = "corners", corners = {lf = 1, rf = 1, lr = 1, rear_right = 1}}, {code = "unknown", field = "corners.rear_right"})
  refuses({kind = "corners", corners = {lf = 1, rf = 1, lr = 1}}, {code = "missing", field = "corners",
    message = "has no reading of rr: lf, rf, lr and rr of this car are needed"})
  refuses({kind = "corners", corners = {lf = 1, fl = 1, rf = 1, lr = 1, rr = 1}}, {code = "clash", message = "which was read already"})
  refuses({kind = "corners", corners = {}}, {code = "missing", field = "corners"})
  refuses({kind = "corners", corners = {lf = "heavy", rf = 1, lr = 1, rr = 1}}, {code = "type", field = "corners.lf"})
  refuses({kind = "corners", corners = {{lf = 1, rf = 1, lr = 1, rr = 1, facing = "forwards"}}}, {field = "corners[1].facing",
    hint = 'did you mean "forward"?'})
  refuses({kind = "corners"}, {code = "missing", field = "corners", message = "is missing: what was measured"})
  refuses({kind = "corners", corners = LOADS, from = "a.csv"}, {code = "clash", field = "from", message = "stands beside corners"})
  refuses({kind = "corners", corners = LOADS, axles = {front = 1, rear = 1}}, {code = "clash", field = "axles",
    message = 'has no place in a record of kind "corners"'})
  refuses({kind = "axles", axles = {front = 1, raer = 1}}, {code = "unknown", field = "axles.raer", hint = 'did you mean "rear"?'})
  refuses({kind = "lift"}, {code = "missing", field = "from", hint = "lift.csv"})
  refuses({kind = "lift", from = "/tmp/lift.csv"}, {code = "content", field = "from", message = "not in the folder of this file or below"})
  refuses({kind = "ride heights", heights = {sil = 150}}, {code = "unknown", field = "heights.sil", hint = 'did you mean "sill"?'})
  refuses({kind = "ride heights", heights = {}}, {code = "missing", field = "heights"})
  refuses({kind = "assembly", mass = 100}, {code = "missing", field = "of"})
  refuses({kind = "assembly", of = "powertrain"}, {code = "missing", field = "mass"})
  refuses({kind = "assembly", of = "powertrian", mass = 100}, {code = "unknown", field = "of", hint = 'did you mean "powertrain"?'})
  refuses({kind = "assembly", of = "powertrain", mass = 100, inertia = {zy = 3}}, {code = "content", field = "inertia"})
  refuses({kind = "corners", corners = LOADS, without = "drivr"}, {code = "unknown", field = "without", hint = '"driver"'})
  refuses({kind = "corners", corners = LOADS, fill = {fuel = 60}}, {code = "range", field = "fill.fuel", message = "the tank holds 50"})
  refuses({kind = "corners", corners = LOADS, file = "../then.lua"}, {code = "content", field = "file",
    message = '"../then.lua" is not in the folder of this file or below'})
  refuses({kind = "corners", corners = LOADS, when = "2026"}, {code = "unknown", field = "when"})
  local function again() return sy.record "it" {kind = "corners", corners = LOADS} end
  check.raises(function() car_of{again(), again()} end,
    {code = "clash", message = "the name is taken by another record"})
  check.raises(function() car_of{{kind = "corners", corners = LOADS}} end, {code = "missing", message = "needs a name"})
  check.raises(function() car_of{sy.state "kerb" {}} end, {code = "type", message = "a state has no place here, a record has"})
  check.raises(function() one({kind = "corners", corners = {lf = 130, rf = 131, lr = 187, rr = 501}, instrument = "small"},
    {instruments = {{name = "small", range = 400}}}) end, {code = "range", field = "corners.rr",
      message = "is 501 kg, small reads up to 400 kg"})
end)

test("mistakes_of_a_file_are_placed_by_line_and_a_file_names_not_itself", function()
  check.raises(function() now(('\n record "a" { kind = "corners", state = "kreb", %s }'):format(CORNERS)) end,
    {code = "unknown", line = 5, part = "a", kind = "record", field = "state"})
  check.raises(function() now(('record "a" { kind = "corners", file = "now.lua", %s }'):format(CORNERS)) end,
    {code = "clash", line = 4, part = "a", field = "file", message = "names this file itself"})
  check.raises(function() now('record "a" { kind = "lift", from = "a.csv", state = "kerb" }'):record "a" end, {code = "read"})
  write(folder .. "/a.csv", "state,race\nsd.pad,0.1\nlift,front,rear\n0,200,200\n")
  check.raises(function() now('record "a" { kind = "lift", from = "a.csv", state = "kerb" }'):record "a" end,
    {code = "clash", line = 4, part = "a", field = "state", message = 'is "kerb", and the table a.csv says "race"'})
  write(folder .. "/a.csv", "sd.pad,0.1\nlift,front,rear\n0,200,x\n")
  check.raises(function() now('record "a" { kind = "lift", from = "a.csv", state = "kerb" }'):record "a" end, {code = "type", line = 3})
end)

test("a_record_is_asked_for_by_its_name", function()
  local car = car_of{sy.record "first scales" {kind = "corners", corners = LOADS}}
  check.raises(function() car:record "first scale" end, {code = "unknown", hint = 'did you mean "first scales"?'})
  check.raises(function() car:record() end, {code = "unknown", message = "no record is called"})
  check.raises(function() car_of():record "any" end, {code = "unknown", hint = "the file has none"})
end)

-- ---- what most files pay ------------------------------------------------------------------------------------------------------------

test("a_file_that_is_no_plain_data_has_the_same_records", function()
  local text = FILE:format("400", "", ('record "a" { kind = "corners", state = "kerb", date = "2026-02-07", %s }'):format(CORNERS))
  local plain, run = sy.load("a.lua", text), sy.load("a.lua", "local heavy = 1\n" .. text)
  check.equal(run:record("a").rows, plain:record("a").rows)
  local wrong = "local heavy = 1\n" .. text:gsub('"kerb", date', '"kreb", date')
  check.raises(function() sy.load("a.lua", wrong) end, {line = 5, field = "state"})
  local words = 'local loads = { lf = 100, rf = 100, lr = 100, rr = 101 }\n' .. text:gsub("corners = %b{}", "corners = loads")
  check.equal(sy.load("a.lua", words):record("a").rows, plain:record("a").rows)
end)

test("a_file_without_records_loads_nothing_of_them", function()
  local said = check.command(("%s %s"):format(check.steelyard, folder .. "/script.lua"))
  check.ok(said)
  write(folder .. "/script.lua", [[
local sy = require "steelyard"
sy.load("vehicles/first_guess.lua"):balance()
for name in pairs(package.loaded) do if name:find "record" then print(name) end end
sy.load "vehicles/tansy.lua"
for name in pairs(package.loaded) do if name:find "measure" then print(name) end end
print "done"]])
  check.equal(check.command(("%s %s"):format(check.steelyard, folder .. "/script.lua")).out, "done\n")
end)

-- ---- a car that stands lower than drawn ------------------------------------------------------------------------------------

test("records_of_a_lowered_car_are_of_it_as_it_stands", function()
  local lowered = {front = 12, rear = 12}
  local bench = {kind = "assembly", of = "powertrain", mass = 183, cg = {1990, 4, 312}}
  local heights = {kind = "ride heights", heights = {sill = 140}}
  check.near(one(heights, {lowered = lowered}).rows[1].ledger, one(heights).rows[1].ledger - 12, 1e-9)
  -- an assembly is measured apart from the car: where it lies in the drawing
  check.equal(one(bench, {lowered = lowered}).against.ledger, one(bench).against.ledger)
  local built = {}
  for i, car in ipairs{car_of{sy.record "it" (bench)}, car_of({sy.record "it" (bench)}, {lowered = lowered})} do
    built[i] = car:as_built().measured[1]
  end
  check.near(built[2].chi2, built[1].chi2, 1e-12)
  for i, row in ipairs(built[1].rows) do check.near(built[2].rows[i].booked, row.booked, 1e-9, row.what) end
end)

-- ---- messages ----------------------------------------------------------------------------------------------------------------

test("a_field_that_is_called_otherwise_is_not_said_to_be_missing", function()
  refuses({kind = "corners", cornrs = LOADS}, {code = "unknown", field = "cornrs", hint = 'did you mean "corners"?'})
  refuses({kind = "ride heights", height = {sill = 140}}, {code = "unknown", field = "height", hint = 'did you mean "heights"?'})
  refuses({kind = "assembly", of = "engine", mss = 140}, {code = "unknown", field = "mss", hint = 'did you mean "mass"?'})
  refuses({kind = "assembly", of = "engine", mass = 140, inertia = {xx = -2}}, {code = "range", field = "inertia.xx"})
  refuses({kind = "corners", corners = {front = 260, rear = 370}}, {code = "missing", field = "corners", message = "loads of axles alone",
    hint = 'a record of kind "axles" takes them'})
end)

test("what_goes_wrong_with_readings_is_said_of_the_record_and_its_field", function()
  local negative = {kind = "corners", corners = {lf = -90, rf = 131, lr = 188, rr = 188}}
  local says = {code = "range", part = "it", kind = "record", field = "corners.lf", message = "which is negative"}
  check.raises(function() one(negative) end, says)
  local car = car_of{sy.record "it" (negative)}
  check.raises(function() car:as_built{"it"} end, says)
  check.contains(tostring(car:records()), "Record it: corners.lf: leaves -90.00 kg")
  local twice = {kind = "corners", corners = {LOADS, {lf = 130, rf = -1, lr = 188, rr = 188}}}
  check.raises(function() one(twice) end, {part = "it", field = "corners[2].rf"})
  local lost = {file = {kind = "corners", corners = LOADS, file = "none/there.lua"}, from = {kind = "lift", from = "none/there.csv"}}
  for field, record in pairs(lost) do
    check.raises(function() one(record) end, {code = "read", part = "it", kind = "record", field = field, message = "none/there"})
  end
end)

test("a_body_set_lower_than_its_bump_is_said_of_lowered", function()
  local axles = {{name = "front", at = 0, track = 1500, loaded_radius = 290, bump = 60}, TWO[2]}
  check.raises(function() car_of({}, {axles = axles, lowered = {front = 70}}) end,
    {code = "range", field = "lowered", message = "bump of the front axle ends 60 mm from the design height"})
end)

test("readings_of_which_nobody_states_an_uncertainty_are_not_said_to_be_exact", function()
  local page = tostring(one{kind = "corners", state = "kerb", corners = LOADS})
  check.contains((page:gsub("%s+", " ")), "beside the ledger each reading is taken as good to 0.5 kg, one standard deviation")
  check.ok(not page:find "count as exact; state sd")
end)

check.done()
