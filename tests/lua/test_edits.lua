-- Changes to a car: what they mean, that the baseline never moves, and that the order of edits leaves no trace.

local check = dofile "tests/lua/check.lua"
local scenario = dofile "tests/lua/scenario_a.lua"
local sy = require "steelyard"
local test = check.test

local function small()
  return sy.car{
    title = "Small (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1420, loaded_radius = 300}},
    parts = {
      sy.group "powertrain" {at = {1780, 0, 330},
        sy.part "engine" {mass = sy.sd(96.2, 0.1), at = {0, 0, 12}, bolted_to = {"transaxle"}, shape = sy.box {540, 620, 470},
                          stand_in = {mass = 14}},
        sy.part "transaxle" {mass = 61, at = {560, 0, -40}, bolted_to = {"engine"}},
        sy.part "mounts" {pair = true, mass = 2, at = {100, 210, -90}},
      },
      sy.part "front corner" {pair = true, mass = 27.4, at = {0, 700, 285}, unsprung = "front"},
      sy.part "rear corner" {pair = true, mass = 31.2, at = {2400, 710, 300}, unsprung = "rear"},
      sy.part "front links" {mass = 14, at = {60, 0, 330}, unsprung = {front = 0.5}},
      sy.part "tub" {mass = 85, at = {1050, 0, 350}},
      sy.tank "fuel" {capacity = 40, at = {1290, 0, 310}, density = 0.745, fill = 30},
      sy.person "driver" {mass = 78, at = {1010, 180, 370}},
    },
    spares = {sy.person "tall driver" {mass = 96, at = {1010, 180, 372}}},
    states = {sy.state "empty" {without = {"driver"}, fill = {fuel = 5}}, sy.state "full" {fill = {fuel = "90 %"}},
              sy.state "mock-up" {stand_ins = true}, sy.state "long" {swap = {driver = "tall driver"}}},
  }
end

local function key(car)
  local b = car:balance()
  return string.pack("nnnnnn", b.mass, b.cg.x, b.cg.y, b.cg.z, b.front_share, b.yaw_inertia)
end

test("moves_commute_and_undo_bit_for_bit", function()
  local car = small()
  local before = key(car)
  check.ok(key(car:move("engine", {back = 0.1}):move("engine", {forward = 0.1})) == before, "there and back")
  check.ok(key(car:move("engine", {back = 50}):move("tub", {up = 7})) == key(car:move("tub", {up = 7}):move("engine", {back = 50})))
  check.ok(key(car:move("driver", {back = 20}):move("driver", {back = 30})) == key(car:move("driver", {back = 50})))
  check.ok(key(car:state("empty"):move("powertrain", {back = 50}):state("full"))
    == key(car:move("powertrain", {back = 50}):state("full")), "states leave no trace")
  check.ok(key(car:set("tub", {mass = 90}):set("tub", {mass = 85})) == before, "set there and back")
  check.ok(key(car) == before, "the baseline never moved")
end)

test("a_list_moves_a_child_once", function()
  local car = small()
  check.ok(key(car:move({"powertrain", "engine"}, {back = 40})) == key(car:move("powertrain", {back = 40})))
end)

test("words_follow_the_vehicle_not_the_file", function()
  local car = small()
  local b = car:balance()
  local moved = car:move("tub", {left = 100}):balance()
  check.near(moved.cg.y - b.cg.y, -100 * 85 / b.mass, 1e-9, "the file counts y to the right")
  check.ok(moved.left > b.left, "left is heavier")
end)

test("out_moves_the_two_pieces_of_a_pair_apart", function()
  local car = small()
  local wide, b = car:move("rear corner", {out = 30}):balance(), car:balance()
  check.near(wide.cg.y, b.cg.y, 1e-9)
  -- 2 m (y + 30)^2 - 2 m y^2 (parallel axes)
  check.near(wide.yaw_inertia - b.yaw_inertia, 2 * 31.2 * (0.740 ^ 2 - 0.710 ^ 2), 1e-9)
end)

test("a_group_moved_sideways_takes_both_pieces_the_same_way", function()
  local car = small()
  local shifted = car:move("powertrain", {left = 10})
  check.near(shifted:balance().cg.y - car:balance().cg.y, -10 * (96.2 + 61 + 4) / car:balance().mass, 1e-9)
end)

