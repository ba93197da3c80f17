--- car:reconcile and its page: agreement, one slip, missing mass, the corrected car, every refusal.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function guess(state) return sy.load("vehicles/first_guess.lua"):state(state or "race start") end

-- What exact scales would read under `car`, with `more` kg on one wheel.
local function scales(car, more, wheel)
  local b, loads = car:balance(), {}
  for _, key in ipairs{"lf", "rf", "lr", "rr"} do loads[key] = b[key] + (key == wheel and more or 0) end
  return loads
end

local function row(r, name, field)
  for _, entry in ipairs(r.rows) do
    if entry.name == name and entry.field == field then return entry end
  end
end

local function tied(r, what, field)
  for _, entry in ipairs(r.suspect.tied) do
    if entry.what == what and entry.field == field then return entry end
  end
end

test("scales_that_agree_move_nothing_and_sharpen_everything", function()
  local car = guess()
  local b, r = car:balance(), car:reconcile{corners = scales(car), sd = 0.5}
  check.ok(r.fits)
  check.near(r.chi2, 0, 1e-12)
  check.near(r.mass, b.mass, 1e-9)
  check.near(r.sd.mass, 0.997, 0.001) -- a little below the root of 4 x 0.5^2, for the ledger knows something too
  check.ok(r.sd.cg.x < b.sd.cg.x / 5)
  check.equal(r.suspect, nil)
  check.equal(r.missing.at, nil)
  check.equal(r.state, "race start")
  local tub = row(r, "tub and hoop", "mass")
  check.near(tub.before, 78, 0)
  check.ok(tub.sd < 8 and tub.sd_before == 8)
  check.near(r.cross_share, 50, 1e-9)
  check.near(r.warp.lf + r.warp.rf + r.warp.lr + r.warp.rr, 0, 1e-9)
  check.near(r.warp.lf + r.warp.rf, 0, 1e-9)
  check.contains(tostring(r), "The uncertainties explain the difference")
end)

test("a_pair_is_one_line_and_its_pieces_balance", function()
  local car = guess()
  local r = car:reconcile{corners = scales(car, 4, "rr"), sd = 0.5}
  check.ok(row(r, "front corner", "mass"))
  check.ok(row(r, "front corner", "at.x"))
  check.equal(row(r, "front corner", "at.y"), nil) -- further out on both sides moves nothing
  check.equal(row(r, "front corner/left", "mass"), nil)
  local loose = car:set("front corner/left", {mass = 31}):reconcile{corners = scales(car, 4, "rr"), sd = 0.5}
  check.ok(row(loose, "front corner/left", "mass") and row(loose, "front corner/right", "mass")) -- two masses, two lines
  check.equal(row(loose, "front corner", "mass"), nil)
end)

test("file_axes_point_as_the_file_says", function()
  local car = guess() -- y to the right, x back
  local r = car:reconcile{corners = scales(car, 6, "rr"), sd = 0.3}
  local engine = row(r, "powertrain/engine", "at.y")
  check.ok(engine.after > engine.before)
  check.near(engine.moved, engine.before - engine.after, 1e-9) -- forward, left, up
  check.ok(row(r, "powertrain/engine", "at.x").after > row(r, "powertrain/engine", "at.x").before)
  check.equal(row(r, "powertrain/engine", "at.z"), nil)
  check.ok(row(car:reconcile{corners = scales(car), height = sy.sd(350, 3)}, "powertrain/engine", "at.z"))
end)

test("one_reading_that_slipped_is_named", function()
  local car = guess()
  local r = car:reconcile{corners = scales(car, 25, "lf"), sd = 0.5}
  check.equal(r.fits, false)
  check.equal(r.suspect.what, "lf")
  check.equal(r.suspect.field, "reading")
  check.near(r.suspect.would_be, car:balance().lf, 2) -- the ledger is not an exact yardstick for a scale
  check.contains(tostring(r), "the reading of lf")
end)

test("a_planted_mass_is_found_or_tied", function()
  local car = guess()
  local heavier = car:set("battery", {mass = 112}) -- booked at 12, sd 0.1
  local r = car:reconcile{corners = scales(heavier), sd = 0.2}
  local found = tied(r, "battery", "mass")
  check.ok(found)
  check.near(found.would_be, 112, 8) -- the other lines give a little
  check.near(r.missing.mass, 100, 1e-9)
end)

