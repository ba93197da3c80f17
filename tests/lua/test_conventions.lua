-- One car, its commands and its sentences in four conventions of axes and zeros: what is printed must not depend on them.
--
-- vehicles/bistort.lua is restated (conventions.lua) and every script of scripts/ is run on each form of it; the texts and the documents
-- must be the same but for coordinates of the file, and these must be the other's, restated (conventions_compare.lua has the rules).
-- There is no outside value in here: the claim is that a reading does not depend on where its axes start or run. That the answers
-- are right in one convention is what the other tests are for.
-- Under the command alone: what it looks at are the command's own processes.
-- Not under sanitizers: eight hundred processes, and tests/scripts has each command there.
-- With one compiler: it compares a build with itself; that two compilers print the same is what tests/scripts shows.

local check = dofile "tests/lua/check.lua"
local conventions = dofile "tests/lua/conventions.lua"
local compare = dofile "tests/lua/conventions_compare.lua"
local core = require "steelyard.core"
local json = require "steelyard.print.json"
local test = check.test

local FILED = "vehicles/bistort.lua"
local filed = conventions.read(FILED)
local home = conventions.of(filed)

-- part: axes of a part on scales, hung or swung, whose zero stays where it is; the first are those of vehicles/readings
local list = {
  {name = "as filed", to = home, part = {x = "back", y = "right", z = "up"}},
  {name = "usual", to = conventions.new({x = "back", y = "right", z = "up"}, {front = 0, centre = 0, ground = 0}),
   part = {x = "forward", y = "left", z = "up"}},
  {name = "z down", to = conventions.new({x = "back", y = "left", z = "down"}, {front = 777.1, centre = -31.3, ground = 333.7}),
   part = {x = "back", y = "left", z = "down"}},
  {name = "letters exchanged", to = conventions.new({x = "left", y = "up", z = "back"}, {front = -2500.3, centre = 12.7, ground = -40.9}),
   part = {x = "forward", y = "right", z = "down"}},
}
local ORIGIN = {front = 0, centre = 0, ground = 0}
local part_home = conventions.new(list[1].part, ORIGIN)
for _, c in ipairs(list) do
  c.map = conventions.map(home, c.to)
  c.part_map = conventions.map(part_home, conventions.new(c.part, ORIGIN))
end

-- ---- the files of a convention --------------------------------------------------------------------------------------------

local base = os.tmpname()
os.remove(base)

local function write(path, text)
  local file = assert(io.open(path, "wb"))
  file:write(text)
  file:close()
end

local function read(path)
  local file <close> = io.open(path, "rb")
  return file and file:read "a" or ""
end

local function words_of(axes) -- +1 or -1: the handedness of a choice of axes
  local way = {forward = {1, 0, 0}, back = {-1, 0, 0}, left = {0, 1, 0}, right = {0, -1, 0}, up = {0, 0, 1}, down = {0, 0, -1}}
  local x, y, z = way[axes.x], way[axes.y], way[axes.z]
  return x[1] * (y[2] * z[3] - y[3] * z[2]) - x[2] * (y[1] * z[3] - y[3] * z[1]) + x[3] * (y[1] * z[2] - y[2] * z[1])
end

