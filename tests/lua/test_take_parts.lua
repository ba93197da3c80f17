--- From a spreadsheet's parts list to a car that balances: what is written, what is left alone, every refusal.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local take_parts = require "steelyard.command.take_parts"
local test = check.test

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder .. " " .. folder .. "/below"))

local function put(name, words)
  local file <close> = assert(io.open(folder .. "/" .. name, "wb"))
  file:write(words)
end

local function contents(name)
  local file <close> = io.open(folder .. "/" .. name, "rb")
  return file and file:read "a"
end

local TABLE = "part;group;mass (kg);x (mm);y (mm);z (mm);kind\nengine;powertrain;90;1700;0;340;\ngearbox;powertrain;40;2200;0;300;\n"
  .. "body;;210;1100;0;350;\ndriver;;80;1000;250;370;person\n"

local function take(options)
  local o = {table = folder .. "/parts.csv", wheelbase = 2400, track = {1450, 1460}, axes = {"back", "right", "up"}, front_at = 0,
             ground = 0, centre = 0}
  for key, value in pairs(options or {}) do o[key] = value or nil end
  return take_parts.of(o)
end

-- A fresh folder with the table in it.
local function fresh(words)
  os.execute(("rm -f %s/*.lua %s/*.new %s/below/*"):format(folder, folder, folder))
  put("parts.csv", words or TABLE)
end

test("without_wheels_nothing_is_written_and_the_next_step_is_reported", function()
  fresh()
  local result = take{wheelbase = false, track = false}
  check.equal({result.written, result.file, contents "parts.lua"}, {false, folder .. "/parts.lua"})
  check.contains(tostring(result), "  C   mass (kg)  mass of one piece, kg\n")
  check.equal(result.next, {("steelyard take_parts %s/parts.csv --wheelbase MM --track FRONT,REAR"):format(folder)})
end)

-- By hand: (90 x 1700 + 40 x 2200 + 210 x 1100 + 80 x 1000) / 420 = 1314.2857 mm behind the front axle
test("with_wheels_a_file_is_written_that_balances", function()
  fresh()
  local result = take()
  check.ok(result.written)
  check.near(result.mass, 420, 1e-12)
  check.near(result.front_share, 100 * (1 - 552000 / 420 / 2400), 1e-10)
  local b = sy.load(folder .. "/parts.lua"):state "as listed":balance()
  check.equal({b.mass, b.front_share}, {result.mass, result.front_share})
  check.equal(sy.load(folder .. "/parts.lua"):states(), {"as listed", "nobody aboard"})
  check.near(sy.load(folder .. "/parts.lua"):state "nobody aboard":balance().mass, 340, 1e-12)
  check.contains(tostring(result), "Taken for granted: x back from the front axle, y to the right of the centre plane, z up from the "
    .. "ground; wheels of 300 mm loaded radius; the uncertainties under assume where the table says none.")
  local lines = select(2, contents "parts.lua":gsub("\n", ""))
  check.ok(lines >= 10 and lines <= 14, "about ten lines")
  check.equal(contents "parts.lua.new", nil)
end)

test("the_commands_it_tells_to_type_work", function()
  fresh()
  for _, command in ipairs(take().next) do
    check.equal(check.command((command:gsub("^steelyard", check.steelyard))).code, 0, command)
  end
end)

test("the_datum_that_was_given_is_reported_and_not_the_usual_one", function()
  fresh "part;mass;x;y;z\nengine;90;-1200;700;660\ngearbox;40;-1700;700;700\nbody;210;-600;700;650\ndriver;80;-500;450;630\n"
  local given = {axes = {"forward", "left", "down"}, front_at = 500, centre = 700, ground = 1000}
  local datum = "Taken for granted: x forward with the front axle at 500 mm, y to the left with the centre plane at 700 mm, z down with "
    .. "the ground at 1000 mm;"
  check.contains(tostring(take(given)), datum)
  os.remove(folder .. "/parts.lua")
  given.wheelbase, given.track = false, false
  local result = take(given)
  check.contains(tostring(result), datum)
  check.equal(result.next, {("steelyard take_parts %s/parts.csv --wheelbase MM --track FRONT,REAR --axes forward,left,down --front-at 500 "
    .. "--ground 1000 --centre 700"):format(folder)})
  given.axes, given.centre, given.ground = {"left", "up", "back"}, 0, 0
  check.contains(tostring(take(given)), "x to the left of the centre plane, y up from the ground, z back with the front axle at 500 mm;")
end)

test("the_same_car_measured_along_other_axes_balances_the_same", function()
  fresh()
  local want = take()
  local left = sy.load(folder .. "/parts.lua"):balance().left_share
  os.remove(folder .. "/parts.lua")
  -- x forward from a point 500 behind the front axle, y to the left of a plane 700 to the right, z down from 1000 above the ground
  fresh "part;mass;x;y;z\nengine;90;-1200;700;660\ngearbox;40;-1700;700;700\nbody;210;-600;700;650\ndriver;80;-500;450;630\n"
  local got = take{axes = {"forward", "left", "down"}, front_at = 500, centre = 700, ground = 1000}
  check.near(got.mass, want.mass, 1e-12)
  check.near(got.front_share, want.front_share, 1e-9)
  check.near(got.height, want.height, 1e-9)
  check.near(sy.load(folder .. "/parts.lua"):balance().left_share, left, 1e-9)
  check.ok(left < 49, "the driver sits to the right")
end)

