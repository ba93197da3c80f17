-- The car on its springs from Lua. Equilibrium itself is checked against SciPy in tests/reference/oracle_springs.py and against
-- closed forms in tests/test_corner.c; here: states, wheel tables, uncertainties, sentences.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function axle(name, at, track, spring, ratio, more)
  local a = {name = name, at = at, track = track, loaded_radius = 290, spring_rate = spring, motion_ratio = ratio, tyre_rate = 220,
             perch_pitch = 1.5}
  for key, value in pairs(more or {}) do a[key] = value end
  return a
end

-- The worked case of tests/test_corner.c with a driver, who sits to the right, and a tank on the centre line.
local function car(more, front, rear)
  local fields = {
    title = "Worked case (invented)", axes = {x = "back", y = "right", z = "up"}, design = "driver aboard",
    axles = {axle("front", 0, 1500, 60, 0.75, front), axle("rear", 2450, 1480, 75, 0.80, rear)},
    parts = {
      sy.part "front wheel" {pair = true, mass = sy.sd(28, 0.2), at = {0, 750, 290}, unsprung = "front"},
      sy.part "rear wheel" {pair = true, mass = sy.sd(32, 0.2), at = {2450, 740, 290}, unsprung = "rear"},
      sy.part "body" {mass = sy.sd(560, 3), at = {1450, -10, 380}},
      sy.tank "fuel" {capacity = 45, density = 0.75, fill = 40, at = {1300, 0, 300}},
      sy.person "driver" {mass = sy.sd(78, 0.5), at = {1010, 300, 370}},
    },
    spares = {sy.person "tall driver" {mass = sy.sd(98, 0.5), at = {1030, 300, 380}}},
    states = {sy.state "driver aboard" {}, sy.state "empty seat" {without = {"driver"}}, sy.state "tall" {swap = {driver = "tall driver"}}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

-- Without states: all parts are drawn.
local function plain_car(parts, axles)
  return sy.car{title = "Plain (invented)", axes = {x = "back", y = "right", z = "up"}, parts = parts,
                axles = axles or {axle("front", 0, 1500, 60, 0.75), axle("rear", 2450, 1480, 75, 0.80)}}
end

local function notes_of(r) return table.concat(r.notes, "\n") end

local keys = {"lf", "rf", "lr", "rr"}

test("design_state_is_the_balance_at_drawn_heights", function()
  for _, cross in ipairs{50, 47.5} do
    local c = car{cross_share = cross}:state "driver aboard"
    local r, b = c:corners(), c:balance()
    for _, key in ipairs(keys) do -- rounding of loads of some hundred kg
      check.near(r[key], b[key], 1e-9, key)
      check.near(r.heights[key], 0, 1e-9)
      check.near(r.travel[key], 0, 1e-9)
      check.near(r.sd[key], b.sd[key], 1e-6, "sd " .. key)
    end
    check.near(r.cross_share, cross, 1e-9)
    check.near(r.sd.mass, b.sd.mass, 1e-9)
    check.near(r.sd.front_share, b.sd.front_share, 1e-9)
    check.equal(r.sd.cross_share, 0)
    check.equal(r.lifted, {})
    check.contains(notes_of(r), ('changes from "driver aboard" as drawn: body at its drawn heights, no twist and a cross weight of %s %%')
      :format(cross == 50 and "50" or "47.5"))
    check.contains(notes_of(r), "chassis taken as rigid")
    check.contains(notes_of(r), "pads taken as level")
    check.contains(notes_of(r), "no anti-roll bar is given")
  end
end)

-- The totals and moments are statics, whatever the springs do; the driver's weight lowers the corner he sits over most.
test("a_heavier_driver_lowers_the_car_where_he_sits", function()
  local c = car()
  local r, b = c:state "tall":corners(), c:state "tall":balance()
  check.near(r.mass, b.mass, 1e-9)
  check.near(r.front_share, b.front_share, 1e-9)
  -- not quite the left share: with unequal tracks (1500, 1480) only the moment about the centre line is fixed
  local function moment(x) return (x.lf - x.rf) * 750 + (x.lr - x.rr) * 740 end
  check.near(moment(r), moment(b), 1e-6)
  check.ok(r.heights.rf < r.heights.lf and r.heights.rf < 0, "the right side goes down")
  check.ok(r.travel.rf > 0, "into bump")
  check.ok(r.roll > 0, "left side up")
  check.contains(tostring(r), "left side 0.")
  local empty = c:state "empty seat":corners()
  check.ok(empty.heights.rf > empty.heights.lf and empty.heights.rf > 0)
  check.ok(r.rf > c:state "driver aboard":corners().rf)
  -- an edit is a change from the same drawn state, unless the springs are set anew
  local heavy = c:state "driver aboard":set("driver", {mass = 98})
  check.ok(heavy:corners().heights.rf < -1)
  check.contains(notes_of(heavy:corners()), "springs stay as set before the changes")
  check.near(heavy:corners{reset = true}.heights.rf, 0, 1e-9)
  check.near(heavy:corners{reset = true}.cross_share, 50, 1e-9)
  check.contains(notes_of(heavy:corners{reset = true}), "springs set anew with its changes aboard")
end)

-- 10 litres of 0.75 kg/L on springs in series with tyres, at a place where heights follow from two ride rates: by hand
--   k = 2 x 33.75 x 220 / 253.75 = 58.522 N/mm front, 2 x 48 x 220 / 268 = 78.806 rear; 7.5 kg at 1300 of 2450
test("ten_litres_of_fuel_raise_the_car_by_the_ride_rates", function()
  local c = car()
  local r = c:state "driver aboard":fill{fuel = 30}:corners()
  local weight = 7.5 * 9.80665
  local front = weight * (2450 - 1300) / 2450 / (2 * 33.75 * 220 / (33.75 + 220))
  local rear = weight * 1300 / 2450 / (2 * 48 * 220 / (48 + 220))
  check.near(r.heights.front, front, 1e-9)
  check.near(r.heights.rear, rear, 1e-9)
  check.near(r.pitch, math.deg((front - rear) / 2450), 1e-9)
  check.near(r.cross_share, 50, 0.02, "fuel on the centre line hardly changes the cross weight")
end)

test("one_turn_and_one_millimetre_are_what_a_new_setting_gives", function()
  local c = car({chassis = {torsion = 3000}}, {bar_rate = 7}):state "tall"
  for _, bars in ipairs{"off", "connected"} do
    local r = c:corners{bars = bars}
    for _, key in ipairs(keys) do
      local turned, raised = c:corners{bars = bars, perches = {[key] = 1}}, c:corners{bars = bars, pads = {[key] = 1}}
      for _, other in ipairs(keys) do -- linear while no wheel lifts: rounding only
        check.near(turned[other] - r[other], r.per_turn[key][other], 1e-9)
        check.near(raised[other] - r[other], r.per_pad_mm[key][other], 1e-9)
        check.near(turned.heights[other] - r.heights[other], r.per_turn[key].heights[other], 1e-9)
      end
      check.near(turned.cross_share - r.cross_share, r.per_turn[key].cross_share, 1e-9)
      check.near(raised.heights[key] - r.heights[key], r.per_pad_mm[key].height, 1e-9)
      check.ok(r.per_turn[key][key] > 0 and r.per_turn[key].height > 0, "a perch turned up loads and lifts its own corner")
      check.ok(r.per_pad_mm[key][key] > 0, "a high pad loads its own wheel")
      check.ok((key == "rf" or key == "lr") == (r.per_turn[key].cross_share > 0))
    end
  end
end)

test("wheel_tables_take_other_names_uncertainties_and_units", function()
  local c = car()
  local a, b = c:corners{pads = {fl = 2, rr = -1}}, c:corners{pads = {lf = 2, rr = -1}}
  for _, key in ipairs(keys) do check.equal(a[key], b[key]) end
  check.equal(c:corners{pads = {lf = 0.1 * sy.inch}}.lf, c:corners{pads = {lf = 2.54}}.lf)
  local plain, uncertain = c:corners{pads = {lf = 2}}, c:corners{pads = {lf = sy.within(2, 0.5)}, perches = {rr = sy.sd(0, 0.1)}}
  check.equal(plain.lf, uncertain.lf)
  -- independent errors: squares add (JCGM 100:2008, 5.1.2); limits are sqrt 3 standard uncertainties apart (4.3.7)
  local by_pad, by_turn = plain.per_pad_mm.lf.lf * 0.5 / math.sqrt(3), plain.per_turn.rr.lf * 0.1
  check.near(uncertain.sd.lf ^ 2, plain.sd.lf ^ 2 + by_pad ^ 2 + by_turn ^ 2, 1e-9)
  check.ok(uncertain.sd.cross_share > 0.03 and plain.sd.cross_share < 0.01)
end)

-- The law of propagation by brute force: every stated mass one standard uncertainty up in a car of its own, drawn state and all.
test("uncertainties_in_another_state_are_those_of_the_law_of_propagation", function()
  local stated = {["front wheel"] = 0.2, ["rear wheel"] = 0.2, body = 3, driver = 0.5, ["tall driver"] = 0.5}
  local function built(changed)
    local fields = {title = "x", axes = {x = "back", y = "right", z = "up"}, design = "drawn", chassis = {torsion = 2500}, cross_share = 51,
      axles = {axle("front", 0, 1500, 60, 0.75), axle("rear", 2450, 1480, 75, 0.80)}}
    local function mass(name, value) return sy.sd(value + (changed == name and stated[name] or 0), stated[name]) end
    fields.parts = {
      sy.part "front wheel" {pair = true, mass = mass("front wheel", 28), at = {0, 750, 290}, unsprung = "front"},
      sy.part "rear wheel" {pair = true, mass = mass("rear wheel", 32), at = {2450, 740, 290}, unsprung = "rear"},
      sy.part "body" {mass = mass("body", 560), at = {1450, -10, 380}},
      sy.person "driver" {mass = mass("driver", 78), at = {1010, 300, 370}},
    }
    fields.spares = {sy.person "tall driver" {mass = mass("tall driver", 98), at = {1030, 300, 380}}}
    fields.states = {sy.state "drawn" {}, sy.state "tall" {swap = {driver = "tall driver"}}}
    return sy.car(fields):state "tall":corners{pads = {rf = 3}}
  end
  local r = built()
  for _, what in ipairs{"lf", "rf", "lr", "rr", "mass", "front_share", "left_share", "cross_share", "diagonal_ratio"} do
    local sum = 0
    for name in pairs(stated) do sum = sum + (built(name)[what] - r[what]) ^ 2 end
    -- one-sided steps of up to 0.5 % of the mass: second-order terms of that size
    check.near(r.sd[what], math.sqrt(sum), 0.01 * math.sqrt(sum), what)
  end
end)

test("stated_uncertainties_of_rates_count_when_springs_do", function()
  local c = car(nil, {spring_rate = sy.sd(60, 3)})
  local plain = car()
  check.near(c:state "driver aboard":corners().sd.lf, plain:state "driver aboard":corners().sd.lf, 1e-9, "as drawn springs do not count")
  local with, without = c:state "driver aboard":corners{pads = {lf = 10}}, plain:state "driver aboard":corners{pads = {lf = 10}}
  local stiff = car(nil, {spring_rate = 60.03}):state "driver aboard":corners{pads = {lf = 10}}
  local soft = car(nil, {spring_rate = 59.97}):state "driver aboard":corners{pads = {lf = 10}}
  -- a hundredth of the uncertainty each way: what is left of the third order is a ten-thousandth of 5 % squared
  local effect = 100 * (stiff.lf - soft.lf) / 2
  check.near(with.sd.lf ^ 2 - without.sd.lf ^ 2, effect ^ 2, 1e-6 * effect ^ 2)
  check.ok(not table.concat(c:balance().notes, "\n"):find "axle dimensions")
end)

test("chassis_twist_and_bars_are_shown", function()
  local r = car({chassis = {torsion = 1000}}, {bar_rate = 9}):corners{pads = {lf = 10}, bars = "connected", preload = {front = 2}}
  check.ok(r.twist > 0, "the left front is lifted")
  check.ok(r.bars.front > 0, "compressed left and preloaded left: it lifts the left of the body")
  check.equal(r.bars.rear, 0)
  check.contains(notes_of(r), "anti-roll bars connected: front, none at the rear")
  check.ok(not notes_of(r):find("rigid", 1, true))
  check.ok(not notes_of(r):find("pads taken as level", 1, true))
  check.contains(tostring(r), "twisted, left side up at the front")
end)

test("a_lifted_wheel_is_named", function()
  local r = car():corners{pads = {lf = 350}}
  check.equal(#r.lifted, 1)
  check.contains(notes_of(r), r.lifted[1] .. " wheel is off the ground")
  check.near(r[r.lifted[1]], 0, 0)
  check.near(r.mass, car():balance().mass, 1e-9)
end)

test("stops_are_named", function()
  local c = car(nil, {bump = 5, droop = 5}, {bump = 40, droop = 40}):state "driver aboard"
  local r = c:add(sy.part "ballast" {mass = 120, at = {100, 0, 300}}):corners()
  check.equal(r.stops.lf, "bump")
  check.contains(notes_of(r), "the lf suspension is at its bump stop")
  check.near(r.travel.lf, 5, 1e-9)
end)

test("ride_frequency_shows_an_inverted_motion_ratio", function()
  -- written the wrong way round, 1/0.45: wheel rate 4.9 times instead of 0.2 times the spring's
  local r = car(nil, {motion_ratio = 1 / 0.3}):corners()
  check.contains(notes_of(r), "Hz at the front axle is very hard: check its spring_rate and motion_ratio")
  check.contains(notes_of(car(nil, {motion_ratio = 0.3}):corners()), "at the front axle is very soft")
  check.near(car():corners().wheel_rate.front, 60 * 0.75 ^ 2, 1e-12)
end)

test("three_wheels_and_three_axles_stand_too", function()
  local b = sy.load "vehicles/burnet.lua":state "two up":fill{fuel = 0} -- liquid that runs is in test_settle.lua
  local r = b:corners{pads = {lf = 5}}
  for _, key in ipairs{"lf", "rf", "r"} do check.near(r[key], b:balance()[key], 1e-9, key) end
  check.equal(r.cross_share, nil)
  check.contains(tostring(r), "two up")
  local function plain(name, at) return axle(name, at, 1500, 60, 0.8) end
  local lorry = sy.car{title = "Three axles (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {plain("first", 0), plain("second", 2000), plain("third", 3000)}, parts = {sy.part "body" {mass = 1500, at = {1600, 0, 500}}}}
  local s = lorry:corners{pads = {l2 = 10}}
  check.near(s.mass, 1500, 1e-9)
  check.ok(s.l2 > lorry:balance().l2 and s.l1 < lorry:balance().l1 and s.l3 < lorry:balance().l3)
  check.ok(s.wheel_rate.second and s.ride_hz.third)
  check.contains(tostring(s), "l2")
end)

test("an_axle_moved_in_a_study_is_set_up_anew", function()
  local c = car():state "driver aboard":move("rear axle", {back = 100})
  local r = c:corners()
  check.near(r.heights.rear, 0, 1e-9)
  check.near(r.lf, c:balance().lf, 1e-9)
end)

test("quantities_for_limits_and_comparisons", function()
  local limits = {{name = "sink", quantity = "corners.heights.front", min = -1},
                  {name = "cross", quantity = "corners.cross_share", min = 49, max = 51}}
  local c = car{limits = limits}
  local list = c:state "tall":checks()
  check.near(list[1].value, c:state "tall":corners().heights.front, 1e-9)
  check.equal(list[1].status, "fail")
  check.near(list[2].value, c:state "tall":corners().cross_share, 1e-9)
  check.equal(list[2].status, "pass")
  local table_of = sy.compare{c:state "driver aboard", c:state "tall", show = {"corners.lf", "corners.rf", "corners.heights.rear"}}
  check.near(table_of.rows[2].changes[2], c:state "tall":corners().rf - c:state "driver aboard":corners().rf, 1e-9)
  local bare = sy.load "vehicles/first_guess.lua"
  check.equal(sy.compare{bare, bare, show = {"corners.lf"}}.rows[1].values[1], "unknown")
end)

test("results_can_be_walked_and_written", function()
  local r = car():corners{}
  local seen = {}
  for key in pairs(r) do seen[key] = true end
  for _, key in ipairs{"lf", "per_turn", "per_pad_mm", "sd", "notes", "state", "heading", "heights", "travel"} do
    check.ok(seen[key], key)
  end
  check.contains(require("steelyard.print.json").encode(r), '"per_pad_mm"')
end)

-- ---- sloping ground -----------------------------------------------------------------------------------------------------------

-- Moments about the rear contacts and about the centre line, of the weight that acts in the CG, by hand: any textbook of statics.
test("on_sloping_ground_loads_are_those_of_a_leaning_weight", function()
  local c = plain_car{sy.part "body" {mass = 700, at = {1400, 20, 400}}}
  local nose, right = math.rad(2), math.rad(1)
  local r = c:corners{slope = {nose_up = 2, right_up = 1}}
  local square = math.sqrt(1 - math.sin(nose) ^ 2 - math.sin(right) ^ 2)
  check.near(r.mass, 700 * square, 1e-9)
  check.near(r.front, 700 * (square * (2450 - 1400) - math.sin(nose) * 400) / 2450, 1e-9, "nose up: load goes back")
  local across = (r.lf - r.rf) * 750 + (r.lr - r.rr) * 740
  check.near(across, 700 * (-20 * square + math.sin(right) * 400), 1e-6, "right side up: load goes left")
  check.ok(r.pitch > 0, "it settles at the tail")
  check.ok(r.roll < 0 and r.heights.lf < r.heights.rf, "and on the left")
  check.contains(notes_of(r), "the ground slopes, nose 2.00 deg up and right side 1.00 deg up")
  local down = c:corners{slope = {nose_down = 2, left_up = -1}}
  check.near(down.front, 700 * (square * (2450 - 1400) + math.sin(nose) * 400) / 2450, 1e-9)
  check.near(down.cross_share, c:attitude{slope = {nose_up = -2, right_up = 1}}.cross_share, 1e-9)
end)

test("level_ground_is_no_slope", function()
  local a, b = car():corners{slope = {nose_up = 0}}, car():corners()
  for _, key in ipairs(keys) do check.equal(a[key], b[key]) end
  check.contains(notes_of(a), "pads taken as level")
end)

-- ---- uncertainties of the rest: solved again with one standard uncertainty more ---------------------------------------------------------

local function by_hand(change)
  return math.abs(change(1) - change(-1)) / 2
end

test("a_stated_cross_share_is_as_certain_as_it_was_read", function()
  local c = car{cross_share = sy.sd(50, 0.3)}:state "tall"
  local want = by_hand(function(way) return car{cross_share = 50 + 0.3 * way}:state "tall":corners().lf end)
  local plain = car{cross_share = 50}:state "tall":corners().sd
  local sd = c:corners().sd
  check.near(sd.lf ^ 2, plain.lf ^ 2 + want ^ 2, 1e-6)
  check.near(sd.cross_share, math.sqrt(plain.cross_share ^ 2 + 0.3 ^ 2), 0.01, "a little less than 0.3 with a heavier driver")
  check.near(sd.mass, plain.mass, 1e-9)
end)

test("stated_uncertainties_of_preload_and_slope_count", function()
  local o = {bars = "connected", preload = {front = 4}, slope = {nose_up = 1}}
  local function at(preload, nose)
    return car(nil, {bar_rate = 9}):corners{bars = "connected", preload = {front = preload}, slope = {nose_up = nose}}
  end
  local plain = car(nil, {bar_rate = 9}):corners(o).sd
  local sd = car(nil, {bar_rate = 9}):corners{bars = "connected", preload = {front = sy.sd(4, 0.5)}, slope = {nose_up = sy.sd(1, 0.2)}}.sd
  local preload = by_hand(function(way) return at(4 + 0.5 * way, 1).lf end)
  local slope = by_hand(function(way) return at(4, 1 + 0.2 * way).lf end)
  check.ok(preload > 0.1 and slope > 0.1)
  -- 1e-4: the sine of an angle is not quite linear in it
  check.near(sd.lf, math.sqrt(plain.lf ^ 2 + preload ^ 2 + slope ^ 2), 1e-4)
end)

-- On a slope loads depend on heights of parts: 10 mm of the body's CG by hand, front load = ... - m h sin / L
test("on_a_slope_uncertain_heights_make_uncertain_loads", function()
  local c = plain_car{sy.part "body" {mass = 700, at = {1400, 20, sy.sd(400, 10)}}}
  check.near(c:corners{slope = {nose_up = 3}}.sd.front, 700 * 10 * math.sin(math.rad(3)) / 2450, 1e-9)
  check.equal(c:corners().sd.front, 0)
end)

test("what_perches_and_pads_do_is_printed_for_any_car", function()
  local six = plain_car({sy.part "body" {mass = 900, at = {1300, 0, 380}}},
    {axle("front", 0, 1500, 60, 0.75), axle("middle", 1800, 1480, 75, 0.8), axle("tail", 2450, 1480, 75, 0.8)})
  local table_print = require "steelyard.print.table"
  table_print.width = math.huge -- headings as they are, however wide
  local shown = tostring(six:corners())
  table_print.width = 100
  check.contains(shown, "one turn up on the perch of")
  check.contains(shown, "l3, kg")
  local three = tostring(sy.load "vehicles/burnet.lua":corners())
  check.contains(three, "1 mm more under the pad of  body there, mm")
  check.contains(three, "Three wheels carry what balance gives them, whatever springs, perches and pads do")
end)

test("nothing_on_the_springs_has_no_frequency", function()
  local r = plain_car{sy.part "front wheel" {pair = true, mass = 28, at = {0, 750, 290}, unsprung = "front"},
    sy.part "rear wheel" {pair = true, mass = 32, at = {2450, 740, 290}, unsprung = "rear"}}
  for _, shown in ipairs{tostring(r:corners()), tostring(r:attitude())} do
    check.contains(shown, "nothing sprung")
    check.ok(not shown:find "nan" and not shown:find "%d%d%d%d Hz", shown)
  end
end)

-- ---- mistakes, each read aloud ----------------------------------------------------------------------------------------------

test("what_is_missing_is_named", function()
  local function without(field)
    local a = axle("rear", 2450, 1480, 75, 0.8)
    a[field] = nil
    return car{axles = {axle("front", 0, 1500, 60, 0.75), a}}
  end
  check.raises(function() without "spring_rate":corners() end, 'axle "rear", spring_rate: is not given, so nothing can be said about this '
    .. "car on its springs")
  check.raises(function() without "tyre_rate":corners() end, {code = "missing", part = "rear", field = "tyre_rate"})
  check.raises(function() without "perch_pitch":corners{perches = {lr = 1}} end,
    'axle "rear", perch_pitch: is not given, so turns of the lr perch mean nothing')
  check.equal(without "perch_pitch":corners{perches = {lf = 1}}.per_turn.lr, nil)
end)

test("rates_that_cannot_be_are_refused_by_the_file", function()
  check.raises(function() car(nil, {spring_rate = 0}) end, {code = "range", field = "spring_rate"})
  check.raises(function() car(nil, {motion_ratio = -0.8}) end, {code = "range", field = "motion_ratio"})
  check.raises(function() car(nil, nil, {wheels = "one", bar_rate = 4}) end,
    'axle "rear", bar_rate: a bar joins two wheels, this axle has one')
end)

test("wrong_options_say_what_is_right", function()
  local c = car()
  check.raises(function() c:corners{pad = {lf = 1}} end, 'pad: is not an option of car:corners (did you mean "pads"?)')
  check.raises(function() c:corners{pads = {front = 1}} end, 'pads: "front" is not a wheel of this car')
  check.raises(function() c:corners{pads = {lf = 1, fl = 2}} end, "pads: fl and lf are the same wheel")
  check.raises(function() c:corners{pads = 3} end, "pads: is a table by wheel such as {lf = 1}, not the number 3")
  check.raises(function() c:corners{pads = {lf = "1,5"}} end, {field = "pads.lf", hint = "decimals take a point"})
  check.raises(function() c:corners{pads = {lf = 5000}} end, "pads.lf: is 5000 mm; the largest accepted value is 500 mm")
  check.raises(function() c:corners{bars = "on"} end, 'bars: must be "off" or "connected", is the text "on"')
  check.raises(function() c:corners{bars = "conected"} end, 'did you mean "connected"?')
  check.raises(function() c:corners{reset = "no"} end, 'reset: must be true or false, is the text "no"')
  check.raises(function() c:corners{slope = 2} end, "slope: is a table such as {nose_up = 1}, in degrees, not the number 2")
  check.raises(function() c:corners{slope = {nose_u = 2}} end, 'slope: "nose_u" is not a way to lean (did you mean "nose_up"?)')
  check.raises(function() c:corners{slope = {nose_up = 1, nose_down = 1}} end, "exclude each other")
  check.raises(function() c:corners{slope = {left_up = 40}} end, "slope.left_up: is 40 deg; the largest accepted value is 15 deg")
  check.raises(function() c:corners{preload = {front = 1}} end, "preload: does nothing while bars are off")
  check.raises(function() c:corners(3) end, "car:corners takes its options in braces, got the number 3")
end)

test("a_car_that_cannot_stand_says_so", function()
  check.raises(function() car{cross_share = 99}:corners() end, "kg as drawn (driver aboard, cross weight 99 %): springs cannot be set for "
    .. "a wheel off the ground")
  local anvil = sy.part "anvil" {mass = 3000, at = {3500, 0, 300}}
  check.raises(function() car():add(anvil):corners() end, "lies outside the wheels: it would tip")
  check.raises(function() plain_car{anvil}:corners() end, "cg: lies outside the wheels as drawn (everything in the file): it would tip")
end)

check.done()
