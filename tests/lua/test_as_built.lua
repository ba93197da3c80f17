--- Cars as records leave them: what stays found after later edits, what is printed, what is refused. Figures of random cars are held
-- against NumPy's dense posterior in tests/reference/oracle_as_built.py.
-- Under the command alone: it holds figures of cars against figures; what a locale or another Lua could change are texts, read by others.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local as_built = require "steelyard.measure.as_built"
local test = check.test

local WHEELS = {"lf", "rf", "lr", "rr"}

local function guess() return sy.load("vehicles/first_guess.lua"):state "race start" end
local function twayblade(state) return sy.load("vehicles/twayblade.lua"):state(state or "kerb") end

-- A record of wheels as the ledger has them, and `more` kg on each in their order.
local function record(name, car, more, sd)
  local b, loads, covariance = car:balance(), {}, {}
  for i, key in ipairs(WHEELS) do
    loads[key], covariance[i] = b[key] + (more[i] or 0), {0, 0, 0, 0}
    covariance[i][i] = (sd or 0.3) ^ 2
  end
  return {name = name, kind = "corners", car = car, keys = WHEELS, loads = loads, covariance = covariance}
end

local function read_share(r)
  local l = r.loads
  return 100 * (l.rf + l.lr) / (l.lf + l.rf + l.lr + l.rr)
end

test("what_the_scales_found_stays_found", function()
  local car = guess()
  local r = record("first scales", car, {4, 2, -1, 3})
  local built = as_built.of(car, {r})
  local b = built:balance()
  check.ok(built.fits and not built.suspect)
  check.near(b.sd.mass, 0.6, 0.01) -- four pads of 0.3 kg, not the ledger's 13
  check.near(b.cross_share, read_share(r), 1e-9)
  check.contains(tostring(b), "as measured by first scales")
  check.contains(b.corner_basis, "measured in state race start")
  check.equal(built.measured[1].rows[1].what, "mass")
  check.near(built.measured[1].rows[1].reconciled, b.mass, 1e-9)
  -- a move is as certain as before, to the mass of what is moved
  local c = sy.compare{built, built:move("powertrain", {back = 50}), show = {"front"}}
  check.ok(c.rows[1].sd[2] < sy.compare{car, car:move("powertrain", {back = 50}), show = {"front"}}.rows[1].sd[2])
  -- the first car is as it was
  check.near(car:balance().sd.mass, guess():balance().sd.mass, 0)
end)

test("a_correction_is_printed_without_plus_minus", function()
  local car = guess()
  local built = as_built.of(car, {record("scales", car, {4, 2, -1, 3})})
  local c = sy.compare{car, built, show = {"mass"}}
  check.equal(c.rows[1].sd[2], 0)
  check.contains(table.concat(c.notes, "\n"), "corrections")
  local line = tostring(c):match "mass, kg[^\n]*"
  check.contains(line, "+- 27") -- of the ledger
  check.ok(not line:match "%+%-.*%+%-")
  check.contains(tostring(sy.changes(car, built)), "records correct it by +")
  check.contains(tostring(built:book()), "corrected")
  check.ok(not tostring(car:book()):find "corrected")
end)

test("edits_since_keep_their_own_uncertainty", function()
  local car = guess()
  local built = as_built.of(car, {record("scales", car, {4, 2, -1, 3})})
  local light = built:set("tub and hoop", {mass = sy.sd(70, 0.2)})
  local book = light:book()
  for _, row in ipairs(book.rows) do
    if row.name == "tub and hoop" then
      check.near(row.mass, 70, 1e-12)
      check.near(row.sd.mass, 0.2, 1e-12)
      check.near(row.correction, 0, 0)
    end
  end
  -- set to what it stated before: the correction is back
  local back = light:set("tub and hoop", {mass = sy.sd(78, 8)})
  check.near(back:balance().mass, built:balance().mass, 1e-9)
  check.near(built:without("driver"):balance().mass + 80, built:balance().mass, 0.2)
end)

