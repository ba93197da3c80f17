-- car:save: what is written, what stays as it was, and what is refused. The measure is the text that stands in the file, and the car
-- that is read from it; 500 random cars are in test_save_random.lua.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local sy = require "steelyard"
local test = check.test

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder))

local function path_of(name) return folder .. "/" .. name end

local function write(name, text)
  local file <close> = assert(io.open(path_of(name), "wb"))
  file:write(text)
  return path_of(name)
end

local function read(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

local AXLES = [[axles = { { name = "front", at = 0, track = 1450, loaded_radius = 288, tyre_rate = 190, spring_rate = 42 },
    { name = "rear", at = 2400, track = 1450, loaded_radius = 300, tyre_rate = 215, spring_rate = 54 } },]]

-- A file with these parts and other fields.
local function file(parts, more) return ("vehicle {\n  %s\n  parts = {\n%s\n  },%s\n}\n"):format(AXLES, parts, more or "") end

local number = 0

-- The text of a file before and after an edit.
local function edited(text, edit)
  number = number + 1
  local path, new = write(("car%d.lua"):format(number), text), path_of(("new%d.lua"):format(number))
  local car = edit(sy.load(path))
  local saved = car:save(new)
  return read(new), saved, car, sy.load(new)
end

-- What a text has where `old` stood.
local function becomes(text, edit, old, new)
  local out = edited(text, edit)
  local first, last = text:find(old, 1, true)
  check.equal(out, text:sub(1, first - 1) .. new .. text:sub(last + 1))
end

local function error_of(act, ...)
  local fine, err = pcall(act, ...)
  check.ok(not fine, "an error")
  if getmetatable(err) ~= core.error_metatable then error(err, 0) end
  return err
end

-- ---- the text stays ---------------------------------------------------------------------------------------------------------------

local demo = {"first_guess", "twayblade", "burnet", "teasel", "fescue", "bistort", "tansy", "sedge"}
os.execute(("cp -r vehicles %s/demo"):format(folder))

test("demo_vehicles_saved_without_an_edit_are_the_same_bytes", function()
  for _, name in ipairs(demo) do
    local path = path_of("demo/" .. name .. ".lua")
    sy.load(path):save(path_of("demo/same.lua"))
    check.equal(read(path_of "demo/same.lua"), read(path), name)
    os.remove(path_of "demo/same.lua")
  end
end)

-- Lines of a text that the other has not.
local function lines_changed(old, new)
  local seen, count = {}, 0
  for line in old:gmatch "[^\n]*" do seen[line] = true end
  for line in new:gmatch "[^\n]*" do count = count + (seen[line] and 0 or 1) end
  return count
end

local edits = {
  {"first_guess", function(car) return car:move("powertrain", {back = 50}) end, 2}, -- and its joint
  {"twayblade", function(car) return car:move("battery", {forward = 120}):set("main hoop", {mass = 14.2}) end, 2},
  {"twayblade", function(car) return car:swap("driver", "tall driver"):without "silencer" end, 3},
  {"burnet", function(car) return car:move("engine and gearbox", {up = 12.5}) end, 1},
  {"teasel", function(car) return car:set("rear axle", {spring_rate = 61}) end, 1},
  {"bistort", function(car) return car:move("powertrain", {back = 30, up = 5}) end, 7}, -- with what is fixed to it
  {"bistort", function(car) return car:without "oil pump" end, 1},
  {"bistort", function(car) return car:lower{front = 12} end, 1},
}

test("demo_vehicles_edited_read_back_as_the_car_and_change_a_line_an_edit", function()
  for _, row in ipairs(edits) do
    local path, new = path_of("demo/" .. row[1] .. ".lua"), path_of "demo/new.lua"
    local car = row[2](sy.load(path))
    check.equal(#car:save(new).rewritten, 0)
    check.equal(lines_changed(read(path), read(new)), row[3], row[1])
    local a, b = car:balance(), sy.load(new):balance()
    for _, name in ipairs{"mass", "front_share", "left_share", "height", "yaw_inertia", "lf", "rf"} do
      check.equal(b[name], a[name], name)
    end
    os.remove(new)
  end
end)

test("saved_file_is_the_car_as_set_up_anew", function()
  for _, row in ipairs(edits) do
    local path, new = path_of("demo/" .. row[1] .. ".lua"), path_of "demo/new.lua"
    local car = row[2](sy.load(path))
    local saved = car:save(new)
    check.contains(tostring(saved), "The file is the car as set up anew: its corners are those of corners{reset = true}.")
    if row[1] == "twayblade" or row[1] == "bistort" then -- on springs
      local a, b = car:corners{reset = true}, sy.load(new):corners()
      for _, wheel in ipairs(a.wheels) do check.near(b[wheel], a[wheel], 1e-9, row[1] .. " " .. wheel) end -- kg: rounding of places
    end
    os.remove(new)
  end
end)

test("what_is_fixed_to_parts_goes_along_into_the_file", function()
  local path, new = path_of "demo/bistort.lua", path_of "demo/new.lua"
  local car = sy.load(path):move("powertrain", {back = 30, nose_up = 2}):move("rear axle", {back = 12}):move("rack", {up = 4, left_up = 3})
  car:save(new)
  local again = sy.load(new)
  local a, b = car:shafts(), again:shafts()
  for i, shaft in ipairs(a) do
    for _, pose in ipairs{"droop", "ride", "bump"} do
      for _, key in ipairs{"inner", "outer", "length"} do -- deg, mm
        check.near(b[i].at[pose][key], shaft.at[pose][key], 1e-6, shaft.name)
      end
    end
  end
  a, b = car:clearances(), again:clearances()
  for i, row in ipairs(a) do
    check.equal(b[i].status, row.status)
    local between_points = row.name == "air box and fuel tank" -- measured along their line as drawn, which is another one now
    if row.gap and not between_points then check.near(b[i].gap, row.gap, 1e-6, row.name) end
  end
  a, b = car:markout(), again:markout()
  for i, row in ipairs(a) do check.near(b[i].x, row.x, 1e-6, row.name) end
  os.remove(new)
end)

test("edit_leaves_comments_order_units_and_line_ends", function()
  local text = file([[    part "a" { mass = 30*lb, at = { -- measured
        70*inch, --[==[ to the left ]==] -12, 300 }, note = "mass = 3" }, part "a b" { mass = 30*lb, at = {70*inch, 0, 300} },
    part "body" { mass = 500, at = {1000, 0, 300} },]])
  becomes(text, function(car) return car:move("a", {back = 25.4}) end, "70*inch, --", "71*inch, --")
  becomes(text, function(car) return car:move("a b", {back = 2.54}) end, "{70*inch, 0", "{70.1*inch, 0")
  becomes(text, function(car) return car:move("a", {right = 2, up = 0.001}) end, "-12, 300 }", "-10, 300.001 }")
  becomes(text:gsub("\n", "\r\n"), function(car) return car:move("body", {back = 1}) end, "{1000", "{1001")
  becomes("\xEF\xBB\xBF" .. text, function(car) return car:move("body", {back = 1}) end, "{1000", "{1001")
  becomes(text, function(car) return car:set("body", {note = "new"}) end, "at = {1000, 0, 300} }", "at = {1000, 0, 300}, note = \"new\" }")
end)

test("field_keeps_its_uncertainty_where_the_edit_states_none", function()
  local text = file([[    part "a" { mass = sd(30, 0.2), at = {sd(700, 2), 0, 300} },
    part "b" { mass = within(30*kg, 3*kg), at = {x = 700, y = 0, z = 300} }, part "c" { mass = 500, at = {1000, 0, 300} },]])
  becomes(text, function(car) return car:set("a", {mass = 31}) end, "sd(30, 0.2)", "sd(31, 0.2)")
  becomes(text, function(car) return car:set("a", {mass = sy.sd(31, 0.1)}) end, "sd(30, 0.2)", "sd(31, 0.1)")
  becomes(text, function(car) return car:set("b", {mass = 31}) end, "within(30*kg, 3*kg)", "within(31*kg, 3*kg)")
  becomes(text, function(car) return car:set("a", {mass = sy.unknown}) end, "sd(30, 0.2)", "unknown")
  becomes(text, function(car) return car:move("a", {back = 5}) end, "sd(700, 2)", "sd(705, 2)")
  becomes(text, function(car) return car:move("b", {up = 5}) end, "z = 300", "z = 305")
end)

test("mass_over_a_weighing_moves_the_weighing_to_was", function()
  local text = file([[    part "a" { mass = 12, at = {700, 0, 300}, weighed = { reading = {14.2, 14.4}, on = "bench" } },
    part "c" { mass = 500, at = {1000, 0, 300} },]], "\n  instruments = { { name = \"bench\", step = 0.1 } },")
  local out, _, car, again = edited(text, function(c) return c:set("a", {mass = sy.sd(13, 0.1)}) end)
  check.contains(out, 'part "a" { mass = sd(13, 0.1), at = {700, 0, 300}, basis = "weighed", was = sd(14.3, ')
  check.equal(again:balance().mass, car:balance().mass)
  out = edited(text, function(c) return c:set("c", {weighed = {reading = 498, on = "bench"}}) end)
  check.contains(out, 'part "c" { mass = 500, at = {1000, 0, 300}, weighed = { reading = 498, on = "bench" } },')
end)

test("row_of_a_table_that_changes_brings_the_table_into_the_file", function()
  local path, new = path_of "demo/fescue.lua", path_of "demo/new.lua"
  local before, car = read(path_of "demo/fescue_parts.csv"), sy.load(path):move("engine", {back = 10})
  local saved = car:save(new)
  check.equal(read(path_of "demo/fescue_parts.csv"), before)
  check.contains(table.concat(saved.notes, "\n"), "the parts of fescue_parts.csv now stand in the file; the table itself stays as it is")
  check.ok(not read(new):find('from_csv "fescue_parts.csv"', 1, true))
  check.equal(sy.load(new):balance().yaw_inertia, car:balance().yaw_inertia)
  os.remove(new)
  car = sy.load(path):set("fuel", {fill = 4})
  car:save(new)
  check.contains(read(new), 'from_csv "fescue_parts.csv"')
  os.remove(new)
end)

local STATES = [[

  spares = { part "light" { mass = 5, at = {500, 0, 300} }, part "extra" { mass = 7, at = {400, 0, 300} }, },
  states = { state "one" { without = {"old"} }, state "two" { with = {"extra"}, swap = { old = "light" } },
    state "three" { with = "g/in" } },]]

test("who_is_out_stands_among_the_spares_and_states_name_who_is_there", function()
  local text = file([[    part "old" { mass = 10, at = {500, 0, 300} }, -- the old one
    group "g" { at = {100, 0, 10}, part "in" { mass = 3, at = {1, 2, 3}, --[==[ inside ]==] },
      part "c" { mass = 500, at = {900, 0, 300} } },]], STATES)
  local out, _, car, again = edited(text, function(c) return c:swap("old", "light"):without "extra":without "g/in" end)
  check.contains(out, '    part "light" { mass = 5, at = {500, 0, 300} }, -- the old one')
  check.contains(out, 'group "g" { at = {100, 0, 10},\n      part "c"')
  check.contains(out, 'part "in" { mass = 3, at = {101, 2, 13}, --[==[ inside ]==] }')
  check.contains(out, 'state "one" { without = {"light"} }, state "two" { },\n    state "three" { }')
  for _, state in ipairs(car:states()) do check.equal(again:state(state):balance().mass, car:state(state):balance().mass, state) end
end)

test("part_that_is_added_stands_before_the_closing_brace", function()
  local text = file [[    group "g" { at = {100, 0, 10},
      part "c" { mass = 500, at = {900, 0, 300} } }, -- all]]
  local out, _, car, again = edited(text, function(c)
    return c:add(sy.part "lead" {mass = sy.within(5, 0.5), at = {1, 2, 3}, shape = sy.box {100, 50, 20}, tags = "ballast"}, "g")
      :add(sy.tank "oil" {at = {0, 0, 300}, capacity = 5, density = 0.87, fill = 4})
  end)
  check.contains(out, [[
      part "c" { mass = 500, at = {900, 0, 300} },
      part "lead" { mass = within(5, 0.5), at = {1, 2, 3}, shape = box {100, 50, 20}, tags = "ballast" } }, -- all
    tank "oil" { density = 0.87, capacity = 5, fill = 4, at = {0, 0, 300} },
]])
  check.equal(again:balance().front_share, car:balance().front_share)
  check.equal(again:balance().sd.front_share, car:balance().sd.front_share)
end)

-- ---- written anew -------------------------------------------------------------------------------------------------------------------

test("file_with_names_of_its_own_is_written_anew_as_a_whole", function()
  local text = "local mass = 2 * 250 -- two halves\n" .. file [[    part "c" { mass = mass, at = {900, 0, 300}, note = "one\ntwo" },]]
  local out, saved = edited(text, function(car) return car:move("c", {back = 5}) end)
  check.equal(saved.rewritten, {"the whole file"})
  check.contains(table.concat(saved.notes, "\n"), "the file is written anew as a whole: it has names of its own, functions, sums or "
    .. "long texts: what they come to is written, comments are not")
  check.contains(out, 'part "c" { mass = 500, at = {905, 0, 300}, note = "one\\ntwo" },')
end)

test("car_of_a_script_is_written_as_a_whole", function()
  local car = sy.car{title = "Made (invented)", axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288},
    {name = "rear", at = 2400, track = 1450, loaded_radius = 288}}, parts = {sy.part "tub" {mass = sy.sd(500, 2), at = {1000, 3, 300}},
      sy.from_csv "vehicles/fescue_parts.csv"}, instruments = {{name = "bench scale"}, {name = "parts scale", unit = "g"},
      {name = "hanging scale", unit = "lb"}, {name = "floor scale"}}}:move("tub", {back = 0.5})
  local saved = car:save(path_of "made.lua")
  check.equal(saved.rewritten, {"the whole file"})
  local again = sy.load(path_of "made.lua")
  check.equal(again:balance().front_share, car:balance().front_share)
  check.contains(read(path_of "made.lua"), 'part "tub" { mass = sd(500, 2), at = {1000.5, 3, 300} },')
