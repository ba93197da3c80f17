-- What the calls of a script answer and say in four conventions of axes and zeros: the demo cars, a symmetrical one, and ones that draw
-- warnings and refusals. test_conventions.lua is the same for the commands, with the rules and the reasons.
-- Under the command alone: it compares what calls answer in one convention with the same in others, whatever runs it.
-- Not under sanitizers: it is about numbers, and the calls are made there by the tests of each.
-- With one compiler: it compares a build with itself.

local check = dofile "tests/lua/check.lua"
require("steelyard.print.table").width = math.huge -- where a cell goes on in another line depends on the coordinates beside it
local conventions = dofile "tests/lua/conventions.lua"
local compare = dofile "tests/lua/conventions_compare.lua"
local core = require "steelyard.core"
local json = require "steelyard.print.json"
local sy = require "steelyard"
local test = check.test

local others = {
  {name = "usual", axes = {x = "back", y = "right", z = "up"}, datum = {front = 0, centre = 0, ground = 0}},
  {name = "forward", axes = {x = "forward", y = "right", z = "up"}, datum = {front = 1310, centre = 640.3, ground = -125}},
  {name = "z down", axes = {x = "back", y = "left", z = "down"}, datum = {front = 777.1, centre = -31, ground = 333}},
  {name = "letters exchanged", axes = {x = "left", y = "up", z = "back"}, datum = {front = -2500, centre = 12, ground = -40.7}},
}

-- ---- cars -----------------------------------------------------------------------------------------------------------------

local function write(path, text)
  local file = assert(io.open(path, "wb"))
  file:write(text)
  file:close()
end