test("springs_read_what_the_scales_read", function()
  local car = twayblade()
  local r = record("scales", car, {2, -1, 1, 1.5})
  local built = as_built.of(car, {r})
  local c, b = built:corners(), built:balance()
  check.near(c.cross_share, read_share(r), 1e-9)
  check.near(c.sd.cross_share, b.sd.cross_share, 1e-9)
  for _, key in ipairs(WHEELS) do check.near(c[key], b[key], 0.02) end -- the liquid follows a body that leans by 0.2 deg
  check.near(c.sd.lf, b.sd.lf, 1e-6)
  -- in another state the springs tell, the balance goes on with what was read
  local two_up = built:state "two up"
  check.near(two_up:balance().cross_share, read_share(r), 1e-9)
  check.ok(math.abs(two_up:corners().cross_share - read_share(r)) > 0.01)
  check.contains(tostring(two_up:corners()), "as measured")
  -- other rates end it
  local stiffer = built:set("front axle", {spring_rate = 60})
  check.contains(stiffer:balance().corner_basis, "as if set to a cross weight")
  check.near(stiffer:balance().mass, b.mass, 1e-9)
  check.contains(built:move("rear axle", {back = 10}):balance().corner_basis, "as if set to a cross weight")
end)

test("lowered_and_filled_cars_keep_the_records", function()
  local car = twayblade()
  local built = as_built.of(car, {record("scales", car, {2, -1, 1, 1.5})})
  local lowered = built:lower{front = 10, rear = 10}
  check.near(lowered:balance().sd.mass, built:balance().sd.mass, 1e-9)
  check.contains(lowered:balance().corner_basis, "measured in state")
  local emptier = built:fill{fuel = 10}
  check.ok(emptier:balance().sd.mass < car:fill{fuel = 10}:balance().sd.mass)
  for _, answer in ipairs{"attitude", "stability", "shafts", "clearances", "checks"} do check.ok(built[answer](built)) end
  check.ok(built:transfer{left_turn = 0.5}.sd.lf > 0)
end)

test("several_records_join_and_the_last_corners_give_the_cross_weight", function()
  local car = guess()
  local first, second = record("first", car, {4, 2, -1, 3}), record("second", car:without "driver", {3, 1, 0, 3})
  local once = as_built.of(car, {first, second})
  local twice = as_built.of(as_built.of(car, {first}), {second})
  check.near(once:balance().mass, twice:balance().mass, 1e-9)
  check.near(once:balance().sd.mass, twice:balance().sd.mass, 1e-9)
  check.near(once:balance().cross_share, read_share(second), 1e-9)
  check.ok(once:balance().sd.mass < as_built.of(car, {first}):balance().sd.mass)
  -- of a car that is corrected already a record is the same record
  second.car = as_built.of(car, {first}):without "driver"
  local again = as_built.of(car, {first, second})
  check.near(again:balance().mass, once:balance().mass, 1e-9)
end)

test("a_record_of_an_assembly_corrects_its_group", function()
  local car = guess()
  local bench = {name = "on the bench", kind = "assembly", car = car, of = "powertrain", keys = {"mass"}, loads = {mass = 232},
                 covariance = {{0.01}}}
  local built = as_built.of(car, {bench})
  local row = built:book("powertrain").rows[1]
  check.near(row.mass, 232, 0.1)
  check.near(row.sd.mass, 0.1, 0.01)
  check.near(built:balance().mass - car:balance().mass, row.correction, 1e-9)
  check.contains(built:balance().corner_basis, "as if set to") -- nothing was read of the wheels
end)

test("an_exact_scale_leaves_what_it_reads", function()
  local car = guess()
  local r = record("exact", car, {4, 2, -1, 3}, 1e-6)
  local b = as_built.of(car, {r}):balance()
  for _, key in ipairs(WHEELS) do
    check.near(b[key], r.loads[key], 1e-6)
    check.near(b.sd[key], 1e-6, 1e-9)
  end
end)

test("a_record_that_does_not_fit_is_given_and_said", function()
  local car = guess()
  local good, bad = record("good", car, {1, 1, 0, 0}), record("bad", car:without "driver", {60, 60, 60, 60})
  local built = as_built.of(car, {good, bad})
  check.ok(not built.fits)
  check.equal(built.suspect.record, "bad")
  check.ok(built.suspect.sigmas > 3)
  check.contains(built:heading(), "which the ledger does not fit")
  check.ok(built.measured[1].fits and not built.measured[2].fits)
end)