end)

test("lowered_body_is_a_field_and_loads_as_car_lower_does", function()
  local text = file [[    part "c" { mass = 500, at = {900, 0, 300}, shape = box {2000, 1000, 400} },]]
  local out, _, car, again = edited(text, function(c) return c:lower{front = 10, rear = sy.sd(5, 1)} end)
  check.contains(out, "  lowered = { front = 10, rear = sd(5, 1) },\n}")
  check.equal(again:heights().front, -10)
  check.equal(again:balance().height, car:balance().height)
  check.equal(again:attitude().sd.heights.rear, car:attitude().sd.heights.rear)
  check.equal(edited(out, function(c) return c:raise{front = 10, rear = 5} end), text, "drawn heights need no field")
end)

test("a_group_that_counts_as_weighed_is_saved_as_long_as_it_has_the_parts_that_were_weighed", function()
  local text = file [[    group "g" { whole = sd(168, 0.5), unaccounted = true,
      part "c" { mass = sd(150, 0.1), at = {900, 0, 300} },
      part "d" { mass = 10, at = {1900, 0, 300} } },]]
  local out, _, car, again = edited(text, function(c) return c:move("g", {back = 20}) end)
  check.contains(out, "unaccounted = true")
  check.near(again:balance().cg.x, car:balance().cg.x, 1e-6) -- mm, as saved_alike.lua
  check.near(again:balance().sd.mass, car:balance().sd.mass, 1e-12)
  -- 168 kg +- 0.5 less what left, more what came; the pieces that changed bring their errors: sqrt(0.5^2 + 2 x 0.1^2) = 0.52
  local cases = {{function(c) return c:set("c", {mass = 152}) end, "come to 170.00 kg", "sd(170.00, 0.5"},
    {function(c) return c:move("d", {back = 5}) end, "as if they had been weighed as they lie now", "the whole stays"},
    {function(c) return c:without "d" end, "come to 158.00 kg", "sd(158.00, 0.50)"},
    {function(c) return c:without "c" end, "come to 18.00 kg", "sd(18.00, 0.51)"},
    {function(c) return c:add(sy.part "e" {mass = 4, at = {900, 0, 200}}, "g") end, "come to 172.00 kg", "sd(172.00, 0.50)"}}
  for _, case in ipairs(cases) do
    check.raises(function() edited(text, case[1]) end, {code = "unavailable", part = "g", field = "unaccounted",
      message = {"whole of 168.00 kg was weighed with other parts, or with parts elsewhere", case[2]}, hint = case[3]})
  end
  -- what the hint says, by hand: the same masses, and as sure
  local by_hand = sy.load("hand.lua", (text:gsub("whole = sd%(168, 0.5%)", "whole = sd(158, 0.5)"):gsub("%s+part \"d\" %b{}", " ")))
  local without = sy.load("text.lua", text):without "d"
  check.near(by_hand:balance().mass, without:balance().mass, 1e-9)
  check.near(by_hand:balance().sd.mass, without:balance().sd.mass, 1e-9)
end)

