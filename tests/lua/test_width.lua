--- Pages fit 100 columns: every command line of tests/scripts, and the commands that take a car alone on all demo cars.
-- Under the command alone: what it looks at are the command's own processes.

local check = dofile "tests/lua/check.lua"
local text = require "steelyard.print.text"
local test = check.test

local WIDTH = 100

-- What is not a page: documents, tables for a spreadsheet, files as they are written, forms to be printed on paper, a folder's name of the
-- system in a line. Each with its reason.
local excepted = {
  take_parts_written = "prints the file that was written", take_parts = "names of the table's columns as they stand",
  apply_masses = "lines of the file that was written",
  start = "a path of the system's temporary folder", sheets_text = "forms for paper, A4 across",
  sheets_text_three_wheels = "forms for paper, A4 across",
}

-- "line 12 has 117 columns: ..." of the widest line, or nil
local function too_wide(page)
  local worst, most, number = nil, WIDTH, 0
  for line in (page .. "\n"):gmatch "(.-)\n" do
    number = number + 1
    local width = text.width(line)
    if width > most then worst, most = ("line %d has %d columns: %s"):format(number, width, line), width end
  end
  return worst
end

local function is_table_or_document(line)
  return line:find("--json", 1, true) or line:find("--csv", 1, true) or line:find("--semicolon", 1, true)
    or line:find(".svg", 1, true) or line:find("--help", 1, true) -- its examples are lines to be typed
end

test("pages_of_the_tests_fit", function()
  local list, seen = io.popen "ls tests/scripts/*.cmd", 0
  for path in list:lines() do
    local name = path:match "([^/]+)%.cmd$"
    local file = assert(io.open(path))
    local line = file:read "a"
    file:close()
    if not is_table_or_document(line) and not excepted[name] then
      local expected = assert(io.open((path:gsub("%.cmd$", ".expected"))))
      local wide = too_wide(expected:read "a")
      expected:close()
      check.ok(not wide, ("%s: %s"):format(name, wide))
      seen = seen + 1
    end
  end
  list:close()
  check.ok(seen > 90, seen)
end)

local cars = {"bistort", "burnet", "fescue", "first_guess", "teasel", "twayblade"}
local commands = {"balance", "book", "budget", "checks", "clearance", "compare_layouts", "driver_swap", "drivers", "engine_back",
                  "forgotten",
                  "fuel_burn", "half_shafts", "mockup", "predict_corners", "propshaft", "ride_height", "strip_for_mockup", "tilt_table"}

test("pages_of_all_demo_cars_fit", function()
  local seen = 0
  for _, car in ipairs(cars) do
    for _, command in ipairs(commands) do
      local ran = check.command(("%s %s vehicles/%s.lua"):format(check.steelyard, command, car))
      local wide = too_wide(ran.out)
      check.ok(not wide, ("%s of %s: %s"):format(command, car, wide))
      seen = seen + (ran.out ~= "" and 1 or 0)
    end
  end
  check.ok(seen > 70, seen)
end)

-- Every name is as long as a sentence and there are many: lines go on below, lists are counted.
local function long_car()
  local lines = {}
  local function add(line, ...) lines[#lines + 1] = line:format(...) end
  local full = "race start with everything aboard that the rules ask for and a full tank"
  add([[vehicle { title = "A car whose parts have the longest names that anybody would give, so that lists take room (invented)",
    axes = {x = "back", y = "right", z = "up"}, design = "%s", cross_share = 50, axles = {
    {name = "front", at = 0, track = 1400, loaded_radius = 300, spring_rate = 30, tyre_rate = 200, bump = 60, droop = 60},
    {name = "rear", at = 2400, track = 1400, loaded_radius = 300, spring_rate = 30, tyre_rate = 200, bump = 60, droop = 60}},
    parts = {]], full)
  local function group(i) return ("assembly number %d of the car with left and right together as weighed on the bench"):format(i) end
  for g = 1, 3 do
    add('group "%s" { at = {%d, 0, 300},', group(g), 300 * g)
    for i = 1, 14 do
      add('part "bracket number %d with its bolts and washers and nuts, of assembly %d" { mass = %s, at = {%d, %d, 20} },', i, g,
        i % 5 == 0 and "unknown" or "within(3, 1)", 10 * i, i)
    end
    add "},"
  end
  add[[person "driver" { mass = 80, at = {1000, 0, 400} },
    tank "fuel" { capacity = 40, density = 0.75, fill = 20, at = {1400, 0, 300} } },]]
  add('states = { state "%s" {} }, points = {', full)
  for i = 1, 14 do
    add('{name = "jacking point number %d under the sill on the left of the middle", at = {%d, 0, 60}},', i, 150 * i - 600)
  end
  add "}, clearances = {"
  for g = 1, 2 do
    add('{name = "assembly %d against assembly %d all the way along with hoses on", a = "%s", b = "%s", asked = 8},', g, g + 1, group(g),
      group(g + 1))
  end
  add('}, limits = {{name = "front share with everything aboard that the rules ask for", quantity = "front_share", min = 40, max = 60}}}')
  return table.concat(lines, "\n"), group(1)
end

test("pages_of_a_car_with_many_long_names_fit", function()
  local folder = check.command("mktemp -d").out:match "%S+"
  local file = assert(io.open(folder .. "/car.lua", "w"))
  local words, group = long_car()
  file:write(words)
  file:close()
  local seen = 0
  local function fits(command)
    local ran = check.command(("cd %s && %s %s"):format(folder, check.command("realpath " .. check.steelyard).out:match "%S+", command))
    local wide = too_wide(ran.out)
    check.ok(not wide, ("%s: %s"):format(command, wide))
    seen = seen + (ran.out ~= "" and 1 or 0)
    return ran.out
  end
  for _, command in ipairs(commands) do fits(command .. " car.lua") end
  local moved = fits(("compare_layouts car.lua --move '%s'"):format(group))
  check.contains(moved, 'heaviest single lifts, kg  "fuel" 15 ')
  check.contains(fits "clearance car.lua --at design,bump,droop,steer,rock", "; and 25 more")
  check.contains(fits "cg_height car.lua --plan 10", "others stay clear up to 20 degrees.")
  fits "what_changed car.lua car.lua"
  check.command("rm -r " .. folder)
  check.ok(seen > 18, seen)
end)

test("a_table_too_wide_for_a_page_is_two", function()
  local page = require "steelyard.print.page"
  local long = ("x"):rep(42) -- 5 + 42 + 42 + 6 and three gaps of two: 101
  local headings = {{"shaft", "%s"}, {"angle", "%s"}, {"where", "%s"}, {"length", "%.1f"}}
  local text_of = page.table(headings, {{"left", "1.7  pass", "inner", 450.21}}, 4)
  check.equal(text_of, "shaft  angle      where  length\nleft   1.7  pass  inner   450.2")
  check.equal(page.table(headings, {{"left", long, long, 450.21}}, 4),
    ("shaft  angle%s  where\nleft   %s  %s\n\nshaft  length\nleft    450.2"):format((" "):rep(42 - 5), long, long))
  check.ok(page.table(headings, {{"left", long, long:sub(2), 450.21}}, 4):find "where +length")
end)

check.done()
