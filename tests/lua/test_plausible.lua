--- Objections to heights and masses: each on cars whose datum is away from the front axle and the ground, and none to a sound demo car.
--
-- What is known of heights: G. J. Heydinger et al., Measured Vehicle Inertial Parameters - NHTSA's Data Through November 1998, SAE
-- 1999-01-1336: 204 light vehicles, CG 489 to 838 mm above ground, static stability factor (mean track by twice the CG height) 0.964 to
-- 1.478. tests/reference/vehicle_inertia.csv has 25 of them.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local conventions = dofile "tests/lua/conventions.lua"
local sy = require "steelyard"
local test = check.test

local function load_text(text)
  local path = os.tmpname()
  local file = assert(io.open(path, "wb"))
  file:write(text)
  file:close()
  local fine, car = pcall(sy.load, path)
  os.remove(path)
  if not fine then error(car, 0) end
  return car
end

-- Axes and zeros: a car of 1000 kg whose CG is `height` above ground, 40 % of it on the front axle; wheels of 300 mm.
local forms = {
  {"back", "right", "up", front = 0, centre = 0, ground = 0},
  {"forward", "right", "up", front = 1310, centre = 640, ground = -125},
  {"back", "left", "down", front = 777.1, centre = -31, ground = 333},
  {"left", "up", "back", front = -2500, centre = 12, ground = -40.7},
}
local line_of = {forward = "front", back = "front", left = "centre", right = "centre", up = "ground", down = "ground"}
local measured_along = {forward = -1, back = 1, left = 1, right = -1, up = 1, down = -1}

-- A place so far behind the front axle, left of the centre plane and above ground, in the axes of a form.
local function place(form, behind, left, up)
  local given, at = {front = behind, centre = left, ground = up}, {}
  for i = 1, 3 do at[i] = form[line_of[form[i]]] + measured_along[form[i]] * given[line_of[form[i]]] end
  for i = 1, 3 do at[i] = core.shortest(at[i]) end
  return "{" .. table.concat(at, ", ") .. "}"
end

local function axle(form, name, behind, track)
  local way = form[1] == "forward" and -1 or form[1] == "back" and 1 or form[3] == "back" and 1
  return ('{name = "%s", at = %s, %s, loaded_radius = 300}'):format(name, core.shortest(form.front + way * behind),
    track and "track = " .. core.shortest(track) or 'wheels = "one"')
end

local function car_of(form, o)
  local extra = {}
  for i, part in ipairs(o.more or {}) do extra[i] = part:gsub("@", place(form, 1500, 0, o.height)) end
  return load_text(([[vehicle { title = "box", axes = {x = "%s", y = "%s", z = "%s"}, ground = %s, centre = %s,
    axles = {%s, %s}, parts = { part "body" { mass = %s, at = %s, basis = "weighed" }, %s } }]]):format(form[1], form[2], form[3],
      core.shortest(form.ground), core.shortest(form.centre), axle(form, "front", 0, o.front or 1500),
      axle(form, "rear", 2500, o.rear ~= false and (o.rear or 1500)),
      core.shortest(o.mass or 1000), place(form, 1500, 0, o.height), table.concat(extra, ", ")))
end