test("a_group_that_counts_as_weighed_is_weighed_again_in_its_file", function()
  local car = sy.load("text.lua", file [[    group "g" { whole = sd(168, 0.5), unaccounted = true,
      part "c" { mass = sd(150, 0.1), at = {900, 0, 300} } },]])
  for field, value in pairs{whole = sy.sd(170, 0.5), unaccounted = false, weighed = {reading = 170}} do
    check.raises(function() car:set("g", {[field] = value}) end, {code = "unavailable", part = "g", field = field,
      message = "counts as it was weighed", hint = "write it in the file"})
  end
  check.equal(car:set("g", {note = "as before"}):balance().mass, car:balance().mass)
end)

test("liquid_of_a_turned_tank_is_said_to_lie_level_in_the_file", function()
  local text = file [[    part "c" { mass = 500, at = {900, 0, 300} },
    tank "fuel" { shape = box {400, 300, 300}, at = {1000, 0, 300}, density = 0.75, fill = 10 },]]
  local out, saved = edited(text, function(car) return car:move("fuel", {nose_up = 5}) end)
  check.contains(out, "fill = 10, turned = { nose_up = 5 } }")
  check.contains(table.concat(saved.notes, "\n"), "fuel was turned: in the file its liquid lies level, in this car it turned with the tank")
end)

