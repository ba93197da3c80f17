-- Messages that a new user meets first: each says what was read, what is wrong and what to do, and names file, line, part and field. None
-- prints the address of a table, which changes from run to run.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local directions = require "steelyard.file.directions"

local AXLES = [[axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300},
  {name = "rear", at = 2400, track = 1400, loaded_radius = 300}}]]

local function load_text(parts, more)
  return sy.load("car.lua", ("vehicle {\n %s,\n parts = {\n  %s\n }, %s }"):format(AXLES, parts, more or ""))
end
local function refuses(parts, want) return check.raises(function() load_text(parts) end, want) end

local function engine(more) return load_text('part "engine" { mass = 100, at = {1000, 0, 300} }', more) end

check.test("a_change_in_words_takes_30mm_and_says_which_word_is_wrong", function()
  for phrase, want in pairs{["gearbox 30mm down"] = 30, ["gearbox down 30mm"] = 30, ["gearbox down 30 mm"] = 30,
                            ["gearbox 30 mm down"] = 30, ["gearbox -2.5mm down"] = -2.5} do
    local part, change = directions.parse(phrase)
    check.equal({part, change}, {"gearbox", {down = want}}, phrase)
  end
  for phrase, want in pairs{["gearbox 30 mm dwn"] = {message = '"dwn" is not a direction', hint = 'did you mean "down"?'},
                            ["gearbox 30 cm down"] = {message = '"30 cm" is not a number of millimetres', hint = "mm"},
                            ["gearbox 3,5 down"] = {message = '"3,5" is not a number of millimetres', hint = "decimal point"},
                            ["gearbox down"] = {message = 'has no number beside "down"', hint = '"gearbox 50 down"'},
                            ["30 down"] = {message = "names no part"}, [""] = {message = "empty"}, ["down"] = {message = "no number"}} do
    want.code = "usage"
    check.raises(function() directions.parse(phrase) end, want)
  end
end)

check.test("a_table_that_is_not_there_names_the_line_of_the_vehicle_file", function()
  refuses('from_csv "no such table.csv"', {code = "read", file = "car.lua", line = 5, message = "there is no such file",
    hint = "from the vehicle file's folder"})
end)

-- Others stand in front of it and behind it, in order and with a mistake of their own.
check.test("a_name_that_clashes_is_reported_where_it_stands", function()
  local around = 'part "%s" { mass = 5, at = {1, 2, 3} },\n'
  local function beside(line) return around:format "a" .. around:format "b" .. line .. ",\n" .. around:format "c" end
  local err = refuses(beside 'part "front axle" { mass = 5, at = {1, 2, 3} }', {line = 7, part = "front axle",
    message = '"front axle" is what the axle itself is called'})
  check.equal(err.more, nil)
  refuses(beside 'group "g" { part "x" { mass = 5, at = {1, 2, 3}, tags = {"b"} }, part "y" { mass = 5, at = {1, 2, 3} } }', {line = 7,
    part = "g/x", field = "tags", message = 'the tag "b" is also the name of a part'})
  refuses(around:format "a" .. '{ name = "rear axle", mass = 5, at = {1, 2, 3} },\n' .. around:format "c", {line = 6, part = "rear axle",
    message = "is what the axle itself is called"})
  refuses(beside 'part "x" { mass = -5, at = {1, 2, 3} }', {line = 7, part = "x", field = "mass", code = "range"})
end)

check.test("a_part_without_a_name_is_not_called_by_it", function()
  local err = refuses('part "" { mass = 5, at = {1, 2, 3} }', {line = 5, message = "a part has no name between its quotes"})
  check.equal(err.part, nil)
end)

check.test("a_unit_that_nobody_knows_is_named_in_its_heading", function()
  local parts_csv = require "steelyard.file.parts_csv"
  check.raises(function() parts_csv.read("name,mass [stone],x,y,z\na,1,2,3,4\n", {file = "p.csv"}) end,
    {code = "unknown", file = "p.csv", line = 1, hint = "kg",
      message = {'column B "mass [stone]"', '"stone" is not a unit of mass'}})
  check.raises(function() parts_csv.read("name,mass,x (furlong),y,z\na,1,2,3,4\n", {file = "p.csv"}) end,
    {code = "unknown", message = '"furlong" is not a unit of length', hint = "mm"})
end)

check.test("a_cell_of_a_table_is_placed_by_its_line_or_else_by_its_row", function()
  local parts_csv = require "steelyard.file.parts_csv"
  local function says(bytes, want)
    local err = check.raises(function() parts_csv.read(bytes, {file = "p.csv"}) end, {code = "type"})
    check.equal(tostring(err), want)
  end
  says("name,mass,x,y,z\na,1,2,3,4\nb,x,2,3,4\n", 'p.csv:3: part "b", mass: column B "mass": "x" is not a number')
  says('name,mass,x,y,z,note\na,1,2,3,4,"two\nlines"\nb,x,2,3,4,\n',
    'p.csv:4: part "b", mass: row 3, column B "mass": "x" is not a number')
end)

