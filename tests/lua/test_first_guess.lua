-- The main job on eighteen lines: totals, shares, what-ifs and their uncertainties, each to the last printed digit.
-- Source of the answers: see scenario_a.lua; tolerances are half a unit of the last digit given.

local check = dofile "tests/lua/check.lua"
local scenario = dofile "tests/lua/scenario_a.lua"
local sy = require "steelyard"

local car = scenario.car(sy):state "race start"
local test = check.test

test("balance_of_a_first_guess_to_the_last_digit", function()
  local b = car:balance()
  check.near(b.mass, 770.8, 1e-9, "mass")
  check.near(b.cg.x, 1409.63, 0.005, "cg.x")
  check.near(b.cg.y, 21.56, 0.005, "cg.y")
  check.near(b.cg.z, 342.95, 0.005, "cg.z")
  check.near(b.front, 327.31, 0.005, "front")
  check.near(b.front_share, 42.464, 0.0005, "front share")
  check.near(b.sd.mass, 13.775, 0.0005, "u(mass)")
  check.near(b.sd.front_share, 0.388, 0.0005, "u(front share), masses only")
  check.near(b.yaw_inertia, 480.65, 0.005, "yaw inertia, masses as points")
  check.near(b.front + b.rear, b.mass, 1e-9, "axles carry all") -- a few roundings of 770 kg
  check.near(b.lf + b.rf + b.lr + b.rr, b.mass, 1e-9, "wheels carry all")
  check.near(b.cross_share, 50, 1e-9, "cross weight as the file's default")
end)

test("fifteen_millimetres_on_every_x_widen_the_front_share", function()
  check.near(scenario.car(sy, {x_sd = 15}):balance().sd.front_share, 0.433, 0.0005, "u(front share)")
end)

test("load_states_change_the_share_as_worked_out", function()
  for state, share in pairs{["no driver"] = 40.575, ["no fuel"] = 42.268, neither = 40.270} do
    check.near(car:state(state):balance().front_share, share, 0.0005, state)
  end
  check.near(car:state("no driver"):balance().mass, 690.8, 1e-9)
  check.near(car:state("neither"):balance().mass, 661.0, 1e-9)
end)

test("engine_and_transaxle_moves_as_worked_out", function()
  local engine = car:move("engine", {back = 50}):balance()
  check.near(engine.front - car:balance().front, -3.4286, 0.00005, "engine 50 back, front")
  check.near(engine.front_share, 42.019, 0.0005, "engine 50 back, share")
  local both = car:move({"engine", "transaxle"}, {back = 50}):balance()
  check.near(both.front - car:balance().front, -4.6939, 0.00005, "both 50 back, front")
  check.near(both.front_share, 41.855, 0.0005, "both 50 back, share")
  check.near(car:move("powertrain", {down = 20}):balance().height, 336.982, 0.0005, "20 down, height")
end)

test("corners_as_pairs_at_half_tracks", function()
  local b = scenario.car(sy, {corners = "pairs"}):balance()
  check.near(b.yaw_inertia, 549.98, 0.005, "yaw inertia")
  check.near(b.yaw_index, 0.48653, 0.000005, "k2/(ab)")
  check.near(b.mass, 770.8, 1e-9)
  check.near(b.sd.mass, 13.775, 0.0005, "a pair errs together: the same uncertainty as one line")
end)

test("an_engines_own_inertia_adds_exactly", function()
  local with = scenario.car(sy, {change = function(name, fields)
    if name == "engine" then fields.inertia = {xx = 5, yy = 8, zz = 9} end
  end})
  -- roundings of the sum of second moments, about 1500 kg m2
  check.near(with:balance().yaw_inertia - scenario.car(sy):balance().yaw_inertia, 9, 1e-11)
end)

