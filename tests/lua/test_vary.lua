--- What sy.vary says, and the cars that inputs make: the same as the ordinary edits make.

local check = dofile "tests/lua/check.lua"
local inputs = require "steelyard.study.inputs"
local sy = require "steelyard"
local test = check.test

local sedge, guess = sy.load "vehicles/sedge.lua", sy.load "vehicles/first_guess.lua"

local function input(car, ...) return inputs.of(car, {sy.vary(...)})[1] end

test("range_has_both_ends_and_is_counted_not_added_up", function()
  local v = sy.vary("engine", "back", -0.3, 0.4, 8)
  check.equal({v.name, v.kind, v.unit, v.n}, {"engine back", "move", "mm", 8})
  check.equal(v.values[1], -0.3)
  check.equal(v.values[8], 0.4, "the last value is the one given, to the bit")
  check.near(v.values[4], 0, 1e-16)
end)

test("kinds_names_and_units_follow_from_the_words", function()
  for _, case in ipairs{
    {{"engine", "nose_up", 0, 2, 2}, "engine nose_up", "turn", "deg"}, {{"fuel", "fill", 5, 40, 2}, "fuel fill", "fill", "litre"},
    {{"driver", "swap", {"driver", "tall driver"}}, "driver swap", "swap"}, {{"state", {"kerb", "race"}}, "state", "state"},
    {{"left_turn", 0, 1, 3}, "left_turn", "setting"}, {{"front axle", "bar_rate", 0, 20, 11}, "front axle bar_rate", "field"},
    {{{"engine", "gearbox"}, "up", 0, 9, 2}, "engine and gearbox up", "move", "mm"},
    {{"slope", "nose_up", 0, 1, 2}, "slope.nose_up", "setting"}, {{"bars", {"off", "connected"}}, "bars", "setting"},
  } do
    local v = sy.vary(table.unpack(case[1]))
    check.equal({v.name, v.kind, v.unit}, {case[2], case[3], case[4]})
  end
end)

-- Bit for bit: an input is the edit.
local function same(a, b, what)
  for _, name in ipairs{"mass", "height", "front_share", "left_share", "yaw_inertia", "wheelbase"} do
    check.equal(a:balance()[name], b:balance()[name], what .. ", " .. name)
  end
end

test("inputs_make_the_cars_that_the_edits_make", function()
  local function makes(car, value, want, ...)
    same(input(car, ...).apply(car, value), want, tostring(sy.vary(...)))
  end
  makes(guess, 30, guess:move("powertrain", {back = 30}), "powertrain", "back", -50, 50, 5)
  makes(guess, 2, guess:move("engine", {nose_up = 2}), "engine", "nose_up", 0, 5, 2)
  makes(guess, 91, guess:set("driver", {mass = 91}), "driver", "mass", 60, 100, 3)
  makes(guess, 12, guess:fill{fuel = 12}, "fuel", "fill", 5, 40, 2)
  makes(guess, 9, guess:fill{fuel = "20 %"}, "fuel", "fill", {"20 %", 30})
  makes(guess, 1580, guess:set("rear axle", {track = 1580}), "rear axle", "track", 1400, 1600, 3)
  makes(guess, 60, guess:move("rear axle", {back = 60}), "rear axle", "back", 0, 120, 7)
  makes(guess, 2, guess:state "no driver", "state", {"race start", "no driver"})
  makes(guess, 700, guess:set("battery", {at = {x = 700}}), "battery", "at.x", 500, 900, 3)
end)

test("words_of_a_fill_are_litres_of_the_tank", function()
  local i = input(guess, "fuel", "fill", {"20 %", 30})
  check.near(i.values[1], 9, 1e-12, "20 % of 45 litres")
  check.equal({i.from, i.to}, {i.values[1], 30})
end)

test("swap_keeps_the_part_itself_where_it_is_named", function()
  local i = input(sedge, "driver", "swap", {"driver", "passenger"})
  same(i.apply(sedge, 1), sedge, "itself")
  same(i.apply(sedge, 2), sedge:swap("driver", "passenger"), "the other")
end)

-- A car whose file says so from the start is the same car: bit for bit.
test("chassis_and_vehicle_are_varied_as_if_the_file_said_so", function()
  local fields = {title = "Soft (invented)", chassis = {torsion = 4000},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290, spring_rate = 40, tyre_rate = 200},
             {name = "rear", at = 2400, track = 1420, loaded_radius = 300, spring_rate = 45, tyre_rate = 210}},
    parts = {sy.part "tub" {mass = 600, at = {1200, 37, 350}}}}
  local car = sy.car(fields)
  fields.chassis, fields.cross_share = {torsion = 1500}, 51
  local other = sy.car(fields)
  local made = input(car, "vehicle", "cross_share", 49, 51, 2).apply(input(car, "chassis", "torsion", 1500, 5000, 2).apply(car, 1500), 51)
  local pads = {pads = {lf = 5}}
  check.equal(made:corners(pads).lf, other:corners(pads).lf)
  check.equal(made:balance().lf, other:balance().lf)
  check.ok(car:corners(pads).lf ~= made:corners(pads).lf, "they matter, which")
end)

test("lowered_is_counted_from_the_drawn_height", function()
  local car = sy.load("vehicles/sedge.lua"):lower{front = 7}
  local made = input(car, "vehicle", "lowered.front", 0, 20, 2).apply(car, 20)
  check.near(made:heights().front, -20, 1e-12)
end)

