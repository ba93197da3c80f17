-- car:scene against the car by numbers: sums, places, outlines worked out by hand, poses, the liquid's level.
local check = dofile "tests/lua/check.lua"
local conventions = dofile "tests/lua/conventions.lua"
local json = require "steelyard.print.json"
local document = require "steelyard.reference.document"
local sy = require "steelyard"
local test = check.test

local twayblade = sy.load "vehicles/twayblade.lua":state "race start"

local function body_of(s, path)
  for _, body in ipairs(s.bodies) do if body.path == path then return body end end
  error("no body " .. path)
end

local function box_of(loops)
  local x1, y1, x2, y2 = math.huge, math.huge, -math.huge, -math.huge
  for _, loop in ipairs(loops) do
    for _, p in ipairs(loop) do
      x1, y1, x2, y2 = math.min(x1, p[1]), math.min(y1, p[2]), math.max(x2, p[1]), math.max(y2, p[2])
    end
  end
  return {x1, y1, x2, y2}
end

local function check_box(loops, want, tolerance)
  local got = box_of(loops)
  for i = 1, 4 do check.near(got[i], want[i], tolerance or 1e-9) end
end

test("masses_and_moments_of_all_bodies_are_those_of_the_balance", function()
  for _, name in ipairs{"twayblade", "burnet", "first_guess", "bistort", "sedge", "teasel"} do
    local car = sy.load(("vehicles/%s.lua"):format(name))
    local s, b = car:scene(), car:balance()
    local mass, at = 0, {x = 0, y = 0, z = 0}
    for _, body in ipairs(s.bodies) do
      mass = mass + body.mass
      for letter in pairs(at) do at[letter] = at[letter] + body.mass * body.at[letter] end
    end
    check.near(mass, b.mass, 1e-9)
    for letter in pairs(at) do
      check.near(at[letter] / mass, b.cg[letter], 1e-6) -- the ledger keeps a picometre
      check.equal(s.cg.at[letter], b.cg[letter])
      check.equal(s.cg.sd[letter], b.sd.cg[letter])
    end
    for key, load in pairs(s.loads) do check.equal(load, b[key]) end
    for _, axle in ipairs(s.axles) do check.equal(axle.load, b.axle[axle.name]) end
  end
end)

-- The battery is a box {180, 130, 165} at (430, -330, 250), the front tyre a tube of 576 by 195 across at (0, +-725, 288), the floor
-- {1500, 1180, 22} at (900, 0, 158).
test("outlines_are_those_of_the_file_s_shapes", function()
  local s = twayblade:scene()
  local battery = body_of(s, "electrical/battery")
  check_box(battery.outlines.side, {340, 167.5, 520, 332.5})
  check_box(battery.outlines.plan, {340, -395, 520, -265})
  check_box(battery.outlines.front, {-395, 167.5, -265, 332.5})
  local tyre = body_of(s, "front suspension/front tyre/left")
  check_box(tyre.outlines.side, {-288, 0, 288, 576})
  check_box(tyre.outlines.front, {-822.5, 0, -627.5, 576})
  check_box(body_of(s, "tub/floor").outlines.side, {150, 147, 1650, 169})
  check.equal(s.wheels.lf.width, 195)
  check.equal(body_of(s, "tub/joint adhesive").outlines, nil)
end)

-- A part turned by a group that moved: the crankcase {430, 260, 320} stands 1.5 degrees nose up in the engine; 10 more make 11.5.
test("outlines_go_with_what_is_moved_and_turned", function()
  local a = box_of(body_of(twayblade:scene(), "powertrain/engine/crankcase").outlines.side)
  local c, s = math.cos(math.rad(1.5)), math.sin(math.rad(1.5))
  check.near(a[3] - a[1], 430 * c + 320 * s, 1e-6)
  check.near(a[4] - a[2], 430 * s + 320 * c, 1e-6)
  local moved = twayblade:move("powertrain", {back = 50})
  local b = box_of(body_of(moved:scene(), "powertrain/engine/crankcase").outlines.side)
  check.near(b[1] - a[1], 50, 1e-9)
  check.near(b[2] - a[2], 0, 1e-9)
  local turned = box_of(body_of(twayblade:move("engine", {nose_up = 10}):scene(), "powertrain/engine/crankcase").outlines.side)
  c, s = math.cos(math.rad(11.5)), math.sin(math.rad(11.5))
  check.near(turned[3] - turned[1], 430 * c + 320 * s, 1e-6)
end)