test("a_planted_place_is_tied_with_all_others", function()
  local car = guess()
  local r = car:reconcile{corners = scales(car:move("powertrain/engine", {back = 220})), sd = 0.2}
  local engine, driver = tied(r, "powertrain/engine", "at.x"), tied(r, "driver", "at.x")
  check.ok(engine and driver)
  check.near(math.abs(engine.sigmas), math.abs(driver.sigmas), 1e-9)
  check.equal(engine.way, "forward")
  check.near(engine.off, -220, 25)
  check.contains(table.concat(r.notes, "\n"), "no weighing pins a wrong place on one part")
end)

test("a_driver_left_out_of_the_ledger_is_what_is_missing", function()
  local car = guess()
  local r = guess("no driver"):reconcile{corners = scales(car), sd = 0.5}
  check.near(r.missing.mass, 80, 1e-9)
  check.near(r.missing.at.x, 1010, 1e-6)
  check.near(r.missing.at.y, 180, 1e-6)
  check.equal(r.missing.at.z, nil)
  check.contains(tostring(r), "The ledger lacks: 80.0")
end)

test("the_corrected_car_has_the_reconciled_sums", function()
  local car = guess()
  local r = car:reconcile{corners = scales(car, 9, "rr"), height = sy.sd(352, 3), correct = true}
  local b = r.car:balance()
  check.near(b.mass, r.mass, 1e-9)
  for _, letter in ipairs{"x", "y", "z"} do check.near(b.cg[letter], r.cg[letter], 1e-6) end -- mm: places keep a picometre
  check.near(b.sd.mass, r.sd.mass, 1e-9) -- its lines remember that they err together
  check.contains(tostring(r.car), "reconciled")
  check.contains(r.car:move("tub and hoop", {back = 1}):heading(), "reconciled, tub and hoop 1 back")
  check.near(car:balance().mass, 770.8, 1e-9) -- the first car is as it was
  check.equal(car:reconcile{corners = scales(car)}.car, nil)
  local again = r.car:reconcile{corners = scales(car, 9, "rr"), height = sy.sd(352, 3)}
  check.ok(again.fits and again.chi2 < r.chi2)
end)

test("a_corrected_tank_holds_more_and_its_liquid_stands_higher", function()
  local car = sy.load("vehicles/twayblade.lua"):state "two up"
  local b = car:balance()
  local r = car:reconcile{axles = {front = b.front * 1.01, rear = b.rear * 1.01}, sd = 0.5, correct = true}
  local n = r.car:balance()
  check.near(n.mass, r.mass, 1e-9)
  check.near(n.cg.x, r.cg.x, 1e-6)
  check.near(n.cg.z, r.cg.z, 0.1) -- mm: a few tenths of a litre more in a tank of some hundred millimetres
  check.raises(function() car:state("mock-up"):reconcile{axles = {front = 200, rear = 300}, correct = true} end,
    {code = "clash", field = "correct", message = "stand-ins"})
end)

test("axles_do_for_mass_and_place_along", function()
  local car = guess()
  local b = car:balance()
  local r = car:reconcile{axles = {front = b.front + 5, rear = b.rear - 3}, sd = 1}
  check.equal(r.dof, 2)
  check.equal(r.warp, nil)
  check.equal(row(r, "driver", "at.y"), nil)
  check.ok(row(r, "driver", "at.x"))
end)

test("three_wheels_have_no_warp", function()
  local car = sy.load "vehicles/burnet.lua"
  local b = car:balance()
  local r = car:reconcile{corners = {lf = b.lf + 1, rf = b.rf - 1, r = b.r + 2}, sd = 0.5}
  check.ok(r.fits)
  check.equal(r.dof, 3)
  check.equal(r.warp, nil)
  check.contains(table.concat(r.notes, "\n"), "what is missing may be that")
end)

test("another_car_on_the_scales_is_not_explained_by_one_error", function()
  local r = sy.load("vehicles/burnet.lua"):reconcile{corners = {lf = 80, rf = 70, r = 150}, sd = 0.5}
  check.equal(r.suspect.enough, false)
  check.contains(tostring(r), "more than one thing is off")
  check.contains(table.concat(r.notes, "\n"), "would have a negative mass")
  check.contains(tostring(r), "The ledger has too much: 220.4")
end)

