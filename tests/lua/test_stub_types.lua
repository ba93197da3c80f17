--- The editor stubs against the results themselves: every field that a result has is declared with a type that fits, and what is declared
-- without "?" is there. The stubs are read as text, as an editor does; the results come from all demo cars in all their states and from
-- cars of two to five axles with and without springs.
-- Under the command alone: it compares tables.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local fields = require "steelyard.file.fields"
local examples = dofile "tests/lua/example_results.lua"
local specs = dofile "tests/lua/stub_cars.lua"
local stub_types = dofile "tests/lua/stub_types.lua"

local function contents(path)
  local file = assert(io.open(path))
  local text = file:read "a"
  file:close()
  return text
end

local stub = stub_types.read(contents "lua/meta/steelyard.lua")

local cars = {}
for _, name in ipairs{"bistort", "burnet", "fescue", "first_guess", "teasel", "twayblade"} do
  cars[#cars + 1] = sy.load("vehicles/" .. name .. ".lua")
end
for _, spec in ipairs(specs) do cars[#cars + 1] = sy.car(spec) end

-- ---- results -----------------------------------------------------------------------------------------------------------------

local results = {}

local function note(call, value, where)
  results[#results + 1] = {of = stub.calls[call].returns, call = call, value = value, where = where}
end

-- What a car answers; some cannot answer, for want of springs, of two axles or of what is asked about.
local may_refuse = {unavailable = true, missing = true, geometry = true, unknown = true, limit = true}
local refused, answered = {}, {}
local function ask(car, where, call, ...)
  local fine, value = pcall(car[call], car, ...)
  if fine then
    answered[call] = true
    return note("car:" .. call, value, where)
  end
  if type(value) ~= "table" or not may_refuse[value.code] then error(("%s, %s: %s"):format(where, call, tostring(value)), 0) end
  refused[call] = tostring(value)
end

local plain_calls = {"state", "states", "balance", "book", "corners", "attitude", "stability", "heights", "checks", "markout", "clearances",
                     "shafts"}

local function ask_all(car, where)
  for _, call in ipairs(plain_calls) do ask(car, where, call) end
  ask(car, where, "corners", {bars = "connected", slope = {nose_up = 1}})
  ask(car, where, "attitude", {downforce = {front = 20, rear = 30}, against = car})
  ask(car, where, "transfer", {left_turn = 0.5, braking = 0.2, downforce = {front = 20}})
  ask(car, where, "transfer", {drive = 0.3})
  ask(car, where, "stability", {brake_front_share = 62, braking = 0.3, downforce = {rear = 20}})
  ask(car, where, "perches", {cross_share = 50.5})
  ask(car, where, "perches", {heights = {front = 3}, hold = "rear heights"})
  ask(car, where, "person", "driver")
  ask(car, where, "tank", "fuel")
  ask(car, where, "tank", "pod", {braking = 0.8})
  ask(car, where, "clearances", {at = {"as loaded", "bump", "droop"}})
  ask(car, where, "shafts", {travels = {droop = 50, bump = 40, 10}})
  note("sy.compare", sy.compare{car, car:named "other"}, where)
end

-- What takes longer, once for each car.
local function ask_once(car, where)
  local b = car:balance()
  ask(car, where, "plan_lift", {within = 10, pads = {sd = 0.1}})
  ask(car, where, "handling")
  ask(car, where, "handling", {limit = 30})
  ask(car, where, "reconcile", {axles = {front = b.front + 1.5, rear = b.rear - 0.5}, sd = 0.5})
  local name = car:book().rows[1].path
  ask(car, where, "book", name)
  ask(car, where, "move", name, {forward = 3})
  ask(car, where, "trial", name, "up")
  ask(car, where, "stands", {at = {{0, 0}, {0, 200}, {300, 0}}})
  note("sy.changes", sy.changes(car, car:move(name, {up = 20, nose_up = 1})), where)
  if not (b.lf and b.lr) then return end
  ask(car, where, "reconcile", {corners = {lf = b.lf + 30, rf = b.rf, lr = b.lr, rr = b.rr}, sd = 0.5, correct = true})
  note("sy.corner_scales", sy.corner_scales{runs = {{lf = b.lf, rf = b.rf, lr = b.lr, rr = b.rr}}, sd = 0.1}, where)
end

for _, car in ipairs(cars) do
  local title = car:balance().heading
  ask_once(car, title)
  for _, state in ipairs(car:states()) do ask_all(car:state(state), title .. ", " .. state) end
end
for kind, list in pairs(examples) do
  for i, value in ipairs(list) do
    results[#results + 1] = {of = {kind = "name", name = "steelyard." .. kind}, call = kind, value = value, where = "example " .. i}
  end
end

check.test("results_are_as_the_stub_says", function()
  check.ok(#results >= 700, "number of results, " .. #results)
  for call, why in pairs(refused) do check.ok(answered[call], call .. " is answered by no car: " .. why) end
  local misfits, seen = {}, {}
  for _, result in ipairs(results) do
    local misfit = stub:misfit(result.value, result.of, result.call)
    if misfit and not seen[misfit] then
      seen[misfit] = true
      misfits[#misfits + 1] = ("%s (%s)"):format(misfit, result.where)
    end
  end
  check.equal(table.concat(misfits, "\n"), "")
end)

-- ---- what scripts write -----------------------------------------------------------------------------------------------------

check.test("every_type_of_the_stub_is_declared_once", function()
  check.equal(table.concat(stub:unknown_names(), ", "), "")
  check.equal(table.concat(stub.problems, "\n"), "")
end)

check.test("no_field_of_a_file_or_a_result_is_of_any_type", function()
  local loose = {}
  for name in pairs(stub.classes) do
    if name ~= "steelyard" and name ~= "steelyard.spec" then table.move(stub:loose_fields(name), 1, 99, #loose + 1, loose) end
  end
  check.equal(table.concat(loose, ", "), "")
end)

check.test("cars_are_written_as_the_stub_says", function()
  local vehicle = {kind = "name", name = "steelyard.fields.vehicle"}
  for _, spec in ipairs(specs) do check.equal(stub:misfit(spec, vehicle, spec.title), nil, spec.title) end
end)

-- One value for each field that car:set takes.
local samples = {
  mass = 70, inertia = {xx = 2, yy = 3, zz = 4}, count = 2, at = {z = 300}, within_mm = 5, turned = {nose_up = 2}, pair = true,
  name = "other", wheels = "one", shape = sy.box{300, 400, 500}, basis = "weighed", unsprung = "front", tags = {"first", "second"},
  includes = {"bolts"}, excludes = "oil", bolted_to = "tub", growth = "5 %", stand_in = {mass = 5}, note = "as read",
  scale = "bench", instrument = "bench",
  weighed = {reading = 70}, was = sy.sd(60, 2),
  density = 0.8, unusable = 1, pick_up = {0, 0, -20}, capacity = 50, fill = "50 %", dry_mass = 2, hip = {x = -880}, stature = 1800,
  torso = 20, knee = 110, thigh = 12, ankle = 95, shoulder = 40, elbow = 120, head = 5, segments = "men",
  whole = 410, unaccounted = false, track = 1510,
  loaded_radius = 301, tyre_rate = 210, tyre_lateral_rate = 140, spring_rate = 46, motion_ratio = 0.81, bar_rate = 6, roll_centre = 41,
  perch_pitch = 2, bump = 71, droop = 61, left = {spring_rate = 47}, right = {tyre_rate = 205}, bump_stop = {gap = 30, rate = 60},
  anti_dive = 20, anti_lift = 30, anti_squat = {angle = 4},
}
local named = {part = "tub", group = "body", tank = "pod", person = "driver", axle = "rear axle"}

check.test("car_set_takes_part_of_the_fields", function()
  local car, set = sy.car(specs[1]), stub.calls["car:set"].params[2]
  check.equal(set.name, "changes")
  for kind, name in pairs(named) do
    local class, plain = stub.classes["steelyard.set." .. kind], {}
    for _, field in ipairs(fields.kinds[kind]) do
      local key, says = field[1], class.fields[field[1]]
      local fine, err = pcall(car.set, car, name, {[key] = samples[key]})
      if not says then
        check.ok(not fine and err.code == "unavailable", ("%s.%s is not declared and taken"):format(kind, key))
      else
        check.ok(samples[key] ~= nil, key)
        check.ok(says.optional, ("%s.%s is needed"):format(kind, key))
        check.equal(stub:misfit({[key] = samples[key]}, set.type, key), nil, kind)
        -- what does not go with the part's other fields is not a matter of this one
        check.ok(fine or err.code ~= "unknown" and err.code ~= "type", ("%s.%s: %s, which"):format(kind, key, tostring(err)))
        plain[#plain + 1] = key
      end
    end
    for key in pairs(class.fields) do check.ok(fields.by_name[kind][key], kind .. "." .. key) end
    check.ok(#plain > 3, kind)
  end
  check.contains(stub:misfit({mas = 70}, set.type, "changes"), "mas is not declared")
end)

-- Each call with right arguments, and each set of options with the ones that its call takes.
check.test("arguments_are_written_as_the_stub_says", function()
  local misfits, tried = {}, 0
  local function try(value, of, path)
    tried = tried + 1
    misfits[#misfits + 1] = stub:misfit(value, of, path)
  end
  for _, case in ipairs((dofile "tests/lua/right_calls.lua".of(sy))) do
    local call = stub.calls[case[1]]
    local first = case[1]:find "^car:" and 3 or 2
    for i = first, call and #case or 0 do
      local number = i - first + 1
      try(case[i], call.params[number].type, ("%s, argument %d"):format(case[1], number))
    end
  end
  for name, case in pairs(dofile "tests/lua/call_options.lua".of(sy)) do
    try(case[1], {kind = "name", name = "steelyard.options." .. name}, name)
    for option, other in pairs(case.other or {}) do
      try(other[1], {kind = "name", name = "steelyard.options." .. name}, ("%s for %s"):format(name, option))
    end
  end
  table.sort(misfits)
  check.equal(table.concat(misfits, "\n"), "")
  check.ok(tried > 150, "arguments tried, " .. tried)
  local of = stub.calls["car:corners"].params[1].type
  check.equal(stub:misfit({pads = {lf = 1}, bars = "of"}, of, "o"), 'o.bars is not "off"')
  check.equal(stub:misfit({pads = {lg = 1}}, of, "o"), "o.pads.lg is not declared")
  check.equal(stub:misfit({pad = {lf = 1}}, of, "o"), "o.pad is not declared")
end)

-- ---- the test itself ----------------------------------------------------------------------------------------------------------

check.test("what_does_not_fit_is_found", function()
  local of = {kind = "name", name = "steelyard.balance"}
  local function misfit(change)
    local b = {}
    for key, value in pairs(cars[1]:balance()) do b[key] = value end
    b.plot = cars[1]:balance().plot -- a method, which pairs does not see
    change(b)
    return stub:misfit(b, of, "b")
  end
  check.equal(misfit(function() end), nil)
  check.equal(misfit(function(b) b.lf, b.l7, b.sd.c8 = nil, 1, 2 end), nil)
  check.equal(misfit(function(b) b.mass = nil end), "b.mass is not there, and declared without ?")
  check.equal(misfit(function(b) b.mas = 1 end), "b.mas is not declared")
  check.equal(misfit(function(b) b.mass = "1" end), "b.mass is a string, declared number")
  check.equal(misfit(function(b) b.axle = {front = true} end), "b.axle.* is a boolean, declared number")
  check.equal(misfit(function(b) b.notes = {"one", 2} end), "b.notes[] is a number, declared string")
  check.equal(misfit(function(b) b.cg = {x = 1, y = 2} end), "b.cg.z is not there, and declared without ?")
  check.equal(misfit(function(b) b.l9 = 1 end), "b.l9 is not declared")
end)

check.done()
