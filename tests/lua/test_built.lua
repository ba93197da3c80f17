--- car:as_built: records of a file as what conditions the car, which are taken, every refusal. What is asked of such a car afterwards has
-- tests of its own (oracle_as_built.py).
-- Under the command alone: it holds figures of cars against figures; what a locale or another Lua could change are texts, read by others.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local built = require "steelyard.measure.records.built"
local shortest, test = require("steelyard.core").shortest, check.test

-- Lines of a first guess (invented): mass at x, y, z and the standard uncertainty of the mass; 15 mm limits on all places.
local LINES = {{"tub and hoop", 78, 1020, 0, 360, 8}, {"rear frame", 24, 2050, 0, 330, 4}, {"engine", 168, 1810, 0, 345, 0.5},
  {"transaxle", 62, 2390, 0, 300, 0.3}, {"driver", 80, 1010, 180, 370, 0.5}}

local AXLES = {{name = "front", at = 0, track = 1500, loaded_radius = 290}, {name = "rear", at = 2450, track = 1480, loaded_radius = 305}}
local INSTRUMENTS = {{name = "hoist", gain = sy.sd(1, 0.01)}, {name = "pads", sd = 0.3, gain = sy.sd(1, 0.0001)}}

local function car_of(list, more)
  local parts = {}
  for i, l in ipairs(LINES) do parts[i] = sy.part(l[1]){mass = sy.sd(l[2], l[6]), at = {l[3], l[4], l[5]}, within_mm = 15} end
  local fields = {title = "Built (invented)", axes = {x = "back", y = "right", z = "up"}, axles = AXLES, parts = parts,
    instruments = INSTRUMENTS, states = {sy.state "no driver" {without = {"driver"}}}, points = {sill = {1200, 600, 150}}, records = list}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local CORNERS = {lf = sy.sd(83, 0.3), rf = sy.sd(90.1, 0.3), lr = sy.sd(120.2, 0.3), rr = sy.sd(123.4, 0.3)}
local function corners(more)
  local fields = {kind = "corners", corners = CORNERS}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.record "first" (fields)
end

