-- Jobs of bench_study.py: a line with a job's name comes in, seconds for all of it go out. "checks" prints numbers that NumPy has too.
-- "ballast_problem" and "seek_problem" print the same questions as numbers, for solvers that know no car: mass, and kg at the front and
-- on the left, then what one kg in each slot or one mm of each move changes of these two; then what else they need, and what ours found.
-- A number behind the name says how many threads work; else one does, as NumPy's.

local core = require "steelyard.core"
local sy = require "steelyard"
local many_parts = dofile "tests/bench/many_parts.lua"

local car = many_parts.car_of(many_parts.parts_of(false)):state "as raced"
local normal_car = many_parts.car_of(many_parts.parts_of(false, true)):state "as raced"
local half_car = normal_car -- 150 of its 300 lines
for i = 2, 300, 2 do half_car = half_car:without("part " .. i) end
local built_car = sy.load("vehicles/tansy.lua"):as_built()
local sprung = sy.load "vehicles/twayblade.lua":state "race start"

local TARGETS = {left_share = 49, front_share = 42.5}
local FAR = {left_share = 49.5, front_share = 43.5}
local SOUGHT = {front_share = 42.2, left_share = 48.8}

local three_slots = {{"nose", at = {300, -300, 20}, max = 15, step = 0.5}, {"tray", at = {2900, -300, 60}, max = 10, step = 0.5},
                     {"sill", at = {1500, 500, 100}, max = 10, step = 0.5}}
local slots_to_the_gram = {{"nose", at = {-500, 0, 200}, max = 15}, {"left", at = {1200, -600, 100}, max = 15},
                           {"tail", at = {2900, 100, 300}, max = 15}}
local three_parts = {sy.vary("powertrain", "back", -80, 80), sy.vary("driver", "left", -40, 40), sy.vary("battery", "forward", -100, 100)}

local GRID, DRAWS = 1000, 1000000
local TEN = {"cg.x", "cg.y", "cg.z", "front_share", "left_share", "lf", "rf", "lr", "rr", "yaw_inertia"}

local threads = 1

local function two_parts(n) return {sy.vary("part 77", "back", -100, 100, n), sy.vary("part 150", "back", -150, 150, n)} end

local function two_groups(n) return {sy.vary("powertrain", "back", -40, 60, n), sy.vary("driver", "back", -30, 30, n)} end

local function grid(o)
  o.vary = o.vary or two_parts(GRID)
  o.show, o.quiet, o.threads = o.show or TEN, true, threads
  return sy.study(o)
end

local function transfer(c)
  grid{c, vary = {sy.vary("powertrain", "back", -40, 60, 100000)}, show = {"transfer.front_transfer_share"}, left_turn = 0.5}
end

local function spread(show)
  return sy.spread{normal_car, draws = DRAWS, seed = 1, quiet = true, threads = threads, show = show}
end