-- Each moment is at most the sum of the other two: Meriam, Kraige & Bolton, Dynamics, App. B.
check.test("an_inertia_that_no_body_has_names_the_moment", function()
  local function inertia(text, want)
    want.code, want.field = "geometry", "inertia"
    refuses(('part "a" { mass = 5, at = {1, 2, 3}, inertia = {%s} }'):format(text), want)
  end
  inertia("xx = 1, yy = 1.5, zz = 100", {message = "zz is 100 kg m2, more than xx + yy = 2.5"})
  inertia("xx = 1, yy = 4, zz = 1.5", {message = "yy is 4 kg m2, more than xx + zz = 2.5"})
  inertia("xx = 1, yy = 1, zz = 1, xy = 5", {message = "xy is 5 kg m2, and at most sqrt(xx yy) = 1.0000"})
  inertia("xx = 1, yy = 1, zz = 1, xy = 0.9, xz = 0.9, yz = -0.9", {message = "together too large"})
end)

check.test("nothing_aboard_names_file_and_state", function()
  local car = engine 'states = { state "bare" { without = {"engine"} } }'
  local want = {code = "missing", file = "car.lua", part = "bare", message = "nothing aboard has a mass"}
  local bare = car:state "bare"
  for _, method in ipairs{"balance", "stability", "corners"} do check.raises(function() bare[method](bare, {}) end, want) end
  check.raises(function() sy.compare{car, bare} end, want)
  check.raises(function() load_text('part "engine" { mass = unknown, at = {1, 2, 3} }'):balance() end, {code = "missing", file = "car.lua"})
end)

check.test("messages_print_no_address", function()
  local car, t = engine(), {}
  for i, call in ipairs{
    function() car:move("engine", {[t] = 5}) end, function() car:state(t) end, function() sy.changes(car, car, {[t] = 1}) end,
    function() sy.changes(car, car, {by = t}) end, function() car:clearances{at = {t}} end, function() car:shafts{[t] = 1} end,
    function() car:corners{[t] = 1} end, function() car:stability{[t] = 1} end, function() car:perches{[t] = 1} end,
    function() return sy[t] end, function() sy.compare{car, car, show = {t}} end, function() sy.compare{car, car, [t] = 1} end,
    function() sy.pendulum{[t] = 1} end, function() car:markout{[t] = 1} end, function() sy.part_cg{poses = {[t] = 1}} end,
  } do
    local fine, err = pcall(call)
    check.ok(not fine, "call " .. i)
    check.ok(not tostring(err):find "0x%x%x%x", tostring(err))
  end
end)

check.test("what_is_no_car_is_named_by_what_it_is", function()
  local car = engine()
  check.raises(function() sy.compare{car, "kerb"} end, {code = "type", message = 'number 2 is "kerb"', hint = 'car:state("kerb")'})
  check.raises(function() car.balance() end, {code = "type", message = "a car is needed here, not nothing", hint = "with a colon"})
end)

-- Places are in mm for whoever reads them in mm; the axles stand 2400 mm apart.
check.test("an_axle_that_would_pass_another_says_by_how_much_in_mm", function()
  local car = engine()
  check.raises(function() car:move("front axle", {back = 3000}) end, {code = "geometry", part = "front axle",
    message = "would stand 600.0 mm behind the rear axle", hint = "order from the front"})
  check.raises(function() car:move("rear axle", {forward = 2400}) end, {code = "geometry", part = "rear axle",
    message = "would stand 0.0 mm ahead of the front axle"})
  check.near(car:move({"front axle", "rear axle"}, {back = 3000}):balance().cg_behind, -2000, 1e-9)
  check.near(car:move({"rear axle", "front axle"}, {forward = 3000}):balance().cg_behind, 4000, 1e-9)
end)

check.test("a_method_that_no_car_has_is_named_with_the_right_one", function()
  local car = engine()
  local function refuses_method(name, hint)
    check.raises(function() return car[name] end, {code = "unknown", message = ("a car has no method %q"):format(name), hint = hint})
  end
  refuses_method("balanc", "did you mean car:balance?")
  refuses_method("nope", "it has add, as_built, attitude, balance, ")
  refuses_method("front_share", "it is an answer of car:balance()")
  refuses_method("compare", "write sy.compare{car, ")
end)

