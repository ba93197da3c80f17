-- Somebody who sits: from the hips and the angles of the joints to a CG, an inertia and the legs' share.
local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local core = require "steelyard.core"
local test = check.test

local TINY = 1e-9 -- mm; the ledger keeps a picometre

local function car_of(fields, more)
  local driver = {mass = 80, stature = 1760, hip = {1100, 180, 250}, torso = 35, knee = 125}
  for key, value in pairs(fields or {}) do driver[key] = value ~= "nothing" and value or nil end
  local vehicle = {title = "seated", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = {sy.person "driver" (driver)}}
  for key, value in pairs(more or {}) do vehicle[key] = value end
  return sy.car(vehicle)
end

local SAT = {mass = 80, stature = 1760, torso = 35, knee = 125, thigh = 15, ankle = 90, shoulder = 40, elbow = 120, head = 17.5}

test("cg_and_inertia_stand_in_the_axes_of_the_file", function()
  local body, b = core.person(SAT), car_of():balance()
  check.near(b.cg.x, 1100 - body.cg[1], TINY) -- x counts back
  check.near(b.cg.y, 180, TINY)
  check.near(b.cg.z, 250 + body.cg[3], TINY)
  check.near(b.inertia.yy, body.inertia[2], 1e-12)
  check.near(b.inertia.zz, body.inertia[3], 1e-12)
  check.near(b.inertia.xz, -body.inertia[5], 1e-12) -- one axis of the two is turned round
  check.equal(b.points, 0)
  local other = car_of({hip = {-1100, 250, -180}}, {axes = {x = "forward", y = "up", z = "right"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = -2400, track = 1400, loaded_radius = 300}}})
    :balance()
  check.near(other.cg.x, -1100 + body.cg[1], TINY)
  check.near(other.cg.y, 250 + body.cg[3], TINY)
  check.near(other.inertia.xy, body.inertia[5], 1e-12)
  check.near(other.inertia.yy, body.inertia[3], 1e-12)
end)

test("what_is_taken_as_usual_is_said", function()
  local said = table.concat(car_of():balance().notes, "; ")
  check.ok(said:find("driver: how the person sits is taken as usual where nothing is said: thigh 15, ankle 90, shoulder 40, "
    .. "elbow 120, head 17.5, segments of men", 1, true))
  local all = car_of{thigh = 15, ankle = 90, shoulder = 40, elbow = 120, head = 17.5, segments = "men"}
  check.ok(not table.concat(all:balance().notes, "; "):find "taken as usual")
end)

-- P. de Leva, J. Biomechanics 29(9), 1996, Table 4: shank 4.33 % and foot 1.37 % of a man on each side
test("legs_weigh_the_published_share", function()
  local p = car_of():person "driver"
  check.near(p.lower_legs, 2 * 80 * (0.0433 + 0.0137), 1e-12)
  check.near(p.lower_legs_share, 11.4, 1e-12)
  check.ok(p.heels_least < p.lower_legs and p.lower_legs < p.heels_most)
  check.ok(p.heels.forward > 600 and p.heels.up < 0)
  check.ok(tostring(p):find("shanks and feet 9.1 kg, 11.4 % of it", 1, true))
end)

-- One standard uncertainty more and less, by hand.
test("stated_uncertainties_reach_legs_and_heels", function()
  local p = car_of{mass = sy.sd(80, 2), knee = sy.sd(125, 4)}:person "driver"
  check.near(p.sd.mass, 2, TINY)
  check.near(p.sd.lower_legs, 2 * p.lower_legs / 80, TINY)
  local function half(of) return (of(car_of{knee = 129}:person "driver") - of(car_of{knee = 121}:person "driver")) / 2 end
  local forward = half(function(r) return r.heels.forward end)
  check.near(p.sd.heels.forward, math.abs(forward), 0.01 * math.abs(forward), "4 degrees are nearly straight")
  local least = half(function(r) return r.heels_least end)
  local want = math.sqrt(least ^ 2 + (2 * p.heels_least / 80) ^ 2)
  check.near(p.sd.heels_least, want, 0.02 * want, "likewise")
  check.contains(tostring(p), "80.0 +- 3.9 kg")
  check.equal(car_of():person("driver").sd.heels.up, 0)
end)

test("another_mass_keeps_the_cg_and_takes_its_inertia_along", function()
  local car = car_of()
  local b, heavy = car:balance(), car:set("driver", {mass = 100}):balance()
  check.near(heavy.cg.x, b.cg.x, TINY)
  check.near(heavy.inertia.yy, 1.25 * b.inertia.yy, 1e-12)
  local moved = car:move("driver", {back = 40}):set("driver", {mass = 100}):balance()
  check.near(moved.cg.x, b.cg.x + 40, TINY)
  check.near(car:set("driver", {mass = 100}):person("driver").lower_legs, 11.4, 1e-12)
end)