-- 30 litres in a box of 150 by 960 by 330 mm stand 208.33 mm high; its bottom is at 305 - 165 = 140.
test("liquid_stands_where_its_volume_takes_it", function()
  local tank = body_of(twayblade:scene(), "fuel system/fuel")
  check.near(tank.liquid.litres, 30, 1e-9) -- kilograms by a density
  check.near(tank.liquid.level, 140 + 30e6 / (150 * 960), 1e-6)
  check.near(body_of(twayblade:fill{fuel = 12}:scene(), "fuel system/fuel").liquid.level, 140 + 12e6 / (150 * 960), 1e-6)
  check.equal(body_of(twayblade:fill{fuel = 0}:scene(), "fuel system/fuel").liquid.level, nil)
  check.equal(body_of(twayblade:move("fuel", {nose_up = 5}):scene(), "fuel system/fuel").liquid.level, nil) -- it leans: no level line
end)

-- One part of 400 kg whose place is known to 9 mm along and 4 mm upright, and no other error: the half axes are those times the root of
-- 5.991465, the 95 % point of chi-square with two degrees of freedom (Abramowitz & Stegun, table 26.8: 5.99).
test("ellipse_is_that_of_the_place", function()
  local function car(axes, at)
    return sy.car{title = "one", axes = axes, axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300},
      {name = "rear", at = axes.x == "back" and 2400 or -2400, track = 1400, loaded_radius = 300}},
      parts = {sy.part "all" {mass = sy.sd(400, 7), at = at}}}
  end
  local e = car({x = "back", y = "right", z = "up"}, {sy.sd(1100, 9), sy.sd(3, 1), sy.sd(340, 4)}):scene().cg.ellipses
  local k = math.sqrt(5.991464547)
  check.near(e.side.long, 9 * k, 1e-6)
  check.near(e.side.short, 4 * k, 1e-6)
  check.near(e.side.turn, 0, 1e-9)
  check.near(e.front.long, 4 * k, 1e-6)
  check.near(math.abs(e.front.turn), 90, 1e-9)
  -- a heavy part and one of unknown mass ahead and above: the ellipse points at it, along the file's own axes
  for _, forward in ipairs{false, true} do
    local sign = forward and -1 or 1
    local rear = {name = "rear", at = sign * 2400, track = 1400, loaded_radius = 300}
    local two = sy.car{title = "two", axes = {x = forward and "forward" or "back", y = "right", z = "up"},
      axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, rear},
      parts = {sy.part "heavy" {mass = sy.sd(600, 0.001), at = {sign * 1200, 0, 300}},
               sy.part "other" {mass = sy.sd(80, 4), at = {0, 0, 800}}}}
    local side = two:scene().cg.ellipses.side
    check.near(side.turn, -sign * math.deg(math.atan(500, 1200)), 1e-3)
    check.near(side.long, k * 4 * 600 / 680 ^ 2 * 1300, 0.01) -- the heavy one's own milligrams
  end
end)

test("poses_move_body_and_wheels", function()
  local design, bump, droop = twayblade:scene(), twayblade:scene{pose = "bump"}, twayblade:scene{pose = "droop"}
  -- over the road the wheels stay and the body comes down by the front and rear bump travel, 70 and 65
  check.equal(bump.wheels.lf.at.z, design.wheels.lf.at.z)
  local front, rear = body_of(design, "cooling/radiator").at, body_of(bump, "cooling/radiator").at
  local slope = (70 - 65) / 2400
  check.near(front.z - rear.z, 70 + slope * 520, 0.05) -- the body turns by an arc, not along a line
  check.equal(bump.cg.at.z < design.cg.at.z and droop.cg.at.z > design.cg.at.z, true)
  local loaded = twayblade:scene{pose = "as loaded", state = "kerb"}
  local kerb = twayblade:state "kerb"
  check.near(loaded.cg.at.z - kerb:balance().cg.z, kerb:attitude().cg.z - kerb:balance().cg.z, 0.5) -- links count with the body here
  check.equal(loaded.state, "kerb")
end)

