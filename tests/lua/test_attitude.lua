-- Ride heights, set heights and ride from Lua. Modes are checked against textbooks in tests/test_ride.c, equilibrium against SciPy.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function axle(name, at, more)
  local a = {name = name, at = at, track = 1500, loaded_radius = 300, spring_rate = 60, motion_ratio = 0.8, tyre_rate = 200,
             perch_pitch = 1.5}
  for key, value in pairs(more or {}) do a[key] = value end
  return a
end

-- Symmetric front to rear, so heights follow by hand: ride rate 38.4 x 200 / 238.4 = 32.2148 N/mm at each wheel.
local RIDE = 38.4 * 200 / 238.4
local function car(more, front, rear)
  local fields = {
    title = "Plain (invented)", axes = {x = "back", y = "right", z = "up"}, axles = {axle("front", 0, front), axle("rear", 2500, rear)},
    parts = {
      sy.part "front wheel" {pair = true, mass = 25, at = {0, 750, 300}, unsprung = "front"},
      sy.part "rear wheel" {pair = true, mass = 25, at = {2500, 750, 300}, unsprung = "rear"},
      sy.part "front links" {mass = 10, at = {0, 0, 300}, unsprung = {front = 0.5}},
      sy.part "body" {mass = sy.sd(590, 2), at = {1250, 0, 420}, shape = sy.box {2600, 1300, 600}},
      sy.group "tail" {at = {2400, 0, 300}, sy.part "wing" {mass = 10, at = {300, 0, 500}}},
    },
    points = {nose = {-700, 0, 110}, sill = {1250, -600, 140}, ["wing tip"] = {at = {2700, 0, 800}, part = "tail/wing"},
              ["hub"] = {at = {0, -750, 300}, part = "front wheel"}},
    states = {sy.state "drawn" {}, sy.state "no wing" {without = {"wing"}}}, design = "drawn",
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields):state "drawn"
end

test("as_drawn_nothing_has_moved", function()
  local c = car()
  local a = c:attitude()
  for _, key in ipairs{"front", "rear", "lf", "rr"} do check.near(a.heights[key], 0, 1e-9) end
  check.near(a.ground.nose, 110, 1e-9)
  check.near(a.height, c:balance().height, 1e-9)
  check.near(a.rake, 0, 1e-9)
  check.contains(tostring(a), "tail and nose alike")
end)

-- 60 kg over the middle: 15 kg a wheel on 32.21 N/mm
test("a_load_amidships_lowers_all_by_the_ride_rate", function()
  local c = car():add(sy.part "sack" {mass = 60, at = {1250, 0, 500}})
  local a, down = c:attitude(), 15 * 9.80665 / RIDE
  for _, key in ipairs{"front", "rear", "lf", "rf", "lr", "rr"} do check.near(a.heights[key], -down, 1e-9, key) end
  check.near(a.travel.lf, 15 * 9.80665 / 38.4, 1e-9, "the spring's part")
  check.near(a.ground.nose, 110 - down, 1e-9)
  check.near(a.ground.sill, 140 - down, 1e-9)
  check.near(a.ground.hub, 300 - 15 * 9.80665 / 200, 1e-9, "a hub goes down by the tyre alone")
  -- the CG goes down with 665 kg of body and 105 of wheels (half the links are theirs)
  local b = c:balance()
  check.near(a.height, b.height - (665 * down + 105 * 15 * 9.80665 / 200) / 770, 1e-6)
  check.near(a.sd.heights.front, 0, 0, "stated uncertainties are the same in both states and cancel")
end)