-- {car, map, place, along, ...} of a tree in each convention; the first is the tree as it is. A file that is refused: its error instead.
local function forms_of(tree)
  local from, list = conventions.of(tree), {}
  local function add(name, to)
    local map, path = conventions.map(from, to), os.tmpname()
    write(path, conventions.text(conventions.restated(tree, map)))
    local fine, car = pcall(sy.load, path)
    os.remove(path)
    list[#list + 1] = {name = name, map = map, car = fine and car or nil, refusal = not fine and car or nil}
  end
  add("as filed", from)
  for _, o in ipairs(others) do add(o.name, conventions.new(o.axes, o.datum)) end
  return list
end

-- The words of an error without the file and line, which differ with the layout of the file; moments of inertia, "xx", by the letters
-- of the file as it was, and a sum of two in their order.
local function words_of(err, map)
  local was = {}
  for _, letter in ipairs{"x", "y", "z"} do was[letter] = map.letter_from(letter) end
  local said = tostring(err):gsub("^[^ ]*:%d+: ", ""):gsub("^/%S+: ", "")
  said = said:gsub("%f[%w]([xyz])([xyz])%f[%W]", function(a, b) return was[a] .. was[b] end)
  return (said:gsub("(%a%a) %+ (%a%a)", function(a, b)
    return a:byte() < b:byte() and a .. " + " .. b or b .. " + " .. a
  end))
end

-- The places a call names, as the file reads them: they label what stands there. A name is good to 0.001 mm.
local labels = {}
local function place(map, x, y, z)
  local p, name = map.place{x, y, z}, {}
  for i = 1, 3 do name[i] = core.shortest(core.number(core.fixed(p[i], 3))) end
  labels[#labels + 1] = {table.concat(name, ", "), ("<place %d>"):format(#labels + 1)}
  return p
end

local function answer_of(call, form)
  labels = {}
  if form.refusal then return words_of(form.refusal, form.map) end
  local fine, result = pcall(call, form.car, form.map)
  if not fine then return words_of(result, form.map) end
  return tostring(result), type(result) == "table" and json.decode(json.encode(result)) or nil
end

-- `call(car, map)` answers the same in every form; kinds: its coordinate fields.
local function same(forms, what, call, kinds)
  local text, document = answer_of(call, forms[1])
  local filed_labels = labels
  check.ok(#text > 0 and not text:find "^table: ", what .. " says something")
  for i = 2, #forms do
    local other, fields = answer_of(call, forms[i])
    local where = ("%s, %s: "):format(forms[i].name, what)
    local why = compare.texts(text, other, forms[i].map, filed_labels, labels)
    check.ok(why == nil, where .. (why or ""))
    check.equal(fields == nil, document == nil, where .. "a result or a refusal")
    if document then
      for _, d in ipairs{document, fields} do
        for k, entry in ipairs(d.list or {}) do d[k] = entry end
        d.list = nil
      end
      why = compare.documents(document, fields, forms[i].map, kinds or {}, {}, filed_labels, labels)
      check.ok(why == nil, where .. (why or ""))
    end
  end
  return text
end

-- ---- every answer of a car -------------------------------------------------------------------------------------------------

local balance = {cg = "place", ["sd.cg"] = "spread", ["sprung.cg"] = "place", ["unsprung.cg"] = "place", ["sd.sprung.cg"] = "spread",
  ["sd.unsprung.cg"] = "spread", inertia = "tensor", ["sd.inertia"] = "tensor_spread"}
local book = {["rows[].cg"] = "place", ["rows[].sd.cg"] = "spread", ["total.cg"] = "place", ["sd.cg"] = "spread"}
local marks = {["[]"] = "floor", ["[].sd"] = "floor_spread", ["tape_points[]"] = "floor", ["trolleys[]"] = "floor", level = "letters"}
local gaps = {["[].nearest.a"] = "place", ["[].nearest.b"] = "place", ["[].faces.a"] = "place", ["[].faces.b"] = "place"}
local joints = {["[].inner_at"] = "place", ["[].at.ride.outer_at"] = "place", ["[].at.droop.outer_at"] = "place",
  ["[].at.bump.outer_at"] = "place", ["[].listed[].outer_at"] = "place"}
local on_stands = {["pulled_at.front"] = "place", ["pulled_at.rear"] = "place", ["steps[].pulled_at.front"] = "place",
  ["steps[].pulled_at.rear"] = "place", ["places[]"] = "place", ["steps[].cg"] = "place"}

-- {what, call, coordinate fields}; of any car
local answers = {
  {"balance", function(car) return car:balance() end, balance},
  {"book", function(car) return car:book() end, book},
  {"checks", function(car) return car:checks() end},
  {"corners", function(car) return car:corners() end},
  {"corners on a slope", function(car) return car:corners{slope = {nose_up = 1.5, right_up = 0.7}, bars = "connected"} end},
  {"perches", function(car) return car:perches{cross_share = 50.5} end},
  {"perches from a reading", function(car)
    return car:perches{cross_share = 50.5, roll = 0.1, heights = {front = 0}, reading = {lf = 134.1, rf = 133, lr = 206.6, rr = 199.2,
                                                                                       state = "kerb", heights = {rear = 3}}}
  end},
  {"attitude", function(car) return car:attitude() end, {cg = "place"}},
  {"transfer in a left turn", function(car) return car:transfer{left_turn = 0.7, braking = 0.2} end},
  {"transfer in a right turn", function(car) return car:transfer{right_turn = 0.4, drive = 0.3} end},
  {"stability", function(car) return car:stability{required = 45, brake_front_share = 60, drive_front_share = 40} end},
  {"shafts", function(car) return car:shafts{travels = {droop = 30, bump = 30, 12}} end, joints},
  {"clearances", function(car) return car:clearances{at = {"design", "bump", "droop"}} end, gaps},
  {"handling", function(car) return car:handling() end},
  {"markout", function(car) return car:markout() end, marks},
  {"heights", function(car)
    local h = car:lower{front = 8, rear = 11}:heights()
    h.named = nil
    return setmetatable(h, {__tostring = function() return "its document says all" end})
  end},
  {"lowered", function(car) return car:lower{front = 8, rear = 11}:attitude() end, {cg = "place"}},
  {"driver moved and turned", function(car) return sy.compare{car, car:move("driver", {back = 33, left = 21, nose_up = 5})} end},
}

for _, name in ipairs{"bistort", "twayblade", "burnet", "teasel", "first_guess"} do
  local forms = forms_of(conventions.read(("vehicles/%s.lua"):format(name)))
  for _, answer in ipairs(answers) do
    test(("%s_%s_is_the_same_in_every_convention"):format(name, answer[1]:gsub(" ", "_")), function()
      same(forms, answer[1], answer[2], answer[3])
    end)
  end
end

-- ---- calls that no command has, on the car with a datum of its own ------------------------------------------------------------

local bistort = conventions.read "vehicles/bistort.lua"
local forms = forms_of(bistort)

local calls = {
  {"person", function(car) return car:person "driver" end, {cg = "place", ["sd.cg"] = "spread"}},
  {"tank", function(car) return car:tank "fuel" end},
  {"tank in a bend", function(car) return car:tank("fuel", {left_turn = 0.6, braking = 0.3}) end},
  {"set to a place", function(car, map) return car:set("battery", {at = place(map, 905, 350, 120)}):balance() end, balance},
  {"turned about a place", function(car, map)
    return car:move("radiator", {nose_left = 20, left_up = 9, about = place(map, -300, 1200, 180)}):balance()
  end, balance},
  {"turned about its CG", function(car) return car:move("powertrain", {nose_up = 3, about = "cg"}):balance() end, balance},
  {"an axle moved", function(car) return sy.compare{car, car:move("front axle", {forward = 40}), car:move("rear axle", {back = 25})} end},
  {"a pair moved out", function(car) return car:move("sill", {out = 15, up = 4}):book "tub" end, book},
  {"a part added", function(car, map)
    return car:add(sy.part "tow hook" {mass = sy.sd(1.5, 0.1), at = place(map, 1690, 400, 130), within_mm = 5}):balance()
  end, balance},
  {"a part with a tensor added", function(car, map)
    return car:add(sy.part "crate" {mass = 9, at = place(map, -1500, 800, 300),
      inertia = map.tensor{0.4, 0.7, 0.9, 0.11, -0.07, 0.05}}):balance()
  end, balance},
  {"a person added", function(car, map)
    return car:add(sy.person "guest" {mass = 64, stature = 1680, hip = place(map, 190, 375, 110), torso = 30, knee = 115}):balance()
  end, balance},
  {"a pair pulled apart", function(car) return car:move("front wheel/left", {back = 12}):without "door/right":book() end, book},
  {"swapped and filled", function(car) return car:swap("driver", "tall driver"):fill{fuel = 11}:attitude() end, {cg = "place"}},
  {"a state against another", function(car) return car:state "two up":attitude{against = "kerb"} end, {cg = "place"}},
  {"hoist with a hook", function(car, map)
    return car:hoist("powertrain", {points = {front = place(map, -700, 700, 500), rear = place(map, -1250, 640, 430)},
      hook = place(map, -930, 655, 1100)})
  end, {hook = "place", cg = "place", hangs_from = "place", ["legs[].at"] = "place"}},
  {"hoist by three legs to a lean", function(car, map)
    return car:hoist("engine", {points = {place(map, -700, 700, 500), place(map, -1050, 640, 480), place(map, -880, 950, 470)},
      legs = 700, hang = {nose_down = 4}})
  end, {hook = "place", cg = "place", hangs_from = "place", ["legs[].at"] = "place"}},
  {"stands with a nose", function(car, map)
    return car:stands{at = {"front jack, left", "front jack, right", "rear jack, left", "rear jack, right"}, without = {"powertrain"},
      nose = place(map, 2010, 640, 0)}
  end, on_stands},
  {"trolleys at points", function(car, map)
    return car:markout{state = "mock-up", points = {["tow hook"] = place(map, 1690, 400, 130)},
      trolleys = {place(map, 900, 340, -125), place(map, 900, 940, -125), place(map, -900, 640, -125)}}
  end, marks},
  {"changes", function(car, map)
    return sy.changes(car, car:set("battery", {at = place(map, 905, 350, 120), mass = 10}):move("powertrain", {back = 20, up = 5}))
  end},
  {"reconciled", function(car)
    return car:state "kerb":reconcile{corners = {lf = 121.5, rf = 112, lr = 217, rr = 221.5}, sd = 0.5, correct = true}:balance()
  end, balance},
  {"trial", function(car)
    local back = car:trial("powertrain", "back")
    local b = back(35)
    local keys, list = {}, {}
    for key, value in pairs(b) do if type(value) == "number" then keys[#keys + 1] = key; list[key] = value end end
    table.sort(keys)
    for i, key in ipairs(keys) do keys[i] = ("%s %.6f"):format(key, list[key]) end
    return table.concat(keys, "\n")
  end},
  {"CG height by a side", function(car)
    return car:state "kerb":cg_height{lifted = "left", by = "angle", tanks = "full", crown_radius = 100, with_driver = "driver",
      readings = {{angle = 0, lf = 117.4, rf = 115.0, lr = 218.4, rr = 215.9}, {angle = 6, rf = 121.2, rr = 227.1},
        {angle = 10, rf = 125.4, rr = 234.6}}}
  end, {cg = "place", ["sd.cg"] = "spread"}},
  {"CG height with a jack at a point", function(car, map)
    return car:state "kerb":cg_height{lifted = "rear", by = "jack", jack = map.place{-740, 640, 38}, tanks = "full",
      readings = {{lift = 0, front = 234.4, rear = 437.7}, {lift = 300, front = 237.1}, {lift = 500, front = 239.2}}}
  end, {cg = "place", ["sd.cg"] = "spread"}},
  {"CG height with the front up", function(car)
    return car:state "kerb":cg_height{lifted = "front", by = "angle", tanks = "full",
      readings = {{angle = 0, front = 234.4, rear = 437.7}, {angle = 8, rear = 440.4}, {angle = 14, rear = 442.6}}}
  end, {cg = "place", ["sd.cg"] = "spread"}},
  -- refusals
  {"no such place", function(car, map)
    return car:stands{at = {place(map, 900, 640, 15), place(map, 100, 640, 15), place(map, 0, 640, 3)}}
  end},
  {"trolleys in one place", function(car, map) return car:markout{trolleys = {map.along(300), map.along(300)}} end},
  {"axles exchanged", function(car) return car:move("rear axle", {forward = 2600}):balance() end},
  {"legs too short", function(car) return car:hoist("engine", {points = {"lifting eye, timing end", "lifting eye, clutch end"},
    legs = {100, 120}}) end},
  {"too low", function(car) return car:lower{front = 90, rear = 20}:attitude() end},
}
for _, entry in ipairs(calls) do
  test(entry[1]:gsub("[ ,]+", "_") .. "_is_the_same_in_every_convention", function() same(forms, entry[1], entry[2], entry[3]) end)
end

-- ---- cars that draw sentences --------------------------------------------------------------------------------------------------

local function line_named(list, name)
  for _, line in ipairs(list) do
    if line.name == name then return line.fields end
    local found = line.word == "group" and line_named(line.fields, name)
    if found then return found end
  end
end

-- A copy of the car with something else in it.
local function altered(change)
  local tree = conventions.read "vehicles/bistort.lua"
  change(tree.fields, function(name) return line_named(tree.fields.parts, name) end)
  return forms_of(tree)
end
local function part(name, fields) return {word = "part", name = name, fields = fields} end

local variants = {
  {"behind the wheels", function(v) table.insert(v.parts, part("slab", {mass = 700, at = {-2900, 640, 200}})) end},
  {"before the wheels", function(v) table.insert(v.parts, part("slab", {mass = 2500, at = {3400, 640, 200}})) end},
  {"off to the right", function(v) table.insert(v.parts, part("slab", {mass = 900, at = {100, 2100, 200}})) end},
  {"far above", function(v) table.insert(v.parts, part("slab", {mass = 900, at = {100, 640, 2900}})) end},
  {"unsprung and far off", function(v) table.insert(v.parts, part("lump", {mass = 3, at = {400, 900, 60}, unsprung = "front"})) end},
  {"tank over its brim", function(_, find) find "fuel".fill = 50 end},
  {"pick-up outside", function(_, find) find "fuel".pick_up = {-70, -240, -200} end},
  {"axles in the wrong order", function(v) v.axles[1], v.axles[2] = v.axles[2], v.axles[1] end},
  {"no such part", function(v) v.points["crank centre"].part = "crank" end},
  {"tensor of no body", function(_, find) find "transaxle case".inertia = {0.1, 0.81, 0.1, 0, 0, 0} end},
  -- a cone's tip points forward, left or up, whichever way the file's letter runs
  {"cones", function(v)
    local tips = {x = {640, 640, 500}, y = {400, 880, 500}, z = {400, 640, 740}} -- 240 mm from the CG, the tip is 225 from it
    for letter, tip in pairs(tips) do
      table.insert(v.parts, part("cone " .. letter, {mass = 5, at = {400, 640, 500},
        shape = {word = "cone", fields = {180, 300, axis = letter}}}))
      table.insert(v.clearances, {name = "tip " .. letter, a = "cone " .. letter, b = {at = tip}})
      table.insert(v.clearances, {name = "base " .. letter, a = "cone " .. letter,
        b = {at = {800 - tip[1], 1280 - tip[2], 1000 - tip[3]}}})
    end
    table.sort(v.clearances, function(a, b) return (a.name or "") < (b.name or "") end)
  end},
  {"limits on places", function(v)
    for _, name in ipairs{"height", "cg_behind", "cg_left"} do table.insert(v.limits, {name = name, quantity = name, max = 10}) end
  end},
}
for _, variant in ipairs(variants) do
  test(variant[1]:gsub("[ ,]+", "_") .. "_is_said_alike_in_every_convention", function()
    local list = altered(variant[2])
    for i = 2, #list do check.equal(list[i].refusal == nil, list[1].refusal == nil, list[i].name .. ": refused") end
    same(list, "balance", function(car) return car:state "race start":balance() end, balance)
    if list[1].refusal then return end
    same(list, "attitude", function(car) return car:attitude() end, {cg = "place"})
    same(list, "stability", function(car) return car:stability{required = 45} end)
    same(list, "checks", function(car) return car:checks() end)
    same(list, "clearances", function(car) return car:clearances() end, gaps)
    same(list, "stands", function(car) return car:stands{at = {"lf", "rf", "rear jack, left", "rear jack, right"}} end, on_stands)
  end)
end

-- Three axles: other keys of wheels, a least-norm split, and loads that no cross weight settles.
test("six_wheels_are_the_same_in_every_convention", function()
  local function axle(name, at)
    return {name = name, at = at, track = 1500, loaded_radius = 310, tyre_rate = 200, spring_rate = 60, bump = 60, droop = 60,
      motion_ratio = {{-50, 0.84}, {0, 0.8}, {40, 0.74}}, bump_stop = {gap = 20, rate = 50}, roll_centre = 60}
  end
  local tree = {word = "vehicle", fields = {title = "Six wheels (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -90,
    centre = 25, axles = {axle("front", 1800), axle("middle", -700), axle("rear", -1900)}, design = "as drawn",
    parts = {part("body", {mass = {word = "sd", 900, 4}, at = {100, 60, 380}, shape = {word = "box", fields = {3600, 1500, 900}}}),
      part("front corner", {pair = true, mass = 40, at = {1800, 775, 220}, unsprung = "front"}),
      part("middle corner", {pair = true, mass = 45, at = {-700, 775, 220}, unsprung = "middle"}),
      part("rear corner", {pair = true, mass = 45, at = {-1900, 775, 220}, unsprung = "rear"}),
      part("load", {mass = {word = "within", 250, 10}, at = {-1500, -210, 700}}),
      {word = "person", name = "driver", fields = {mass = 85, at = {1000, 400, 400}}}},
    states = {{word = "state", name = "as drawn", fields = {}}, {word = "state", name = "empty", fields = {without = {"load"}}}},
    limits = {{name = "l2", quantity = "l2", max = 400}}}}
  local list = forms_of(tree)
  check.equal(list[1].refusal, nil)
  for _, answer in ipairs(answers) do
    same(list, answer[1], answer[2], answer[3])
    same(list, answer[1] .. ", empty", function(car) return answer[2](car:state "empty") end, answer[3])
  end
end)

-- A car that is its own mirror image, its CG half way between the axles, at zeros no double holds: which side a residue of rounding lies
-- on must not choose a word.
test("a_symmetrical_car_has_no_side", function()
  local tree = conventions.read "vehicles/bistort.lua"
  local v = tree.fields
  v.centre, v.ground = 640.1, -125.3
  v.axles[1].at, v.axles[2].at = 1310.7, -1119.3
  v.parts = {part("tub", {mass = {word = "sd", 300, 2}, at = {95.7, 640.1, 200}}),
    part("corner", {pair = true, mass = 33.3, at = {1310.7, 1340.1, 160}, unsprung = "front"}),
    part("hub", {pair = true, mass = 33.3, at = {-1119.3, 1340.1, 160}, unsprung = "rear"}),
    {word = "person", name = "driver", fields = {mass = 80, at = {95.7, 640.1, 250}}}}
  v.spares, v.states, v.points, v.clearances, v.shafts, v.limits, v.design = nil, nil, nil, nil, nil, nil, nil
  local list = forms_of(tree)
  for _, answer in ipairs(answers) do same(list, answer[1], answer[2], answer[3]) end
  check.contains(same(list, "balance", function(car) return car:balance() end, balance), "CG left of centre, mm")
end)

-- The dated files of one car need not be measured alike: the new one may run along other axes or from another zero.
test("changes_between_files_measured_otherwise_are_the_changes_of_the_car", function()
  local later = altered(function(v, find)
    find "battery".at = {905, 350, 120}
    find "powertrain".at = {-905, 652, 190}
    find "rear loom".mass = {word = "within", 5.2, 1}
    find "transaxle case".inertia = {0.62, 0.81, 0.74, 0.05, -0.09, 0.03}
    find "tunnel".shape.fields = {980, 170, 190}
    v.axles[1].track = 1500
    table.insert(v.parts, part("tow eye", {mass = 1.1, at = {1650, 250, 130}}))
  end)
  local redated = conventions.new(bistort.fields.axes, {front = 1200.5, centre = 640, ground = -125})
  local path = os.tmpname()
  write(path, conventions.text(conventions.restated(bistort, conventions.map(conventions.of(bistort), redated))))
  local again = sy.load(path)
  os.remove(path)
  check.equal(#sy.changes(forms[1].car, again).rows, 0, "only the zero is elsewhere")
  local want = sy.changes(forms[1].car, later[1].car)
  check.equal(#want.rows, 7, "what was altered")
  for i = 2, #forms do
    check.equal(#sy.changes(forms[1].car, forms[i].car).rows, 0, forms[i].name .. ": nothing has changed")
    local got = sy.changes(forms[1].car, later[i].car)
    for k, row in ipairs(want.rows) do
      check.equal(got.rows[k].part .. ": " .. got.rows[k].happened, row.part .. ": " .. row.happened, forms[i].name)
      for _, key in ipairs{"d_mass", "d_front_share", "d_left_share", "d_height", "d_yaw_inertia"} do
        check.near(got.rows[k][key], row[key], 1e-6, forms[i].name .. ", " .. row.part .. ", " .. key)
      end
    end
  end
end)

-- Places measured back: turned "from x towards y" of the file's floor, and said so.
test("a_survey_is_of_the_floor_of_the_file", function()
  for _, form in ipairs(forms) do
    local m = form.car:markout()
    local measured = {}
    for i, row in ipairs(m) do measured[row.name] = {row.x + 3, row.y - 2 + (i == 4 and 40 or 0)} end
    local s = sy.survey{drawn = m, measured = measured, sd = 2}
    check.equal(s.suspect, m[4].name, form.name)
    check.near(s.others.shift.x, 3, 1e-6, form.name)
    check.near(s.others.shift.y, -2, 1e-6, form.name)
  end
end)

check.done()