test("sides_of_a_pair_can_be_moved_and_set_alone", function()
  local car = small()
  check.near(car:set("front corner/left", {mass = 30}):balance().mass - car:balance().mass, 2.6, 1e-9)
  check.near(car:move("front corner/right", {up = 10}):balance().height - car:balance().height,
    10 * 27.4 / car:balance().mass, 1e-9)
  check.near(car:set("front corner", {mass = 30}):balance().mass - car:balance().mass, 5.2, 1e-9)
end)

test("turn_about_origin_cg_and_a_point", function()
  local car = small()
  local e = car:move("engine", {nose_up = 3})
  check.near(e:balance().height, car:balance().height, 1e-9, "one item turns about its own place")
  local about = car:move("tub", {nose_up = 90, about = {0, 0, 350}}):balance()
  -- the tub, 1050 behind the point, swings to 1050 below it
  check.near((about.height - car:balance().height) * about.mass, -85 * 1050, 1e-6)
  local joint = car:move({"engine", "transaxle"}, {nose_left = 5})
  check.near(joint:balance().cg.x, car:balance().cg.x, 1e-9, "a list turns about its joint CG")
  check.ok(math.abs(joint:balance().cg.y - car:balance().cg.y) < 1e-9)
end)

test("tearing_bolted_parts_apart_warns_and_moving_both_does_not", function()
  local car = small()
  local function warned(c) return table.concat(c:balance().notes, "\n"):find("moved apart", 1, true) ~= nil end
  check.ok(warned(car:move("engine", {back = 10})))
  check.ok(not warned(car:move("powertrain", {back = 10})))
  check.ok(not warned(car:move("engine", {back = 10}):move("transaxle", {back = 10})))
  check.ok(not warned(car))
end)

test("an_axle_takes_what_its_wheels_carry", function()
  local car = small()
  local moved, b = car:move("rear axle", {back = 50}):balance(), car:balance()
  check.near(moved.wheelbase, 2450, 1e-9)
  check.near((moved.cg.x - b.cg.x) * b.mass, 2 * 31.2 * 50, 1e-6)
  local front = car:move("front axle", {forward = 40}):balance()
  check.near(front.wheelbase, 2440, 1e-9)
  check.near((front.cg.x - b.cg.x) * b.mass, -(2 * 27.4 + 0.5 * 14) * 40, 1e-6, "a half carried link goes half as far")
  -- moments about the rear axle at x = 2400: front load = M (2400 - x) / 2440
  check.near(front.front, b.mass * (2400 - front.cg.x) / 2440, 1e-9)
end)

test("states_replace_one_another_and_fill_ends_with_the_state", function()
  local car = small()
  check.near(car:state("empty"):balance().mass, car:balance().mass - 78 - 25 * 0.745, 1e-9)
  check.near(car:state("empty"):state("full"):balance().mass, car:balance().mass + 6 * 0.745, 1e-9)
  check.near(car:state("full"):fill{fuel = 10}:balance().mass, car:balance().mass - 20 * 0.745, 1e-9)
  check.near(car:state("full"):fill{fuel = 10}:state("full"):balance().mass, car:balance().mass + 6 * 0.745, 1e-9)
  check.equal(car:states(), {"empty", "full", "mock-up", "long"})
  check.equal(car:balance().state, "everything in the file, no state chosen")
end)

-- Edits wait for whoever asks for the car out of its state; turns and spreads as well as shifts.
test("turns_and_spreads_under_a_state_are_there_when_it_is_left", function()
  local car = small()
  local function changed(c)
    return c:move("engine", {nose_up = 3, about = "cg"}):move("front corner", {out = 12}):move({"tub", "driver"}, {nose_left = 2, up = 4})
  end
  check.ok(key(changed(car:state "empty"):state()) == key(changed(car)))
  check.ok(key(changed(car:state "empty"):state "full") == key(changed(car):state "full"))
  check.ok(key(changed(car:state "empty"):without("fuel"):state()) == key(changed(car):without "fuel"))
end)