-- A tyre gives by what came onto it: what one wheel carries goes with that wheel, a beam axle with both.
test("what_wheels_carry_goes_with_its_own_wheel_when_the_car_leans", function()
  local function at(x, y, part) return {at = {x, y, 300}, part = part} end
  local parts = {
    sy.part "front wheel" {pair = true, mass = 25, at = {0, 750, 300}, unsprung = "front"},
    sy.part "left hub" {mass = 20, at = {2500, -750, 300}, unsprung = "lr"},
    sy.part "right hub" {mass = 20, at = {2500, 750, 300}, unsprung = "rr"},
    sy.part "beam" {mass = 30, at = {2500, 0, 300}, unsprung = "rear"},
    sy.part "body" {mass = 590, at = {1250, 0, 420}},
  }
  local beamed = car{parts = parts, states = {sy.state "drawn" {}}, clearances = {
    {name = "left hub to road", a = at(2500, -750, "left hub"), b = "ground", asked = 20},
    {name = "right wheel to road", a = {wheel = "rr", at = {2500, 750, 300}}, b = "ground", asked = 20}},
    points = {["left front"] = at(0, -750, "front wheel"), ["right front"] = at(0, 750, "front wheel"),
              ["left rear"] = at(2500, -740, "left hub"),
              beam = at(2500, 0, "beam"), ["beam end"] = at(2500, 300, "beam")}}
  local leant = beamed:add(sy.part "sack" {mass = 60, at = {1000, 500, 500}})
  local before, after, ground = beamed:corners(), leant:corners(), leant:attitude().ground
  local rise = {}
  for _, key in ipairs{"lf", "rf", "lr", "rr"} do rise[key] = -(after[key] - before[key]) * 9.80665 / 200 end
  check.ok(rise.rf < rise.lf - 0.3 and rise.rr < rise.lr - 0.3)
  check.near(ground["left front"], 300 + rise.lf, 1e-9)
  check.near(ground["right front"], 300 + rise.rf, 1e-9)
  check.near(ground["left rear"], 300 + rise.lr, 1e-9)
  check.near(ground.beam, 300 + (rise.lr + rise.rr) / 2, 1e-9)
  check.near(ground["beam end"], 300 + 0.3 * rise.lr + 0.7 * rise.rr, 1e-9)
  local rows = leant:clearances{at = "as loaded"}
  check.near(rows[1].gap, 300 + rise.lr, 1e-6)
  check.near(rows[2].gap, 300 + rise.rr, 1e-6)
end)

test("points_of_what_is_not_aboard_are_left_out_and_named", function()
  local bare = car():state "no wing":attitude()
  check.equal(bare.ground["wing tip"], nil)
  check.ok(bare.ground.nose and bare.ground.hub)
  check.contains(table.concat(bare.notes, "\n"), "points of parts that are not aboard are left out: wing tip")
  check.ok(not tostring(bare):find("wing tip  ", 1, true))
  check.near(bare.ground.sill, 140 + bare.heights.lf / 2 + bare.heights.lr / 2, 0.2)
  check.equal(car():attitude{against = "no wing"}.ground_change["wing tip"], nil)
  check.contains(tostring(car():attitude{against = "no wing"}), "wing tip")
  check.ok(car():attitude().ground["wing tip"] > 790)
end)

-- 40 kg over the rear axle line: all of it on the rear springs, the front stays
test("a_load_over_an_axle_sinks_that_end", function()
  local a = car():add(sy.part "ballast" {mass = sy.sd(40, 0.5), at = {2500, 0, 300}}):attitude()
  local down = 20 * 9.80665 / RIDE
  check.near(a.heights.front, 0, 1e-9)
  check.near(a.heights.rear, -down, 1e-9)
  check.near(a.rake, -down, 1e-9)
  check.near(a.pitch, math.deg(down / 2500), 1e-9)
  check.near(a.sd.heights.rear, down * 0.5 / 40, 1e-9)
  check.near(a.sd.heights.front, 0, 1e-9)
  check.near(a.ground.nose, 110 + 700 / 2500 * down, 1e-9, "the nose comes up ahead of the axle")
  check.contains(tostring(a), "Nose 0.140 deg up")
  check.contains(tostring(a), "mm down against the nose")
end)