test("scales_of_the_table_become_instruments", function()
  fresh "part;mass;x;y;z;reading;scale\na;90;0;0;0;88.2;bench\nb;90;2000;0;0;;\nc;20;2000;0;0;21;floor\nd;20;2000;0;0;21;bench\n"
  take()
  local words = contents "parts.lua"
  check.contains(words, '{ name = "bench" },\n    { name = "floor" },\n')
  check.contains(words, "say what is known of them")
  check.near(sy.load(folder .. "/parts.lua"):balance().mass, 88.2 + 90 + 42, 1e-12)
end)

test("names_with_quotes_and_a_decimal_mark_are_written_as_such", function()
  fresh 'part;mass;x;y;z;kind\na;1,234;0;0;0;\nthe "old" one;80;1;1;1;person\n'
  check.raises(function() take() end, {code = "content", file = folder .. "/parts.csv"})
  check.equal(contents "parts.lua", nil)
  take{decimal = ",", title = 'A "title"'}
  check.contains(contents "parts.lua", 'from_csv "parts.csv" { decimal = "," }')
  check.contains(sy.load(folder .. "/parts.lua"):heading(), 'A "title"')
  check.near(sy.load(folder .. "/parts.lua"):state "nobody aboard":balance().mass, 1.234, 1e-15)
end)

test("a_file_that_is_there_stays_as_it_is", function()
  fresh()
  take()
  local before = contents "parts.lua"
  local again = take{wheelbase = 2000}
  check.equal(contents "parts.lua", before)
  check.equal({again.written, again.kept}, {false, true})
  check.near(again.front_share, 100 * (1 - 552000 / 420 / 2400), 1e-10, "of the file as it is")
  check.contains(tostring(again), "is there already and stays as it is; it reads this table")
  put("mycar.lua", before:gsub("from_csv \"parts.csv\"", 'part "all" { mass = 500, at = {1000, 0, 300} }'))
  local other = take{file = folder .. "/mycar.lua"}
  check.equal({other.book, other.mass}, {'from_csv "parts.csv"'})
  check.contains(tostring(other), 'This line among its parts books the table:\n  from_csv "parts.csv",')
end)

test("the_table_may_lie_below_the_vehicle_file", function()
  fresh()
  put("below/more.csv", TABLE)
  take{table = folder .. "/below/more.csv", file = folder .. "/mycar.lua"}
  check.contains(contents "mycar.lua", 'from_csv "below/more.csv"')
  check.near(sy.load(folder .. "/mycar.lua"):balance().mass, 420, 1e-12)
end)

test("a_car_that_would_tip_is_asked_about", function()
  fresh "part;mass;x;y;z\na;100;-1200;800;-300\n"
  local shown = tostring(take())
  check.contains(shown, "The CG lies ahead of the wheels: does x run the other way (--axes), or is the front axle not at 0 of the table")
  check.contains(shown, "Three quarters of the load on one side")
  check.contains(shown, "The CG lies below the ground")
  check.contains(shown, "Nothing is written, for something looks wrong")
  check.equal(contents "parts.lua", nil)
  check.ok(take{anyway = true}.written)
  check.ok(contents "parts.lua")
end)

test("what_cannot_be_is_refused_and_nothing_is_written", function()
  fresh()
  local function refuses(options, want)
    check.raises(function() take(options) end, want)
    check.equal(contents "parts.lua", nil)
  end
  refuses({track = false}, {code = "usage", message = "--track is missing"})
  refuses({wheelbase = false}, {code = "usage", message = "--wheelbase is missing"})
  refuses({track = {1, 2, 3}}, {code = "usage", message = "--track has 3 numbers"})
  refuses({radius = {1, 2, 3}}, {code = "usage", message = "--radius has 3 numbers"})
  refuses({axes = {"back", "back", "up"}}, {code = "usage", message = "--axes back,back,up: one runs", hint = "--axes back,right,up"})
  refuses({axes = {"back", "up"}}, {code = "usage"})
  refuses({file = folder .. "/parts"}, {code = "usage", hint = "parts.lua"})
  refuses({file = folder .. "/below/mycar.lua"}, {code = "usage", file = folder .. "/parts.csv",
    message = "does not lie beside the vehicle file or below it"})
  refuses({file = "mycar.lua"}, {code = "usage"})
  refuses({table = folder .. "/below/../parts.csv", file = folder .. "/mycar.lua"}, {code = "usage"})
  refuses({table = folder .. "/none.csv"}, {code = "read"})
  put("parts.csv", "part;mass;x;y;z;unsprung\na;1;0;0;0;frnt\n")
  refuses({}, {code = "unknown", file = folder .. "/parts.csv", line = 2, hint = '"front"'})
  put("parts.csv", (TABLE:gsub("340", "340 kg")))
  refuses({}, {code = "type", line = 2, field = "z"})
end)

os.execute("rm -r " .. folder)
check.done()