-- How a heading begins and the notes on counts are kept from car to car: never those of another car.
test("headings_and_notes_are_those_of_the_car_that_is_asked", function()
  local car = small()
  local empty = car:state "empty"
  check.equal(empty:balance().heading, "Small (invented), empty")
  local moved = empty:move("tub", {back = 12.5})
  check.equal(moved:balance().heading, "Small (invented), empty, tub 12.5 back")
  check.equal(moved:move("tub", {up = 1}):heading(), "Small (invented), empty, tub 12.5 back, tub 1 up")
  local much = moved
  for mm = 1, 5 do much = much:move("tub", {up = mm}) end
  check.equal(much:heading(), "Small (invented), empty, tub 12.5 back, tub 1 up, tub 2 up, tub 3 up, tub 4 up, tub 5 up")
  check.equal(much:move("tub", {down = 9}):heading(),
    "Small (invented), empty, tub 12.5 back, tub 1 up, tub 2 up, tub 3 up, tub 4 up and 2 more changes")
  local filled = moved:fill{fuel = 20}
  check.equal(filled:heading(), "Small (invented), empty, fuel 20 litres, tub 12.5 back")
  check.equal(filled:move("tub", {left = 2}):heading(), "Small (invented), empty, fuel 20 litres, tub 12.5 back, tub 2 left")
  check.equal(filled:state("full"):heading(), "Small (invented), full, tub 12.5 back")
  check.equal(moved:state():heading(), "Small (invented), everything in the file, no state chosen, tub 12.5 back")
  check.equal(moved:named("A"):balance().heading, "A")
  -- a name belongs to the car that was given it
  check.equal(moved:named("A"):move("tub", {back = 1}):heading(), "Small (invented), empty, tub 12.5 back, tub 1 back")
  check.equal(moved:named("A"):state("full"):heading(), "Small (invented), full, tub 12.5 back")
  check.equal(moved:named("A"):fill({fuel = 20}):heading(), "Small (invented), empty, fuel 20 litres, tub 12.5 back")
  check.equal(moved:named("A"):without("driver"):heading(), "Small (invented), empty, tub 12.5 back, without driver")
  local function unstated(c)
    for _, note in ipairs(c:balance().notes) do
      local few, all = note:match "^(%d+) of (%d+) parts"
      if few then return few .. " of " .. all end
    end
  end
  check.equal(unstated(moved), "7 of 8") -- all but the engine
  check.equal(unstated(moved:state()), "8 of 9") -- the driver is back
  check.equal(unstated(moved:set("tub", {mass = sy.sd(85, 1)})), "6 of 8")
  check.equal(unstated(moved:set("tub", {mass = sy.sd(85, 1)}):move("tub", {back = 1})), "6 of 8")
  check.equal(unstated(moved), "7 of 8") -- all but the engine
end)

test("spares_are_not_aboard_until_swapped_in_and_take_over_the_role", function()
  local car = small()
  check.near(car:state("long"):balance().mass - car:balance().mass, 18, 1e-9)
  local swapped = car:swap("driver", "tall driver")
  check.near(swapped:balance().mass - car:balance().mass, 18, 1e-9)
  check.near(swapped:state("empty"):balance().mass, car:state("empty"):balance().mass, 1e-9, "the tall one gets out too")
end)

test("a_mock_up_is_made_of_stand_ins_only", function()
  local b = small():state("mock-up"):balance()
  check.near(b.mass, 14, 1e-9)
  check.contains(table.concat(b.notes, "\n"), "mock-up")
end)

test("errors_join_with_texts", function()
  local _, failure = pcall(function() return small():move("tubb", {back = 1}) end)
  check.contains("while moving: " .. failure, 'while moving: no part, group, tag or axle is called "tubb"')
  check.equal(failure .. "!", tostring(failure) .. "!")
  check.equal(failure .. failure, tostring(failure) .. tostring(failure))
end)