-- A rate known to 10 %: 60 kg sinks by weight / rate, so by a tenth more or less of the spring's own part, 1 / wheel rate.
test("uncertainties_of_rates_pads_and_perches_reach_the_heights", function()
  local sack = sy.part "sack" {mass = 60, at = {1250, 0, 500}}
  local a = car(nil, {spring_rate = sy.sd(60, 0.6)}):add(sack):attitude()
  local part = 15 * 9.80665 / 38.4 * 0.01
  check.near(a.sd.heights.front, part, 1e-4 * part + 1e-6) -- second order in 1 %
  check.near(a.sd.heights.rear, 0, 1e-6)
  local p = car():attitude{pads = {lf = sy.sd(0, 1)}, perches = {rf = sy.sd(0, 0.5)}}
  local r = car():corners()
  local pad, turn = r.per_pad_mm.lf.heights, r.per_turn.rf.heights
  check.near(p.sd.heights.front, math.sqrt(((pad.lf + pad.rf) / 2) ^ 2 + ((turn.lf + turn.rf) / 4) ^ 2), 1e-9)
end)

-- Solved again beside each stated number: a hundredth of a rate's uncertainty, since a rate enters as 1 / k, a whole one of a pad's.
test("the_height_of_the_cg_is_as_uncertain_as_what_it_stands_on", function()
  local function height(more, o) return car(nil, more, more):add(sy.part "load" {mass = 120, at = {300, 200, 500}}):attitude(o) end
  local plain = height().sd.height
  local function rates(way) -- one end at a time: two uncertainties
    local function at(front, rear)
      return car(nil, {spring_rate = front}, {spring_rate = rear}):add(sy.part "load" {mass = 120, at = {300, 200, 500}}):attitude().height
    end
    return 100 * (way == 1 and at(60.03, 60) - at(59.97, 60) or at(60, 60.03) - at(60, 59.97)) / 2
  end
  -- 1e-6: what steps of 0.05 % leave of the third order, a millionth of it
  check.near(height{spring_rate = sy.sd(60, 3)}.sd.height, math.sqrt(plain ^ 2 + rates(1) ^ 2 + rates(2) ^ 2), 1e-6)
  check.ok(rates(1) ^ 2 > 0.01)
  local pads = (height(nil, {pads = {lf = 2}}).height - height(nil, {pads = {lf = -2}}).height) / 2
  check.near(height(nil, {pads = {lf = sy.sd(0, 2)}}).sd.height, math.sqrt(plain ^ 2 + pads ^ 2), 1e-6)
end)

test("how_far_it_was_lowered_may_be_uncertain", function()
  local a, plain = car():lower{front = sy.sd(10, 2), rear = 5}:attitude(), car():lower{front = 10, rear = 5}:attitude()
  check.near(a.sd.heights.front, math.sqrt(plain.sd.heights.front ^ 2 + 4), 1e-9)
  check.near(a.sd.heights.rear, plain.sd.heights.rear, 1e-9)
  check.near(a.sd.rake, math.sqrt(plain.sd.rake ^ 2 + 4), 1e-9)
  local by = (car():lower{front = 11, rear = 5}:attitude().height - car():lower{front = 9, rear = 5}:attitude().height) / 2
  check.near(a.sd.height, math.sqrt(plain.sd.height ^ 2 + (2 * by) ^ 2), 1e-3, "1e-3: it turns by the sine of an angle")
  local twice = car():lower{front = sy.sd(10, 2)}:raise{front = sy.sd(4, 1)}:attitude()
  check.near(twice.sd.heights.front, math.sqrt(plain.sd.heights.front ^ 2 + 5), 1e-9)
end)

test("a_change_from_the_drawn_state_keeps_its_uncertainty", function()
  local c = car{design = "no wing"}
  local change = c:state "drawn":attitude{against = "no wing"}
  check.ok(change.sd.heights.rear and change.sd.heights.rear == c:state "drawn":attitude().sd.heights.rear)
end)

