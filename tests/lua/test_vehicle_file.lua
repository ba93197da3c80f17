-- The vehicle file: what is read, and one clean line for everything that is wrong.
--
-- What counts as wrong is the project's own specification of the file (vehicles/README.md); numbers that come from
-- elsewhere have their source beside them.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local vocabulary = require "steelyard.file.vocabulary"
local vehicle_file = require "steelyard.file.vehicle_file"

local function source()
  local file <close> = assert(io.open("lua/steelyard/file/vocabulary.lua", "rb"))
  return file:read "a"
end
local language = require "steelyard.file.language"
local words_source = {code = source(), words = language.words, sorts = language.sorts}

local function read_text(text)
  local raw = core.run_file(text, "car.lua", words_source)
  return vehicle_file.read(raw, {file = "car.lua", bytes = text, quantities = {"mass", "front_share", "cg.x",
    "height"}})
end

-- lines 1 to 4; what a test adds starts on line 5
local HEAD = [[
vehicle { title = "Test", axes = { x = "back", y = "right", z = "up" },
  axles = {
    { name = "front", at = 0, track = 1500, loaded_radius = 290 },
    { name = "rear", at = 2450, track = 1480, loaded_radius = 305 } },
]]

local function read(rest) return read_text(HEAD .. rest .. "}") end

local function refuses(rest, want)
  local err = check.raises(function() read(rest) end, want)
  check.equal(err.file, "car.lua")
  check.ok(not tostring(err):find "\n", "one line")
  return err
end

local function refuses_part(field, want)
  want.part, want.line = want.part or "a", want.line or 5
  return refuses("parts = { part 'a' { mass = 5, at = {1, 2, 3}, " .. field .. " } }", want)
end

local function part(field) return read("parts = { part 'a' { mass = 5, at = {1, 2, 3}, " .. field
  .. " } }").parts[1] end

local PART = "parts = { part 'a' { mass = 5, at = {1, 2, 3} } }, "

-- ---- what is read ---------------------------------------------------------------------------------------------------

check.test("read_gives_the_whole_spec", function()
  local s = read [[ ground = -20, centre = 5, cross_share = 49.5, design = "full",
    assume = { estimate = "15 %", weighed = 0.005, within_mm = 26 }, chassis = { torsion = 5200 },
    parts = {
      group "power" { at = {1000, 0, 300}, turned = { nose_down = 2 }, whole = sd(30, 0.5), tags = {"heavy"},
        part "engine" { mass = sd(20, 0.1), at = {x = 10, y = sd(-5, 1), z = 0}, within_mm = 3, basis = "weighed" } },
      tank "fuel" { shape = box {420, 300, 320}, at = {1, 2, 3}, density = 0.745*kg/litre, fill = "90 %", dry_mass = 4 },
      part "paint" { mass = unknown, at = {0, 0, 0} },
      part "rim" { pair = true, mass = 6, at = {0, 725, 290}, unsprung = "front" } },
    spares = { person "tall" { mass = 96, at = {1, 2, 3} } },
    states = { state "full" {}, state "kerb" { without = {"heavy",
      "rim"}, fill = { fuel = 4 }, swap = { paint = "tall" } } },
    limits = { limit "share" { quantity = "front_share", min = 41, max = 43 }, { quantity = "height", max = 14*inch } },
    points = { jack = {1, 2, 3}, { name = "lip", at = {4, 5, 6}, part = "engine" } },
    shafts = { { name = "s", inner = { part = "power/engine", at = {1, 2, 3} }, outer = { wheel = "rl" }, joint = "cv" } },
    instruments = { { name = "pads", step = 0.2 } } ]]
  check.equal(s.title, "Test")
  check.equal({s.ground, s.centre, s.cross_share, s.design}, {-20, 5, 49.5, "full"})
  check.equal(s.assume, {estimate = 0.15, weighed = 0.005, within_mm = 26})
  check.equal(s.chassis.torsion, 5200)
  check.equal(s.wheel_keys, {"lf", "rf", "lr", "rr"})
  check.equal(#s.parts, 4)
  local group, fuel, paint, rim = table.unpack(s.parts)
  check.equal(group.turned, {nose_up = -2})
  check.equal(group.whole, {value = 30, sd = 0.5})
  local engine = group.children[1]
  check.equal(engine.path, "power/engine")
  check.equal(engine.line, 9)
  check.equal({engine.mass, engine.mass_sd, engine.basis}, {20, 0.1, "weighed"})
  check.equal(engine.at, {10, -5, 0})
  check.equal(engine.at_sd[2], 1)
  check.near(engine.at_sd[1], 3 / 3 ^ 0.5, 1e-15) -- limits +-a: u = a/sqrt 3, JCGM 100:2008, 4.3.7
  check.near(fuel.capacity, 4.2 * 3.0 * 3.2, 1e-12, "a litre is a cubic decimetre") -- SI Brochure, 9th ed., table 8
  check.near(fuel.fill, 0.9 * 40.32, 1e-12)
  check.equal({fuel.density, fuel.dry_mass}, {0.745, 4})
  check.equal({paint.unknown, paint.mass, paint.basis}, {true, nil, "estimate"})
  check.equal(rim.unsprung, {{carrier = "front", fraction = 1}})
  check.equal(s.spares[1].kind, "person")
  check.equal(s.states[2].fill.fuel.litres, 4)
  check.equal(s.states[2].swap, {{old = "paint", new = "tall"}})
  check.equal({s.limits[1].name, s.limits[2].name}, {"share", "height"})
  check.near(s.limits[2].max, 355.6, 1e-12)
  check.equal({s.points[1].name, s.points[2].name, s.points[2].at[1]}, {"lip", "jack", 1})
  check.equal(s.shafts[1].outer.wheel, "lr")
  check.equal(s.notes, {})
end)

check.test("read_of_a_bare_file_takes_the_defaults", function()
  local s = read_text [[vehicle { axles = { { name = "front", at = 0, track = 1500, loaded_radius = 290 },
    { name = "rear", at = 2450, track = 1480, loaded_radius = 305 } }, parts = { part "a" { mass = 1, at = {0, 0, 0} } } }]]
  check.equal(s.axes, {x = "back", y = "right", z = "up"})
  check.equal({s.ground, s.centre, s.cross_share, s.title}, {0, 0, 50, "car"})
  check.equal(s.parts[1].mass_sd, nil)
  check.equal(s.parts[1].at_sd, nil)
end)

check.test("read_keeps_the_order_of_the_file", function()
  local list = {}
  for i = 1, 50 do list[i] = ("part 'p%d' { mass = %d, at = {0, 0, 0} }"):format(i * 7919 % 50, i) end
  local s = read("parts = {" .. table.concat(list, ",\n") .. "}")
  for i, node in ipairs(s.parts) do
    if node.mass ~= i then check.equal(node.mass, i) end
  end
  check.equal(#s.parts, 50)
end)

check.test("read_of_units_converts_into_the_field_s_own", function()
  local p = part "inertia = { 100*lb*inch^2, 2*kg*m^2, 2*kg*m^2 }"
  -- pound inch squared 2.926397 E-04 kg m2: NIST SP 811 (2008), Appendix B.8, seven digits
  check.near(p.inertia.xx, 100 * 2.926397e-4, 100 * 0.5e-10)
  check.near(p.inertia.yy, 2, 1e-15)
  local s = read_text [[vehicle { axles = { { name = "front", at = 0, track = 5*ft, loaded_radius = 29*cm, tyre_rate = 1100*lbf/inch },
    { name = "rear", at = 2.45*m, track = 1480, loaded_radius = 305 } }, parts = { part "a" { mass = 30*lb, at = {1*inch, 0, 0} } } }]]
  check.equal(s.axles[1].track, 1524)
  check.equal(s.axles[2].at, 2450)
  check.near(s.axles[1].tyre_rate, 1.1e3 * 0.1751268, 1.1e3 * 0.5e-7) -- pound-force per inch: the same table
  check.near(s.parts[1].mass, 13.6077711, 1e-12) -- 30 x 0.453 592 37, exact
  check.near(s.parts[1].at[1], 25.4, 1e-14)
end)

-- A sphere is two thirds of its cylinder, a cone a third: Archimedes, On the Sphere and Cylinder I; Euclid XII, 10.
check.test("capacity_of_round_tanks_is_archimedes_", function()
  local function capacity(shape)
    return read("parts = { tank 't' { density = 1, fill = 0, at = {0, 0, 0}, shape = " .. shape
      .. " } }").parts[1].capacity
  end
  local cylinder = capacity "cylinder {371, 371}"
  check.near(cylinder, math.pi * 1.855 ^ 2 * 3.71, 1e-12 * cylinder)
  check.near(capacity "sphere {371}", 2 / 3 * cylinder, 1e-12 * cylinder)
  check.near(capacity "ellipsoid {371, 371, 371}", 2 / 3 * cylinder, 1e-12 * cylinder)
  check.near(capacity "cone {371, 371}", cylinder / 3, 1e-12 * cylinder)
end)

check.test("shape_sizes_by_name_or_by_place_are_the_same", function()
  check.equal(part "shape = tube {90, 3, 1150, axis = 'x'}".shape,
    part "shape = tube {length = 1150, wall = 3, diameter = 90, axis = 'x'}".shape)
  check.equal(part "shape = cylinder {110, 430}".shape.axis, "y")
  check.equal(part "shape = plate {110, 430}".shape.axis, "z")
  check.equal(part "shape = hollow_sphere {100, 4}".shape, {kind = "hollow_sphere", 100, 4, diameter = 100, wall = 4})
end)

check.test("turned_keeps_three_words_with_signs", function()
  check.equal(part "turned = { nose_down = 2, right_up = 3, nose_left = 4 }".turned, {nose_up = -2, left_up = -3, nose_left = 4})
end)

check.test("unsprung_fractions_come_in_the_order_of_the_axles", function()
  check.equal(part "unsprung = { rear = 0.25, lf = '50 %', front = 0.25 }".unsprung,
    {{carrier = "front", fraction = 0.25}, {carrier = "rear", fraction = 0.25}, {carrier = "lf", fraction = 0.5}})
  check.equal(part "unsprung = 'fl'".unsprung, {{carrier = "lf", fraction = 1}})
end)

check.test("wheel_keys_follow_the_axles", function()
  local two, one = {wheels = 2}, {wheels = 1}
  check.equal(vehicle_file.wheel_keys {two, two}, {"lf", "rf", "lr", "rr"})
  check.equal(vehicle_file.wheel_keys {one, two}, {"f", "lr", "rr"})
  check.equal(vehicle_file.wheel_keys {two, one}, {"lf", "rf", "r"})
  check.equal(vehicle_file.wheel_keys {two, one, two}, {"l1", "r1", "c2", "l3", "r3"})
end)

check.test("read_of_the_demo_vehicles_finds_nothing_wrong", function()
  for _, name in ipairs {"first_guess", "twayblade", "burnet", "teasel"} do
    local path = "vehicles/" .. name .. ".lua"
    local bytes = core.read_file(path)
    local s = vehicle_file.read(core.run_file(bytes, path, words_source), {file = path, bytes = bytes})
    check.ok(#s.parts > 0)
  end
end)

-- ---- unknown words, wrong kinds, wrong sizes ---------------------------------------------------------------------------

check.test("unknown_fields_suggest_the_nearest_at_every_level", function()
  refuses_part("mas = 5", {code = "unknown", field = "mas", hint = "\"mass\""})
  check.raises(function() read_text("vehicle { axels = {},\n" .. PART .. "}") end,
    {code = "unknown", field = "axels", line = 1, hint = "\"axles\""})
  refuses("chassis = { tosion = 5 }, " .. PART, {code = "unknown", field = "chassis.tosion", hint = "\"torsion\""})
  refuses("assume = { estimat = '5 %' }, " .. PART, {code = "unknown", field = "assume.estimat", hint = "\"estimate\""})
  refuses("parts = { group 'g' { att = {0, 0, 0} } }", {code = "unknown", part = "g", hint = "\"at\""})
  refuses("parts = { tank 't' { densty = 1, fill = 1, capacity = 2, at = {0, 0, 0} } }",
    {code = "unknown", part = "t", kind = "tank", hint = "\"density\""})
  refuses(PART .. "states = { state 's' { wthout = {} } }",
    {code = "unknown", part = "s", kind = "state", hint = "\"without\""})
  refuses(PART .. "limits = { { quantity = 'mass', maxx = 3 } }", {code = "unknown", hint = "\"max\""})
  refuses(PART .. "shafts = { { name = 's', joint = 'cv', inner = { prt = 'a' } } }",
    {code = "unknown", field = "inner.prt", hint = "\"part\""})
  refuses_part("stand_in = { mas = 4 }", {code = "unknown", field = "stand_in.mas", hint = "\"mass\""})
  refuses_part("turned = { nose_upp = 4 }", {code = "unknown", field = "turned.nose_upp", hint = "\"nose_up\""})
  refuses_part("shape = cylinder { diametre = 4, length = 5 }",
    {code = "unknown", field = "shape.diametre", hint = "\"diameter\""})
  refuses_part("inertia = { xx = 1, yy = 1, zz = 1, zy = 1 }", {code = "unknown", field = "inertia.zy"})
end)

check.test("misspelt_field_is_reported_and_not_that_it_is_missing", function()
  local err = refuses("parts = { part 'a' { mas = 5, at = {0, 0, 0} } }", {code = "unknown", part = "a", line = 5})
  check.contains(tostring(err), "car.lua:5: part \"a\", mas: ")
end)

check.test("misspelt_field_that_only_sometimes_must_be_there_is_reported_too", function()
  refuses("parts = { tank 't' { density = 1, fill = 1, capcity = 2, at = {0, 0, 0} } }",
    {code = "unknown", hint = "\"capacity\""})
  local rear = "{ name = 'r', at = 9, track = 5, loaded_radius = 1 } } }"
  check.raises(function() read_text("vehicle { " .. PART
    .. "axles = { { name = 'f', at = 0, trak = 5, loaded_radius = 1 }, " .. rear) end,
    {code = "unknown", field = "trak", hint = "\"track\""})
end)

check.test("missing_fields_are_named", function()
  refuses("parts = { part 'a' { at = {0, 0, 0} } }", {code = "missing", part = "a", field = "mass", line = 5})
  refuses("parts = { part 'a' { mass = 1 } }", {code = "missing", part = "a", field = "at"})
  refuses("parts = { part 'a' { mass = 1, at = {x = 1, z = 2} } }", {code = "missing", part = "a", message = "no y"})
  refuses("ground = 1", {code = "missing", field = "parts"})
  refuses("parts = {}", {code = "missing", field = "parts", line = 5})
  refuses("parts = { tank 't' { fill = 1, capacity = 2, at = {0, 0, 0} } }", {code = "missing", field = "density"})
  refuses("parts = { tank 't' { density = 1, fill = 1, at = {0, 0, 0} } }", {code = "missing", field = "capacity"})
  refuses("parts = { part 'b' }", {code = "missing", part = "b", message = "{ ... }"})
  refuses(PART .. "limits = { { quantity = 'mass' } }", {code = "missing", message = "neither min nor max"})
end)

check.test("masses_that_cannot_be_are_refused", function()
  for text, want in pairs {
    ["-5"] = {code = "range", message = {"0 kg or more",
      "-5 kg"}}, ["0/0"] = {code = "range", message = "not a number"},
    ["1/0"] = {code = "range", message = "not finite"}, ["-1/0"] = {code = "range"},
    ["2e5"] = {code = "range", message = "100000 kg or less"}, ["sd(-5, 1)"] = {code = "range"},
    ["sd(0/0, 1)"] = {code = "range"}, ["'12'"] = {code = "type", message = "the text \"12\"", hint = "quotes"},
    ["'12,5'"] = {code = "type", hint = "decimals take a point"}, ["3*mm"] = {code = "type", message = "a length"},
    ["3*lbf"] = {code = "type", message = "a force"}, ["{5}"] = {code = "type", message = "a table"},
    ["true"] = {code = "type", message = "true"}, ["function() end"] = {code = "type", message = "a function"},
    ["box {1, 2, 3}"] = {code = "type", message = "a box"}, ["part 'b' {}"] = {code = "type", message = "the part \"b\""},
  } do
    want.part, want.field, want.line = "a", "mass", 6
    refuses("parts = { part 'a' { at = {0, 0, 0},\n mass = " .. text .. " } }", want)
  end
end)

check.test("quantities_of_the_wrong_kind_are_refused_everywhere", function()
  refuses("parts = { part 'a' { mass = 5, at = {0, 30*lb, 0} } }",
    {code = "type", field = "at.y", message = {"a length", "a mass"}})
  refuses_part("turned = { nose_up = 3*mm }", {code = "type", field = "turned.nose_up", message = "an angle"})
  refuses("parts = { tank 't' { density = 3*kg, fill = 1, capacity = 2, at = {0, 0, 0} } }",
    {code = "type", field = "density", message = "a density"})
  refuses("parts = { tank 't' { density = 1, fill = 3*kg, capacity = 2, at = {0, 0, 0} } }",
    {code = "type", field = "fill", message = "a volume"})
  refuses_part("inertia = { 1*kg, 1, 1 }", {code = "type", field = "inertia[1]", message = "an inertia"})
  refuses("cross_share = 50*mm, " .. PART, {code = "type", field = "cross_share"})
end)

check.test("points_that_are_none_are_refused", function()
  local function at(text, want)
    want.field = want.field or "at"
    refuses("parts = { part 'a' { mass = 5, at = " .. text .. " } }", want)
  end
  at("{1,5, 0, 300}", {code = "content", message = "has 4", hint = "decimals take a point"})
  at("{1, 2}", {code = "missing", message = "no z"})
  at("{1, 2, w = 3}", {code = "content"})
  at("{1, 2, 3, x = 4}", {code = "content"})
  at("5", {code = "type", message = "the number 5"})
  at("'1 2 3'", {code = "type"})
  at("{1, 2, 1/0}", {code = "range", field = "at.z"})
  at("{1, -2e6, 3}", {code = "range", field = "at.y", message = "-1000000 mm or more"})
  at("{1, '2', 3}", {code = "type", field = "at.y"})
end)

check.test("texts_flags_counts_and_choices_are_checked", function()
  refuses_part("basis = 'guess'", {code = "unknown", field = "basis", message = "estimate"})
  refuses_part("basis = 'estimat'", {code = "unknown", hint = "\"estimate\""})
  refuses_part("basis = 3", {code = "type", field = "basis"})
  refuses_part("pair = 'yes'", {code = "type", field = "pair", message = "true or false"})
  refuses_part("count = 2.5", {code = "range", field = "count", message = "whole number"})
  refuses_part("count = 0", {code = "range", field = "count"})
  refuses_part("count = '3'", {code = "type", field = "count"})
  refuses_part("note = 5", {code = "type", field = "note"})
  refuses_part("tags = {'a b', 5}", {code = "type", field = "tags[2]"})
  refuses_part("tags = {'x\\ny'}", {code = "content", field = "tags[1]"})
  refuses_part("tags = { x = 'y' }", {code = "content", field = "tags.x"})
  refuses_part("growth = 10", {code = "range", field = "growth", message = "15 %"})
  refuses_part("growth = '12,5 %'", {code = "type", field = "growth", hint = "decimals take a point"})
  refuses_part("growth = '-5 %'", {code = "range", field = "growth"})
  refuses_part("within_mm = -1", {code = "range", field = "within_mm"})
  refuses("design = 5, " .. PART, {code = "type", field = "design"})
  refuses("design = 'a\\nb', " .. PART, {code = "content", field = "design", message = "one line"})
end)

check.test("values_without_a_field_name_are_refused", function()
  refuses_part("5", {code = "content", message = "the number 5 stands without a field name"})
  refuses_part("part 'b' { mass = 1, at = {0, 0, 0} }",
    {code = "content", message = "the part \"b\"", hint = "a group does"})
  refuses("parts = { part 'b', { mass = 1 } }", {code = "missing", part = "b", hint = "without a comma"})
  refuses("parts = { 5 }", {code = "type", field = "parts[1]", message = "the number 5"})
  refuses("parts = { group 'g' { 'engine' } }", {code = "type", part = "g", hint = "part \"engine\""})
  refuses("parts = { engine = part 'e' { mass = 1, at = {0, 0, 0} } }", {code = "content", field = "parts.engine"})
  refuses("parts = { state 's' {} }", {code = "type", part = "s", message = "no place among parts"})
end)

check.test("keys_that_are_no_names_are_refused", function()
  refuses_part("[2.5] = 1", {code = "content", field = "[2.5]"})
  refuses_part("[true] = 1", {code = "content", field = "[a boolean]"})
  refuses_part("[{}] = 1, [part 'b' {}] = 2", {code = "content", field = "[a table]"})
  refuses_part("tags = { [true] = 'x' }", {code = "content", field = "tags[a boolean]"})
  refuses(PART .. "points = { [true] = {1, 2, 3}, [{}] = 1 }", {code = "type", message = "needs a name"})
end)

check.test("messages_stay_one_short_line_whatever_the_file_holds", function()
  local err = refuses_part("basis = '" .. ("x\\n"):rep(5000) .. "'", {code = "unknown", field = "basis"})
  check.ok(#tostring(err) < 300)
  err = refuses("parts = { part '\\n\\0\\127' { mass = 1, at = {0, 0, 0} } }", {code = "content"})
  check.contains(tostring(err), "\\n")
  refuses(PART .. "title = '" .. ("\u{e9}"):rep(200) .. "', title = 5", {code = "content"})
end)

check.test("shapes_and_inertia_that_no_body_has_are_refused", function()
  refuses_part("shape = box {1, 2}", {code = "missing", field = "shape", message = "height"})
  refuses_part("shape = box {1, 2, 3, 4}", {code = "unknown", field = "shape[4]"})
  refuses_part("shape = box {1, 2, 3, height = 4}", {code = "clash", field = "shape.height"})
  refuses_part("shape = box {1, -2, 3}", {code = "range", field = "shape[2]", message = "above 0 mm"})
  refuses_part("shape = tube {90, 46, 100}", {code = "geometry", message = "half the diameter"})
  refuses_part("shape = cylinder {1, 2, axis = 'q'}", {code = "type", field = "shape.axis"})
  refuses_part("shape = 'box'", {code = "type", field = "shape", hint = "cylinder"})
  refuses_part("shape = box {1, 2, 3}, inertia = {1, 1, 1}", {code = "clash", field = "inertia"})
  -- moments of a body: each at most the sum of the other two (Meriam, Kraige & Bolton, Dynamics, App. B); a product
  -- no larger than the moments allow
  refuses_part("inertia = {1, 1, 2.1}", {code = "geometry", field = "inertia"})
  refuses_part("inertia = {1, 1, 1, xy = 1.1}", {code = "geometry", field = "inertia"})
  refuses_part("inertia = {-1, 1, 1}", {code = "geometry", field = "inertia"})
  refuses_part("inertia = {1, 1}", {code = "missing", field = "inertia", message = "zz"})
  check.equal(part "inertia = {1, 1, 2, 0.5, 0, 0}".inertia.xy, 0.5) -- a flat plate, the limiting case
  refuses("parts = { tank 't' { density = 1, fill = 1, shape = rod {100}, at = {0, 0, 0} } }",
    {code = "geometry", field = "shape"})
end)

check.test("fills_a_tank_cannot_hold_are_refused", function()
  local function tank(fill, want)
    want.field, want.part = "fill", "t"
    refuses("parts = { tank 't' { density = 1, capacity = 40, at = {0, 0, 0}, fill = " .. fill .. " } }", want)
  end
  tank("48", {code = "range", message = {"48 litres", "40"}})
  tank("-1", {code = "range"})
  tank("'110 %'", {code = "range", message = "100 %"})
  tank("'full'", {code = "type"})
  refuses("parts = { tank 't' { density = 1, capacity = 40, fill = 1, at = {0, 0, 0} } },\nstates = { state 's' { fill = { t = 41 } } }",
    {code = "range", part = "s", kind = "state", field = "fill.t", line = 6})
end)

-- ---- axes and axles ---------------------------------------------------------------------------------------------------

local function vehicle_with(axes, axles) return ("vehicle { axes = %s,\naxles = {%s\n},\n%s }"):format(axes, axles, PART) end
local TRACK = "track = 1500, loaded_radius = 290"
local BACK = "{ x = 'back', y = 'right', z = 'up' }"

local function axle_error(axes, axles, want)
  return check.raises(function() read_text(vehicle_with(axes, axles)) end, want)
end

check.test("axles_that_do_not_stand_are_refused", function()
  local front, rear = "\n{ name = 'front', at = 100, " .. TRACK .. " },", "\n{ name = 'rear', at = %s, " .. TRACK
    .. " }"
  axle_error(BACK, front .. rear:format "100", {code = "geometry", part = "rear", kind = "axle", field = "at", line = 4,
    message = "wheelbase is 0"})
  axle_error(BACK, front .. rear:format "-2450", {code = "geometry", part = "rear", field = "at", line = 4,
    message = "ahead of \"front\"", hint = "x counts back"})
  axle_error("{ x = 'forward', y = 'left', z = 'up' }", front .. rear:format "2450",
    {code = "geometry", part = "rear", hint = "x counts forward"})
  axle_error(BACK, front, {code = "range", field = "axles", message = "has 1"})
  axle_error(BACK, front .. rear:format "'x'", {code = "type", part = "rear", field = "at"})
  axle_error(BACK, front .. rear:format "1/0", {code = "range", part = "rear", field = "at"})
  axle_error(BACK, front:gsub("front", "rear") .. rear:format "2450",
    {code = "clash", part = "rear", field = "name", line = 4})
  axle_error(BACK, "\n{ name = 'f', at = 0, wheels = 'one', loaded_radius = 290 },"
    .. "{ name = 'r', at = 900, wheels = 'one', loaded_radius = 290 }",
    {code = "geometry", field = "axles", message = "three are needed"})
  axle_error(BACK, front .. "\n{ name = 'rear', at = 2450, loaded_radius = 290 }",
    {code = "missing", part = "rear", field = "track"})
  axle_error(BACK, front .. "\n{ name = 'rear', at = 2450, track = 1500 }",
    {code = "missing", part = "rear", field = "loaded_radius"})
  axle_error(BACK, front .. "\n{ name = 'rear', at = 2450, track = 0, loaded_radius = 290 }",
    {code = "range", part = "rear", field = "track"})
  axle_error(BACK, front .. "\n{ at = 2450, " .. TRACK .. "}", {code = "missing", field = "axles[2].name"})
  axle_error(BACK, front .. "\n{ name = 'rear', at = 2450, wheels = 'three', " .. TRACK .. "}",
    {code = "type", field = "wheels"})
  axle_error(BACK, front .. "\n5", {code = "type", field = "axles[2]"})
end)

check.test("file_without_axles_says_that_and_nothing_else", function()
  local parts = "parts = { group 'g' { turned = { nose_up = 1 }, part 'a' { mass = 1, at = {0, 0, 0}, unsprung = 'front' } } }"
  check.raises(function() read_text("vehicle {\n" .. parts .. "}") end, {code = "missing", field = "axles", line = 1})
end)

check.test("axes_that_are_none_are_refused", function()
  local axles = "{ name = 'front', at = 0, " .. TRACK .. " }, { name = 'rear', at = 2450, " .. TRACK .. " }"
  axle_error("{ x = 'back', y = 'forward', z = 'up' }", axles,
    {code = "clash", field = "axes.y", line = 1, message = "same line as x"})
  axle_error("{ x = 'bak', y = 'right', z = 'up' }", axles, {code = "unknown", field = "axes.x", hint = "\"back\""})
  axle_error("{ x = 'back', y = 'right' }", axles, {code = "missing", field = "axes", message = "no z"})
  axle_error("{ x = 'back', y = 'right', z = 'up', w = 'up' }", axles, {code = "unknown", field = "axes.w"})
end)

-- x forward, y right, z down is the right-handed z-down set of SAE J670 (remembered), x forward, y left, z up that of
-- ISO 8855:2011; swapping one direction turns either into a left-handed set
check.test("left_handed_axes_are_read_and_said", function()
  local axles = "{ name = 'front', at = 0, " .. TRACK .. " }, { name = 'rear', at = -2450, " .. TRACK .. " }"
  local function notes(y, z)
    return read_text(vehicle_with(("{ x = 'forward', y = '%s', z = '%s' }"):format(y, z), axles)).notes
  end
  check.equal(notes("right", "down"), {})
  check.equal(notes("left", "up"), {})
  check.contains(notes("right", "up")[1], "left-handed")
  check.contains(notes("left", "down")[1], "left-handed")
end)

check.test("axles_are_placed_along_whichever_axis_runs_fore_and_aft", function()
  local axles = "{ name = 'front', at = 0, " .. TRACK .. " }, { name = 'rear', at = 2450, " .. TRACK .. " }"
  local s = read_text(vehicle_with("{ x = 'right', y = 'back', z = 'down' }", axles))
  check.equal(s.axles[2].at, 2450)
end)

-- ---- who carries it ---------------------------------------------------------------------------------------------------

check.test("unsprung_that_nothing_carries_is_refused", function()
  refuses_part("unsprung = 'raer'", {code = "unknown", field = "unsprung", hint = "\"rear\""})
  refuses_part("unsprung = { middle = 0.5 }", {code = "unknown", field = "unsprung.middle", hint = "front, rear, lf"})
  refuses_part("unsprung = { front = 0.7, rear = 0.5 }", {code = "range", field = "unsprung", message = "1.2"})
  refuses_part("unsprung = { front = 1.5 }", {code = "range", field = "unsprung.front"})
  refuses_part("unsprung = { front = -0.5 }", {code = "range", field = "unsprung.front"})
  refuses_part("unsprung = { 'front' }", {code = "type", field = "unsprung[1]"})
  refuses_part("unsprung = 0.5", {code = "type", field = "unsprung"})
  refuses_part("pair = true, unsprung = 'lf'", {code = "clash", field = "unsprung", hint = "\"front\""})
  refuses_part("pair = true, count = 2", {code = "clash", field = "count"})
  check.equal(#part "unsprung = { front = 0.1, rear = 0.2, lf = 0.3, rf = 0.4 }".unsprung, 4) -- adds up to 1 + a rounding
end)

check.test("unsprung_far_from_its_wheels_is_noted", function()
  local function notes(at, group)
    local text = ("part 'a' { mass = 1, unsprung = 'front', at = {%s} }"):format(at)
    return read("parts = { " .. (group and ("group 'g' { %s, %s }"):format(group, text) or text) .. " }").notes
  end
  check.equal(notes "0, 0, 290", {})    -- on the axle, though far from both wheels: both corners in one line
  check.equal(notes "-289, 700, 290", {})
  check.contains(notes("-291, 700, 290")[1], "a is said to be carried by the front wheels but lies 291 mm")
  -- 3-4-5: 240 back and 320 down from the wheel centre is 400 away
  check.contains(notes("240, 700, -30")[1], "400 mm")
  -- in a group turned nose up by 90 degrees, what lies ahead of its origin comes to lie above it
  check.equal(notes("-200, 0, 0", "at = {0, 700, 290}, turned = { nose_up = 90 }"), {})
  check.equal(notes("-280, 0, 0", "at = {0, 700, 100}, turned = { nose_up = 90 }"), {})
  check.contains(notes("-280, 0, 0", "at = {0, 700, 350}, turned = { nose_up = 90 }")[1], "g/a is said")
  check.contains(notes("-280, 0, 0", "at = {0, 700, 350}, turned = { nose_up = 90 }")[1], "340 mm") -- 350 + 280 - 290
end)

-- ---- names --------------------------------------------------------------------------------------------------------------

check.test("names_that_clash_are_refused", function()
  local A = "part 'a' { mass = 1, at = {0, 0, 0} }"
  refuses("parts = {\n" .. A .. ",\n" .. A .. " }", {code = "clash", part = "a", line = 7, message = "on line 6"})
  refuses("parts = {\n" .. A .. " },\nspares = { " .. A .. " }", {code = "clash", part = "a", line = 7})
  refuses("parts = { group 'g' { " .. A .. ", " .. A .. " } }", {code = "clash", part = "g/a"})
  refuses("parts = { " .. A .. ", part 'b' { mass = 1, at = {0, 0, 0}, tags = {'a'} } }",
    {code = "clash", part = "b", field = "tags"})
  refuses("parts = { part 'rear axle' { mass = 1, at = {0, 0, 0} } }", {code = "clash", message = "the axle itself"})
  refuses("parts = { part 'a/b' { mass = 1, at = {0, 0, 0} } }", {code = "content", message = "stroke"})
  refuses("parts = { part '' { mass = 1, at = {0, 0, 0} } }", {code = "content", message = "has no name between its quotes"})
  refuses("parts = { part '" .. ("x"):rep(101) .. "' { mass = 1, at = {0, 0, 0} } }",
    {code = "content", message = "101 bytes"})
  refuses(PART .. "states = { state 's' {}, state 's' {} }", {code = "clash", part = "s"})
  refuses(PART .. "limits = { { quantity = 'mass', max = 1 }, { quantity = 'mass', min = 1 } }", {code = "clash"})
  check.equal(#read("parts = { group 'g' { " .. A .. " }, group 'h' { " .. A .. " } }").parts, 2)
end)

check.test("names_of_nothing_are_refused_with_the_nearest", function()
  local P = "parts = { group 'g' { part 'driver' { mass = 1, at = {0, 0, 0} } },\n tank 'fuel' { density = 1, fill = 1, capacity = 2, "
    .. "at = {0, 0, 0} }, part 'rim' { pair = true, mass = 1, at = {0, 5, 0}, tags = {'front'} } },\n"
  local function state(text, want)
    want.line, want.part, want.kind = 7, "s", "state"
    refuses(P .. "states = { state 's' { " .. text .. " } }", want)
  end
  state("without = {'drivr'}", {code = "unknown", field = "without", message = "\"drivr\"", hint = "\"driver\""})
  state("with = {'zzzzz'}", {code = "unknown", field = "with", message = "tag"})
  state("without = {'g/drive'}", {code = "unknown", hint = "\"g/driver\""})
  state("fill = { feul = 1 }", {code = "unknown", field = "fill.feul", hint = "\"fuel\""})
  state("fill = { rim = 1 }", {code = "type", field = "fill.rim", message = "only a tank"})
  state("swap = { drivr = 'fuel' }", {code = "unknown", field = "swap.drivr"})
  state("swap = { driver = 'feul' }", {code = "unknown", field = "swap.driver", message = "\"feul\""})
  state("swap = { driver = 5 }", {code = "type", field = "swap.driver"})
  state("without = {'fuel/left'}", {code = "unknown"})
  check.equal(#read(P .. "states = { state 's' { without = {'rim/left', 'g/driver', 'g', 'front'} } }").states[1].without, 4)
  refuses_part("bolted_to = {'aa'}", {code = "unknown", field = "bolted_to", hint = "\"a\""})
  refuses_part("scale = 'pads'", {code = "unknown", field = "scale"})
  refuses("design = 'ful', states = { state 'full' {} }, " .. PART,
    {code = "unknown", field = "design", hint = "\"full\""})
  refuses(PART .. "shafts = { { name = 's', joint = 'cv', inner = { part = 'b' } } }",
    {code = "unknown", field = "inner.part", part = "s"})
  refuses(PART .. "shafts = { { name = 's', joint = 'cv', outer = { wheel = 'l3' } } }",
    {code = "unknown", field = "outer.wheel", hint = "lf, rf"})
  refuses(PART .. "shafts = { { name = 's', joint = 'cv', inner = { part = 'a', wheel = 'lf' } } }",
    {code = "clash", field = "inner.wheel"})
  refuses(PART .. "clearances = { { name = 'c', a = 'a', b = 'b' } }",
    {code = "unknown", field = "b", part = "c", kind = "clearance"})
  refuses(PART .. "points = { p = { at = {0, 0, 0}, part = 'b' } }",
    {code = "unknown", field = "part", part = "p", kind = "point"})
  refuses(PART .. "limits = { { quantity = 'front_shar', min = 1 } }",
    {code = "unknown", field = "quantity", hint = "\"front_share\""})
  refuses(PART .. "limits = { { quantity = 'mass', min = 3, max = 2 } }", {code = "clash", field = "min"})
  check.equal(#read(PART .. "limits = { { quantity = 'lf', min = 1 }, { quantity = 'axle.front', min = 1 } }").limits, 2)
end)

check.test("bare_name_that_fits_several_lists_the_paths", function()
  local A = "part 'arm' { mass = 1, at = {0, 0, 0} }"
  refuses("parts = { group 'g' { " .. A .. " }, group 'h' { " .. A
    .. " } }, states = { state 's' { without = {'arm'} } }",
    {code = "clash", field = "without", message = {"\"g/arm\"", "\"h/arm\""}, hint = "group"})
end)

-- ---- items that go missing ------------------------------------------------------------------------------------------------

check.test("items_that_stand_nowhere_are_refused", function()
  local function text(before, rest) return before .. "\n" .. HEAD .. rest .. "}" end
  local function wrong(t, want) check.raises(function() read_text(t) end, want) end
  wrong(text("part 'lost' { mass = 1, at = {0, 0, 0} }", PART),
    {code = "content", part = "lost", line = 1, message = "stands nowhere"})
  wrong(text("local g = group 'g' { part 'lost' { mass = 1, at = {0, 0, 0} } }", PART),
    {code = "content", part = "g", kind = "group"})
  wrong(text("", PART .. "state 's' {}"), {code = "content"})
  wrong(text("local s = state 's' {}", PART), {code = "content", part = "s", hint = "states"})
  wrong(text("local p = part 'p' { mass = 1, at = {0, 0, 0} }", "parts = { p,\ngroup 'g' { p } }"),
    {code = "content", part = "g/p", message = "two places"})
  wrong(text("local t = {} local g = group 'g' (t) t[1] = g", "parts = { g }"),
    {code = "content", message = "inside itself"})
  wrong("local x = 1", {code = "content", message = "holds no vehicle"})
  -- what another part may be made from is not an item
  check.equal(#read_text(text("local at = {0, 0, 0}",
    "parts = { part 'a' { mass = 1, at = at }, part 'b' { mass = 1, at = at } }")).parts, 2)
end)

check.test("groups_too_deep_are_refused", function()
  local function nested(n) return "parts = {" .. ("group 'g' {"):rep(n)
    .. "part 'p' { mass = 1, at = {0, 0, 0} }" .. ("}"):rep(n) .. "}" end
  check.equal(#read(nested(30)).parts, 1)
  refuses(nested(31), {code = "limit", message = "30 groups"})
end)

check.test("group_with_an_uncertain_place_is_refused", function()
  refuses("parts = { group 'g' { at = {sd(1, 1), 0, 0} } }",
    {code = "unavailable", field = "at", hint = "parts inside"})
end)

-- ---- what Lua loses, and which comes first ----------------------------------------------------------------------------

check.test("decimal_commas_and_double_keys_are_refused", function()
  refuses("parts = { group 'g' {\n part 'a' { mass = 12,5, at = {0, 0, 0} } } }",
    {code = "content", line = 6, part = "g/a", field = "mass", message = "12,5", hint = "12.5"})
  refuses("parts = { group 'g' {\n part 'a' {\n mass = sd(12,5, 0.1),\n at = {0, 0, 0} } } }",
    {code = "type", line = 7, part = "g/a", field = "mass", message = "sd takes", hint = "decimals take a point"})
  refuses("parts = { part 'a' { mass = 12,05, at = {0, 0, 0} } }", {code = "content", part = "a", hint = "12.05"})
  refuses("parts = { part 'a' { mass = 12, at = {0, 0, 0},\n mass = 13 } }",
    {code = "content", line = 6, part = "a", field = "mass",
    message = "twice"})
  refuses("title = 'again', " .. PART, {code = "content", line = 5, field = "title", message = "first on line 1"})
end)

check.test("the_first_mistake_of_the_text_is_reported", function()
  refuses("design = 'nowhere',\nparts = { part 'a' { mas = 1, at = {0, 0, 0} } }", {line = 5, field = "design"})
  refuses("states = { state 's' { without = {'x'} } },\nparts = { part 'a' { mas = 1, at = {0, 0, 0} } }", {line = 5, part = "s"})
  refuses("parts = { part 'a' { basis = 'x',\n mass = 1,5, at = {0, 0, 0} } }", {line = 5, field = "basis"})
  refuses("parts = { part 'a' { mass = 1,5, at = {0, 0, 0},\n basis = 'x' } }", {line = 5, field = "mass"})
  for _ = 1, 20 do -- Lua visits fields in another order in each state; the text decides
    refuses("parts = { part 'a' { note = 1, mass = -1, at = 5, basis = 'x', count = 0, tags = 3, growth = 9 } }", {field = "note"})
  end
end)

-- The same words give the same line whatever way they are written: a part on one line, on several, made by a function.
check.test("lines_are_found_however_it_is_written", function()
  refuses("parts = {\n part(\n'a')({ mass = 1,\n at = {0, 0, 'x'} }) }", {code = "type", field = "at.z"})
  local text = "local function p(n, m)\n return part(n) { mass = m, at = {0, 0, 0} }\nend\n" .. HEAD
    .. "parts = { p('a', 1), p('b', -1) } }"
  check.raises(function() read_text(text) end, {code = "range", part = "b", file = "car.lua", line = 2})
  refuses("parts = {\n part 'a' { mass = 1,\n at = {\n 0,\n 0,\n 'x'} } }", {line = 10, field = "at.z"})
  refuses("parts = {\n part 'a' { mass = 1, at = {0, 0, 0},\n stand_in = {\n mass = -1 } } }", {line = 8, field = "stand_in.mass"})
end)

-- Files as long as they may be, full of mistakes: common practice for something a person waits for, no source.
local function within_two_seconds(text, want)
  local before = os.clock()
  local err = check.raises(function() read_text(text) end, want)
  check.near(os.clock() - before, 0, 2, "seconds")
  check.ok(#tostring(err) < 700, "a short line")
end

check.test("a_hundred_thousand_mistakes_are_reported_as_one_and_soon", function()
  local many = ("1,"):rep(100000)
  within_two_seconds("vehicle { " .. many .. "}", {line = 1, message = "entries mean nothing"})
  within_two_seconds(HEAD .. "parts = {" .. many .. "} }", {line = 5, field = "parts[1]"})
  within_two_seconds(HEAD .. PART .. "points = {" .. many .. "} }", {line = 5})
  within_two_seconds(HEAD .. "parts = { part 'a' { mass = 1, at = {0, 0, 0}, tags = {" .. many .. "} } } }", {line = 5, part = "a"})
  within_two_seconds(HEAD .. "parts = { part 'a' { mass = 1, at = {0, 0, 0}, turned = {" .. many .. "} } } }", {line = 5, part = "a"})
end)

check.test("many_parts_that_name_others_are_looked_up_soon", function()
  local list = {}
  for i = 1, 2400 do
    list[i] = ("group 'g%d' { part 'p' { mass = 1, at = {0, 0, 0}, bolted_to = {'g%d/p'} } }"):format(i, i % 2400 + 1)
  end
  local text = HEAD .. "parts = {\n" .. table.concat(list, ",\n") .. "} }"
  local before = os.clock()
  check.equal(#read_text(text).parts, 2400)
  check.near(os.clock() - before, 0, 2, "seconds")
  within_two_seconds(text:gsub("g(%d+)/p'", "h%1/p'"), {code = "unknown", line = 6, part = "g1/p", hint = "g2/p"})
  within_two_seconds(text:gsub("g%d+/p'", "p'"), {code = "clash", line = 6, part = "g1/p", message = ", ..."})
end)

-- ---- from a script ------------------------------------------------------------------------------------------------------

local AXLES = {{name = "front", at = 0, track = 1500, loaded_radius = 290}, {name = "rear", at = 2450, track = 1480, loaded_radius = 305}}

check.test("read_of_a_table_takes_items_and_plain_tables", function()
  local s = vehicle_file.read({axles = AXLES, parts = {vocabulary.part "a" {mass = vocabulary.sd(2, 0.1), at = {1, 2, 3}},
    {kind = "group", name = "g", {name = "b", mass = 3, at = {4, 5, 6}}}}, states = {{name = "s", without = "a"}}}, {})
  check.equal({s.parts[1].mass, s.parts[1].mass_sd}, {2, 0.1})
  check.equal(s.parts[2].children[1].path, "g/b")
  check.equal(s.states[1].without, {"a"})
  check.equal(s.title, "untitled vehicle")
end)

check.test("read_of_a_table_names_part_and_script_line", function()
  local line = debug.getinfo(1, "l").currentline + 1
  local item = vocabulary.part "a" {mass = -2, at = {1, 2, 3}}
  local err = check.raises(function() vehicle_file.read({axles = AXLES, parts = {item}}, {}) end,
    {code = "range", part = "a", field = "mass", line = line})
  check.contains(err.file, "test_vehicle_file.lua")
  check.raises(function() vehicle_file.read({axles = AXLES, parts = {{name = "b", mass = 0 / 0, at = {1, 2, 3}}}}, {}) end,
    {code = "range", part = "b", field = "mass"})
  check.raises(function() vehicle_file.read({axles = AXLES, parts = {{mass = 1, at = {1, 2, 3}}}}, {}) end,
    {code = "missing", message = "needs a name"})
end)

local function spec() return vehicle_file.read({axles = AXLES, parts = {vocabulary.part "a" {mass = 2, at = {1, 2, 3}}}}, {}) end

check.test("fields_gives_only_what_was_said", function()
  local context = {spec = spec(), name = "a"}
  check.equal(vehicle_file.fields("part", {mass = 97}, context), {mass = 97})
  check.equal(vehicle_file.fields("part", {mass = vocabulary.sd(97, 1)}, context), {mass = 97, mass_sd = 1})
  check.equal(vehicle_file.fields("part", {at = {y = 5}}, context), {at = {[2] = 5}})
  check.equal(vehicle_file.fields("axle", {track = 1520}, {spec = spec(), name = "rear axle"}), {track = 1520})
  check.near(vehicle_file.fields("tank", {fill = "50 %"}, {spec = spec(), name = "t", node = {capacity = 41}}).fill, 20.5, 1e-13)
end)

check.test("fields_refuses_what_a_file_refuses", function()
  local context = {spec = spec(), name = "a", node = {shape = {}}}
  local function refused(kind, changes, want)
    want.part = want.part or "a"
    check.raises(function() vehicle_file.fields(kind, changes, context) end, want)
  end
  refused("part", {mass = -1}, {code = "range", field = "mass"})
  refused("part", {mas = 1}, {code = "unknown", field = "mas", hint = "\"mass\""})
  refused("part", {unsprung = "reer"}, {code = "unknown", field = "unsprung"})
  refused("part", {pair = true}, {code = "unavailable", field = "pair"})
  refused("part", {inertia = {1, 1, 1}}, {code = "clash", field = "inertia"})
  refused("axle", {at = 5}, {code = "unavailable", field = "at", hint = "parts"})
  refused("axle", {track = -5}, {code = "range", field = "track"})
end)

check.test("item_and_fills_are_checked_for_a_car", function()
  local context = {spec = spec()}
  local node = vehicle_file.item(vocabulary.group "g" {vocabulary.part "b" {mass = 1, at = {1, 2, 3}}}, context)
  check.equal(node.children[1].path, "g/b")
  check.raises(function() vehicle_file.item(vocabulary.part "b" {mass = 1}, context) end,
    {code = "missing", field = "at", part = "b"})
  check.raises(function() vehicle_file.item(5, context) end, {code = "type", message = "the number 5"})
  check.equal(vehicle_file.fills({fuel = "90 %", oil = vocabulary.sd(4, 0.1)}, context),
    {fuel = {share = 0.9}, oil = {litres = 4, litres_sd = 0.1}})
  check.raises(function() vehicle_file.fills({fuel = -1}, context) end, {code = "range", field = "fill.fuel"})
  check.raises(function() vehicle_file.fills(5, context) end, {code = "type"})
end)

-- ---- the command -----------------------------------------------------------------------------------------------------------

-- One line on stderr, nothing on stdout, exit code 3.
check.test("command_of_a_bad_file_prints_one_line", function()
  local cases = {
    {"decimal_comma.lua", ":10: part \"powertrain/engine\", mass: 12,5 is two values"},
    {"missing_comma.lua", ":9: part \"body\", mass: '}' expected"}, {"endless.lua", ":2: does not come to an end"},
    {"misspelt_word.lua", ":9: unknown word \"pert\" (did you mean \"part\"?)"},
    {"utf16.lua", "is UTF-16"}, {"latin1.lua", ":2: is not UTF-8"}, {"binary.lua", "is a compiled Lua chunk"},
    {"empty.lua", "is empty"}, {"", "is a folder"}, {"nowhere.lua", "there is no such file"},
    {"missing_part.lua", ":12: state \"kerb\", without: no part, group or tag is called \"drivr\" (did you mean \"driver\"?)"},
  }
  for _, case in ipairs(cases) do
    local path = "tests/lua/bad/" .. case[1]
    local r = check.command(check.steelyard .. " balance " .. path)
    check.equal(r.code, 3, path)
    check.equal(r.out, "", path)
    check.contains(r.err, case[2], path)
    check.contains(r.err, path)
    check.equal(select(2, r.err:gsub("\n", "")), 1, "lines of " .. path)
  end
end)

check.done()