test("records_of_what_is_exact_or_unknown_are_refused", function()
  local exact = sy.car{title = "Exact", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1400, loaded_radius = 290}},
    parts = {sy.part "tub" {mass = 200, at = {1200, 10, 300}}}}
  check.raises(function() as_built.of(exact, {record("scales", exact, {1, 1, 1, 1})}) end,
    {code = "clash", message = "nothing in it may move"})
  local car = guess()
  local r = record("scales", car, {1, 1, 1, 1})
  r.instruments = {["other scale"] = {bias = {lf = 1}}}
  check.raises(function() as_built.of(car, {r}) end, {code = "unknown", part = 'record "scales"', field = "other scale"})
  r = record("scales", car, {1, 1, 1, 1})
  r.keys, r.loads = {"lf", "rf", "lr", "front left"}, {lf = 1, rf = 1, lr = 1, ["front left"] = 1}
  check.raises(function() as_built.of(car, {r}) end, {code = "unknown", part = 'record "scales"', field = "front left"})
end)

test("a_coordinate_left_out_stays_as_it_was_stated", function()
  -- places are kept to a picometre, statements to the bit: setting x must not make another error of y
  local car = sy.car{title = "One", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1400, loaded_radius = 290}},
    parts = {sy.part "tub" {mass = 50, at = {sy.sd(100, 5), sy.sd(-214.72186170954512, 10), 300}},
             sy.part "engine" {mass = 70, at = {1500, 0, 300}}}}
  local moved = car:set("tub", {at = {x = sy.sd(130, 5)}})
  local c = sy.compare{car, moved, show = {"cg_left", "front"}}
  check.near(c.rows[1].sd[2], 0, 0)
  check.ok(c.rows[2].sd[2] > 0)
  check.equal(moved:balance().cg.y, car:balance().cg.y)
end)

test("records_out_of_reach_are_said_with_file_and_name", function()
  local folder = os.tmpname()
  os.remove(folder)
  assert(os.execute(("mkdir %s && cp -r vehicles/history vehicles/readings %s"):format(folder, folder)))
  local file <close> = assert(io.open("vehicles/tansy.lua"))
  local text = file:read "a":gsub("records = {\n", [[%0    record "wrong" { kind = "assembly", of = "engine", mass = sd(337, 1),
      cg = { sd(8300, 1), sd(731, 1), sd(-629, 1) } },
    record "as wrong" { kind = "assembly", of = "powertrain", mass = sd(299, 1), cg = { sd(-5852, 1), sd(-594, 1), sd(530, 1) } },
]])
  local out <close> = assert(io.open(folder .. "/tansy.lua", "w"))
  out:write(text):flush()
  local fine, err = pcall(function() return sy.load(folder .. "/tansy.lua"):as_built() end)
  os.execute("rm -r " .. folder)
  check.ok(not fine, "an engine 8 m behind the front axle in a powertrain 6 m before it")
  check.equal(err.file, folder .. "/tansy.lua")
  check.contains(err.hint, "without one of these the others can be reached: wrong, as wrong")
end)

test("wheels_that_stand_unlike_are_held_where_reconcile_holds_them", function()
  local car = sy.car{title = "Unlike", axes = {x = "back", y = "right", z = "up"}, axles = {
      {name = "front", at = sy.sd(0, 2), track = sy.sd(1400, 3), loaded_radius = 290},
      {name = "rear", at = 2400, loaded_radius = 290, left = {at = sy.sd(2350, 4), half_track = sy.sd(690, 5)},
       right = {at = sy.sd(2450, 6), half_track = sy.sd(720, 7)}}},
    parts = {sy.part "tub" {mass = sy.sd(400, 3), at = {sy.sd(1250, 10), sy.sd(60, 10), 300}}}}
  local b = car:balance()
  local loads = {lf = b.lf + 2, rf = b.rf - 1, lr = b.lr + 3, rr = b.rr - 2}
  local given = {}
  for key, load in pairs(loads) do given[key] = sy.sd(load, 0.3) end
  local read = record("scales", car, {2, -1, 3, -2})
  check.near(as_built.of(car, {read}).chi2, car:reconcile{corners = given}.chi2, 1e-9)
  local axles = {name = "bridge", kind = "axles", car = car, keys = {"front", "rear"}, covariance = {{1, 0}, {0, 1}},
                 loads = {front = b.axle.front + 2, rear = b.axle.rear - 1}}
  check.near(as_built.of(car, {axles}).chi2,
    car:reconcile{axles = {front = sy.sd(axles.loads.front, 1), rear = sy.sd(axles.loads.rear, 1)}}.chi2, 1e-9)
end)

check.done()