-- Solved again beside each stated number, in both cars at once where they share it: a thousandth of an uncertainty leaves a millionth of
-- the third order. Law of propagation: JCGM 100:2008, 5.1.2.
test("a_change_between_two_loaded_cars_is_uncertain_by_what_they_do_not_share", function()
  local stated = {body = {590, 2}, sack = {60, 3}, rate = {60, 0.6}, wing = {10, 0.5}}
  local names = {"rake", "pitch", "roll", "twist"}
  local function change(step, exact, other_file)
    local n = {}
    for name, row in pairs(stated) do n[name] = exact and row[1] + (step[name] or 0) * row[2] or sy.sd(row[1], row[2]) end
    local function loaded()
      return car(nil, {spring_rate = n.rate}):set("body", {mass = n.body}):set("wing", {mass = n.wing})
        :add(sy.part "sack" {mass = n.sack, at = {300, 250, 500}})
    end
    local first = loaded()
    local second = (other_file and loaded() or first):move("sack", {back = 1500, left = 200})
    local a = second:attitude{against = first}
    local list = {front = a.heights.front, rear = a.heights.rear}
    for _, key in ipairs(names) do list[key] = a[key] end
    return list, a
  end
  local squares = {front = 0, rear = 0, rake = 0, pitch = 0, roll = 0, twist = 0}
  for name in pairs(stated) do
    local high, low = change({[name] = 1e-3}, true), change({[name] = -1e-3}, true)
    for key in pairs(squares) do squares[key] = squares[key] + ((high[key] - low[key]) / 2e-3) ^ 2 end
  end
  for _, other_file in ipairs{false, true} do
    local _, a = change({}, false, other_file)
    check.near(a.sd.heights.front, math.sqrt(squares.front), 1e-6)
    check.near(a.sd.heights.rear, math.sqrt(squares.rear), 1e-6)
    for _, key in ipairs(names) do check.near(a.sd[key], math.sqrt(squares[key]), 1e-6, key) end
    check.ok(a.sd.heights.rear > 0.1 and a.sd.heights.rear < 0.5, "the body, which both have, does not count as in one car")
    check.contains(tostring(a), "+-")
  end
end)

test("a_change_against_itself_is_certain", function()
  local c = car():add(sy.part "sack" {mass = sy.sd(60, 3), at = {300, 250, 500}})
  local a = c:attitude{against = c}
  check.equal(a.sd.heights.front, 0)
  check.equal(a.sd.rake, 0)
end)

test("a_state_against_another", function()
  local c = car()
  local a = c:state "no wing":attitude{against = "drawn"}
  check.ok(a.heights.rear > 0)
  check.near(a.heights.rear, c:state "no wing":attitude().heights.rear, 1e-9)
  check.near(a.ground_change.nose, a.ground.nose - 110, 1e-9)
  check.near(c:attitude{against = c}.heights.rear, 0, 1e-9)
  check.contains(tostring(a), "Changes against Plain (invented), drawn.")
  check.raises(function() c:attitude{against = "no wnig"} end, 'no state is called "no wnig" (did you mean "no wing"?)')
  check.raises(function() c:attitude{against = 3} end, "against: is a car or the name of a load state")
end)

-- Frequencies by their definition: axle values sqrt(k/m)/2 pi; bounce sqrt(sum k / m), pitch sqrt(sum k x^2 / I).
test("ride_of_a_symmetric_body", function()
  local c = car{parts = {sy.part "body" {mass = 600, at = {1250, 0, 420}, shape = sy.box {2600, 1300, 600}},
                         sy.part "wheels" {pair = true, mass = 25, at = {0, 750, 300}, unsprung = "front"},
                         sy.part "rear wheels" {pair = true, mass = 25, at = {2500, 750, 300}, unsprung = "rear"}},
                points = {}, states = {sy.state "drawn" {}}}
  local a = c:attitude()
  local function hz(square) return math.sqrt(square) / (2 * math.pi) end
  local inertia = 600 / 12 * (2.6 ^ 2 + 0.6 ^ 2)
  check.near(a.frequency.front, hz(2 * RIDE * 1000 / 300), 1e-9)
  check.near(a.frequency.bounce, hz(4 * RIDE * 1000 / 600), 1e-9)
  check.near(a.frequency.pitch, hz(4 * RIDE * 1000 * 1.25 ^ 2 / inertia), 1e-9)
  check.near(a.uncoupled.pitch, a.frequency.pitch, 1e-9)
  check.near(a.dynamic_index, inertia / (600 * 1.25 ^ 2), 1e-9)
  check.near(a.hop.front, hz(238.4e3 / 25), 1e-9)
  check.near(a.deflection.front, 150 * 9.80665 / RIDE, 1e-9)
  check.near(a.pitch_inertia, inertia, 1e-9)
  check.equal(a.node.bounce and math.abs(a.node.bounce) < 1e6, nil)
  check.contains(tostring(a), "up and down alike")
end)