test("one_record_is_what_reconcile_makes_of_the_same_readings", function()
  local car = car_of{corners()}
  local b, r = car:as_built("first"):balance(), car:reconcile{corners = CORNERS}
  check.near(b.mass, r.mass, 1e-6)
  check.near(b.sd.mass, r.sd.mass, 1e-4)
  check.near(b.height, r.cg.z, 1e-4)
  check.near(b.cross_share, 100 * (90.1 + 120.2) / (83 + 90.1 + 120.2 + 123.4), 1e-9)
  check.ok(b.sd.mass < 0.61 and car:balance().sd.mass > 8, "what the scales found stays found")
  check.equal({car:as_built().fits, #car:as_built().left_out}, {r.fits, 0})
end)

-- The eighteen lines of tests/lua/scenario_a.lua, and four readings of 0.3 kg each (invented). Values and uncertainties of the posterior: a
-- dense Gauss-Newton fit of all lines in NumPy, worked out apart from this project.
test("a_record_conditions_the_car_as_a_dense_fit_does", function()
  local car = dofile("tests/lua/scenario_a.lua").car(sy, {fields = {instruments = {{name = "pads", sd = 0.3}},
    records = {sy.record "it" {kind = "corners", instrument = "pads", corners = {lf = 163.1, rf = 170.1, lr = 215.7, rr = 231.6}}}}})
  local made = car:as_built()
  local b = made:balance()
  for _, row in ipairs{{"mass", b.mass, 780.483925}, {"sd of mass", b.sd.mass, 0.599418}, {"front share", b.front_share, 42.689214},
    {"its sd", b.sd.front_share, 0.038623}, {"height", b.height, 343.611752}, {"its sd", b.sd.height, 1.457064},
    {"cross weight", b.cross_share, 49.429853}} do check.near(row[2], row[3], 1e-5, row[1]) end
  local without = made:without("driver"):balance()
  check.near(without.mass, 700.430704, 1e-5)
  check.near(without.sd.mass, 0.776716, 1e-5)
end)

-- A tape that put the rear axle wrongly put it wrongly in every record: what the readings have of their own averages out, that does not.
-- By hand: the CG lies where the loads' moments say, off by the rear share of the tape's error, beside which what is booked hardly counts.
test("where_an_axle_stands_is_one_error_of_all_records", function()
  local PRIOR = 2e-3 -- of an uncertainty: a CG booked to some 40 mm against readings good to 2
  for _, from in ipairs{{"back", 0}, {"forward", 700}} do
    local sign = from[1] == "back" and 1 or -1
    local function sd_of(at_sd, count, kind)
      local loads = {lf = 100.2, rf = 101.2, lr = 147.6, rr = 148.1}
      local read = kind == "corners" and loads or {front = 201.4, rear = 295.7}
      local list = {}
      for i = 1, count do
        list[i] = sy.record("number " .. i) {kind = kind, instrument = "pads", [kind] = read}
      end
      local rear = from[2] + sign * 2400
      local car = sy.car{title = "Tape (invented)", axes = {x = from[1], y = "right", z = "up"}, instruments = {{name = "pads", sd = 0.1}},
        axles = {{name = "front", at = from[2], track = 1450, loaded_radius = 290},
          {name = "rear", at = at_sd > 0 and sy.sd(rear, at_sd) or rear, track = 1450, loaded_radius = 290}},
        parts = {sy.part "tub" {mass = sy.sd(400, 20), at = {sy.sd(from[2] + sign * 1300, 50), 0, 300}},
          sy.part "engine" {mass = sy.sd(100, 1), at = {from[2] + sign * 1900, 0, 300}, within_mm = 5}}, records = list}
      local made = car:as_built()
      return made:balance().sd.cg.x, made
    end
    for _, kind in ipairs{"corners", "axles"} do
      local own, tape = sd_of(0, 1, kind), 3 * 295.7 / 497.1
      check.near(sd_of(3, 1, kind) / math.sqrt(own ^ 2 + tape ^ 2), 1, PRIOR, kind)
      check.near(sd_of(3, 2, kind) / math.sqrt(own ^ 2 / 2 + tape ^ 2), 1, PRIOR, kind)
      check.near(sd_of(3, 5, kind) / math.sqrt(own ^ 2 / 5 + tape ^ 2), 1, PRIOR, kind)
    end
    local _, made = sd_of(3, 2, "corners")
    check.contains(table.concat(built.result(made).notes, "\n"), "where the axles stand is uncertain, alike in all records")
    _, made = sd_of(0, 2, "corners")
    check.ok(not table.concat(built.result(made).notes, "\n"):find "axles stand")
  end
end)

-- A car with a tape's errors, in any axes. sds: mm, of places and of the front track; counts: records, of wheels and of axles by turns.
local function taped(axes, zero, sds, counts)
  local letter = axes.y == "forward" and "y" or "x"
  local sign = axes[letter] == "back" and -1 or 1
  local function at(forward) return zero + sign * forward end
  local function place(forward, sd)
    local across = axes.x == "left" and "x" or "y"
    return {[letter] = sy.sd(at(forward), sd), [across] = 0, z = 300}
  end
  local function stated(value, sd) return sd > 0 and sy.sd(value, sd) or value end
  local list = {}
  for i = 1, counts do
    local wheels = i % 2 == 1
    list[i] = sy.record("number " .. i) {kind = wheels and "corners" or "axles", instrument = "pads",
      corners = wheels and {lf = 100.2, rf = 101.2, lr = 147.6, rr = 148.1} or nil,
      axles = not wheels and {front = 201.5, rear = 295.5} or nil}
  end
  local function in_order(p) return {p.x, p.y, p.z} end
  return sy.car{title = "Tape (invented)", axes = axes, instruments = {{name = "pads", sd = 0.1}},
    axles = {{name = "front", at = stated(at(0), sds.front), track = stated(1450, sds.track), loaded_radius = 290, spring_rate = 40,
        tyre_rate = 200},
      {name = "rear", at = stated(at(-2400), sds.rear), track = 1450, loaded_radius = 290, spring_rate = 45, tyre_rate = 200}},
    parts = {sy.part "tub" {mass = sy.sd(400, 20), at = in_order(place(-1300, 50))},
      sy.part "engine" {mass = sy.sd(100, 1), at = in_order(place(-1900, 3))}}, records = list}
end
local EXACT, TAPED = {front = 0, rear = 0, track = 0}, {front = 2, rear = 3, track = 4}
local AXES = {{{x = "back", y = "right", z = "up"}, 0}, {{x = "forward", y = "left", z = "up"}, 712.5},
  {{x = "left", y = "forward", z = "up"}, -340}}

-- What scales read of shares and loads holds wherever the axles are: by the tape alone a share would be four times as uncertain.
test("shares_and_loads_are_as_certain_as_they_were_read_wherever_the_axles_stand", function()
  for _, case in ipairs(AXES) do
    for counts = 1, 3 do
      local with, without = taped(case[1], case[2], TAPED, counts):as_built(), taped(case[1], case[2], EXACT, counts):as_built()
      local b, exact = with:balance(), without:balance()
      for _, name in ipairs{"front_share", "front", "rear", "mass", "cross_share", "lf", "rr"} do
        check.near(b[name], exact[name], 2e-3 * exact.sd[name], name) -- the tape is a small part of what a booked place may be off
        check.near(b.sd[name] / exact.sd[name], 1, 1e-3, "sd of " .. name)
      end
      local on_springs, plain = with:corners{}, without:corners{}
      check.near(on_springs.sd.lf / plain.sd.lf, 1, 1e-3, "on springs")
      -- the tapes of front and rear, each by the share of the weight on it; from the front axle one counts whole
      local share = b.front_share / 100
      local tapes = math.sqrt((share * 2) ^ 2 + ((1 - share) * 3) ^ 2)
      check.near(b.sd.cg[case[1].y == "forward" and "y" or "x"] / math.sqrt(exact.sd.cg_behind ^ 2 + tapes ^ 2), 1, 2e-3, "the CG's place")
      local base = (1 - share) * math.sqrt(2 ^ 2 + 3 ^ 2)
      check.near(b.sd.cg_behind / math.sqrt(exact.sd.cg_behind ^ 2 + base ^ 2), 1, 2e-3, "behind the front axle")
    end
  end
end)

-- Without records a share is as uncertain as parts and tapes make it: front share (x - rear) / (front - rear).
test("a_tape_counts_in_the_shares_of_a_car_that_was_not_weighed", function()
  for _, case in ipairs(AXES) do
    local b, exact = taped(case[1], case[2], TAPED, 0):balance(), taped(case[1], case[2], EXACT, 0):balance()
    local share = exact.front_share / 100
    local tape = 100 / 2400 * math.sqrt((share * 2) ^ 2 + ((1 - share) * 3) ^ 2)
    check.near(b.sd.front_share, math.sqrt(exact.sd.front_share ^ 2 + tape ^ 2), 1e-9)
    check.near(b.sd.cg_behind, math.sqrt(exact.sd.cg_behind ^ 2 + 2 ^ 2), 1e-9)
    check.near(b.sd.mass, exact.sd.mass, 0)
    check.ok(not table.concat(b.notes, "\n"):find "uncertainties of", "all count")
  end
  local radius = sy.car{title = "Radius (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1450, loaded_radius = sy.sd(290, 2)},
      {name = "rear", at = 2400, track = 1450, loaded_radius = 290}},
    parts = {sy.part "tub" {mass = 400, at = {1300, 0, 300}}}}
  check.contains(table.concat(radius:balance().notes, "\n"), "uncertainties of loaded radii count in cg_height alone")
end)

test("simulations_of_a_car_as_built_agree_and_studies_equal_each_car_by_itself", function()
  for _, case in ipairs(AXES) do
    for counts = 0, 3, 3 do
      local car = taped(case[1], case[2], TAPED, counts)
      if counts > 0 then car = car:as_built() end
      local names = {"front_share", "front", "cg_behind", "lf", "corners.lf", "yaw_index"}
      local spread = sy.spread{car = car, show = names, draws = 20000, seed = 3}
      for _, name in ipairs(names) do check.ok(spread[name].agrees, name .. " agrees") end
      local study = sy.study{car, vary = {sy.vary("engine", "back", {-40, 0, 60}), sy.vary("rear axle", "back", {0, 30})},
        show = {"front_share", "front", "cg_behind", "lf"}, uncertainty = true}
      check.equal(study.n, 6)
      for i = 1, study.n do
        local at = study:variant(i):balance()
        for _, name in ipairs{"front_share", "front", "cg_behind", "lf"} do
          check.near(study.columns[name][i], at[name], 1e-12 * math.abs(at[name]), name)
          check.near(study.sd[name][i], at.sd[name], 1e-9 * at.sd[name], "sd of " .. name)
        end
      end
    end
  end
end)

-- An axle that is moved, or a car that is compared with another of the same records, stands on the same tape.
test("an_axle_that_is_moved_keeps_the_error_of_its_place", function()
  for _, counts in ipairs{0, 2} do
    local car = taped(AXES[1][1], 0, TAPED, counts)
    if counts > 0 then car = car:as_built() end
    local exact = taped(AXES[1][1], 0, EXACT, counts)
    if counts > 0 then exact = exact:as_built() end
    local function sd_of(from, to) return sy.compare{from, to}.sd.front_share[2] end
    local moved, plain = sd_of(car, car:move("rear axle", {back = 50})), sd_of(exact, exact:move("rear axle", {back = 50}))
    check.ok(moved > 0 and moved < plain + 100 / 2400 * 0.6 * 3 * 50 / 2400 * 2, "nearly all of the tape cancels: " .. moved)
  end
end)

-- A ledger that is surer of the CG than the tape is of the axle moves the axle: then the car as built reads what was read, and the file
-- still says what it says. By hand: the gap of 12 mm goes by variances, (0.594 x 6)^2 of the tape against the tub's.
test("records_correct_where_an_axle_stands_and_that_is_said", function()
  local function made(sd)
    return sy.car{title = "Tape (invented)", axes = {x = "back", y = "right", z = "up"}, instruments = {{name = "pads", sd = 0.01}},
      axles = {{name = "front", at = 0, track = 1450, loaded_radius = 290},
        {name = "rear", at = sd > 0 and sy.sd(2400, sd) or 2400, track = 1450, loaded_radius = 290}},
      parts = {sy.part "tub" {mass = sy.sd(500, 5), at = {sy.sd(1410, 4), 0, 300}}},
      records = {sy.record "it" {kind = "axles", instrument = "pads", axles = {front = 203, rear = 297}}}}:as_built()
  end
  local tape, exact = made(6):balance(), made(0):balance()
  check.near(tape.front_share, exact.front_share, 1e-4, "what was read")
  check.near(tape.front_share, 40.6, 2e-3)
  local by, read = (0.594 * 6) ^ 2, 0.594 * 2400
  check.near(tape.cg_behind, 1410 + (read - 1410) * 16 / (16 + by), 0.02)
  check.near(tape.wheelbase, 2400 - (read - 1410) * by / (16 + by) / 0.594, 0.02)
  check.contains(tostring(built.result(made(6))), "stand elsewhere than stated, and the car as built with them: rear axle 11.6 mm forward")
  check.ok(not tostring(built.result(made(0))):find "elsewhere")
end)

-- A file that measures from another zero and says of the axle what this one says errs with it; one that measured it anew does not.
test("an_axle_is_the_same_in_another_file_that_states_it_alike", function()
  local folder = check.command("mktemp -d").out:match "%S+"
  local function file(shift, sd, records)
    return ([[vehicle { title = "Tape (invented)", instruments = { instrument "pads" { sd = 0.1 } },
      axles = { { name = "front", at = %s, track = 1450, loaded_radius = 290 },
        { name = "rear", at = sd(%s, %s), track = 1450, loaded_radius = 290 } },
      parts = { part "tub" { mass = sd(400, 20), at = {sd(%s, 50), 0, 300} },
        part "engine" { mass = sd(100, 1), at = {%s, 0, 300}, within_mm = 5 } },
      records = { %s } }]]):format(shortest(shift), shortest(shift + 2400), shortest(sd), shortest(shift + 1300), shortest(shift + 1900),
                                  records)
  end
  local function write(name, text)
    local out <close> = assert(io.open(folder .. "/" .. name, "wb"))
    out:write(text)
  end
  local function sd_with(old_sd)
    write("old.lua", file(345.7, old_sd, ""))
    write("new.lua", file(-20, 3, [[record "old" { kind = "corners", file = "old.lua", instrument = "pads",
      corners = { lf = 100.2, rf = 101.2, lr = 147.6, rr = 148.1 } },
      record "new" { kind = "corners", instrument = "pads", corners = { lf = 100.2, rf = 101.2, lr = 147.6, rr = 148.1 } }]]))
    return sy.load(folder .. "/new.lua"):as_built():balance().sd.cg.x
  end
  local tape = 3 * 295.7 / 497.1
  check.ok(sd_with(3) > tape, "one error in both")
  check.near(sd_with(3.0001) / (tape / math.sqrt(2)), 1, 0.05, "two of the same size, beside what the readings have of their own")
  check.command("rm -r " .. folder)
end)

-- A gain that is as wrong for the car as it was for its parts tells nothing of the gain.
test("an_instrument_of_parts_and_record_errs_once", function()
  local function sd_of(instrument)
    local car = car_of({corners{instrument = instrument}}, {parts = {sy.part "all" {mass = sy.sd(416, 0.01), at = {1430, 8, 345},
      within_mm = 40, instrument = "hoist"}}, states = {}})
    return car:as_built():balance().sd.mass
  end
  check.near(sd_of "hoist", 4.16, 0.02) -- 1 % of 416 kg, as before
  check.near(sd_of "pads", 0.6, 0.02)   -- four readings of 0.3 kg
end)

test("all_records_of_this_files_own_parts_are_taken_and_the_others_named", function()
  local car = car_of{corners(), sy.record "heights" {kind = "ride heights", heights = {sill = 149}},
    sy.record "lost" {kind = "lift", from = "no/such.csv"},
    sy.record "engine" {kind = "assembly", of = "engine", mass = sy.sd(168.3, 0.2), cg = {sy.sd(1812, 2), sy.sd(1, 2), sy.sd(344, 3)}},
    sy.record "bridge" {kind = "axles", state = "no driver", axles = {front = 130, rear = 206}}}
  local made = car:as_built()
  local names = {}
  for i, record in ipairs(made.measured) do names[i] = record.name end
  check.equal(names, {"first", "engine", "bridge"})
  check.equal({made.left_out[1].name, made.left_out[2].name, #made.left_out}, {"heights", "lost", 2})
  local page = tostring(built.result(made))
  for _, says in ipairs{"Left out: heights: ride heights say how the car is set up",
    "no/such.csv", "each reading is taken as good to 0.5 kg",
    "As built, everything in the file"} do check.contains((page:gsub("%s+", " ")), says) end
end)

test("a_record_of_a_former_file_counts_where_its_lines_pair", function()
  local tansy = sy.load "vehicles/tansy.lua"
  local made = tansy:as_built{"first scales", "rear lift"}
  check.equal({made.measured[1].state, made.measured[2].rows[3].what}, {"no driver", "height"})
  check.ok(made:balance().sd.height < tansy:balance().sd.height)
end)

test("what_does_not_fit_is_given_and_said", function()
  local heavy = {lf = sy.sd(183, 0.3), rf = CORNERS.rf, lr = CORNERS.lr, rr = CORNERS.rr}
  local made = car_of{corners{corners = heavy}}:as_built()
  check.equal({made.fits, made.suspect.record}, {false, "first"})
  check.contains(made:heading(), "does not fit")
  check.contains(tostring(built.result(made)), 'Furthest off is record "first"')
end)

-- A group that counts as it was weighed is one body as far as records go: the car is corrected as one with that body for a part. What is in
-- it is not corrected: the weighing says all there is of it.
test("a_group_that_counts_as_weighed_is_corrected_as_one_body", function()
  local tub = sy.part "tub" {mass = sy.sd(182, 8), at = {1020, 60, 360}, within_mm = 15}
  local at = {sy.sd(1970, 6), sy.sd(4, 3), sy.sd(333, 5)}
  local function car_with(item) return car_of({corners()}, {parts = {tub, item}, states = {}}) end
  local weighed = car_with(sy.group "powertrain" {whole = {mass = sy.sd(229, 2), cg = at}, unaccounted = true,
    sy.part "engine" {mass = sy.sd(168, 5), at = {1810, 0, 345}, within_mm = 15},
    sy.part "transaxle" {mass = sy.sd(62, 3), at = {2390, 0, 300}, within_mm = 15}})
  local one = car_with(sy.part "powertrain" {mass = sy.sd(229, 2), at = at}):as_built():balance()
  local made = weighed:as_built()
  local b = made:balance()
  for _, name in ipairs{"mass", "front_share", "left_share", "height", "lf", "rr"} do
    check.near(b[name], one[name], 1e-9)
    check.near(b.sd[name], one.sd[name], 1e-9)
  end
  local function mass(car, path)
    for _, row in ipairs(car:book().rows) do if row.path == path then return row.mass end end
  end
  check.near(mass(made, "powertrain/engine"), 168, 1e-9)
  check.near(mass(made, "powertrain/engine") + mass(made, "powertrain/transaxle") + mass(made, "powertrain/unaccounted"),
    mass(made, "powertrain"), 1e-9)
  check.ok(math.abs(mass(made, "powertrain") - 229) > 0.01)
  -- without the line the pieces count for themselves
  check.near(made:without("powertrain/unaccounted"):balance().mass, mass(made, "tub") + 168 + 62, 1e-9)
  check.near(weighed:reconcile{corners = CORNERS, correct = true}.car:balance().mass, b.mass, 1e-9)
end)

-- Part, group and car were on one set of pads: its zero and gain are one error in all three. Numbers: dense least squares in NumPy of the
-- seven errors (tub, each reading's own, the zero, the gain, two pieces) with m, m x and m y of the four loads.
test("an_instrument_errs_the_same_in_a_record_a_part_and_a_group_that_counts_as_weighed", function()
  local pads = sy.instrument "pads" {sd = 0.3, bias = sy.sd(0, 0.8), gain = sy.sd(1, 0.004)}
  local c = sy.car{axes = {x = "back", y = "right", z = "up"}, instruments = {pads},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1500, loaded_radius = 300}},
    records = {corners{instrument = "pads", corners = {lf = 151, rf = 163, lr = 182, rr = 191}}},
    parts = {sy.part "tub" {mass = sy.sd(470, 9), at = {1150, -10, 380}},
      sy.part "engine" {weighed = {reading = sy.sd(150, 0.2), on = "pads"}, at = {1900, 20, 300}},
      sy.group "box" {weighed = {reading = sy.sd(62, 0.2), on = "pads"}, unaccounted = true,
        sy.part "a" {mass = sy.sd(40, 5), at = {300, 150, 300}}, sy.part "b" {mass = sy.sd(21, 5), at = {300, 150, 300}}}}}
  local made = c:as_built()
  local want = {tub = {431.0854457935, 2.3141681915}, engine = {135.5440589775, 0.9265408957}, box = {47.9464502080, 0.7581176757},
    ["box/a"] = {40, 5}}
  for _, row in ipairs(made:book().rows) do
    local w = want[row.path]
    if w then
      check.near(row.mass, w[1], 1e-8)
      check.near(row.sd.mass, w[2], 1e-8)
    end
  end
  local b, without = made:balance(), made:without "engine":balance()
  check.near(b.mass, 614.5759549791, 1e-8)
  check.near(b.sd.mass, 3.7950337389, 1e-8)
  check.near(without.mass, 479.0318960015, 1e-8)
  check.near(without.sd.mass, 2.9133560007, 1e-8)
end)

-- Mass and place of an assembly condition the car, its inertia is that of a group that counts as weighed.
test("a_measured_inertia_corrects_nothing_and_that_is_said", function()
  local function made(inertia)
    return car_of{sy.record "bench" {kind = "assembly", of = "engine", mass = sy.sd(168.4, 0.1), cg = {1812, 1, 347}, inertia = inertia}}
      :as_built()
  end
  local with, without = made{zz = sy.sd(9, 0.1)}, made()
  check.equal({with:balance().yaw_inertia, with:balance().sd.mass}, {without:balance().yaw_inertia, without:balance().sd.mass})
  local said = "its inertia corrects nothing; a group that counts as weighed has it as whole = {inertia = ...}"
  check.contains(table.concat(built.result(with).notes, "\n"), "record bench: " .. said)
  check.ok(not table.concat(built.result(without).notes, "\n"):find "inertia corrects")
end)

test("refusals", function()
  local car = car_of{corners(), sy.record "heights" {kind = "ride heights", heights = {sill = 149}}}
  check.raises(function() car:as_built "frist" end, {code = "unknown", hint = 'did you mean "first"?'})
  check.raises(function() car:as_built{"first", "first"} end, {code = "clash", message = "is named twice"})
  check.raises(function() car:as_built "heights" end, {code = "unavailable", part = "heights", message = "how the car is set up"})
  check.raises(function() car:as_built(3) end, {code = "type", message = "names of records"})
  check.raises(function() car:as_built{} end, {code = "type"})
  check.raises(function() car_of():as_built() end, {code = "missing", message = "the file has no records"})
  check.raises(function() car:as_built("first"):as_built() end, {code = "clash", message = 'as built by record "first" already'})
  local heights = sy.record "heights" {kind = "ride heights", heights = {sill = 149}}
  check.raises(function() car_of{heights}:as_built() end, {code = "missing", message = "no record can be taken: heights"})
end)

check.done()