-- First-order propagation against differences of whole answers, a degree apart: of the second order.
test("uncertainties_of_hips_and_angles_are_those_of_the_cg", function()
  local function at(fields) return car_of(fields):balance().cg end
  local a, b = at{torso = 34.5}, at{torso = 35.5}
  local slope = {a.x - b.x, a.z - b.z}
  local head = {at{head = 17, torso = 35}, at{head = 18, torso = 35}}
  local own = {head[1].x - head[2].x, head[1].z - head[2].z} -- the head leans by half of the torso, which is said and has no uncertainty
  local sd = car_of{torso = sy.sd(35, 2), hip = {sy.sd(1100, 5), 180, 250}}:balance().sd.cg
  local want_x = math.sqrt(25 + (2 * (slope[1] - own[1] / 2)) ^ 2)
  local want_z = math.abs(2 * (slope[2] - own[2] / 2))
  check.near(sd.x, want_x, 1e-3 * want_x) -- a degree squared over six of the slope, and the steps' own
  check.near(sd.z, want_z, 1e-3 * want_z)
  check.near(sd.y or 0, 0, TINY)
  check.near(car_of{within_mm = 30}:balance().sd.cg.y, 30 / math.sqrt(3), TINY)
end)

test("what_contradicts_or_is_missing_is_one_sentence", function()
  local function refuses(fields, want) check.raises(function() car_of(fields) end, want) end
  refuses({at = {1, 2, 3}}, {code = "clash", part = "driver", field = "at"})
  refuses({shape = sy.box {1, 1, 1}}, {code = "clash", field = "shape"})
  refuses({stature = "nothing"}, {code = "missing", field = "stature"})
  refuses({torso = "nothing"}, {code = "missing", field = "torso"})
  refuses({knee = "nothing"}, {code = "missing", field = "knee"})
  refuses({hip = "nothing", at = {1, 2, 3}}, {code = "missing", field = "stature"})
  refuses({hip = "nothing"}, {code = "missing"})
  refuses({knee = 200}, {code = "range", field = "knee"})
  refuses({stature = 1.76}, {code = "range", field = "stature"})
  refuses({torsoo = 3}, {code = "unknown", field = "torsoo", hint = "torso"})
  refuses({hip = {1, 2}}, {field = "hip"})
  refuses({hip = {1, 2, "x"}}, {field = "hip.z"})
  refuses({hip = {}}, {field = "hip"})
  refuses({segments = "robots"}, {code = "unknown", field = "segments"})
  local car = car_of()
  check.raises(function() car:set("driver", {torso = 40}) end, {code = "unavailable", field = "torso"})
  check.raises(function() car:set("driver", {at = {1, 2, 3}}) end, {code = "unavailable", field = "at"})
  local none = {hip = "nothing", stature = "nothing", torso = "nothing", knee = "nothing", at = {1, 2, 3}}
  check.raises(function() car_of(none):person "driver" end, {code = "missing", field = "hip"})
  check.raises(function() car:person() end, {code = "missing"})
  check.raises(function() car:person "nobody" end, {code = "unknown"})
  check.raises(function() car_of{mass = sy.unknown}:add(sy.part "ballast" {mass = 9, at = {0, 0, 100}}):person "driver" end,
    'part "driver", mass: is not known')
  check.raises(function() car:add(sy.part "box" {mass = 9, at = {0, 0, 100}}):person{"driver", "box"} end,
    "car:person needs one person, not driver and box")
end)

test("a_driver_in_a_group_is_replaced_there", function()
  local person = require "steelyard.answers.person"
  local inside = sy.group "cabin" {at = {1000, 0, 0},
    sy.person "driver" {mass = 80, stature = 1760, hip = {100, 180, 250}, torso = 35, knee = 125}}
  local car = car_of(nil, {parts = {inside}})
  local other, name = person.seat(car, "cabin/driver", {name = "tall", stature = 1900, mass = 100}, {})
  check.equal(name, "cabin/tall")
  check.near(other:balance().cg.y, 180, TINY)
  check.near(other:balance().mass, 100, 1e-12)
  local sat = {}
  for key, value in pairs(SAT) do sat[key] = value end
  sat.stature = 1900
  check.near(other:balance().cg.x, 1100 - core.person(sat).cg[1], TINY)
end)

check.done()