-- The rear of the first guess on 600 mm, wheelbase 2450, radii 290 and 305: the line of the middles, at asin(15 / L) when level, stands at
-- asin(615 / L) with L = hypot(2450, 15), so 14.186838 degrees. A place then is turned about the front middle by that.
test("a_lifted_car_turns_about_the_wheels_that_stand", function()
  local car = sy.load "vehicles/first_guess.lua"
  local level, up = car:scene(), car:scene{pose = "lift", lifted = "rear", lift = 600}
  local L = math.sqrt(2450 ^ 2 + 15 ^ 2)
  local tilt = math.asin(615 / L) - math.asin(15 / L)
  check.near(up.lift.angle, math.deg(tilt), 1e-9)
  check.equal(up.lift.lifted, "rear")
  check.near(up.wheels.lr.at.z - up.wheels.lr.radius, 600, 1e-9)
  check.near(up.wheels.rf.at.z - up.wheels.rf.radius, 0, 1e-9)
  local function turned(at) -- x back, z up, about (0, 290)
    local x, z = at.x, at.z - 290
    return x * math.cos(tilt) - z * math.sin(tilt), 290 + x * math.sin(tilt) + z * math.cos(tilt)
  end
  for i, body in ipairs(up.bodies) do
    local x, z = turned(level.bodies[i].at)
    check.near(body.at.x, x, 1e-9)
    check.near(body.at.z, z, 1e-9)
  end
  local x, z = turned(level.cg.at)
  check.near(up.cg.at.x, x, 1e-6)
  check.near(up.cg.at.z, z, 1e-6)
  check.contains(up.notes[1], "rear up")
end)