local function spec_of(car) return require("steelyard.car.contents").inside(car).shared.spec end

-- A tank is where its line says, whatever is in it: what is fixed to it goes where the tank goes, and not where its contents lie.
test("what_is_fixed_to_a_tank_goes_with_the_tank_and_not_with_what_it_holds", function()
  local text = file([[    part "tub" { mass = 400, at = {-1100, 0, 300} },
    tank "fuel" { shape = box {400, 300, 300}, at = {-1100, 20, 330}, density = 0.75, fill = 30, turned = { nose_up = 7 } },]],
    [[ points = { cap = { at = {-1000, 0, 485}, part = "fuel" } },
  clearances = { { name = "tank and hoop", asked = 5, a = { part = "tub", at = {-1300, 0, 330} },
    b = { part = "fuel", at = {-1290, 0, 330} } } },]])
  becomes(text, function(car) return car:set("fuel", {fill = 5}) end, "fill = 30", "fill = 5")
  local function moved(car) return car:move("fuel", {back = 10, nose_up = 3}) end
  local _, _, _, full = edited(text, moved)
  local _, _, _, low = edited(text, function(car) return moved(car):set("fuel", {fill = 5}) end)
  local _, _, _, first = edited(text, function(car) return moved(car:set("fuel", {fill = 5})) end)
  for _, other in ipairs{low, first} do
    for i = 1, 3 do
      check.near(spec_of(other).points[1].at[i], spec_of(full).points[1].at[i], 1e-8, "the cap, " .. i) -- mm: twice rounded to 1e-9
      check.near(spec_of(other).clearances[1].b.at[i], spec_of(full).clearances[1].b.at[i], 1e-8, "the face, " .. i)
    end
  end
  check.ok(math.abs(spec_of(full).points[1].at[1] - -1010) > 1, "the turn carries it along")
end)