test("a_turning_point_far_away_is_reported_as_none", function()
  local near = car():attitude()
  local far = near.node.bounce
  near.node.bounce = 9 * 2500
  check.contains(tostring(near), "about a point 22500 mm ahead of the sprung CG; pitch")
  near.node.bounce = -36756
  check.contains(tostring(near), "and does not pitch: its turning point lies more than 10 wheelbases away; pitch")
  near.node.bounce = far
end)

-- ---- lower, raise, heights ------------------------------------------------------------------------------------------------------

test("lowering_takes_the_body_along_and_leaves_the_wheels", function()
  local c = car()
  local low = c:lower{front = 20, rear = 20}
  local b, d = c:balance(), low:balance()
  -- 605 kg of body and half of 10 kg of links go down 20, of 710
  check.near(b.height - d.height, 20 * 605 / 710, 1e-9)
  check.near(d.unsprung.cg.z, 300 - 10 * 5 / 105, 1e-9, "wheels stay; links of which they carry half go down half as far")
  check.near(d.mass, b.mass, 0)
  check.near(low:attitude().ground.nose, 90, 1e-9)
  check.near(low:attitude().ground.hub, 300, 1e-9)
  check.equal(tostring(low), "Plain (invented), drawn, lowered 20")
  local h = low:heights()
  check.equal(h.front, -20)
  check.near(h.loaded.rear, -20, 1e-9)
  check.contains(tostring(h), "Set by the perches, from the drawn heights: front 20.0 mm down, rear 20.0 mm down.")
end)

-- Exact: the axle points at the wheels' height go by the millimetres asked for, whatever the pitch.
test("different_ends_pitch_the_body", function()
  local c = car{points = {["over front"] = {0, 0, 300}, ["over rear"] = {2500, 0, 300}}}
  local low = c:lower{front = 10, rear = 35}
  local a = low:attitude()
  check.near(a.ground["over front"], 290, 1e-9)
  check.near(a.ground["over rear"], 265, 1e-9)
  check.near(a.heights.rear, -35, 1e-9)
  check.near(a.pitch, math.deg(math.asin(25 / 2500)), 1e-9)
  check.near(a.travel.lr, 35, 1e-9)
  check.equal(low:heights().rear, -35)
  -- CG higher than the wheels goes back as the tail goes down: (z - 300) x 25/2500 for the body's share
  local b, d = c:balance(), low:balance()
  check.ok(d.cg_behind > b.cg_behind)
  local sin, cos = 25 / 2500, math.sqrt(1 - (25 / 2500) ^ 2)
  local back = 590 * ((cos - 1) * 1250 + sin * 120) + 10 * ((cos - 1) * 2700 + sin * 500)
  check.near(d.cg_behind - b.cg_behind, back / 710, 1e-9)
end)

test("raising_what_was_lowered_is_the_drawn_car_again", function()
  local c = car()
  local back = c:lower{front = 12, rear = 7}:raise{front = 12, rear = 7}
  check.equal(back:balance().cg.z, c:balance().cg.z)
  check.equal(back:heights().front, 0)
  check.near(back:corners().travel.lf, 0, 1e-9)
end)

test("edits_after_lowering_go_by_the_drawn_places", function()
  local c = car()
  local a = c:move("body", {up = 30}):lower{front = 10, rear = 20}:balance()
  local b = c:lower{front = 10, rear = 20}:move("body", {up = 30}):balance()
  check.equal(a.cg.z, b.cg.z)
  check.equal(a.cg.x, b.cg.x)
  local s = c:lower{front = 10, rear = 20}:state "no wing":state "drawn":balance()
  check.equal(s.cg.z, c:lower{front = 10, rear = 20}:balance().cg.z, "a state keeps the height")
  local more = c:lower{front = 10, rear = 20}:add(sy.part "lamp" {mass = 2, at = {-300, 0, 400}})
  check.equal(more:balance().cg.z, c:add(sy.part "lamp" {mass = 2, at = {-300, 0, 400}}):lower{front = 10, rear = 20}:balance().cg.z)
end)

