-- car:transfer. Published examples and limits are in tests/test_transfer.c, random cars against NumPy in
-- tests/reference/oracle_transfer.py.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function axle(name, at, more)
  local a = {name = name, at = at, track = 1500, loaded_radius = 300, spring_rate = 40, tyre_rate = 200, bar_rate = 5, roll_centre = 60}
  for key, value in pairs(more or {}) do a[key] = value end
  return a
end

local function car(front, rear, more)
  local fields = {
    title = "Plain (invented)", axes = {x = "back", y = "right", z = "up"}, axles = {axle("front", 0, front), axle("rear", 2500, rear)},
    parts = {
      sy.part "front wheel" {pair = true, mass = 25, at = {0, 750, 300}, unsprung = "front"},
      sy.part "rear wheel" {pair = true, mass = 25, at = {2500, 750, 300}, unsprung = "rear"},
      sy.part "body" {mass = sy.sd(600, 2), at = {1250, 0, sy.sd(450, 10)}, shape = sy.box {2600, 1300, 600}},
    },
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

-- 0.5 g, both ends alike. By hand, each axle: geometric 300 x 0.5 x 60 / 1500 = 6 kg, unsprung 50 x 0.5 x 300 / 1500 = 5 kg.
test("paths_of_a_car_alike_at_both_ends", function()
  local r = car():transfer{left_turn = 0.5}
  for _, key in ipairs{"front", "rear"} do
    check.near(r.paths[key].geometric, 6, 1e-9)
    check.near(r.paths[key].unsprung, 5, 1e-9)
    check.near(r.paths[key].total, r.gain.rf, 1e-9)
  end
  check.near(r.front_transfer_share, 50, 1e-9)
  check.near(r.gain.rf, -r.gain.lf, 1e-9)
  check.ok(r.roll > 0, "a left turn lifts the left side")
  -- moment about the ground: 700 kg x 0.5 g x mean height, and the lean of 600 kg by the roll
  local lean = r.roll * math.pi / 180 * 600 * 450 -- above the roll centre a little less: all of it is an upper bound
  local moment = 0.5 * (600 * 450 + 100 * 300)
  check.ok(2 * 1500 * r.gain.rf > moment and 2 * 1500 * r.gain.rf < moment + lean)
end)

test("left_and_right_turn_are_mirror_images", function()
  local c = car({roll_centre = 20}, {spring_rate = 55})
  local l, r = c:transfer{left_turn = 0.7, braking = 0.2}, c:transfer{right_turn = 0.7, braking = 0.2}
  check.near(l.lf, r.rf, 1e-9)
  check.near(l.rr, r.lr, 1e-9)
  check.near(l.roll, -r.roll, 1e-12)
  check.near(l.first_lift.g, r.first_lift.g, 1e-9)
  check.equal(l.first_lift.wheel:gsub("^l", "r"), (r.first_lift.wheel))
end)

-- m a h / L whatever the springs: 700 kg, mean height (600 x 450 + 100 x 300) / 700
test("braking_moves_load_by_height_and_wheelbase", function()
  local r = car({spring_rate = 70}):transfer{braking = 0.6}
  local want = 0.6 * (600 * 450 + 100 * 300) / 2500
  check.near(r.pitch_gain, want, 1e-9)
  check.near(r.sd.pitch_gain, 0.6 * math.sqrt((2 * 450) ^ 2 + (600 * 10) ^ 2) / 2500, 1e-6, "by the body's mass and height")
  check.ok(r.pitch < 0, "nose down")
  check.near(car():transfer{drive = 0.6}.pitch_gain, -want, 1e-9)
  check.equal(r.first_lift.by, "braking")
end)

test("uncertainty_of_the_force_counts", function()
  local a, b = car():transfer{braking = 0.6}, car():transfer{braking = sy.sd(0.6, 0.03)}
  check.near(math.sqrt(b.sd.pitch_gain ^ 2 - a.sd.pitch_gain ^ 2), 0.05 * a.pitch_gain, 1e-6)
end)

test("uncertainty_of_a_rate_moves_the_share", function()
  local plain, uncertain = car(), car({spring_rate = sy.sd(40, 4)})
  check.near(plain:transfer{left_turn = 0.5}.sd.front_transfer_share, 0, 1e-9)
  check.ok(uncertain:transfer{left_turn = 0.5}.sd.front_transfer_share > 0.5)
end)

test("stiffer_front_bar_takes_more_of_the_transfer", function()
  check.ok(car({bar_rate = 15}):transfer{left_turn = 0.5}.front_transfer_share > 53)
  check.near(car({bar_rate = 15}):transfer{left_turn = 0.5, bars = "off"}.front_transfer_share, 50, 1e-9)
end)

test("first_wheel_off_is_off_just_beyond", function()
  local c = car({bar_rate = 25}, {bar_rate = 0})
  local r = c:transfer{left_turn = 0.5}
  check.equal(r.first_lift.wheel, "lf")
  check.ok(r.first_lift.tips > r.first_lift.g)
  check.ok(r.sd.first_lift.g > 0)
  check.equal(#c:transfer{left_turn = r.first_lift.g - 1e-6}.lifted, 0)
  local beyond = c:transfer{left_turn = r.first_lift.g + 1e-4}
  check.equal(beyond.lifted[1], "lf")
  check.contains(tostring(beyond), "lf wheel is off the ground")
end)

-- What differs by one standard uncertainty: height 10 mm more, all else alike
test("uncertainty_of_wheel_lift_off_is_that_of_the_height", function()
  local c = car({bar_rate = 25}, {bar_rate = 0})
  local higher = c:move("body", {up = 0.01})
  local slope = (higher:transfer{left_turn = 0.5}.first_lift.g - c:transfer{left_turn = 0.5}.first_lift.g) / 0.01
  local heavier = c:set("body", {mass = 600.01})
  local by_mass = (heavier:transfer{left_turn = 0.5, reset = true}.first_lift.g - c:transfer{left_turn = 0.5}.first_lift.g) / 0.01
  -- 1 %: the body's wheel load near the lift is taken 0.1 % below it
  local want = math.sqrt((10 * slope) ^ 2 + (2 * by_mass) ^ 2)
  check.near(c:transfer{left_turn = 0.5}.sd.first_lift.g, want, 0.01 * want)
end)

test("downforce_is_in_the_loads_and_not_in_what_braking_moves", function()
  local r = car():transfer{braking = 0.4, downforce = {front = 30, rear = 50}}
  check.near(r.mass, 780, 1e-9)
  -- by hand: 30 kg press the front wheels by 30 g / (2 x 200) mm and the body over them by that and 30 g / (2 x 40) mm, 50 the rear ones
  local g = 9.80665
  local body = 40 * g / 400 + 40 * g / 80 -- mean of front and rear
  check.near(r.pitch_gain, 0.4 * (600 * (450 - body) + 100 * 300 - (25 * 30 + 25 * 50) * 2 * g / 400) / 2500, 1e-9)
  check.near(car():transfer{downforce = {rear = 50}}.rear, 400, 1e-9)
  check.contains(tostring(r), "Downforce 30 kg front and 50 kg rear")
end)

-- a sweep may begin at 0, or at what rounding leaves of it
test("no_force_moves_nothing", function()
  for _, g in ipairs{0, 1e-300, 1e-12} do
    local r = car():transfer{left_turn = g}
    for _, key in ipairs(r.wheels) do check.near(r.gain[key], 0, 1e-12) end
    check.equal(r.first_lift, nil)
    check.contains(tostring(r), "no force")
    check.contains(tostring(r), "The body neither rolls nor pitches.")
  end
end)

test("keys_of_any_kind_are_refused_in_words", function()
  check.raises(function() car():transfer{left_turn = 0.5, [true] = 1} end, "true: is not an option of car:transfer")
  check.raises(function() car():transfer{left_turn = 0.5, 3} end, "1: is not an option of car:transfer")
end)

test("lift_is_said_in_words", function()
  local r = car():transfer{left_turn = 0.3, downforce = {front = -30, rear = 50}}
  check.contains(tostring(r), "Air: front 30 kg up and rear 50 kg down.")
  check.near(r.mass, 720, 1e-9)
  check.raises(function() car():transfer{left_turn = 0.3, downforce = {front = -900}} end,
    "downforce: lifts 900 kg at the front axle, which carries 350.0: it would tip")
end)

-- a roll centre above the CG of what leans on the springs: they are pushed the other way
test("a_path_the_other_way_is_said_in_words", function()
  local r = car({roll_centre = 1200}, {roll_centre = 60}):transfer{left_turn = 0.2}
  check.ok(r.paths.front.elastic < 0)
  check.contains(tostring(r), " " .. require("steelyard.print.text").fixed(-r.paths.front.elastic, 1) .. " off it ")
end)

test("a_stated_roll_centre_makes_its_paths_uncertain", function()
  local function share(rc) return car({roll_centre = rc}):transfer{left_turn = 0.5}.front_transfer_share end
  local plain = car({roll_centre = 60}):transfer{left_turn = 0.5}.sd.front_transfer_share
  local want = (share(61) - share(59)) / 2 * 15
  check.ok(math.abs(want) > 0.1)
  check.near(car({roll_centre = sy.sd(60, 15)}):transfer{left_turn = 0.5}.sd.front_transfer_share,
    math.sqrt(plain ^ 2 + want ^ 2), 1e-4)
end)

test("too_soft_to_stand_is_a_short_sentence", function()
  local soft = {spring_rate = 1, bar_rate = 0}
  local e = check.raises(function() car(soft, soft):transfer{left_turn = 0.1} end, "unstable in roll")
  check.ok(not e.message:find "%d%.%d%d", e.message)
end)

test("what_it_rests_on_is_said", function()
  local r = car():transfer{left_turn = 0.5}
  local shown = tostring(r)
  for _, words in ipairs{"Not a driving limit", "chassis taken as rigid", "Wheel rate", "0.5 g left turn"} do
    check.contains(shown:lower(), words:lower())
  end
end)

test("three_wheels_carry_what_balance_says", function()
  local c = sy.load "vehicles/burnet.lua":state "two up":fill{fuel = 0} -- liquid that runs is in test_settle.lua
  local b, r = c:balance(), c:transfer{left_turn = 0.4, braking = 0.3}
  -- it stands lower than drawn; the roll of a CG off the centre is left out
  check.near(r.r, b.r - 0.3 * b.mass * c:attitude().height / 2480, 0.01)
  check.equal(r.paths.rear, nil)
  check.near(r.first_lift.tips, r.first_lift.g, 1e-6, "three wheels: the first off is the last")
end)

-- 700 kg midway: each end 350 kg go out by 350 x 0.5 g / (2 x 100 N/mm); and its load of 350 kg with it, over a track of 1500.
test("tyres_that_give_sideways_are_a_path_of_their_own", function()
  local soft, stiff = car({tyre_lateral_rate = 100}, {tyre_lateral_rate = 100}), car()
  local r, s = soft:transfer{left_turn = 0.5}, stiff:transfer{left_turn = 0.5}
  local out = 350 * 0.5 * 9.80665 / 200 -- mm
  check.near(r.paths.front.tyres, 350 * out / 1500, 1e-9)
  check.near(r.paths.front.geometric, s.paths.front.geometric, 1e-12)
  check.near(r.paths.rear.total, r.paths.rear.geometric + r.paths.rear.elastic + r.paths.rear.unsprung + r.paths.rear.tyres, 1e-9)
  check.ok(r.first_lift.g < s.first_lift.g)
  check.equal(s.paths.front.tyres, nil)
  check.contains(tostring(r), "tyres giving sideways")
  check.contains(tostring(r), "Tyres give sideways, one of them: front 100 N/mm and rear 100 N/mm.")
  local front = car({tyre_lateral_rate = sy.sd(100, 10)}):transfer{left_turn = 0.5}
  check.contains(tostring(front), "front 100 N/mm; not at the rear.")
  check.ok(front.sd.gain.rf > s.sd.gain.rf, "the rate is uncertain")
  local l, m = soft:transfer{left_turn = 0.5, braking = 0.2}, soft:transfer{right_turn = 0.5, braking = 0.2}
  check.near(l.rf, m.lf, 1e-9)
  local on_table, before = soft:stability().compliant, stiff:stability().compliant
  check.ok(on_table.lift.left.angle < before.lift.left.angle and on_table.tip.right < before.tip.right)
  check.contains(tostring(soft:stability()), "Tyres give sideways")
  check.raises(function() car{tyre_lateral_rate = -3} end, {field = "tyre_lateral_rate"})
  check.raises(function() car{tyre_laterl_rate = 3} end, "tyre_lateral_rate")
end)

local function bare(more)
  local function without(name, at) return {name = name, at = at, track = 1500, loaded_radius = 300} end
  local fields = {axles = {without("front", 0), without("rear", 2500)}}
  for key, value in pairs(more or {}) do fields[key] = value end
  return car(nil, nil, fields)
end

-- By hand, 700 kg with the CG (600 x 450 + 100 x 300) / 700 up midway: m a h / t and m a h / L.
test("without_rates_what_is_known_is_given_and_the_rest_named", function()
  local r, moment = bare():transfer{left_turn = 0.5, braking = 0.4}, 600 * 450 + 100 * 300
  check.near(r.total_transfer, 0.5 * moment / 1500, 1e-9)
  check.near(r.sd.total_transfer, 0.5 * math.sqrt((2 * 450) ^ 2 + (600 * 10) ^ 2) / 1500, 1e-6)
  check.near(r.pitch_gain, 0.4 * moment / 2500, 1e-9)
  check.near(r.sd.pitch_gain, 0.4 * math.sqrt((2 * 450) ^ 2 + (600 * 10) ^ 2) / 2500, 1e-6)
  check.near(r.front, 350 + r.pitch_gain, 1e-9)
  check.near(r.rear, 350 - r.pitch_gain, 1e-9)
  check.equal(r.status, "unknown")
  check.equal(r.why, "spring_rate of the front axle is not given")
  for _, name in ipairs{"lf", "rf", "left", "cross_share", "roll", "pitch", "twist", "paths", "front_transfer_share", "first_lift",
                        "lifted", "travel", "stops"} do
    check.equal(r[name], nil, name)
  end
  check.equal(next(r.gain), nil)
  check.near(r.standing.lf, 175, 1e-9)
  check.equal(r.rigid_lift.by, "left_turn")
  local page = tostring(r)
  check.contains(page, "unknown: needs spring rates")
  check.contains(page, "Unknown: load of each wheel, roll, pitch and wheel lift-off on springs need spring and tyre rates")
  check.contains(page, "Onto the outer wheels of all axles together 100.0 +- 4.0 kg.")
  check.contains(page, "Rigid, the first wheel leaves the ground at ")
  check.ok(not page:find "NaN" and not page:find "nan")
end)

-- The same with springs: pitch gain to the last digit, for the body stays at its drawn height on the way; more across, for it leans.
test("rates_add_to_what_is_known_without_them", function()
  local without, with = bare():transfer{left_turn = 0.5, braking = 0.4}, car():transfer{left_turn = 0.5, braking = 0.4}
  check.near(with.pitch_gain, without.pitch_gain, 1e-9)
  check.ok(with.total_transfer > without.total_transfer and with.total_transfer < 1.1 * without.total_transfer)
  check.near(with.total_transfer, with.paths.front.total + with.paths.rear.total, 1e-9)
  check.equal(with.rigid_lift, nil)
  check.equal(with.status, nil)
  check.ok(with.first_lift.g < bare():transfer{left_turn = 0.5, braking = 0.4}.rigid_lift.g, "on springs a wheel lifts sooner")
  local table_ = bare():stability()
  local level = bare():transfer{left_turn = 0.5}
  check.near(level.rigid_lift.g, math.tan(math.rad(table_.lift.right.angle)), 1e-9, "in a left turn the right side is low")
  check.near(level.rigid_lift.tips, table_.side.left_turn, 1e-9)
  check.equal(table_.compliant.status, "unknown")
  check.equal(table_.status, "unknown")
end)

test("without_rates_three_wheels_carry_what_balance_gives", function()
  local axles = {{name = "front", at = 0, track = 1200, loaded_radius = 280},
                 {name = "rear", at = 2000, wheels = "one", loaded_radius = 280}}
  local trike = sy.car{title = "Trike (invented)", axles = axles, parts = {sy.part "all" {mass = sy.sd(400, 1), at = {700, 20, 320}}}}
  local r = trike:transfer{right_turn = 0.3, braking = 0.2, downforce = {front = 10, rear = 6}}
  -- by hand: rear 400 x (700 - 0.2 x 320) / 2000 + 6; across 400 x (0.3 x 320 - 20 to the right) / 1200 to the left
  check.near(r.r, 400 * (700 - 64) / 2000 + 6, 1e-9)
  check.near(r.lf + r.rf, 400 - 400 * 636 / 2000 + 10, 1e-9)
  check.near(r.lf - r.rf, 2 * 400 * (0.3 * 320 - 20) / 1200, 1e-9)
  check.near(r.total_transfer, 400 * 0.3 * 320 / 1200, 1e-9)
  check.near(r.front_transfer_share, 100, 1e-9)
  check.near(r.rigid_lift.g, r.rigid_lift.tips, 1e-6)
  check.ok(r.sd.lf > 0 and r.sd.gain.lf > 0)
  check.equal(r.roll, nil)
  check.contains(tostring(r), "Unknown: roll, pitch and wheel lift-off on springs need")
end)

test("without_rates_unlike_tracks_say_what_the_mean_is_worth", function()
  local r = sy.load "vehicles/first_guess.lua":transfer{right_turn = 0.5}
  check.contains(tostring(r), "The transfer is that at the mean track: ")
  check.ok(not tostring(bare():transfer{right_turn = 0.5}):find "mean track:", "equal tracks have no other")
end)

-- A demo car with other words in its file.
local function rewritten(name, from, to)
  local input = assert(io.open("vehicles/" .. name, "rb"))
  local path, words = os.tmpname(), input:read "a"
  input:close()
  local output = assert(io.open(path, "wb"))
  assert(output:write((words:gsub(from, to))))
  output:close()
  local fine, found = pcall(sy.load, path)
  os.remove(path)
  return fine and found or error(found, 0)
end

-- A datum of its own, tanks whose liquid runs, a centre plane that is not 0; and a three-wheeler.
test("without_rates_a_demo_car_gains_as_on_very_hard_springs", function()
  for name, state in pairs{["bistort.lua"] = "race start", ["burnet.lua"] = "two up"} do
    local none = rewritten(name, "spring_rate = %d+, ", ""):state(state)
    local hard = rewritten(name, "(%a+_rate = )(%d+)", "%1%2e4"):state(state)
    for _, way in ipairs{{left_turn = 0.3}, {right_turn = 0.4, braking = 0.3}, {drive = 0.3, downforce = {front = 20, rear = 30}}} do
      local known, found = none:transfer(way), hard:transfer(way)
      local across = known.total_transfer
      if across then check.near(found.total_transfer, across, 0.01 * across) end -- the tracks differ
      check.near(found.pitch_gain, known.pitch_gain, 1e-3) -- kg; the body gives some micrometres
      check.near(found.front, known.front, 1e-3)
      check.near(found.mass, known.mass, 1e-9)
      check.equal(known.status, "unknown")
      for i, liquid in ipairs(known.liquids) do check.near(liquid.left, found.liquids[i].left, 0.05) end
      if name == "burnet.lua" then
        for _, key in ipairs(known.wheels) do check.near(found[key], known[key], 1e-2, key) end
      end
    end
  end
end)

local function refused(code, words, f)
  check.equal(check.raises(f, words).code, code)
end

test("what_makes_no_sense_is_refused_in_a_sentence", function()
  refused("missing", "needs left_turn", function() car():transfer() end)
  refused("clash", "cannot go with right_turn", function() car():transfer{left_turn = 0.5, right_turn = 0.5} end)
  refused("clash", "cannot go with braking", function() car():transfer{drive = 0.5, braking = 0.5} end)
  refused("range", "write right_turn", function() car():transfer{left_turn = -0.5} end)
  refused("range", "9.81 m/s2 is 1", function() car():transfer{braking = 9.81} end)
  refused("unknown", "left_turn", function() car():transfer{left_trun = 0.5} end)
  refused("unknown", "front", function() car():transfer{left_turn = 0.5, downforce = {frnt = 3}} end)
  refused("type", '"off" or "connected"', function() car():transfer{left_turn = 0.5, bars = "on"} end)
  refused("geometry", "left_turn: is 3 g, it tips at 1.", function() car():transfer{left_turn = 3} end)
  refused("geometry", "with 0.3 g braking", function() car():transfer{right_turn = 3, braking = 0.3} end)
  refused("geometry", "braking: is 4 g, it tips at 2.9", function() car():transfer{braking = 4} end)
  refused("geometry", "would tip", function() car():transfer{downforce = {front = -500}} end)
  refused("geometry", "left_turn: is 3 g, it tips at 2.", function() sy.load "vehicles/first_guess.lua":transfer{left_turn = 3} end)
  refused("geometry", "drive: is 4 g, it tips at 3.", function() sy.load "vehicles/first_guess.lua":transfer{drive = 4} end)
  refused("geometry", "would tip", function() sy.load "vehicles/first_guess.lua":transfer{downforce = {front = -500}} end)
  refused("geometry", "unstable in roll", function()
    local soft = {spring_rate = 1, bar_rate = 0, roll_centre = 0}
    car(soft, soft):transfer{left_turn = 0.1}
  end)
end)

-- The same car measured from a datum of its own: x forward from a point before the nose, y right (left-handed), ground and centre
-- plane not at 0.
local function odd(front, rear, more)
  local function x(back) return 5200 - back end
  local fields = {
    title = "Odd datum (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -130, centre = 40,
    axles = {axle("front", x(0), front), axle("rear", x(2500), rear)},
    parts = {
      sy.part "front wheel" {pair = true, mass = 25, at = {x(0), 790, 170}, unsprung = "front"},
      sy.part "rear wheel" {pair = true, mass = 25, at = {x(2500), 790, 170}, unsprung = "rear"},
      sy.part "body" {mass = sy.sd(600, 2), at = {x(1250), 40, sy.sd(320, 10)}, shape = sy.box {2600, 1300, 600}},
    },
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

-- (t / 2) / (h + m_s^2 g d^2 / (m (K_s - m_s g d))): T. Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 9 (from memory). A tyre of
-- 1e6 N/mm still gives 1e-6 of it.
test("near_rigid_tyres_tip_where_rigid_ones_would", function()
  local g, t, h, d = 9.80665, 1.5, (600 * 0.45 + 100 * 0.3) / 700, 0.45 - 0.06
  local ks = 2 * (40e3 / 2 + 5e3) * t ^ 2
  local want = t / 2 / (h + 600 ^ 2 * g * d ^ 2 / (700 * (ks - 600 * g * d)))
  for _, rate in ipairs{1e6, 1e7, 1e8, 1e9} do
    for _, make in ipairs{car, odd} do
      local c = make({tyre_rate = rate}, {tyre_rate = rate})
      local r = c:transfer{left_turn = 0.5}
      check.near(r.first_lift.g, want, 1e-5, "lift")
      check.near(r.first_lift.tips, want, 1e-5, "tips")
      check.ok(r.sd.first_lift.g > 0)
      local s = c:stability()
      check.ok(s.compliant.tip.left < s.tip.left and s.compliant.tip.left > 0.9 * s.tip.left)
    end
  end
end)

test("rates_beyond_all_meaning_are_refused_by_the_file", function()
  for field, value in pairs{tyre_rate = 1e10, spring_rate = 1e10, bar_rate = 1e10, motion_ratio = 1000} do
    local err = check.raises(function() odd({[field] = value}) end)
    check.equal(err.code, "range")
    check.equal(err.field, field)
  end
  check.equal(check.raises(function() odd(nil, nil, {chassis = {torsion = 1e10}}) end).field, "chassis.torsion")
end)

-- Two wheels in front of which one has left the ground: the other one and the single rear wheel hold no roll, and the body has to swing
-- until the light one touches again. The search for the wheel lift-off comes as near to that as a number can say.
check.test("drive_of_a_three_wheeler_grows_until_a_front_wheel_lifts", function()
  for _, state in ipairs{"empty", "kerb", "driver only", "two up", "touring"} do
    local three = sy.load("vehicles/burnet.lua"):state(state)
    local first = check.ok(three:transfer{drive = 0.3}.first_lift, state)
    check.equal(first.by, "drive")
    local before, nearer = three:transfer{drive = 0.998 * first.g}, three:transfer{drive = 0.999 * first.g}
    check.equal(#nearer.lifted, 0, state)
    check.ok(not pcall(three.transfer, three, {drive = 1.001 * first.tips}), state)
    -- Near the lift loads are straight lines of the force: half of what is left two thousandths before is left one before. Loaded
    -- alike both front wheels lift nearly at once, and it goes over with 0.1 kg on them.
    if nearer.lf + nearer.rf > 5 then check.near(nearer[first.wheel] / before[first.wheel], 0.5, 1e-4, state) end
  end
end)

-- Ends of travel that several wheels meet at once stood in the way of every step of a search for the equilibrium: "found no equilibrium in
-- 200 steps". Just before its lift a wheel's load is a straight line of the force, and all loads together are the mass.
check.test("ends_of_travel_that_wheels_meet_together_are_no_obstacle", function()
  local one = sy.load "vehicles/bistort.lua":fill{fuel = 15}:move("driver", {left = 50, up = 154})
  one = one:set("front axle", {spring_rate = 43, bar_rate = 44, roll_centre = -22, bump = 27, droop = 48})
  one = one:set("rear axle", {spring_rate = 72, bar_rate = 0.1, roll_centre = 77, bump = 38, droop = 27})
  local other = sy.load "vehicles/twayblade.lua":fill{fuel = 5}:move("driver", {left = -49, up = 188})
  other = other:set("front axle", {spring_rate = 67.9, bar_rate = 0.9, roll_centre = -1, bump = 57, droop = 52, tyre_rate = 165.5})
  other = other:set("rear axle", {spring_rate = 78.4, bar_rate = 20.8, roll_centre = 85, bump = 15.5, droop = 34, tyre_rate = 292.6})
  for _, case in ipairs{{one, "left_turn", 0.58}, {one, "right_turn", 0.28}, {other, "braking", 0.486}} do
    local c, way = case[1], case[2]
    local r = c:transfer{[way] = case[3]}
    check.near(r.lf + r.rf + r.lr + r.rr, c:balance().mass, 1e-9)
    local lift = r.first_lift
    local before, nearer = c:transfer{[way] = 0.998 * lift.g}, c:transfer{[way] = 0.999 * lift.g}
    check.equal(#nearer.lifted, 0, way)
    check.near(nearer[lift.wheel] / before[lift.wheel], 0.5, 1e-2, way) -- liquid bends the line by some of that
  end
end)

check.done()