-- ---- what is refused -------------------------------------------------------------------------------------------------------

test("values_that_are_no_values_are_refused", function()
  for _, case in ipairs{
    {{"engine", "back", 5, 5, 3}, "range", "from and to are both 5", "one value is a list, {5}"},
    {{"engine", "back", 5, 9, 1}, "range", "from 5 to 9 takes 2 values or more, not 1", "one value is a list, {5}"},
    {{"engine", "back", 5, 9, 0}, "range", "from 5 to 9 takes 2 values or more, not 0", "one value is a list, {5}"},
    {{"engine", "back", 5, 9, 2.5}, "type", "the number of values is the number 2.5"},
    {{"engine", "back", {}}, "range", "has no values", "as in {60, 80, 100}"},
    {{"engine", "back", 0 / 0, 9, 2}, "range", "from is not a number (0/0)"},
    {{"engine", "back", 5, 1 / 0, 2}, "range", "to is not finite"},
    {{"engine", "back", {1, "2"}}, "type", "value 2 must be a number, is the text \"2\"", "write it without quotes"},
    {{"engine", "back", 5, sy.sd(9, 1), 2}, "type", "to has an uncertainty; what is varied is exact",
      "sy.spread draws from stated uncertainties"},
    {{"engine", "back", 5}, "missing", "has a first value and no last"},
    {{"engine", "back"}, "missing", "has no values"},
    {{"engine", "back", 1, 2, 3, 4}, "type", "has more than from, to and the number of values"},
    {{"engine", "back", {1, 2}, 3}, "type", "has a list of values and something behind it"},
    {{"state", {"kerb", "kerb"}}, "clash", '"kerb" stands twice'}, {{"state", {"kerb", 3}}, "type",
      "value 2 must be a name, is the number 3"},
    {{"state", 1, 3, 2}, "type", "takes a list of names"}, {{"engine", "back", 1, 2, 20000000}, "limit",
      "has 20000000 values, at most 10000000 are possible"},
  } do
    local fine, err = pcall(sy.vary, table.unpack(case[1], 1, 6))
    check.ok(not fine, case[3])
    check.equal({err.code, err.message}, {case[2], case[3]})
    if case[4] then check.equal(err.hint, case[4]) end
    check.equal(err.field, case[1][1] == "state" and "state" or "engine back")
  end
  check.raises(function() sy.vary(5, "back", 1, 2, 3) end, {code = "type", message = "sy.vary begins with a name, not the number 5"})
  check.raises(function() sy.vary({}, "back", 1, 2, 3) end, {code = "missing", message = "sy.vary: the list of parts is empty"})
  check.raises(function() sy.vary({"a", 5}, "back", 1, 2, 3) end, {code = "type", message = "sy.vary: name 2 in the list is the number 5"})
end)

test("what_the_car_does_not_have_is_refused_with_the_nearest", function()
  local function refuses(want, ...)
    local args = table.pack(...)
    check.raises(function() input(guess, table.unpack(args, 1, args.n)) end, want)
  end
  refuses({code = "unknown", message = 'no part, group, tag or axle is called "powertrian"', hint = 'did you mean "powertrain"?'},
    "powertrian", "back", 0, 10, 2)
  refuses({code = "unknown", field = "powertrain bakc", message = '"bakc" is neither a direction nor a number that a group has',
    hint = 'did you mean "back"?'}, "powertrain", "bakc", 0, 10, 2)
  refuses({code = "unknown", field = "engine masss", message = '"masss" is neither a direction nor a number that a part has',
    hint = 'did you mean "mass"?'}, "engine", "masss", 0, 10, 2)
  refuses({code = "unknown", field = "front axle spring_rat", message = '"spring_rat" is neither a direction nor a number that an axle has',
    hint = 'did you mean "spring_rate"?'}, "front axle", "spring_rat", 0, 10, 2)
  refuses({code = "unknown", message = 'no state is called "race strat"', hint = 'did you mean "race start"?'}, "state", {"race strat"})
  refuses({code = "unknown", field = "left_trun", message = "is not a setting", hint = 'did you mean "left_turn"?'}, "left_trun", 0, 1, 2)
  refuses({code = "missing", field = "slope", message = "is set by its pieces", hint = 'as in sy.vary("slope.nose_up", ...)'}, "slope", 0,
    1, 2)
  refuses({code = "type", field = "bars", message = 'cannot be "conected"', hint = 'did you mean "connected"?'}, "bars", {"off",
    "conected"})
  refuses({code = "range", part = "fuel", field = "fill", message = "is 1000 litres, the tank holds 0 to 45"}, "fuel", "fill", 0, 1000, 3)
  refuses({code = "geometry", part = "rear axle", message = "would stand 550.0 mm ahead of the front axle"}, "rear axle", "back", 0,
    -3000, 3)
  check.raises(function() inputs.of(guess, {sy.vary("engine", "back", 0, 1, 2), sy.vary("engine", "back", 5, 9, 2)}) end,
    {code = "clash", field = "vary", message = '"engine back" is varied twice'})
  check.raises(function() inputs.of(guess, {{"engine", "back"}}) end, {code = "type", field = "vary",
    message = "entry 1 is a table, not what sy.vary gives"})
  check.raises(function() inputs.of(guess, nil) end, {code = "missing", field = "vary"})
end)

check.done()