test("a_lowered_car_on_its_springs_starts_from_there", function()
  local c = car()
  local low = c:lower{front = 15, rear = 15}
  local r = low:corners()
  check.near(r.heights.lf, -15, 1e-9)
  check.near(r.travel.lf, 15, 1e-9)
  check.near(r.lf, low:balance().lf, 1e-9)
  local light = low:state "no wing":corners()
  check.near(light.heights.rear + 15, c:state "no wing":corners().heights.rear, 1e-6)
  local p = low:perches{heights = {front = -15, rear = -10}, notch = 0}
  check.near(p.heights.rear, -10, 1e-9)
  check.near(p.turns.lf, 0, 1e-9)
end)

test("less_bump_travel_is_left_when_lowered", function()
  local c = car(nil, {bump = 40, droop = 50}, {bump = 40, droop = 50})
  local low = c:lower{front = 30, rear = 30}:add(sy.part "sack" {mass = 300, at = {1250, 0, 500}})
  local r = low:corners()
  check.equal(r.stops.lf, "bump")
  check.near(r.travel.lf, 40, 1e-9, "30 set and 10 left")
  check.equal(c:add(sy.part "sack" {mass = 100, at = {1250, 0, 500}}):corners().stops.lf, nil)
  check.raises(function() c:lower{front = 45} end,
    'axle "front", bump: ends 40 mm from the design height; a body 45.0 mm lower is out of range')
  check.raises(function() c:raise{rear = 60} end,
    'axle "rear", droop: ends 50 mm from the design height; a body 60.0 mm higher is out of range')
end)

-- A shaft from the body to a wheel: lowering the body lowers its inner end. atan of 10 mm less on 400.
test("shafts_follow_a_lowered_body", function()
  local c = car{shafts = {{name = "left", inner = {part = "body", at = {2500, -250, 300}}, outer = {wheel = "lr", at = {2500, -650, 300}},
                           joint = "cv"}}}
  check.near(c:shafts()[1].static_angle, 0, 1e-9)
  check.near(c:lower{rear = 10}:shafts()[1].static_angle, math.deg(math.atan(10, 400)), 1e-3) -- the pitch also shifts it 0.03 mm
end)

test("heights_without_springs", function()
  local c = car(nil, {spring_rate = 60})
  check.ok(c:heights().loaded)
  local bare = sy.load "vehicles/first_guess.lua"
  local h = bare:lower{front = 5}:heights()
  check.equal(h.loaded, nil)
  check.equal(h.front, -5)
  check.contains(h.notes[1], "spring_rate and tyre_rate are not given")
  check.raises(function() bare:attitude() end, {code = "missing", field = "spring_rate"})
end)

test("wrong_words_say_what_is_right", function()
  local c = car()
  check.raises(function() c:lower{} end, "car:lower needs front, rear or both, mm at the axle lines")
  check.raises(function() c:lower{fornt = 3} end, 'fornt: is not an option of car:lower (did you mean "front"?)')
  check.raises(function() c:raise{front = "3"} end, {field = "front", hint = "write it without quotes"})
  check.raises(function() c:lower{front = 5000} end, "front: is 5000 mm; the largest accepted value is 500 mm")
  check.raises(function() c:attitude{agianst = "drawn"} end, 'agianst: is not an option of car:attitude (did you mean "against"?)')
end)