-- What a study, or a change in words, sets of the vehicle as a whole.
test("chassis_and_cross_weight_are_saved_under_the_names_the_file_gives_them", function()
  local function set(field, value)
    return function(car)
      local of, way = field:match "^(%S+) (%S+)$"
      return sy.study{car, vary = {sy.vary(of, way, {value})}, show = {"front"}}:variant(1)
    end
  end
  local parts = '    part "tub" { mass = 400, at = {-1100, 0, 300} },'
  local text = file(parts, "\n  chassis = { torsion = 5200 }, cross_weight = 50, -- as drawn")
  becomes(text, set("chassis torsion", 6100), "5200", "6100")
  becomes(text, set("vehicle cross_share", 51.5), "cross_weight = 50", "cross_weight = 51.5")
  local out = edited(file(parts), set("chassis torsion", 6100))
  check.contains(out, "torsion = 6100")
end)

test("state_and_fill_are_not_saved_and_that_is_said", function()
  local path, new = path_of "demo/twayblade.lua", path_of "demo/new.lua"
  local saved = sy.load(path):state "kerb":fill{fuel = 10}:save(new)
  check.equal(read(new), read(path))
  check.contains(table.concat(saved.notes, "\n"), 'the state "kerb" is not saved: choose it again when the file is read\n'
    .. "fills by car:fill are not saved: a file states its own")
  os.remove(new)
end)