test("add_without_and_named", function()
  local car = small()
  local b = car:add(sy.part "ballast" {mass = 10, at = {200, 0, 150}})
  check.near(b:balance().mass - car:balance().mass, 10, 1e-9)
  check.near(b:move("ballast", {back = 100}):balance().cg.x - b:balance().cg.x, 10 * 100 / b:balance().mass, 1e-9)
  check.ok(key(b:without("ballast")) == key(car), "as if it had never been there")
  local inside = car:add(sy.part "starter" {mass = 3, at = {-100, 150, 0}}, "powertrain")
  check.near(inside:move("powertrain", {back = 10}):balance().cg.x - inside:balance().cg.x,
    10 * (96.2 + 61 + 4 + 3) / inside:balance().mass, 1e-9)
  check.equal(car:named("A"):heading(), "A")
  check.contains(car:move("engine", {back = 50}):heading(), "engine 50 back")
  check.contains(car:state("full"):heading(), "full")
end)

test("a_plain_mass_keeps_the_old_uncertainty_and_sd_replaces_it", function()
  local car = scenario.car(sy)
  local function uncertainty(c) return c:book("engine").rows[1].sd.mass end
  check.near(uncertainty(car:set("engine", {mass = 170})), 0.5, 1e-12)
  check.near(uncertainty(car:set("engine", {mass = sy.sd(170, 2)})), 2, 1e-12)
  check.near(car:set("engine", {mass = 170}):balance().mass, 772.8, 1e-9)
end)

test("wrong_calls_say_what_is_wrong", function()
  local car = small()
  check.raises(function() car:move("engin", {back = 5}) end, {code = "unknown", message = "engin", hint = "engine"})
  check.raises(function() car:move("engine", {bak = 5}) end, {code = "unknown", message = "bak", hint = "back"})
  check.raises(function() car:move("engine", {back = "5"}) end, {code = "type", field = "back"})
  check.raises(function() car:move("engine", {back = 0 / 0}) end, {code = "range", field = "back"})
  check.raises(function() car:move("engine", {}) end, {code = "missing"})
  check.raises(function() car:move("engine", 50) end, {code = "type"})
  check.raises(function() car.move("engine", {back = 50}) end, {code = "type", hint = "colon"})
  check.raises(function() car:set("engine", {mas = 97}) end, {code = "unknown", hint = "mass"})
  check.raises(function() car:set("engine", {mass = -97}) end, {code = "range", field = "mass"})
  check.raises(function() car:state "emty" end, {code = "unknown", hint = "empty"})
  check.raises(function() car:fill{fuel = 50} end, {code = "range", field = "fill"})
  check.raises(function() car:fill{tub = 50} end, {code = "type"})
  check.raises(function() car:swap("driver", "driver") end, {code = "clash"})
  check.raises(function() car.mass = 5 end, {code = "type"})
  check.raises(function() car:trial("engine", "backwards") end, {code = "unknown", hint = "back"})
  check.raises(function() car:add(sy.part "tub" {mass = 1, at = {0, 0, 0}}) end, {code = "clash", part = "tub"})
  check.raises(function() sy.compare{car} end, {code = "type"})
  check.raises(function() sy.compare{car, car, show = {"front_shar"}} end, {code = "unknown", hint = "front_share"})
  check.raises(function() sy.loda("x") end, {code = "unknown", hint = "load"})
  check.raises(function() car:move("rear axle", {left = 5}) end, {code = "geometry", part = "rear axle"})
  check.raises(function() car:move("tub", {out = 5}) end, {code = "geometry", field = "out"})
end)

test("a_name_that_only_another_car_has", function()
  local car = small()
  local other = car:add(sy.part "ballast" {mass = 10, at = {200, 0, 150}})
  check.ok(other:balance().mass > car:balance().mass)
  check.raises(function() car:move("ballast", {back = 5}) end, {code = "unknown", message = "ballast", hint = "another car"})
end)

test("a_bare_name_that_fits_several_lists_the_paths", function()
  local car = sy.car{
    title = "Two brackets (invented)", axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290},
      {name = "rear", at = 2400, track = 1400, loaded_radius = 290}},
    parts = {sy.group "nose" {sy.part "bracket" {mass = 1, at = {100, 0, 200}}},
             sy.group "tail" {sy.part "bracket" {mass = 2, at = {2300, 0, 200}}}},
  }
  check.raises(function() car:move("bracket", {back = 5}) end,
    {code = "clash", message = {"nose/bracket", "tail/bracket"}})
  check.near(car:move("tail/bracket", {back = 30}):balance().cg.x - car:balance().cg.x, 20, 1e-9)
end)

check.done()
