--- Changes as the command line says them: each phrase against the car that the calls make, and what each refusal names.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local changed = require "steelyard.command.changed"
local test = check.test

-- Axes of its own, a datum away from the front axle, names with spaces, commas and directions in them.
local function made(more)
  local fields = {
    title = "Spoken (invented)", axes = {x = "right", y = "forward", z = "up"}, ground = -40, centre = 630,
    axles = {{name = "front", at = 1100, track = 1400, loaded_radius = 290, spring_rate = 41, tyre_rate = 190},
             {name = "rear", at = -1290, track = 1430, loaded_radius = 300, spring_rate = 52, tyre_rate = 200}},
    chassis = {torsion = 4000},
    parts = {
      sy.part "tub" {mass = sy.sd(283, 4), at = {630, 100, 310}},
      sy.part "tray 20 left" {mass = 3.1, at = {500, 300, 200}},
      sy.part "tray" {mass = 2.3, at = {700, 310, 190}},
      sy.part "seat, left" {mass = 7.7, at = {330, -100, 250}},
      sy.group "power unit" {at = {640, -900, 300}, sy.part "engine" {mass = sy.sd(96.2, 0.1), at = {3, 5, 12}},
                             sy.part "proof mass" {mass = 5, at = {0, 0, 0}}},
      sy.part "front corner" {pair = true, mass = 27.4, at = {-80, 1100, 290}, unsprung = "front"},
      sy.tank "main tank" {capacity = 40, density = 0.75, fill = 20, at = {630, -500, 280}},
      sy.person "driver" {mass = 78, at = {450, -200, 330}},
    },
    points = {nose = {630, 1700, 200}, ["floor, left 20"] = {330, 20, 60}, ["at the hook"] = {at = {650, -880, 500}, part = "engine"}},
    states = {sy.state "race" {fill = {["main tank"] = 31}}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end
local car = made()

local shown = {"mass", "front_share", "left_share", "height", "lf", "yaw_inertia"}
local function same(a, b, what)
  local one, other = a:balance(), b:balance()
  for _, name in ipairs(shown) do check.equal(one[name], other[name], what .. ": " .. name) end
  for _, name in ipairs{"mass", "front_share"} do check.equal(one.sd[name], other.sd[name], what .. ": sd of " .. name) end
end

local function says(phrase, want, from)
  local got = changed.by(from or car, phrase)
  same(got, want, phrase)
  return got
end

test("phrases_make_the_cars_that_the_calls_make", function()
  says("engine 50 back", car:move("engine", {back = 50}))
  says("driver 20 left 5 up", car:move("driver", {left = 20, up = 5}))
  says("engine 3 nose_up", car:move("engine", {nose_up = 3}))
  says("driver mass 96", car:set("driver", {mass = 96}))
  says("engine mass 130", car:set("engine", {mass = 130}))
  says("power unit/engine mass 130", car:set("engine", {mass = 130}))
  says("front corner mass 25", car:set("front corner", {mass = 25}))
  says("main tank fill 12", car:set("main tank", {fill = 12}))
  says("main tank fill 60 %", car:set("main tank", {fill = "60 %"}))
  says("engine at 10,-20, 30", car:set("engine", {at = {10, -20, 30}}))
  says("engine at.z 30", car:set("engine", {at = {z = 30}}))
  says("engine basis weighed", car:set("engine", {basis = "weighed"}))
  says("rear axle track 1500", car:set("rear axle", {track = 1500}))
  says("rear axle 30 back", car:move("rear axle", {back = 30}))
end)

test("the_uncertainty_of_a_mass_stays_as_with_car_set", function()
  check.near(changed.by(car, "engine mass 130"):balance().sd.mass, car:balance().sd.mass, 1e-12)
end)

test("rates_reach_the_springs", function()
  local pads = {pads = {lf = 5}}
  local function lf(c) return c:corners(pads).lf end
  check.equal(lf(changed.by(car, "rear axle spring_rate 40")), lf(car:set("rear axle", {spring_rate = 40})))
  check.equal(lf(changed.by(car, "rear axle left.spring_rate 40")), lf(car:set("rear axle", {left = {spring_rate = 40}})))
  check.equal(lf(changed.by(car, "chassis torsion 6000")), lf(made{chassis = {torsion = 6000}}))
  check.equal(changed.by(car, "vehicle cross_share 51.5"):balance().lf, made{cross_share = 51.5}:balance().lf)
  check.ok(lf(changed.by(car, "rear axle spring_rate 40")) ~= lf(car), "they matter")
end)

test("values_may_carry_a_unit", function()
  for _, phrase in ipairs{"driver mass 96 kg", "driver mass 96kg", "driver mass 96000 g", "driver mass 0.096e3"} do
    check.near(changed.by(car, phrase):balance().mass, car:balance().mass + 18, 1e-9, phrase)
  end
  -- the pound: 0.45359237 kg, exactly (international yard and pound agreement, 1959)
  check.near(changed.by(car, "driver mass 200 lb"):balance().mass, car:balance().mass + 200 * 0.45359237 - 78, 1e-9)
  check.near(changed.by(car, "main tank fill 12 L"):balance().mass, car:balance().mass - 8 * 0.75, 1e-9)
  same(changed.by(car, "rear axle spring_rate 40 N/mm"), car:set("rear axle", {spring_rate = 40}), "N/mm")
end)

test("ballast_is_a_part_at_a_point_or_a_place", function()
  local function with(mass, at) return car:add(sy.part "b" {mass = mass, at = at, basis = "weighed"}) end
  says("ballast 12 at nose", with(12, {630, 1700, 200}))
  says("ballast 12 kg at nose", with(12, {630, 1700, 200}))
  says("ballast 2.5 at floor, left 20", with(2.5, {330, 20, 60}))
  says("ballast 12 at 300,-300,20", with(12, {300, -300, 20}))
  says("ballast 12 at 300, -300, 20", with(12, {300, -300, 20}))
  check.near(changed.by(car, "ballast 10 lb at nose"):balance().mass, car:balance().mass + 4.5359237, 1e-9)
  local moved = changed.by(changed.by(car, "engine 50 back"), "ballast 4 at at the hook")
  same(moved, car:move("engine", {back = 50}):add(sy.part "b" {mass = 4, at = {650, -930, 500}, basis = "weighed"}), "a point goes along")
  local again = changed.by(changed.by(car, "ballast 12 at nose"), "ballast at nose 100 back")
  same(again, with(12, {630, 1600, 200}), "ballast is a part like others")
end)

test("ballast_on_a_lowered_car_lies_where_the_point_is_drawn", function()
  local low = car:lower{front = 20, rear = 10}
  says("ballast 12 at nose", low:add(sy.part "b" {mass = 12, at = {630, 1700, 200}, basis = "weighed"}), low)
  says("ballast 4 at at the hook", low:add(sy.part "b" {mass = 4, at = {650, -880, 500}, basis = "weighed"}), low)
end)

test("names_are_taken_whole", function()
  says("tray 20 left 5 up", car:move("tray 20 left", {up = 5}))
  says("tray 20 left mass 4", car:set("tray 20 left", {mass = 4}))
  says("tray 20 left", car:move("tray", {left = 20}))
  says("tray 5 up 20 left", car:move("tray", {up = 5, left = 20}))
  says("seat, left 30 back", car:move("seat, left", {back = 30}))
  says("seat, left mass 8.1", car:set("seat, left", {mass = 8.1}))
  says("proof mass mass 6", car:set("proof mass", {mass = 6}))
  says("main tank 20 up", car:move("main tank", {up = 20}))
  local own = made{parts = {sy.part "tub" {mass = 283, at = {630, 100, 310}}, sy.part "ballast 12" {mass = 12, at = {630, 900, 100}},
                            sy.part "ballast" {mass = 3, at = {630, 900, 100}}}, states = {}, points = {nose = {630, 1700, 200}}}
  says("ballast 12 at 600,800,90", own:set("ballast 12", {at = {600, 800, 90}}), own)
  says("ballast 50 back", own:move("ballast", {back = 50}), own)
  says("ballast mass 4", own:set("ballast", {mass = 4}), own)
  says("ballast 5 at nose", own:add(sy.part "b" {mass = 5, at = {630, 1700, 200}, basis = "weighed"}), own)
end)

test("a_fill_holds_under_a_state_and_headings_say_what_was_said", function()
  local low = changed.by(car:state "race", "main tank fill 12")
  check.near(low:balance().mass, car:state "race":balance().mass - 19 * 0.75, 1e-9)
  check.contains(changed.by(low, "ballast 10 lb at nose"):heading(), "main tank fill 12, ballast 10 lb at nose")
end)

local function refuses(phrase, want) return check.raises(function() changed.by(car, phrase) end, want) end

test("mistakes_name_the_word_and_the_nearest_right_one", function()
  local unknown = "unknown"
  refuses("drivr mass 96", {code = unknown, message = 'called "drivr"', hint = '"driver"'})
  refuses("driver mas 96", {code = unknown, message = '"mas" is neither a direction nor a field of a person', hint = '"mass"'})
  refuses("driver bak 96", {code = unknown, message = '"bak" is neither', hint = '"back"'})
  refuses("rear axle sprng_rate 40", {code = unknown, message = "of an axle", hint = '"spring_rate"'})
  refuses("rer axle spring_rate 40", {code = unknown, hint = '"rear axle"'})
  refuses("main tank fil 20", {code = unknown, hint = '"fill"'})
  refuses("main tnk fill 20", {code = unknown, hint = '"main tank"'})
  refuses("ballast 12 at nos", {code = unknown, field = "ballast", message = '"nos"', hint = '"nose"'})
  refuses("ballast nan at nose", {code = "usage", message = "does not say how many kg lie where", hint = "ballast 12 at nose"})
  refuses("ballast 12 at bar (0,0)", {code = "usage", message = "(0,0) are not three coordinates"})
  refuses("ballast 12 at bar (0,nan,0)", {code = "usage", message = "(0,nan,0) are not three coordinates"})
  refuses("ballast 12 at (0,300,20)", {code = "usage", message = "has no name before the place"})
  refuses("ballast 12 at driver (0,300,20)", {code = "clash", message = 'already a "driver"'})
  refuses("chassis torsion -5", {code = "range", part = "chassis", field = "torsion", message = "must be above 0 N m/deg, is -5"})
  refuses("balast 12 at nose", {code = "usage", message = '"balast" is not a part', hint = '"ballast"'})
  refuses("chassis torsoin 5000", {code = unknown, message = '"torsoin"', hint = '"torsion"'})
  refuses("vehicle crosshare 50", {code = unknown, hint = '"cross_share"'})
  refuses("engine basis wieghed", {hint = '"weighed"', field = "basis"})
  refuses("power unit mass 96", {code = unknown, message = "of a group", hint = "its fields are"})
  refuses("engine 30 bakc", {code = "usage", message = '"bakc" is not a direction', hint = '"back"'})
end)

test("what_is_no_number_or_of_another_unit_is_named", function()
  refuses("driver mass 9,5", {code = "usage", message = '"9,5" is not a number', hint = "point"})
  refuses("driver mass heavy", {code = "type", field = "mass", message = '"heavy"'})
  refuses("driver mass -4", {code = "range", field = "mass"})
  refuses("driver mass 20 mm", {code = "type", field = "mass", message = "is a length"})
  refuses("rear axle spring_rate 40 kg", {code = "type", field = "spring_rate", message = "is a mass"})
  refuses("main tank fill 400", {code = "range", message = "holds 40"})
  refuses("chassis torsion stiff", {code = "usage", message = '"stiff" is not a number'})
  refuses("ballast 0 at nose", {code = "range", message = "more than 0 kg"})
  refuses("ballast -2 at nose", {code = "range", message = "more than 0 kg"})
  refuses("ballast 2 mm at nose", {code = "usage", message = '"mm" is not a unit of mass'})
  refuses("ballast 1.2.3 at nose", {code = "usage", message = '"1.2.3" is not a number of kg'})
  for _, phrase in ipairs{"ballast 12", "ballast 12 nose", "ballast 9,5 at nose"} do
    refuses(phrase, {code = "usage", message = "does not say how many kg lie where", hint = "ballast 12 at nose"})
  end
  for _, phrase in ipairs{"", " ", "engine", "engine mass", "mass 96", "at", "ballast", "= 3", "driver mass"} do refuses(phrase, {}) end
  local twice = changed.by(car, "ballast 12 at nose")
  check.raises(function() changed.by(twice, "ballast 3 at nose") end, {code = "clash", message = '"ballast at nose"'})
end)

check.done()