-- A mesh of triangles in OBJ along the axes of vehicles/shapes: back, right, up. Its faces look outward in the numbers as they stand,
-- so they are turned about where the numbers are a mirror image.
local function mesh_text(map, to_axes)
  local lines, mirrored = {}, words_of(list[2].to.axes) ~= words_of(to_axes)
  for line in io.lines "vehicles/shapes/saddle_tank.obj" do
    local x, y, z = line:match "^v (%S+) (%S+) (%S+)"
    if x then
      local p = map.step{tonumber(x), tonumber(y), tonumber(z)}
      line = ("v %.0f %.0f %.0f"):format(p[1], p[2], p[3])
    elseif line:find "^f" and mirrored then
      local corners = {}
      for corner in line:gmatch "%d+" do table.insert(corners, 1, corner) end
      line = "f " .. table.concat(corners, " ")
    end
    lines[#lines + 1] = line
  end
  return table.concat(lines, "\n") .. "\n"
end

local function line_named(lines, name)
  for _, line in ipairs(lines) do if line.name == name then return line.fields end end
  error(name)
end

-- The car a month later: a part and a group elsewhere, a part heavier, one gone, one new. Of one whose tank is a mesh.
local function other_files()
  local later, meshed = conventions.read(FILED), conventions.read(FILED)
  local parts = later.fields.parts
  local electrical = line_named(parts, "electrical")
  line_named(electrical, "battery").at = {905, 350, 120}
  line_named(electrical, "rear loom").mass = {word = "within", 5.2, 1}
  local powertrain = line_named(parts, "powertrain")
  powertrain.at = {-905, 652, 190}
  line_named(parts, "engine").turned = nil
  table.insert(parts, {word = "part", name = "tow eye", fields = {mass = 1.1, at = {1650, 250, 130}}})
  local fuel = line_named(line_named(meshed.fields.parts, "fuel system"), "fuel")
  fuel.shape, fuel.fill, fuel.pick_up = {word = "mesh", fields = {"saddle.obj", unit = "mm"}}, 18, {90, 0, 60}
  return later, meshed
end

-- Of one that was measured: records of each kind, invented.
local function recorded_file()
  local recorded = conventions.read(FILED)
  local function record(name, fields) return {word = "record", name = name, fields = fields} end
  recorded.fields.records = {
    record("pads", {kind = "corners", state = "kerb", date = "2026-05-02", without = "luggage", fill = {fuel = 12},
      instrument = "bench pads", corners = {lf = {word = "sd", 121.5, 0.2}, rf = 112, lr = {217, 217.2}, rr = 221.5},
      pads = {lf = "A", rf = "B", lr = "C", rr = "D"}}),
    record("bridge", {kind = "axles", state = "race start", axles = {front = {word = "sd", 290, 3}, rear = {word = "sd", 455, 3}}}),
    record("lift", {kind = "lift", date = "2026-05-03", from = "bistort_lift.csv"}),
    record("engine", {kind = "assembly", of = "powertrain", mass = {word = "sd", 231, 0.3}, cg = {{word = "sd", -880, 4},
      {word = "sd", 700, 5}, {word = "sd", 250, 6}}, inertia = {xx = 9.1, yy = 7.2, zz = 12.4, xy = 0.2, xz = -0.3, yz = 0.1}}),
    record("jacks", {kind = "ride heights", state = "two up", heights = {["front jack, left"] = 131, tail = {word = "sd", 188, 1}}}),
  }
  table.insert(recorded.fields.instruments, {word = "instrument", name = "bench pads", fields = {step = 0.1, sd = 0.1,
    gain = {word = "sd", 1, 0.0005}, each = {bias = {word = "sd", 0.02, 0.1}}}})
  return recorded
end

local function line_named_deep(lines, name)
  for _, line in ipairs(lines) do
    if line.name == name then return line.fields end
    local found = line.word == "group" and line_named_deep(line.fields, name)
    if found then return found end
  end
end
line_named = function(lines, name) return line_named_deep(lines, name) or error(name) end

-- A reading file of a part, restated: settings `axes.x`, places under x, y, z and settings ending in .x, .y, .z, products of inertia.
local function restated_readings(path, c)
  local sign, out, heads = {x = c.part_map.sign "x", y = c.part_map.sign "y", z = c.part_map.sign "z"}, {}, nil
  local function turned(cell, letters)
    if not cell:find "%d" then return cell end
    for letter in letters:gmatch "[xyz]" do
      if sign[letter] < 0 then cell = cell:sub(1, 1) == "-" and cell:sub(2) or "-" .. cell end
    end
    return cell
  end
  for line in io.lines(path) do
    local row = {}
    for cell in (line .. ","):gmatch "(.-)," do row[#row + 1] = cell end
    local axis, place = row[1]:match "^axes%.([xyz])$", row[1]:match "%.([xyz][xyz]?)$"
    if axis then
      row[2] = c.part[axis]
    elseif line:sub(1, 1) == "#" then
      row = {line}
    elseif heads then
      for i, head in ipairs(heads) do
        local letter = head:match "^([xyz])$" or head:match "%.([xyz])$"
        if letter and row[i] then row[i] = turned(row[i], letter) end
      end
    elseif place and tonumber(row[2]) then
      row[2] = turned(row[2], place)
    elseif #row > 2 and not tonumber(row[2]) then
      heads = row
    end
    out[#out + 1] = table.concat(row, ",")
  end
  return table.concat(out, "\n") .. "\n"
end

local part_readings = {"engine_three_pads", "tub_on_feet", "hang_engine", "upright_tensor", "tank_in_the_tub"}
local plain_readings = {"bistort_lift", "corners_swapped", "teardown", "teardown_slip", "battery_before_after"}

local later, meshed = other_files()
local recorded = recorded_file()
for i, c in ipairs(list) do
  c.folder = base .. "-" .. i
  os.execute("mkdir -p '" .. c.folder .. "'")
  write(c.folder .. "/car.lua", i == 1 and read(FILED) or conventions.text(conventions.restated(filed, c.map)))
  write(c.folder .. "/later.lua", conventions.text(conventions.restated(later, c.map)))
  write(c.folder .. "/meshed.lua", conventions.text(conventions.restated(meshed, c.map)))
  write(c.folder .. "/recorded.lua", conventions.text(conventions.restated(recorded, c.map)))
  write(c.folder .. "/saddle.obj", mesh_text(conventions.map(list[2].to, c.to), c.to.axes))
  for _, name in ipairs(part_readings) do
    write(("%s/%s.csv"):format(c.folder, name), restated_readings(("vehicles/readings/%s.csv"):format(name), c))
  end
  for _, name in ipairs(plain_readings) do
    write(("%s/%s.csv"):format(c.folder, name), read(("vehicles/readings/%s.csv"):format(name)))
  end
end

-- ---- the commands ---------------------------------------------------------------------------------------------------------

-- A place that is named by its coordinates has a name to 0.001 mm.
local function name_of(value) return core.shortest(core.number(core.fixed(value, 3))) end

-- Words of a command line that are coordinates of the file: stated as filed, restated for each convention.
local function numbers(values)
  for i, value in ipairs(values) do values[i] = core.shortest(value) end
  return values
end
local function at(x, y, z) return {place = {x, y, z}} end
local function slot(name, x, y, z, more) return {slot = {x, y, z}, before = name .. ",", after = "," .. more} end
local function floor(...) return {floor = {...}} end -- pairs: fore-aft, across

local function word_of(word, c)
  if type(word) == "string" then return word end
  if word.place then
    local values, names = c.map.place(word.place), {}
    for i = 1, 3 do names[i] = name_of(values[i]) end
    return table.concat(numbers(values), ","), {{table.concat(names, ", "), "<place>"}}
  elseif word.slot then
    return word.before .. table.concat(numbers(c.map.place(word.slot)), ",") .. word.after
  elseif word.along then
    local values, labels = {}, {}
    for i, value in ipairs(word.along) do
      local along = c.map.along(value)
      values[i], labels[i] = core.shortest(along), {name_of(along), ("<along %d>"):format(i)}
    end
    return table.concat(values, ","), word.labels and labels
  elseif word.floor then
    local values = {}
    for i = 1, #word.floor, 2 do
      local p = c.map.place{word.floor[i], word.floor[i + 1], 0}
      for k = 1, 3 do if k ~= c.to.upright.index then values[#values + 1] = core.shortest(p[k]) end end
    end
    return table.concat(values, ",")
  elseif word.axes then
    return table.concat({c.to.axes.x, c.to.axes.y, c.to.axes.z}, ",")
  end
  return core.shortest(c.to[word.zero])
end

local car, kerb, race = "car.lua", "kerb", "race start"
local jacks = {"front jack, left", "front jack, right", "rear jack, left", "rear jack, right"}
local eyes = {"lifting eye, timing end", "lifting eye, clutch end"}

local function with(words, ...)
  return table.move({...}, 1, select("#", ...), #words + 1, table.move(words, 1, #words, 1, {}))
end

-- script -> command lines. Of a script without one the test fails. What takes half a second runs less
-- often: text_only without its document, once in the last convention alone.
local commands = {
  as_built = {{"recorded.lua"}, {"recorded.lua", "lift", "engine", "--state", race}},
  apply = {{car, "powertrain 50 back", "radiator 3 nose_up 20 up", "front wheel 4 out", "driver mass 96",
    "ballast 5 at front jack, left", "--to", "applied.lua", "--replace"}},
  ballast = {{car, "--state", race, "--front", "38", "--slot", slot("nose", 1300, 640, 200, "15,0.1"), "--minimum", "700",
    "--finish", "fuel=4"},
    {car, "--state", race, "--front", "43", "--left", "50.5", "--slot", slot("nose", 1300, 840, 200, "5"), "--slot",
      slot("tray", -1100, 440, 100, "5,0.5"), "--finish", "fuel=4"}},
  balance = {{car, "--state", race}, {car, "--state", "two up"}, {car, "--state", "tall"}, {car, "--state", "mock-up"}, {car},
    {"meshed.lua", "--state", "two up"}},
  book = {{car}, {car, "powertrain", "--state", kerb}, {car, "--csv"}, {car, "--semicolon", "--state", "tall"}, {"meshed.lua", "--csv"}},
  budget = {{car, "--target", "800"}, {car, "--state", race, "--for", "front_share"}},
  cg_height = {{car, "bistort_lift.csv"}, {car, "--plan", "10", "--state", kerb, text_only = true},
    {car, "--plan", "10", "--lifted", "front", "--state", kerb, "--low", "tail pipe,-2950,180", once = true}, {car}},
  checks = {{car}, {car, "--state", race}},
  clearance = {{car, "--at", "design,bump,droop,rock"},
    {car, "--back", "-120", "--at", "steer,design", "--steer", "12", "--state", "two up"}, {car, "--all", "--gap", "25", "--state", race}},
  compare_layouts = {{car, "--state", kerb}, {car, "--move", "battery", "--back", "-100,800"}},
  driver_swap = {{car}, {car, "--for", "tall driver", "--state", race}},
  report = {{car, "--state", race, "--vary", "battery back -100 100 5"}, {car, "--other", car}},
  draw = {{car, "--state", race}, {car, "--view", "plan"}, {car, "--view", "front", "--width", "90"},
    {car, "--view", "beam", "--before", car}},
  drivers = {{car}, {car, "--hip", at(190, 905, 110), "--torso", "30", "--knee", "120"}},
  engine_back = {{car}},
  engine_cg = {{"engine_three_pads.csv"}},
  engine_driver_map = {{car, "--state", race, "--back", "-40,40,3", "--mass", "60,95,3"}},
  feet_tilt = {{"tub_on_feet.csv"}},
  forgotten = {{car}},
  fuel_burn = {{car, "--state", race}, {car, "--tank", "engine oil", "--step", "1"}, {"meshed.lua"}},
  guesses = {{car}, {"later.lua", car}},
  half_shafts = {{car}, {car, "--move", "transaxle", "--back", "-80,0,80", "--state", race}},
  hang_engine = {{"hang_engine.csv"}},
  hoist_engine = {with({car}, table.unpack(eyes)),
    {car, eyes[1], eyes[2], "--legs", "420,520", "--boom", "1000=500,1250=350", "--reach", "1100"},
    {car, at(-950, 950, 515), at(-820, 530, 530), "--hook", at(-880, 760, 950), "--hang", "-2"},
    {car, at(-950, 950, 515), at(-820, 530, 530), at(-1150, 480, 350), "--what", "powertrain"}},
  dipstick = {{car, "fuel", "--step", "50", "--lean", "nose_up=3,right_up=2"}, {car, "engine oil", "--csv"}},
  inertia = {{car, "--state", race}, {car, "--what", "powertrain"}},
  load_transfer = {{car, "--left", "0.8", "--braking", "0.3", "--state", "two up", "--front", "30", "--rear", "50"},
    {car, "--right", "0.9", "--drive", "0.2", "--state", race}},
  meet_target = {{car, "--front", "37.9", "--left", "50.2", "--left-within", "1.5", text_only = true},
    {car, "--front", "55", "--states", race}},
  mesh = {{"saddle.obj", "--unit", "mm", "--mass", "9"}},
  mockup = {{car}, {car, "--state", race, "--trolleys", {along = {1000, -900}, labels = true}, "--tapes", floor(1310, -900, -1120, -900)},
    {car, "--what", "engine", "--state", race}},
  pareto = {{car, "--vary", "powertrain back -30 30 3,battery forward -40 90 3", "--least", "yaw_inertia", "--most", "height"}},
  pendulum = {{"upright_tensor.csv"}},
  predict_corners = {{car, "--state", "two up", "--pads", "lf=2", "--slope", "nose_up=1,right_up=0.5"},
    {car, "--state", kerb, "--perches", "rr=1"}},
  propshaft = {{car}},
  read_corners = {{"corners_swapped.csv"}},
  reconcile = {{car, "--state", kerb, "--corners", "121.5,112.0,217.0,221.5", "--height", "349"},
    {car, "--state", kerb, "--corners", "139.9,121.0,223.0,216.5"}, {car, "--state", race, "--axles", "290,455", "--sd", "0.3"}},
  record = {{car, "read", "--axles", "330,410", "--to", "read.lua", "--replace"}},
  records = {{"recorded.lua"}, {"recorded.lua", "pads"}, {"recorded.lua", "bridge"}, {"recorded.lua", "lift"}, {"recorded.lua", "engine"},
    {"recorded.lua", "jacks"}},
  ride_height = {{car, "--state", "two up", "--against", race}, {car, "--front", "10", "--rear", "15"}},
  seek = {{car, "--vary", "powertrain back -30 30,battery forward -40 90", "--target", "front_share 37.9"},
    {car, "--vary", "powertrain back -30 30,battery left -40 90", "--least", "yaw_inertia", "--limit", "left_share 49.5 -"},
    {car, "--vary", "powertrain back -30 30", "--target", "front_share 55", "--worst", race .. "," .. kerb}},
  set_cross = {{car, "51.5", "--state", race}, {car, "50", "--reading", "134.1,133.0,206.6,199.2", "--reading-state", kerb, "--roll", "0"}},
  sheets = {{car}, {car, "lift", "--to", "lift.svg", "--page", "1", "--replace"},
    {"recorded.lua", "evidence", "--to", "evidence.svg", "--page", "1", "--replace"},
    {car, "order", "--datum", "crank centre", "--axes", "forward,left,up", "--to", "order.svg", "--page", "1", "--replace"}},
  sheets_text = {{car}, {car, "--part", "engine", "--state", kerb}},
  stands = {with(with({car}, table.unpack(jacks)), "--without", "engine,transaxle", "--state", kerb),
    {car, "lf", at(900, 1180, 15), at(-740, 290, 38), at(-740, 990, 38), "--nose", at(1900, 640, 100), "--tail", at(-1600, 640, 100)},
    {car, at(900, 640, 15), at(100, 640, 15), at(-740, 640, 38)}, {car, "lf", "lr", at(900, 900, 15)}},
  start = {{"begun.lua"}},
  stint = {{car, "--state", race, "--step", "7"},
    {car, "--state", race, "--from", "20", "--down-to", "6", "--driver", "tall driver,20,11", "--driver", "driver", "--for",
      "height,yaw_inertia,corners.lf"}},
  strip_for_mockup = {{car, "engine"}, {car, "--state", "mock-up"}},
  subtract = {{"tank_in_the_tub.csv"}, {"battery_before_after.csv"}},
  take_parts = {{"parts.csv"}, {"parts.csv", "--wheelbase", "2430", "--track", "1486,1452", "--radius", "284,297", "--axes", {axes = true},
    "--front-at", {zero = "front"}, "--ground", {zero = "ground"}, "--centre", {zero = "centre"}}},
  teardown = {{"teardown.csv"}, {"teardown_slip.csv"}},
  tilt_table = {{car, "--state", "two up", "--brake-front", "58"}, {"meshed.lua", "--state", kerb, "--braking", "0.3"}},
  tornado = {{car, "--state", race, "--for", "front_share,height,yaw_inertia,cg_left"},
    {car, "--vary", "engine back -50 50 5", "--for", "front_share"}, {"recorded.lua", "--as-built", "--top", "6"}},
  track = {{car, "later.lua", "recorded.lua", "--state", race, "--date", "car.lua=2025-11", "--date", "later.lua=2026-01-12", "--date",
    "recorded.lua=2026-02-01"}},
  weigh_next = {{car, "--state", race, "--for", "front_share,height"}, {"recorded.lua", "--as-built", "--steps", "5"}},
  window = {{car, "--state", race, "--back", "-40,40,3", "--fuel", "5,25,2"}},
  what_changed = {{car, "later.lua", "--state", race}, {car, "later.lua", "meshed.lua", "--dates", "2026-01-01,2026-02-01,2026-03-01"}},
  what_if = {{car, "powertrain 50 back", "driver 20 left", "engine 3 nose_up", "front wheel/left 30 out", "--each"},
    {car, "radiator 30 up", "fuel 90 nose_left", "--state", "two up"},
    {car, "driver mass 96", "ballast 5 at front jack, left", "fuel fill 12", "rear axle spring_rate 40"}},
}
-- the file that take_parts writes is a car as well: run in this order
if not check.can_seek then commands.seek, commands.meet_target = nil, nil end
local order = {}
for name in pairs(commands) do order[#order + 1] = name end
table.sort(order)
table.insert(commands.balance, {"applied.lua"}) -- as is that of apply
table.insert(commands.what_if, {"parts.lua", "engine computer 40 forward"})

-- Fields of a document that are coordinates, by what they are; all others are equal.
local bodies = {cg = "place", ["sd.cg"] = "spread"}
local function of_balances(...)
  local kinds = {}
  for _, path in ipairs{...} do
    for name, kind in pairs{cg = "place", ["sd.cg"] = "spread", ["sprung.cg"] = "place", ["unsprung.cg"] = "place",
                            ["sd.sprung.cg"] = "spread", ["sd.unsprung.cg"] = "spread", inertia = "tensor",
                            ["sd.inertia"] = "tensor_spread"} do
      kinds[path == "" and name or path .. "." .. name] = kind
    end
  end
  return kinds
end
local ballasted = of_balances("after", "after_finish", "nearest.after", "nearest.after_finish")
for name, kind in pairs{["placed[].at"] = "place", ["nearest.placed[].at"] = "place"} do ballasted[name] = kind end
local joints = {}
for _, rows in ipairs{"as_booked.list[].", "positions[].shafts.list[]."} do
  for _, name in ipairs{"inner_at", "at.ride.outer_at", "at.droop.outer_at", "at.bump.outer_at"} do joints[rows .. name] = "place" end
end
local places = {
  ballast = ballasted,
  balance = {cg = "place", ["sd.cg"] = "spread", ["sprung.cg"] = "place", ["unsprung.cg"] = "place", ["sd.sprung.cg"] = "spread",
    ["sd.unsprung.cg"] = "spread", inertia = "tensor", ["sd.inertia"] = "tensor_spread"},
  book = {["rows[].cg"] = "place", ["rows[].sd.cg"] = "spread", ["total.cg"] = "place", ["sd.cg"] = "spread"},
  cg_height = bodies,
  clearance = {["[].nearest.a"] = "place", ["[].nearest.b"] = "place", ["[].faces.a"] = "place", ["[].faces.b"] = "place"},
  drivers = {["drivers[].cg"] = "place"},
  engine_cg = bodies, feet_tilt = bodies, hang_engine = bodies,
  hoist_engine = {hook = "place", cg = "place", hangs_from = "place", ["legs[].at"] = "place"},
  inertia = {cg = "place", about = "place", inertia = "tensor", ["sd.inertia"] = "tensor_spread"},
  mesh = {size = "spread", cg = "step", inertia = "tensor"},
  mockup = {["[]"] = "floor", ["[].sd"] = "floor_spread", ["tape_points[]"] = "floor", ["trolleys[]"] = "floor",
    level = "letters"},
  pendulum = {inertia = "tensor", ["sd.inertia"] = "tensor_spread"},
  reconcile = {cg = "place", ["sd.cg"] = "spread", ["rows[]"] = "reconciled", ["missing.at"] = "place", ["missing.sd.at"] = "spread",
    suspect = "suspected", ["suspect.tied[]"] = "suspected"},
  records = {["reading.cg"] = "place", ["reading.sd.cg"] = "spread", ["reading.inertia"] = "tensor"},
  ride_height = {cg = "place"},
  half_shafts = joints, propshaft = joints,
  stands = {["pulled_at.front"] = "place", ["pulled_at.rear"] = "place", ["steps[].pulled_at.front"] = "place",
    ["steps[].pulled_at.rear"] = "place", ["places[]"] = "place", ["steps[].cg"] = "place"},
  subtract = {cg = "place", ["sd.cg"] = "spread", ["whole.cg"] = "place", ["whole.sd.cg"] = "spread", ["without.cg"] = "place",
    ["without.sd.cg"] = "spread"},
}
-- of a part in axes of its own, whose zero stays
local of_part = {engine_cg = true, feet_tilt = true, hang_engine = true, pendulum = true, subtract = true}

local function quoted(word) return "'" .. word:gsub("'", "'\\''") .. "'" end

local steelyard = check.steelyard:sub(1, 1) == "/" and check.steelyard or "$top/" .. check.steelyard

-- Scripts run with tables as wide as they come: where a cell goes on in another line depends on the coordinates beside it.
local wide = base .. "-wide.lua"
write(wide, ([[require("steelyard.print.table").width = math.huge
  local name = table.remove(arg, 1)
  arg[0] = %q .. "/scripts/" .. name .. ".lua"
  dofile(arg[0])]]):format(check.command("pwd").out:match "[^\n]+"))

-- Runs all command lines in all folders, those of two at a time.
local function run_all()
  local scripts = {}
  for i, c in ipairs(list) do
    local lines = {"cd " .. quoted(c.folder), ("%s book car.lua --csv --quiet >parts.csv"):format(steelyard)}
    c.labels = {}
    for _, name in ipairs(order) do
      for k, words in ipairs(commands[name]) do
        if words.once and i > 1 and i < #list then goto next_line end
        local stem, pieces, labels = ("%s-%d"):format(name, k), {steelyard, wide, name}, {}
        for _, word in ipairs(words) do
          local text, label = word_of(word, c)
          pieces[#pieces + 1] = quoted(text)
          for _, l in ipairs(label or {}) do labels[#labels + 1] = {l[1], l[2]:gsub(">$", " " .. #labels + 1 .. ">", 1)} end
        end
        local line = table.concat(pieces, " ")
        lines[#lines + 1] = ("%s >%s.out 2>%s.err </dev/null; echo $? >%s.code"):format(line, stem, stem, stem)
        if name ~= "start" and name ~= "take_parts" and not words.text_only then
          lines[#lines + 1] = ("%s --json >%s.json 2>/dev/null </dev/null"):format(line, stem)
        end
        c.labels[stem] = labels
        ::next_line::
      end
    end
    scripts[i] = "top=$PWD; (" .. table.concat(lines, "\n") .. ") &"
  end
  write(base .. ".sh", table.concat(scripts, "\n") .. "\nwait\n")
  check.command("sh " .. base .. ".sh")
end
run_all()

-- Texts of a part in its own axes: the lines with its coordinates without their signs, which the documents are checked for.
local function without_signs(text)
  return ((text .. "\n"):gsub("([^\n]*)\n", function(line)
    if line:find "x, y, z" or line:find "^inertia [xyz]+, " then return "" end -- of a mesh: its letters run elsewhere, see the document
    if line:find "^CG" or line:find "^[xyz][xyz] " then line = line:gsub("%f[%d%-]%-", ""):gsub("%s+", " ") end
    return line .. "\n"
  end))
end

local function compare_text(name, stem, what, c)
  local a, b = read(("%s/%s.%s"):format(list[1].folder, stem, what)), read(("%s/%s.%s"):format(c.folder, stem, what))
  local why, places_seen
  if of_part[name] or name == "mesh" then
    a, b = without_signs(a), without_signs(b)
  end
  if name == "book" and a:find "^part[,;]" then
    why = compare.tables(a, b, c.map, a:match "^part(.)")
  else
    why, places_seen = compare.texts(a, b, c.map, list[1].labels[stem], c.labels[stem])
  end
  check.ok(why == nil, ("%s %s.%s: %s"):format(c.name, stem, what, why or ""))
  return #a > 0, places_seen or 0
end

local met = {} -- script -> paths of `places` that a document held

local function compare_document(name, stem, c)
  local a, b = read(("%s/%s.json"):format(list[1].folder, stem)), read(("%s/%s.json"):format(c.folder, stem))
  if not a:find "^{" then return end
  met[name] = met[name] or {}
  local map = of_part[name] and not stem:find "subtract%-2" and c.part_map or c.map
  local function document(text)
    local value = json.decode(text)
    for k, entry in ipairs(value.list or {}) do value[k] = entry end
    value.list = nil
    return value
  end
  local kinds = stem == "subtract-2" and {} or places[name] or {}
  local why = compare.documents(document(a), document(b), map, kinds, met[name], list[1].labels[stem], c.labels[stem])
  check.ok(why == nil, ("%s, %s --json: %s"):format(c.name, stem, why or ""))
end

for _, name in ipairs(order) do
  test(name .. "_says_the_same_in_every_convention", function()
    for k = 1, #commands[name] do
      local stem = ("%s-%d"):format(name, k)
      local said = false
      for i = commands[name][k].once and #list or 2, #list do
        local c = list[i]
        check.equal(read(c.folder .. "/" .. stem .. ".code"), read(list[1].folder .. "/" .. stem .. ".code"), stem .. ": exit code")
        said = compare_text(name, stem, "out", c) or said
        said = compare_text(name, stem, "err", c) or said
        compare_document(name, stem, c)
      end
      check.ok(said, stem .. " printed something")
    end
    for path in pairs(places[name] or {}) do check.ok(met[name] and met[name][path], ("%s: no document has %s"):format(name, path)) end
  end)
end

-- merge reads shards; of the draws of spread a place that is rounded in another way moves one over the edge of a bin.
local elsewhere = {merge = true, spread = true, seek = not check.can_seek, meet_target = not check.can_seek}

test("every_script_is_run", function()
  local names = check.command("ls scripts").out
  for name in names:gmatch "([%w_]+)%.lua" do
    check.ok(commands[name] or elsewhere[name], ("scripts/%s.lua has no command line in this test"):format(name))
  end
end)

for _, c in ipairs(list) do os.execute("rm -r " .. quoted(c.folder)) end
os.remove(base .. ".sh")

check.done()