-- One end can stand above the other by less than the wheelbase: beyond, no angle is left.
test("raising_beyond_the_wheelbase_is_refused_in_its_own_words", function()
  local model = sy.car{title = "Model (invented)", axes = {x = "forward", y = "left", z = "up"}, ground = 12, centre = -5,
    axles = {{name = "front", at = 900, track = 200, loaded_radius = 50}, {name = "rear", at = 640, track = 200, loaded_radius = 50}},
    parts = {sy.part "body" {mass = 8, at = {760, -5, 90}}}}
  check.near(model:raise{rear = 250}:balance().mass, 8, 1e-12)
  local err = check.raises(function() model:raise{rear = 300} end)
  check.equal(err.code, "geometry")
  check.equal(err.field, "rear")
  check.contains(err.message, "would stand 300 mm above the other end")
  check.contains(err.message, "wheelbase of 260 mm")
  check.equal(check.raises(function() model:lower{rear = 260} end).field, "front")
end)

-- Springs and tyres in series under half of what air presses on an axle; what bounces is the mass alone. Datum away from the front axle,
-- x forward, left-handed.
test("downforce_sinks_body_points_and_cg", function()
  local g, rate = 9.80665, 40 * 200 / 240
  local function x(back) return 3100 - back end
  local function winged(name, back)
    return {name = name, at = x(back), track = 1500, loaded_radius = 300, spring_rate = 40, tyre_rate = 200}
  end
  local c = sy.car{title = "Winged (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -60, centre = 25,
    axles = {winged("front", 0), winged("rear", 2500)},
    parts = {sy.part "body" {mass = 700, at = {x(1200), 25, 390}, shape = sy.box{2600, 1300, 600}},
             sy.part "wheels" {pair = true, mass = 20, at = {x(0), 775, 240}, unsprung = "front"}},
    points = {{name = "splitter", at = {x(-700), 25, 40}}}}
  local down = {front = sy.sd(60, 6), rear = 110}
  local plain, r = c:attitude(), c:attitude{downforce = down}
  local front, rear = 60 * g / (2 * rate), 110 * g / (2 * rate)
  check.near(r.heights.front, -front, 1e-9)
  check.near(r.heights.rear, -rear, 1e-9)
  check.near(r.rake, front - rear, 1e-9)
  check.near(r.ground.splitter - plain.ground.splitter, -front + (rear - front) * 700 / 2500, 1e-9)
  local body = front * 1300 / 2500 + rear * 1200 / 2500
  check.near(r.height - plain.height, -(700 * body + 40 * 60 * g / 400) / 740, 1e-9)
  check.near(r.mass, 740 + 170, 1e-9)
  check.near(r.frequency.front, plain.frequency.front, 1e-12)
  check.near(r.deflection.rear, plain.deflection.rear, 1e-12)
  check.near(r.sd.heights.front, 6 * g / (2 * rate), 1e-6)
  check.near(r.sd.heights.rear, 0, 1e-6)
  check.contains(tostring(r), "Downforce 60 kg front and 110 kg rear.")
  check.contains(tostring(r), "frequencies and static deflections are of the masses alone")
  local same = c:attitude{downforce = down, against = c}
  check.near(same.heights.front, 0, 1e-12)
  check.contains(tostring(same), "under the same downforce.")
  check.near(c:attitude{downforce = {front = -30}}.heights.front, 30 * g / (2 * rate), 1e-9)
end)

-- The body set to known heights and its points read off again: a file with a datum of its own (left-handed, centre 640) and a plain one.
test("two_measured_points_say_how_the_body_stands", function()
  for name, two in pairs{["bistort.lua"] = {"splitter lip", "tail"}, ["twayblade.lua"] = {"splitter lip", "crank centre"}} do
    local c = sy.load("vehicles/" .. name):state "race start"
    for _, set in ipairs{{front = 7, rear = -3}, {front = -12, rear = 20}, {front = 0, rear = 1}} do
      local ground = c:raise(set):attitude().ground
      local r = c:attitude{measured = {[two[1]] = ground[two[1]], [two[2]] = sy.sd(ground[two[2]], 2)}}
      check.near(r.measured.front, set.front, 1e-6, name) -- liquid that leans moves a point by nanometres
      check.near(r.measured.rear, set.rear, 1e-6, name)
      check.near(r.measured.rake, set.rear - set.front, 1e-6)
      check.ok(r.measured.sd.front > 0 and r.measured.sd.rear > 0)
      check.ok(r.measured.pitch * (set.rear - set.front) < 0, "tail up is nose down")
      check.contains(tostring(r), "as measured: front axle ")
      local there = c:perches{cross_share = 50, notch = 0, heights = {front = 0, rear = 0},
                              reading = {heights = {[two[1]] = ground[two[1]], [two[2]] = ground[two[2]]}}}
      check.near(there.before_heights.front, set.front, 1e-6)
      check.near(there.before_heights.rear, set.rear, 1e-6)
    end
  end
end)