test("any_end_can_be_lifted_by_length_or_angle_whatever_the_axes", function()
  for _, name in ipairs{"twayblade", "burnet", "bistort"} do
    local car = sy.load(("vehicles/%s.lua"):format(name))
    local level = car:scene()
    local up = level.axes.up
    local function above(wheel) return up.sign * (wheel.at[up.axis] - up.zero) - wheel.radius end
    for _, lifted in ipairs{"rear", "front"} do
      local s = car:scene{pose = "lift", lifted = lifted, lift = 450}
      local again = car:scene{pose = "lift", lifted = lifted, angle = s.lift.angle}
      local stands = lifted == "rear" and s.axles[1].name or s.axles[#s.axles].name
      for key, wheel in pairs(s.wheels) do
        check.near(above(wheel), wheel.axle == stands and 0 or 450, 1e-6)
        check.near(again.wheels[key].at[up.axis], wheel.at[up.axis], 1e-6)
      end
    end
    local s = car:scene{pose = "lift", lifted = "left", angle = 10}
    for key, wheel in pairs(s.wheels) do
      local was = level.wheels[key]
      check.equal(wheel.at[s.axes.forward.axis], was.at[s.axes.forward.axis])
      if wheel.side == "left" then check.equal(above(wheel) > 150, true) end
    end
  end
end)

test("points_of_a_lifted_car_go_with_it", function()
  local function lip(s) for _, point in ipairs(s.points) do if point.name == "splitter lip" then return point.at.z end end end
  local level, up = twayblade:scene(), twayblade:scene{pose = "lift", angle = 10} -- at (-700, 0, 105), about (0, 288)
  check.near(lip(level), 105, 1e-9)
  check.near(lip(up), 288 - 700 * math.sin(math.rad(10)) - 183 * math.cos(math.rad(10)), 1e-9)
end)

test("gaps_points_and_shafts_are_those_of_the_answers", function()
  local s, rows = twayblade:scene(), twayblade:clearances()
  check.equal(#s.gaps, #rows)
  for i, gap in ipairs(s.gaps) do
    check.equal(gap.gap, rows[i].gap)
    check.equal(gap.status, rows[i].status)
    if gap.gap and gap.b ~= "ground" and gap.gap > 0 then
      local d = 0
      for letter in pairs(gap.at_a) do d = d + (gap.at_a[letter] - gap.at_b[letter]) ^ 2 end
      check.equal(math.sqrt(d) >= gap.gap - 1e-3, true) -- roundings come off
    end
  end
  check.equal(#s.points > 0, true)
  check.equal(#s.shafts, 2)
end)

test("a_scene_is_a_document", function()
  local made = document.of(sy.load "vehicles/burnet.lua":scene())
  local back = json.decode(json.encode(made))
  check.equal(back.ground.z, 0)
  check.equal(back.units["bodies[].mass"], "kg")
  check.equal(back.axes.forward.axis, "x")
  check.equal(back.axes.forward.sign, -1)
end)

-- The same vehicle measured along other axes from other zeros: places and outlines are the same points.
test("scenes_of_two_conventions_are_the_same_points", function()
  local file = conventions.read "vehicles/burnet.lua"
  local to = conventions.new({x = "up", y = "forward", z = "right"}, {front = 55, centre = -20, ground = 140})
  local path = os.tmpname()
  local out <close> = assert(io.open(path, "w"))
  out:write(conventions.text(conventions.restated(file, conventions.map(conventions.of(file), to))))
  out:close()
  local a, b = sy.load "vehicles/burnet.lua":scene(), sy.load(path):scene()
  os.remove(path)
  local function along(s, word, p) return s.axes[word].sign * (p[s.axes[word].axis] - s.axes[word].zero) end
  local count = 0
  for i, body in ipairs(a.bodies) do
    local other = b.bodies[i]
    for _, word in ipairs{"forward", "left", "up"} do
      check.near(along(b, word, other.at), along(a, word, body.at), 1e-9)
      check.near(other.sd_at[b.axes[word].axis], body.sd_at[a.axes[word].axis], 1e-9)
    end
    for view, words in pairs{side = {"forward", "up"}, plan = {"forward", "left"}, front = {"left", "up"}} do
      local function sums(s, loops) -- corners may begin elsewhere: sums over them do not
        local u, v, square = 0, 0, 0
        for _, loop in ipairs(loops) do
          for _, p in ipairs(loop) do
            local x, y = s.axes[words[1]], s.axes[words[2]]
            local pu, pv = x.sign * (p[1] - x.zero), y.sign * (p[2] - y.zero)
            u, v, square = u + pu, v + pv, square + pu * pv
          end
        end
        return u, v, square
      end
      if body.outlines then
        local one, two = {sums(a, body.outlines[view])}, {sums(b, other.outlines[view])}
        for k = 1, 3 do check.near(two[k], one[k], 1e-6 * math.max(1, math.abs(one[k]))) end
        count = count + 1
      end
    end
  end
  check.equal(count > 20, true)
  for _, word in ipairs{"forward", "left", "up"} do check.near(along(b, word, b.cg.at), along(a, word, a.cg.at), 1e-9) end
end)

test("what_a_scene_cannot_do_is_refused", function()
  check.raises(function() twayblade:scene{pose = "bumb"} end, {code = "unknown", field = "pose", hint = 'did you mean "bump"?'})
  check.raises(function() twayblade:scene{pose = 5} end, {code = "unknown", field = "pose"})
  check.raises(function() twayblade:scene{pose = "lift"} end, {code = "missing", field = "lift", hint = "lift = 600"})
  check.raises(function() twayblade:scene{pose = "lift", lift = 300, angle = 4} end, {code = "clash", field = "angle"})
  check.raises(function() twayblade:scene{lift = 300} end, {code = "clash", field = "lift"})
  check.raises(function() twayblade:scene{pose = "lift", lifted = "reer", lift = 300} end, {code = "unknown", field = "lifted",
    hint = "rear"})
  check.raises(function() twayblade:scene{pose = "lift", lift = 9000} end, {code = "geometry", field = "lift"})
  check.raises(function() twayblade:scene{pose = "lift", angle = 80} end, {code = "range", field = "angle"})
  check.raises(function() twayblade:scene{pose = "lift", lift = -5} end, {code = "range", field = "lift"})
  check.raises(function() twayblade:scene{poses = "bump"} end, {code = "unknown", hint = 'did you mean "pose"?'})
  local plain = sy.car{title = "no travel", axes = {x = "back", y = "right", z = "up"}, axles = {
    {name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = {sy.part "all" {mass = 400, at = {1100, 0, 340}}}}
  check.raises(function() plain:scene{pose = "bump"} end, {code = "missing", field = "pose", message = "states no bump"})
  check.raises(function() plain:scene{pose = "as loaded"} end, {code = "missing"})
end)

check.done()