-- ---- keeping the old file ---------------------------------------------------------------------------------------------------------------

test("replaced_file_is_kept_in_history_under_the_next_number", function()
  local text = file [[    part "c" { mass = 500, at = {900, 0, 300} },]]
  local path = write("own.lua", text)
  local first = sy.load(path):move("c", {back = 5}):save(path, {replace = true})
  check.equal(first.kept, path_of "history/own-1.lua")
  check.equal(read(first.kept), text)
  check.contains(tostring(first), ("What lay there before is kept as %s."):format(first.kept))
  local second = sy.load(path):move("c", {back = 5}):save(path, {replace = true})
  check.equal(second.kept, path_of "history/own-2.lua")
  check.contains(read(second.kept), "{905, 0, 300}")
  check.contains(read(path), "{910, 0, 300}")
end)

test("kept_file_reads_as_it_did_with_the_parts_of_its_table_and_its_meshes", function()
  local text = file([[    from_csv "own.csv", -- the table
    tank "fuel" { shape = mesh {"shapes/saddle_tank.obj", unit = "mm"}, at = {1400, 0, 300}, density = 0.75, fill = 9 },]])
  os.execute(("mkdir -p %s/kept/shapes; cp vehicles/shapes/saddle_tank.obj %s/kept/shapes"):format(folder, folder))
  write("kept/own.csv", "name,mass,x,y,z\ntub,400,1000,10,300\n")
  local path = write("kept/own.lua", text)
  local car = sy.load(path)
  local saved = car:move("tub", {back = 5}):save(path, {replace = true})
  check.equal(sy.load(saved.kept):balance().front_share, car:balance().front_share)
  check.equal(sy.load(saved.kept):balance().height, car:balance().height)
  check.contains(read(saved.kept), 'part "tub" { mass = 400, at = {1000, 10, 300} }, -- the table')
end)