local jobs = {
  grid_stored = function() grid{car} end,
  grid_reduced = function() grid{car, reduce = true} end,
  grid_printed = function() return tostring(grid{sprung, vary = two_groups(GRID), show = {"front_share", "height", "yaw_inertia"}}) end,
  grid_of_corners = function() grid{sprung, vary = two_groups(GRID), show = {"corners.lf", "corners.cross_share"}} end,
  corners = function() grid{sprung, vary = {sy.vary("powertrain", "back", -40, 60, 100000)}, show = {"corners.lf"}} end,
  transfer = function() transfer(sprung:fill{fuel = 0}) end,
  transfer_of_liquid = function() transfer(sprung) end,
  shafts = function() grid{sprung, vary = {sy.vary("powertrain", "back", -40, 60, 10000)}, show = {"shafts.worst_angle"}} end,
  clearances = function() grid{sprung, vary = {sy.vary("powertrain", "back", -40, 60, 10000)}, show = {"clearances.tightest"}} end,
  change = function()
    grid{car, vary = {sy.vary("part 150", "back", 1, 10000, 10000)}, show = {"front_share"}, change = function(c, row)
      return c:move("part 77", {up = row["part 150 back"] / 100})
    end}
  end,
  front = function()
    grid{car, vary = {sy.vary("part 77", "back", -100, 100, GRID), sy.vary("part 150", "up", -150, 150, GRID)},
      show = {"front_share", "height", "yaw_inertia"}, front = {front_share = "most", height = "least", yaw_inertia = "least"}}
  end,
  grid_for_front = function()
    grid{car, vary = {sy.vary("part 77", "back", -100, 100, GRID), sy.vary("part 150", "up", -150, 150, GRID)},
      show = {"front_share", "height", "yaw_inertia"}}
  end,
  weigh_next = function()
    for _ = 1, 10 do sy.sensitivity{normal_car, show = {"front_share", "height", "yaw_inertia"}} end
  end,
  weigh_next_of_half = function()
    for _ = 1, 10 do sy.sensitivity{half_car, show = {"front_share", "height", "yaw_inertia"}} end
  end,
  weigh_next_as_built = function()
    for _ = 1, 10 do sy.sensitivity{built_car, show = {"front_share", "height", "yaw_inertia"}} end
  end,
  ballast = function()
    for _ = 1, 10 do sprung:ballast{target = TARGETS, slots = three_slots} end
  end,
  ballast_impossible = function()
    for _ = 1, 10 do sprung:ballast{target = FAR, slots = three_slots} end
  end,
  ballast_by_yaw_index = function()
    for _ = 1, 10 do sprung:ballast{target = {yaw_index = 0.65}, slots = slots_to_the_gram} end
  end,
  ballast_by_side_g = function()
    for _ = 1, 10 do sprung:ballast{target = {["stability.side_g"] = 2.12}, slots = slots_to_the_gram} end
  end,
  ballast_on_springs = function()
    for _ = 1, 10 do
      sprung:ballast{target = {["corners.lf"] = 152, ["corners.cross_share"] = 50.1}, slots = slots_to_the_gram, quiet = true}
    end
  end,
  seek = function()
    for _ = 1, 10 do sy.seek{sprung, vary = three_parts, target = SOUGHT} end
  end,
  spread = function() spread{"mass", "cg.x", "cg.y", "cg.z", "front_share", "left_share", "yaw_inertia"} end,
  spread_without_inertia = function() spread{"mass", "cg.x", "cg.y", "cg.z", "front_share", "left_share"} end,
}

local function checks()
  local s, f = grid{car}, spread{"mass", "front_share"}
  local out = {}
  for _, name in ipairs{"cg.x", "yaw_inertia"} do
    for _, i in ipairs{1, 2, 1001, 1000000} do out[#out + 1] = ("%.17g"):format(s.columns[name][i]) end
  end
  out[#out + 1] = ("%.17g %.17g"):format(f.mass.sd, f.front_share.sd)
  return table.concat(out, " ")
end

local function loads(c)
  local b = c:balance()
  return b.mass, b.front, b.left
end

-- Mass, front and left of the car; what each of the changed cars has more of the last two; then other numbers.
local function problem(cars, more)
  local mass, front, left = loads(sprung)
  local out = {mass, front, left}
  for _, c in ipairs(cars) do
    local _, f, l = loads(c)
    table.move({f - front, l - left}, 1, 2, #out + 1, out)
  end
  table.move(more, 1, #more, #out + 1, out)
  for i, x in ipairs(out) do out[i] = ("%.17g"):format(x) end
  return table.concat(out, " ")
end

local problems = {}

function problems.ballast_problem()
  local cars = {}
  for k, slot in ipairs(three_slots) do cars[k] = sprung:add(sy.part(slot[1]){mass = 1, at = slot.at}) end
  local r, far = sprung:ballast{target = TARGETS, slots = three_slots}, sprung:ballast{target = FAR, slots = three_slots}
  local more = {r.within.front_share, r.within.left_share, r.added}
  for _, p in ipairs(far.nearest.placed) do more[#more + 1] = p.mass end
  return problem(cars, more)
end

function problems.seek_problem()
  local cars, more = {}, {}
  local r = sy.seek{sprung, vary = three_parts, target = SOUGHT}
  for k, v in ipairs(three_parts) do
    cars[k], more[2 * k - 1], more[2 * k] = sprung:move(v.what, {[v.way] = 1}), v.from, v.to
  end
  for _, move in ipairs(r.moves) do more[#more + 1] = move.value end
  return problem(cars, more)
end

problems.checks = checks

for line in io.lines() do
  local name, asked = line:match "^(.-) ?(%d*)$"
  threads = math.tointeger(tonumber(asked)) or 1
  if problems[name] then
    print(problems[name]())
  else
    collectgarbage()
    local begin = core.seconds()
    jobs[name]()
    print(("%.9e"):format(core.seconds() - begin))
  end
  io.stdout:flush()
end