-- What the author of a script forgets is named with the line of the script, under the command and without --help.
check.test("sy_out_and_sy_options_without_arguments_name_the_line_of_the_script", function()
  local folder = check.command("mktemp -d").out:match "%S+"
  for line, want in pairs{
    ["sy.out()"] = "sy.out has no options in front of its result (write sy.out(o, car:balance()), with what sy.options gave as o)",
    ["sy.out('x', 'y')"] = "sy.out has no options in front of its result (write sy.out(o, ",
    ["sy.out{}"] = "sy.out has no result to print (write sy.out(o, car:balance()), ",
    ["sy.options()"] = "sy.options needs a table that says what the script takes, not nothing (such as sy.options{about = ",
    ["sy.options{args = {{}}}"] = 'args[1]: is not an entry such as {"car", "vehicle file"}',
    ["sy.options{args = 5}"] = "args: is 5, not a list of entries such as {",
    ["sy.options{options = {back = 5}}"] = 'options["back"]: is not an entry such as name = {"MM", "how far"}',
    ["sy.changes()"] = "sy.changes needs two cars or the paths of two vehicle files, not nothing",
    ["sy.load()"] = "sy.load needs the path of a vehicle file, not nothing",
  } do
    local file = assert(io.open(folder .. "/script.lua", "w"))
    file:write('local sy = require "steelyard"\n', line, "\n")
    file:close()
    local ran = check.command(("%s %s/script.lua"):format(check.steelyard, folder))
    check.contains(ran.err, folder:match "[^/]*$" .. "/script.lua:2: " .. want)
    check.equal({ran.code ~= 0, ran.out}, {true, ""})
  end
  check.command("rm -r " .. folder)
end)

check.test("empty_lists_and_values_that_are_not_lists_are_distinguished", function()
  local measurement = require "steelyard.measure.measurement"
  check.raises(function() measurement.list({a = {}}, "a", "session") end, {field = "a", code = "type", message = "is an empty list"})
  check.raises(function() measurement.list({a = {b = 1}}, "a", "session") end,
    {field = "a", code = "type", message = "one entry with named fields", hint = "a = { { ... } }"})
  check.raises(function() measurement.list({a = 5}, "a", "session") end, {field = "a", code = "type", message = "the number 5"})
end)

check.test("names_that_hold_commas_are_listed_in_quotes", function()
  local text = require "steelyard.print.text"
  check.equal(text.join_names{"eye, front", "eye, rear"}, '"eye, front" and "eye, rear"')
  check.equal(text.join_names({"a", "b"}, "or"), "a or b")
  check.equal(text.list_names{"a", "b, c"}, '"a", "b, c"')
  check.equal(text.list_names{"2050, 10, 640", "a"}, "2050, 10, 640, a")
  local car = load_text([[part "head, left" { mass = unknown, at = {900, 0, 300} },
    part "head, right" { mass = unknown, at = {900, 0, 300} },
    part "engine, complete" { mass = 90, at = {900, 0, 300} }, person "driver, tall" { mass = 80, at = {1000, 0, 400} },
    tank "fuel, left" { capacity = 40, density = 0.75, fill = 20, at = {1400, 0, 300} } ]],
    [[states = { state "race, dry" {},
      state "race, wet" { with = {"wheel, spare", "jack, bottle"} } },
    spares = { part "wheel, spare" { mass = 12, at = {2200, 0, 300} }, part "jack, bottle" { mass = 4, at = {2200, 0, 300} } }]])
  local shown = tostring(car:balance())
  check.contains(shown, '\nAboard: "driver, tall" 80 kg, "fuel, left" 20 L.\n')
  check.contains(shown, '\nNot in any total, mass unknown: "head, left", "head, right".\n')
  check.raises(function() car:state "kerb" end, {hint = 'the states are "race, dry", "race, wet"'})
  check.contains(tostring(sy.changes(car, car:without "engine, complete":set("jack, bottle", {mass = 5}))),
    '\nChanged but not aboard: "jack, bottle".\n')
  check.contains(tostring(sy.compare{car, car, show = {"handling.heaviest"}}), '"engine, complete" 90 hoist')
end)

check.test("a_place_that_was_worked_out_is_named_as_it_was_meant", function()
  local place = 0.35 * 1000 + 5.6843418860808015e-14 -- the next number above 350
  check.ok(place ~= 350)
  local row = engine():markout{trolleys = {place, 1800}}
  check.contains(tostring(row), "\n    350 ")
  check.ok(not tostring(row):find("350.0", 1, true))
end)

check.test("readings_that_no_correction_reaches_name_the_pad", function()
  local car = sy.load "vehicles/first_guess.lua"
  check.raises(function() car:reconcile{corners = {lf = 150, rf = 148, lr = 2100, rr = 208}} end,
    {code = "limit", message = "cannot be reached by correcting the ledger", hint = "lr reads 2100.0 kg where the ledger has"})
end)

check.test("a_vehicle_file_is_not_run_as_a_script", function()
  for _, file in ipairs{"vehicles/first_guess.lua", "vehicles/twayblade.lua", "vehicles/teasel.lua"} do
    local ran = check.command(check.steelyard .. " " .. file)
    check.equal({ran.code, ran.out, ran.err},
      {2, "", ("steelyard: %s is a vehicle file, not a script (a command reads it: steelyard balance %s)\n"):format(file, file)})
  end
end)

check.done()