test("record_without_a_file_gets_the_name_of_the_one_that_says_what_the_car_was", function()
  local path = path_of "demo/tansy.lua"
  local text, car = read(path), sy.load(path)
  local before = car:records()
  local part = car:book().rows[2].path
  local function without_file(said)
    local count = 0
    for record in said:gmatch 'record "[^"]*" %b{}' do count = count + (record:find "file =" and 0 or 1) end
    return count
  end
  local function same(name)
    local after = sy.load(name):records()
    for k, record in ipairs(before) do
      check.equal({after[k].name, after[k].headline, after[k].sigmas}, {record.name, record.headline, record.sigmas}, name)
    end
  end
  check.ok(without_file(text) > 0)
  -- under another name beside it: its own file says what the car was
  car:move(part, {back = 5}):save(path_of "demo/tansy_later.lua")
  check.equal(without_file(read(path_of "demo/tansy_later.lua")), 0)
  check.contains(read(path_of "demo/tansy_later.lua"), 'file = "tansy.lua"')
  same(path_of "demo/tansy_later.lua")
  os.remove(path_of "demo/tansy_later.lua")
  -- over itself: the file that is kept
  local saved = car:move(part, {back = 5}):save(path, {replace = true})
  check.contains(read(path), ('file = "history/%s"'):format(saved.kept:match "[^/]*$"))
  check.equal(read(saved.kept), text)
  same(path)
  -- a car without changes is the car that its records speak of
  write("demo/tansy.lua", text)
  sy.load(path):save(path_of "demo/tansy_later.lua")
  check.equal(read(path_of "demo/tansy_later.lua"), text)
  -- from elsewhere the old file is not reached
  os.execute("mkdir " .. path_of "far")
  check.contains(tostring(error_of(car.save, sy.load(path):move(part, {back = 5}), path_of "far/tansy.lua")),
    'far/tansy.lua: record "powertrain", file: is missing, and the file that the car was read from is not reached from there: the '
    .. "record would speak of the changed car (save it in the folder of the car's own file)")
  check.contains(tostring(error_of(car.save, sy.load(path), path_of "far/tansy.lua")),
    'far/tansy.lua: record "first scales", file: names history/tansy-2026-02-01.lua, which is not reached from there')
end)

-- ---- refusals -------------------------------------------------------------------------------------------------------------

local PART = file [[    part "c" { mass = 500, at = {900, 0, 300} }, part "p" { pair = true, mass = 5, at = {0, 700, 300} },]]

local function refused(edit, name, message)
  local path = write("refused.lua", PART)
  local car = edit and edit(sy.load(path)) or sy.load(path)
  local err = error_of(car.save, car, path_of(name))
  check.contains(tostring(err), message)
  check.ok(not core.is_there(path_of "refused_new.lua"))
  check.equal(read(path), PART)
end

test("place_to_write_to_is_looked_at_first", function()
  refused(nil, "refused.lua", "refused.lua: is already there and stays as it is (write another file, or save with {replace = true}, "
    .. "which first keeps the old one in history/)")
  refused(nil, "nowhere/new.lua", "nowhere/new.lua: cannot be written: its folder is not there (make the folder first)")
  os.execute(("ln -s refused.lua %s; ln -s missing.lua %s"):format(path_of "link.lua", path_of "loose.lua"))
  refused(nil, "link.lua", "link.lua: is a link, and a car is saved to files only (give the path of the file that it names)")
  refused(nil, "loose.lua", "loose.lua: is a link")
  refused(nil, "demo", "demo: is a folder")
  local car = sy.load(path_of "refused.lua")
  check.contains(tostring(error_of(car.save, car, nil)), "car:save needs the path of the file to write")
  check.contains(tostring(error_of(car.save, car, path_of "refused_new.lua", {replaced = true})), 'car:save has no field "replaced"')
  check.contains(tostring(error_of(car.save, car, path_of "refused_new.lua", {replace = 1})), "replace: is true or false, not 1")
  check.contains(tostring(error_of(car.save, car, path_of "refused_new.lua", true)), "car:save takes a table of options")
end)

test("file_that_was_edited_since_it_was_read_is_refused", function()
  local path = write("changed.lua", PART)
  local car = sy.load(path)
  write("changed.lua", PART .. "-- later\n")
  check.contains(tostring(error_of(car.save, car, path_of "refused_new.lua")),
    "changed.lua: was changed since the car was read from it (read it again and make the changes on that car)")
  write("changed.csv", "name,mass,x,y,z\ntub,400,1000,10,300\n")
  write("changed.lua", file [[    from_csv "changed.csv"]])
  car = sy.load(path)
  write("changed.csv", "name,mass,x,y,z\ntub,401,1000,10,300\n")
  check.contains(tostring(error_of(car.save, car, path_of "refused_new.lua")),
    "changed.lua: names a table or a mesh that was changed since the car was read (read the car again)")
end)

test("pair_of_which_one_piece_differs_is_refused", function()
  local message = 'part "p", pair: was not written: its two pieces do not mirror each other any more, and the line of a pair states one '
    .. 'of them (in place of that edit take the pair out, car:without("p"), and add two parts, one for each side)'
  refused(function(car) return car:move("p/left", {back = 5}) end, "refused_new.lua", message)
  refused(function(car) return car:set("p/left", {mass = 6}) end, "refused_new.lua", message)
  refused(function(car) return car:without "p/right" end, "refused_new.lua", message)
end)