test("the_same_car_with_x_forward_and_y_left", function()
  local a, b = car:balance(), scenario.car(sy, {forward = true}):balance()
  check.near(b.cg.x, -a.cg.x, 1e-9)
  check.near(b.cg.y, -a.cg.y, 1e-9)
  check.near(b.front, a.front, 1e-9)
  check.near(b.lf, a.lf, 1e-9)
  check.near(b.inertia.xz, -a.inertia.xz, 1e-9)
  check.near(b.sd.front_share, a.sd.front_share, 1e-9)
end)

test("a_change_is_known_better_than_the_total", function()
  local moved = car:move("powertrain", {back = 50})
  local row
  for _, r in ipairs(sy.compare{car, moved}.rows) do if r.name == "front" then row = r end end
  check.near(row.changes[2], -4.6939, 0.00005)
  -- d front = -(dx/L) (m1 + m2): u = 50/2450 sqrt(0.5^2 + 0.3^2), law of propagation, JCGM 100:2008, 5.1.2
  check.near(row.sd[2], 50 / 2450 * math.sqrt(0.5 ^ 2 + 0.3 ^ 2), 1e-12)
  check.ok(row.clear[2], "a certain change says so")
  check.ok(row.sd[1] > 5, "the total is far less certain")
end)

test("trial_gives_what_move_gives", function()
  local trial = car:trial("powertrain", "back")
  for _, mm in ipairs{-50, 0, 12.5, 75} do
    local mass, cg, yaw, front, rear, lf, rf, lr, rr = trial(mm)
    local b = car:move("powertrain", {back = mm}):balance()
    check.near(mass, b.mass, 1e-9)
    check.near(cg.x, b.cg.x, 1e-9)
    check.near(yaw, b.yaw_inertia, 1e-9)
    check.near(front, b.front, 1e-9)
    check.near(rear, b.rear, 1e-9)
    check.near(lf + rf + lr + rr, b.mass, 1e-9)
    check.near(lf, b.lf, 1e-9)
  end
end)

test("the_file_says_the_same_as_the_table", function()
  local file = sy.load("vehicles/first_guess.lua"):state "race start"
  local b = file:balance()
  check.near(b.mass, 770.8, 1e-9)
  check.near(b.front_share, 42.464, 0.0005)
  check.near(b.height, 342.95, 0.005)
end)

-- The same lines written as a vehicle file, with corners on the centre line.
local function as_file()
  local parts = {}
  for i, line in ipairs(scenario.lines) do
    local short = require("steelyard.core").shortest -- a point in every locale
    parts[i] = ("    part %q { mass = sd(%s, %s), at = {%s, %s, %s}%s },"):format(line[1], short(line[2]), short(line[6]),
      short(line[3]), short(line[4]), short(line[5]), line.unsprung and (", unsprung = %q"):format(line.unsprung) or "")
  end
  return ([[
vehicle {
  title = "First guess (invented)", axes = { x = "back", y = "right", z = "up" },
  axles = {
    { name = "front", at = 0, track = 1500, loaded_radius = 290 },
    { name = "rear", at = 2450, track = 1480, loaded_radius = 305 },
  },
  parts = {
%s
  },
}
]]):format(table.concat(parts, "\n"))
end

test("through_a_file_with_the_corners_on_the_centre_line", function()
  local path = os.tmpname()
  local file = assert(io.open(path, "wb"))
  file:write(as_file())
  file:close()
  local b = sy.load(path):balance()
  os.remove(path)
  check.near(b.yaw_inertia, 480.65, 0.005, "yaw inertia")
  check.near(b.front_share, 42.464, 0.0005, "front share")
  check.near(b.sd.mass, 13.775, 0.0005, "u(mass)")
end)

test("through_the_demo_file_with_the_corners_as_pairs", function()
  local b = sy.load("vehicles/first_guess.lua"):state("race start"):balance()
  check.near(b.yaw_inertia, 549.98, 0.005, "yaw inertia")
  check.near(b.yaw_index, 0.48653, 0.000005, "k2/(ab)")
end)

check.done()