test("measured_points_that_say_nothing_are_refused", function()
  local c = sy.load "vehicles/twayblade.lua":state "race start"
  local function refused(given, words) check.raises(function() c:attitude{measured = given} end, words) end
  refused({["spliter lip"] = 100, ["crank centre"] = 300},
    'measured, spliter lip: is not a point of this car (did you mean "splitter lip"?)')
  refused({["splitter lip"] = 100}, "measured: has 1 point, two points say how the body pitches")
  refused({["splitter lip"] = 100, ["crank centre"] = 300, ["front jack, left"] = 150}, "measured: has 3 points, two points say")
  refused({["front jack, left"] = 150, ["front jack, right"] = 150}, "front jack, left and front jack, right lie one over the other")
  refused({["splitter lip"] = 100, ["crank centre"] = 4800}, "differ by more than the points are apart")
  refused({["splitter lip"] = "x", ["crank centre"] = 300}, "measured, splitter lip: ")
  refused(98, "measured: is a table such as {nose = 98, tail = 121}")
  local off = c:attitude{measured = {["front jack, left"] = 150, ["rear jack, left"] = 168}}
  check.ok(off.measured.off_centre)
  check.near(off.measured.front, 0, 1e-9)
  check.contains(tostring(off), "Measured points beside the centre plane count as on it")
end)

test("points_with_a_comma_in_their_name_can_be_typed", function()
  local typed = require("steelyard.answers.springs").named_numbers
  check.equal(typed({"front jack", " left=130", "rear jack", " left = 150"}, "measured"),
    {["front jack, left"] = 130, ["rear jack, left"] = 150})
  check.equal(typed({"nose=98", "tail=121.5"}, "measured"), {nose = 98, tail = 121.5})
  check.raises(function() typed({"nose=98", "tail"}, "measured") end, {code = "usage", message = 'not "tail"'})
end)

-- The tank stays on the body when it is emptied, and so does its cap; one that is turned anew takes it along.
test("a_point_on_a_tank_is_where_the_tank_is_whatever_it_holds", function()
  local c = sy.car{title = "Tank (invented)", axes = {x = "back", y = "right", z = "up"}, design = "drawn", states = {sy.state "drawn" {}},
    axles = {{name = "front", at = 0, track = 1500, loaded_radius = 300, tyre_rate = 200, spring_rate = 60},
             {name = "rear", at = 2500, track = 1500, loaded_radius = 300, tyre_rate = 200, spring_rate = 60}},
    parts = {sy.part "body" {mass = 590, at = {1250, 0, 420}},
             sy.tank "fuel" {shape = sy.box {400, 300, 300}, at = {1700, 0, 340}, density = 0.75, fill = 30}},
    points = {cap = {at = {1800, 0, 495}, part = "fuel"}, ["beside the cap"] = {1800, 0, 495}}}
  for _, fill in ipairs{30, 3} do
    local ground = c:set("fuel", {fill = fill}):attitude().ground
    check.near(ground.cap, ground["beside the cap"], 1e-9, fill .. " litres")
  end
  local level, turned = c:attitude().ground.cap, c:set("fuel", {turned = {nose_up = 5}}):attitude().ground.cap
  local behind, above, angle = 100, 155, math.rad(5) -- of the cap from the tank's middle
  check.near(turned - level, above * (math.cos(angle) - 1) - behind * math.sin(angle), 0.5, "mm: the CG of the liquid moves")
end)

check.done()