-- What the messages say to do is then written, and reads as the car.
test("pair_that_was_moved_to_one_side_is_refused_with_the_way_out", function()
  local text = file [[    part "c" { mass = 500, at = {900, 0, 300} }, part "p" { pair = true, mass = sd(5, 0.2), at = {0, 700, 300} },
    group "g" { at = {100, 0, 50}, part "q" { pair = true, mass = 4, at = {10, 600, 300} } },]]
  local path, target = write("aside.lua", text), path_of "aside_new.lua"
  local function fails(car, message) check.contains(tostring(error_of(car.save, car, target)), message) end
  local function saves(car)
    car:save(target)
    local a, b = car:balance(), sy.load(target):balance()
    os.remove(target)
    for _, key in ipairs{"mass", "lf", "rf", "lr", "rr"} do
      check.near(b[key], a[key], 1e-9, key)
      check.near(b.sd[key], a.sd[key], 1e-9, key)
    end
  end
  local car = sy.load(path)
  local function both(at, of_mass, into, x, left, right)
    at = at:add(sy.part "one" {mass = of_mass, at = {x, left, 300}}, into)
    return at:add(sy.part "other" {mass = of_mass, at = {x, right, 300}}, into)
  end
  local moved = car:move("p", {left = 5})
  fails(moved, 'part "p", pair: was not written: it was moved 5 mm to the left, and a pair lies alike on both sides of the centre plane '
    .. '(move the pair back, car:move("p", {right = 5}); for two parts that stay there take it out then, car:without("p"), and add them, '
    .. "one for each side)")
  saves(moved:move("p", {right = 5}))
  saves(both(moved:move("p", {right = 5}):without "p", 5, nil, 0, -705, 695))
  local group = car:move("g", {right = 7.5})
  fails(group, 'part "g/q", pair: was not written: it was moved 7.5 mm to the right, by itself or with its group, and a pair lies alike on '
    .. 'both sides of the centre plane (move the pair back, car:move("g/q", {left = 7.5}); for two parts')
  saves(group:move("g/q", {left = 7.5}))
  saves(both(group:move("g/q", {left = 7.5}):without "g/q", 4, "g", 10, -600, 600))
  fails(car:move("g", {left_up = 2}), 'part "g/q", pair: was not written: its two pieces do not mirror each other any more')
  saves(both(car:without "p", 6, nil, 0, -700, 690))
end)

test("folder_from_which_tables_and_meshes_are_not_reached_is_refused", function()
  os.execute("mkdir " .. path_of "elsewhere")
  local car = sy.load(path_of "demo/fescue.lua")
  check.contains(tostring(error_of(car.save, car, path_of "elsewhere/new.lua")), "elsewhere/new.lua: would not reach what it names: ")
  check.ok(not core.is_there(path_of "elsewhere/new.lua"))
  os.execute(("cp %s %s"):format(path_of "demo/fescue_parts.csv", path_of "elsewhere/fescue_parts.csv"))
  check.equal(car:save(path_of "elsewhere/new.lua").path, path_of "elsewhere/new.lua")
  write("elsewhere/fescue_parts.csv", read(path_of "demo/fescue_parts.csv"):gsub("driver", "pilot"))
  check.contains(tostring(error_of(car.save, car, path_of "elsewhere/other.lua")), "elsewhere/other.lua: ")
end)

test("what_a_file_cannot_say_is_refused_by_part_and_field", function()
  local text = file [[    group "g" { turned = { nose_up = 30 }, part "in" { mass = 3, at = {sd(1, 5), 2, 3} } },
    part "c" { mass = 500, at = {900, 0, 300} },]]
  local path = write("turned.lua", text)
  local car = sy.load(path):without "in"
  check.contains(tostring(error_of(car.save, car, path_of "refused_new.lua")),
    'part "g/in", at: was not written: it would read back otherwise than the car has it')
  check.ok(not core.is_there(path_of "refused_new.lua"))
end)

os.execute("rm -r " .. folder)
check.done()