test("results_of_other_measurements_do", function()
  local car = guess()
  local weighed = sy.corner_scales{runs = {scales(car)}, sd = 0.2}
  local r = car:reconcile{corners = weighed}
  check.near(r.readings[1].sd_before, 0.2, 1e-9)
  local lifted = sy.cg_height{wheelbase = 2450, radii = {front = 290, rear = 305}, sd = {pad = 0.1}, readings = {
    {lift = 0, front = 327.3, rear = 443.5}, {lift = 300, front = 329.6, rear = 441.2}, {lift = 600, front = 332.1, rear = 438.7}}}
  local both = car:reconcile{corners = weighed, height = lifted}
  check.equal(both.dof, 4)
  check.near(both.measured_height, lifted.height, 0)
  check.near(both.sums[4].sd.scales, lifted.sd.height, 1e-9)
  check.equal(table.concat(r.notes, "\n"):find("nobody stated", 1, true), nil)
  check.contains(table.concat(car:reconcile{corners = scales(car)}.notes, "\n"), "0.5 kg, one standard deviation, for nobody stated it")
end)

test("names_of_wheels_as_others_write_them", function()
  local car, loads = guess(), scales(guess(), 3, "lr")
  local r = car:reconcile{corners = {fl = loads.lf, fr = loads.rf, rl = loads.lr, rr = loads.rr}, sd = 0.5}
  check.near(r.chi2, car:reconcile{corners = loads, sd = 0.5}.chi2, 1e-9)
end)

test("what_is_no_reading_is_refused_by_name", function()
  local car = guess()
  local function refuse(t, want) check.raises(function() car:reconcile(t) end, want) end
  local four = scales(car)
  local function with(key, value)
    local t = {}
    for k, v in pairs(four) do t[k] = v end
    t[key] = value
    return t
  end
  refuse(nil, {code = "type", message = "needs a table"})
  refuse({}, {code = "missing", part = "reconcile", field = "corners"})
  refuse({corner = four}, {code = "unknown", field = "corner", hint = "corners"})
  refuse({corners = four, axles = {front = 300, rear = 400}}, {code = "clash", field = "axles"})
  refuse({corners = {lf = 150, rf = 150, lr = 200}}, {code = "missing", field = "rr", message = "lf, rf, lr and rr are needed"})
  refuse({corners = with("lm", 3)}, {code = "unknown", field = "lm"})
  refuse({corners = with("fl", 3)}, {code = "clash", field = "lf"})
  refuse({corners = with("lf", -3)}, {code = "range", field = "lf", message = "0 kg or more"})
  refuse({corners = with("lf", "160")}, {code = "type", field = "lf"})
  refuse({corners = with("lf", sy.sd(160, 0))}, {code = "range", field = "lf", message = "no scale is exact"})
  refuse({corners = four, sd = -1}, {code = "range", field = "sd", message = "above 0"})
  refuse({corners = four, sd = 0}, {code = "range", field = "sd", message = "above 0"})
  refuse({corners = four, height = -5}, {code = "range", field = "height"})
  refuse({corners = four, height = sy.sd(350, 0)}, {code = "range", field = "height", message = "no lift is exact"})
  refuse({corners = four, correct = 1}, {code = "type", field = "correct"})
  refuse({axles = {front = 300}}, {code = "missing", field = "rear"})
  refuse({corners = {lf = 0, rf = 0, lr = 0, rr = 0}}, {code = "range", message = "read nothing"})
  local pounds = {}
  for key, load in pairs(four) do pounds[key] = load / 0.45359237 end
  refuse({corners = pounds}, {code = "clash", message = "pounds", hint = "sy.lb"})
end)

test("a_ledger_without_uncertainties_cannot_be_adjusted", function()
  local car = sy.car{title = "Exact", axles = {{name = "front", at = 0, track = 1200, loaded_radius = 280},
    {name = "rear", at = 2000, track = 1200, loaded_radius = 280}}, parts = {sy.part "all" {mass = 500, at = {900, 0, 300}}}}
  check.raises(function() car:reconcile{corners = {lf = 140, rf = 140, lr = 112, rr = 112}} end,
    {code = "clash", part = "ledger", message = "no stated uncertainty anywhere"})
end)

-- Near the end the sum of squares no longer tells a better step from a worse one: of some hundred errors it is good to so many roundings.
-- Steps that were halved for it came to nothing, and 14 of these 142 weighings were refused as of another car.
test("a_ledger_of_many_lines_comes_together_at_any_load", function()
  local car = sy.load "vehicles/twayblade.lua":state "race start"
  for half_kilos = 500, 570 do
    for _, sd in ipairs{0.1, 0.3} do
      local front = half_kilos / 2
      local r = car:reconcile{axles = {front = front, rear = 455}, sd = sd}
      check.near(r.mass, front + 455, 2, "the ledger is good to 6 kg and follows the scales")
    end
  end
end)

check.done()