local function with(list, words)
  local found = {}
  for _, note in ipairs(list) do if note:find(words, 1, true) then found[#found + 1] = note end end
  return found
end

local objections = {"below the ground", "of the wheel centres'", "is above all of", "static stability factor", "allows negative values"}

local function objects(notes)
  local found = {}
  for _, words in ipairs(objections) do table.move(with(notes, words), 1, 9, #found + 1, found) end
  return found
end

-- The same sentences in every form; gives them back.
local function in_all(o, answer)
  local first
  for i, form in ipairs(forms) do
    local said = table.concat(objects((answer or function(car) return car:balance().notes end)(car_of(form, o))), "\n")
    if i == 1 then first = said else check.equal(said, first) end
  end
  return first
end

test("a_sound_height_is_not_spoken_of", function()
  for _, height in ipairs{211, 300, 489, 600, 833} do check.equal(in_all{height = height}, "") end -- 833: factor 0.9004
end)

test("a_cg_below_the_ground_is_reported_whatever_the_vehicle", function()
  check.contains(in_all{height = -20}, "the CG comes out 20 mm below the ground")
  check.contains(in_all{height = -0.4, mass = 8}, "the CG comes out 0.4 mm below the ground") -- a model
  check.contains(in_all{height = -35, mass = 9000}, "35 mm below the ground")
  check.equal(in_all{height = 0, mass = 8}, "")
end)

test("a_cg_far_below_the_wheel_centres_is_reported_of_a_car", function()
  local said = in_all{height = 209}
  check.contains(said, "CG height 209 mm is 70 % of the wheel centres' 300 mm")
  check.contains(said, "SAE 1999-01-1336) have 489 to 838 mm")
  check.equal(in_all{height = 100, mass = 149}, "")
  check.equal(in_all{height = 100, mass = 3501}, "")
  check.contains(in_all{height = 100, mass = 150}, "33 % of the wheel centres'")
end)

test("a_height_above_all_measured_ones_and_a_low_stability_factor_are_reported", function()
  local said = in_all{height = 839, front = 1700, rear = 1700}
  check.contains(said, "CG height 839 mm is above all of 204 measured light vehicles")
  check.equal(#said:gsub("[^\n]", ""), 0) -- a factor of 1.01
  said = in_all{height = 700, front = 1260, rear = 1240} -- a factor of 0.893
  check.contains(said, "static stability factor 0.89 (mean track 1250 mm by twice the CG height)")
  check.equal(#said:gsub("[^\n]", ""), 0)
  said = in_all{height = 900}
  check.contains(said, "CG height 900 mm is above")
  check.contains(said, "static stability factor 0.83")
  check.equal(in_all{height = 839, mass = 100}, "")
end)

test("three_wheels_are_a_car_and_a_trailer_and_six_are_none", function()
  check.contains(in_all{height = 700, front = 1200, rear = false}, "static stability factor 0.86 (mean track 1200 mm")
  local six = load_text(([[vehicle { title = "six", axes = {x = "forward", y = "left", z = "up"}, ground = -60,
    axles = {{name = "a", at = 900, track = 1200, loaded_radius = 300}, {name = "b", at = -900, track = 1200, loaded_radius = 300},
             {name = "c", at = -1800, track = 1200, loaded_radius = 300}},
    parts = { part "body" { mass = 2000, at = {0, 0, %d} } } }]]):format(900))
  check.equal(#objects(six:balance().notes), 0)
  for name, count in pairs{hitch = 0, front = 2} do
    local three = load_text(([[vehicle { title = "three", axes = {x = "forward", y = "left", z = "up"}, ground = -60,
      axles = {{name = "%s", at = 900, wheels = "one", loaded_radius = 300},
               {name = "rear", at = -1500, track = 1400, loaded_radius = 300}},
      parts = { part "load" { mass = 900, at = {-1300, 0, 1100} } } }]]):format(name))
    check.equal(#objects(three:balance().notes), count, name) -- a trailer's coupling, or a wheel
  end
end)

-- ---- masses -----------------------------------------------------------------------------------------------------------------

local bracket = 'part "bracket" { mass = %s, at = @, basis = "weighed" }'

test("a_mass_whose_own_uncertainty_allows_less_than_nothing_is_reported", function()
  local function with_mass(mass) return in_all{height = 600, more = {bracket:format(mass)}} end
  check.equal(with_mass "within(3, 5)",
    "the stated uncertainty allows negative values: bracket (3 within 5 kg); state narrower limits, or `unknown`")
  check.contains(with_mass "sd(3, 1.6)", "bracket (3 kg, sd 1.6)")    -- 1.96 x 1.6 = 3.14
  check.equal(with_mass "sd(3, 1.5)", "")                             -- 2.94
  check.equal(with_mass "within(3, 3)", "")                           -- down to 0; 1.96 sd would be 3.39
  check.equal(with_mass "within(3, 2.9)", "")
  check.contains(with_mass "within(3, 3.01)", "bracket (3 within 3.01 kg)")
  check.contains(with_mass "within(2*lb, 3*lb)", "bracket (0.907185 within 1.360777 kg)")
  check.contains(with_mass "2*sd(1, 2)", "bracket (2 kg, sd 4)")
  check.equal(with_mass "2*within(1, 0.99)", "")
end)

test("what_a_script_sets_adds_or_fills_is_judged_too", function()
  local car = car_of(forms[2], {height = 600, more = {bracket:format "3", 'tank "fuel" { capacity = 40, density = 0.75, fill = sd(2, 2), '
    .. 'dry_mass = 4, at = @ }', 'part "strap" { pair = true, mass = 1, at = ' .. place(forms[2], 1500, 300, 600) .. ' }'}})
  local function said(c) return table.concat(with(c:balance().notes, "allows negative values"), "\n") end
  check.contains(said(car), "values: fuel (2 litres, sd 2);")
  local filled = car:fill{fuel = 20}
  check.equal(said(filled), "")
  check.contains(said(car:fill{fuel = sy.sd(5, 3)}), "values: fuel (5 litres, sd 3);")
  check.equal(said(car:fill{fuel = sy.within(5, 5)}), "")
  check.contains(said(car:set("fuel", {fill = sy.sd(5, 3)})), "values: fuel (5 litres, sd 3);")
  check.equal(said(filled:set("bracket", {mass = sy.within(3, 2)})), "")
  local set = filled:set("bracket", {mass = sy.within(3, 4)})
  check.contains(said(set), "bracket (3 within 4 kg)")
  check.equal(said(filled), "")                                       -- the car it was made from stays as it was
  check.contains(said(set:move("bracket", {back = 100})), "bracket (3 within 4 kg)")
  check.equal(said(set:without "bracket"), "")
  check.equal(said(set:set("bracket", {mass = sy.sd(3, 1)})), "")
  check.contains(said(set:set("bracket", {mass = sy.sd(3, 1.6)})), "bracket (3 kg, sd 1.6)") -- no longer limits
  check.contains(said(set:set("bracket", {mass = 2})), "bracket (2 within 4 kg)")            -- a plain number keeps what was stated
  check.contains(said(filled:set("strap", {mass = sy.within(1, 2)})), "values: strap (1 within 2 kg);")
  check.contains(said(filled:set("strap/left", {mass = sy.within(1, 2)})), "values: strap/left (1 within 2 kg);")
  check.contains(said(filled:add(sy.part "late" {mass = sy.within(1, 2), at = {0, 640, 300}})), "values: late (1 within 2 kg);")
end)

test("states_and_stand_ins_are_judged_as_they_are_loaded", function()
  local form = forms[4]
  local at = place(form, 1500, 0, 600)
  local car = load_text(([[vehicle { title = "box", axes = {x = "left", y = "up", z = "back"}, ground = -40.7, centre = 12,
    axles = {%s, %s}, parts = { part "body" { mass = 900, at = %s, stand_in = {mass = sd(20, 15)} },
      tank "fuel" { capacity = 40, density = 0.75, fill = 30, dry_mass = within(4, 3), at = %s } },
    spares = { part "pack" { mass = sd(9, 8), at = %s } },
    states = { state "dry" { fill = { fuel = within(1, 2) } }, state "laden" { with = {"pack"} },
      state "mock-up" { stand_ins = true } } }]])
      :format(axle(form, "front", 0, 1500), axle(form, "rear", 2500, 1500), at, at, at))
  local function said(c) return table.concat(with(c:balance().notes, "allows negative values"), "\n") end
  check.equal(said(car), "")
  check.contains(said(car:state "dry"), "values: fuel (1 within 2 litres);")
  check.equal(said(car:state("dry"):fill{fuel = 12}), "")
  check.contains(said(car:state "laden"), "values: pack (9 kg, sd 8);")
  check.contains(said(car:state "mock-up"), "values: body (20 kg, sd 15);")
  check.equal(said(car:set("fuel", {fill = 20}):state "dry"), "") -- the edit holds over the state's fill
end)

test("many_such_masses_are_counted_after_three", function()
  local more = {}
  for i = 1, 5 do more[i] = ('part "b%d" { mass = within(1, 2), at = @ }'):format(i) end
  check.contains(in_all{height = 600, more = more}, "b1 (1 within 2 kg), b2 (1 within 2 kg), b3 (1 within 2 kg) and 2 more;")
end)

-- ---- where they are said ------------------------------------------------------------------------------------------------------

test("every_result_that_rests_on_a_height_or_a_mass_says_it", function()
  local o = {height = 900, more = {bracket:format "within(3, 5)"}}
  local masses, heights = "allows negative values: bracket (3 within 5 kg)", "CG height 900 mm is above all of"
  for name, answer in pairs{
    balance = function(car) return car:balance() end, book = function(car) return car:book() end,
    checks = function(car) return car:checks() end, stability = function(car) return car:stability() end,
    compare = function(car) return sy.compare{car, car} end, changes = function(car) return sy.changes(car, car) end,
    reconcile = function(car) return car:reconcile{axles = {front = 401, rear = 602}, sd = 1} end,
  } do
    local r = answer(car_of(forms[2], o))
    check.ok(#with(r.notes, masses) >= 1, name .. " masses: " .. table.concat(r.notes, "\n"))
    check.ok(#with(r.notes, heights) >= 1, name .. " heights: " .. table.concat(r.notes, "\n"))
    check.contains((tostring(r):gsub("%s+", " ")), "allows negative values: bracket")
  end
end)

test("a_reconciliation_judges_the_height_that_was_measured", function()
  local car = car_of(forms[3], {height = 600, more = {bracket:format "sd(3, 0.3)"}})
  local function said(height) return objects(car:reconcile{axles = {front = 401.2, rear = 601.8}, sd = 1, height = height}.notes) end
  check.equal(#said(sy.sd(605, 30)), 0)
  check.contains(said(sy.sd(860, 200))[1], "CG height 860 mm is above all of")
  check.contains(said(sy.sd(150, 200))[1], "50 % of the wheel centres'")
end)

-- Loads of an ideal lift of one axle by the wheels: the moments about the lower wheels' contact; radii equal, tyres rigid.
local function lift_fields(height, mass)
  local wheelbase, radius, share = 2500, 300, 0.4
  local readings = {{front = mass * share, rear = mass * (1 - share)}}
  for _, lift in ipairs{200, 400, 600} do
    local angle = math.asin(lift / wheelbase)
    local front = mass * (share + (height - radius) * math.tan(angle) / wheelbase)
    readings[#readings + 1] = {lift = lift, front = front, rear = mass - front}
  end
  readings[1].lift = 0
  return {wheelbase = sy.sd(wheelbase, 1), radii = {front = sy.sd(radius, 1), rear = sy.sd(radius, 1)}, lifted = "rear",
          sd = {pad = 0.2, lift = 1}, readings = readings}
end

test("a_measured_height_below_all_measured_vehicles_is_mentioned_once", function()
  local r = sy.cg_height(lift_fields(340, 700))
  check.near(r.height, 340, 0.01)
  check.equal(#with(r.notes, "a CG lower than in 204 measured light vehicles (SAE 1999-01-1336), which have 489 to 838 mm"), 1)
  check.equal(#objects(r.notes), 0)
  check.contains(tostring(r), "low one-off cars lie there.")
  check.equal(#with(sy.cg_height(lift_fields(340, 120)).notes, "low one-off"), 0)
  check.equal(#with(sy.cg_height(lift_fields(600, 700)).notes, "measured light vehicles"), 0)
end)

test("a_measured_height_is_objected_to_like_a_booked_one", function()
  local r = sy.cg_height(lift_fields(180, 700))
  check.contains(r.notes[1], "CG height 180 mm is 60 % of the wheel centres' 300 mm")
  check.equal(#with(r.notes, "low one-off"), 0)
  check.contains(sy.cg_height(lift_fields(880, 700)).notes[1], "CG height 880 mm is above all of")
  local fields = lift_fields(700, 700)
  fields.tracks = {front = 1240, rear = 1260}
  check.contains(sy.cg_height(fields).notes[1], "static stability factor 0.89")
end)

test("a_restated_height_is_judged_for_itself", function()
  local fields = lift_fields(600, 700)
  fields.with_driver = {name = "pilot", mass = 90, height = 3400}
  local r = sy.cg_height(fields)
  check.equal(#with(r.notes, "with the driver: CG height 919 mm is above all of"), 1)
  check.equal(#with(r.notes, "above all of"), 1)
end)

test("a_lift_and_its_plan_say_what_is_wrong_with_the_ledgers_height", function()
  local car = car_of(forms[2], {height = 900})
  local r = car:cg_height{lifted = "rear", sd = {pad = 0.2, lift = 1}, readings = lift_fields(600, 1000).readings}
  check.equal(#with(r.notes, "ledger: CG height 900 mm is above all of"), 1)
  check.equal(#with(car:plan_lift{within = 10, pads = {sd = 0.1}}.notes, "ledger: CG height 900 mm is above all of"), 1)
end)

-- ---- no false objection -----------------------------------------------------------------------------------------------------

test("no_demo_car_is_objected_to_in_any_state_or_convention", function()
  local judged = 0
  for _, name in ipairs{"bistort", "burnet", "fescue", "teasel", "twayblade", "first_guess"} do
    local car = sy.load("vehicles/" .. name .. ".lua")
    local cars = {car}
    for _, state in ipairs(car:states()) do cars[#cars + 1] = car:state(state.name or state) end
    for _, c in ipairs(cars) do
      check.equal(table.concat(objects(c:balance().notes), "\n"), "", name)
      judged = judged + 1
    end
  end
  check.ok(judged > 25)
  local tree = conventions.read "vehicles/bistort.lua"
  for _, form in ipairs(forms) do
    local to = conventions.new({x = form[1], y = form[2], z = form[3]}, form)
    local car = load_text(conventions.text(conventions.restated(tree, conventions.map(conventions.of(tree), to))))
    check.equal(#objects(car:balance().notes), 0)
  end
end)

test("no_measured_vehicle_is_objected_to", function()
  local count = 0
  for line in io.lines "tests/reference/vehicle_inertia.csv" do
    local mass, height, _, track = line:match "^[^,#]+,[^,]+,%d+,([%d.]+),([%d.]+),([%d.]+),([%d.]+)"
    if mass then
      local h, t = 1000 * tonumber(height), 1000 * tonumber(track)
      check.equal(in_all{height = h, mass = tonumber(mass), front = t, rear = t}, "")
      count = count + 1
    end
  end
  check.equal(count, 25)
end)

check.done()
