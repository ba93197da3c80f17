-- Draws against the first order of core/answers: the covariance matrix of mass, CG and the wheel loads on springs, of random cars with
-- everything at once (mixed_cars.lua): pairs, counts, instruments that parts and records share, tanks, turned groups, and as their records
-- leave them. The two have nothing in common but the list of errors; a draw adds up the sums anew and solves.
-- An entry c_ab of n draws has a variance of (c_aa c_bb + c_ab^2) / n for normal answers: T. Anderson, An Introduction to Multivariate
-- Statistical
-- Analysis, 3rd ed. 2003, 3.4 (from memory). How many cars may be stated; make nightly asks for 40, and then each has 100000 draws.
-- Under the command alone: numbers against numbers.

local check = dofile "tests/lua/check.lua"
local asking = require "steelyard.answers.asking"
local contents = require "steelyard.car.contents"
local conventions = dofile "tests/lua/conventions.lua"
local core = require "steelyard.core"
local mixed = dofile "tests/lua/mixed_cars.lua"
local sources_of = require "steelyard.study.spread_sources"
local sy = require "steelyard"
local test = check.test

local CARS = tonumber(arg and arg[1] or 4)
local DRAWS = CARS > 4 and 100000 or 20000
local ERRORS = 4
local BENDS = 2e-3 -- of a covariance: what is not linear in the errors of these cars, a few percent of the answers, squared

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder))

local function load(tree)
  local path = folder .. "/car.lua"
  do
    local file <close> = assert(io.open(path, "wb"))
    file:write(conventions.text(tree))
  end
  return sy.load(path)
end

local function drawn(c, groups)
  local plan = core.spread(groups)
  local names = sources_of.of(c, {c.now}, core.spread_sources(plan))
  assert(core.spread_start(plan, names, {draws = DRAWS, seed = 7, wider = {}, below = {}, above = {}}))
  core.spread_take(plan, core.spread_run(plan, 0, (DRAWS + 255) // 256, 1))
  return plan
end

-- Entry a of the draws with entry b, beside first order.
local function compare_entry(what, plan, a, b, c_aa, c_bb, c_ab)
  local _, found = core.spread_correlation(plan, a, b)
  local error = math.sqrt((c_aa * c_bb + c_ab ^ 2) / DRAWS)
  check.near(found, c_ab, ERRORS * error + BENDS * math.sqrt(c_aa * c_bb) + 1e-15, what)
end

-- The answers of one set with those of the other.
local function compare_between(name, plan, one, other)
  local c, d = core.covariance(one.set, one.asked, one.names), core.covariance(other.set, other.asked, other.names)
  local between = core.covariance_between(other.asked, one.set, one.names, other.set, other.names)
  for i, a in ipairs(one.names) do
    for k, b in ipairs(other.names) do
      compare_entry(("%s: %s with %s"):format(name, a, b), plan, i, #one.names + k, c[i][i], d[k][k], between[i][k])
    end
  end
end

local function compare(name, plan, groups)
  local base = 0
  for _, group in ipairs(groups) do
    local c = core.covariance(group.set, group.asked, group.names)
    for i, a in ipairs(group.names) do
      local r = core.spread_result(plan, base + i)
      check.near(r.first_order_sd, math.sqrt(c[i][i]), 1e-9 * math.sqrt(c[i][i]) + 1e-12, ("%s: first order of %s"):format(name, a))
      for k = 1, i do
        compare_entry(("%s: %s with %s"):format(name, a, group.names[k]), plan, base + i, base + k, c[i][i], c[k][k], c[i][k])
      end
    end
    base = base + #group.names
  end
  if groups[2] then compare_between(name, plan, groups[1], groups[2]) end
end

-- Sets that the car has; the wheels by their keys.
local function groups_of(c)
  local groups = {{set = "balance", asked = {now = c.now, geometry = c.geometry}, names = {"mass", "cg.x", "cg.y", "cg.z"}}}
  local asked = asking.car(c, "corners")
  if asked and not asked.fails then
    local keys = {}
    for i, wheel in ipairs(c.geometry:wheels()) do keys[i] = wheel.key end
    groups[2] = {set = "corners", asked = asked, names = keys}
  end
  return groups
end

local function test_car(name, car)
  local c = contents.inside(car)
  local groups = groups_of(c)
  compare(name, drawn(c, groups), groups)
end

test("spread_random_cars_covariances_are_those_of_first_order", function()
  mixed.seed(29)
  for n = 1, CARS do
    local tree, kind = mixed.tree()
    test_car(("car %d (%s)"):format(n, kind), load(tree))
  end
end)

test("spread_random_cars_as_built_covariances_are_those_of_first_order", function()
  mixed.seed(31)
  for n = 1, CARS do
    local tree, kind = mixed.tree()
    mixed.add_records(tree, load(tree))
    test_car(("car %d (%s) as built"):format(n, kind), load(tree):as_built())
  end
end)

-- A powertrain that was weighed in one piece and counts so; its engine hangs over the wheels a little, as no line may say better.
local function weighed_car(whole)
  local function part(name, mass, x, y, z)
    return sy.part(name){mass = sy.sd(mass, 0.05 * mass), at = {sy.sd(x, 8), sy.sd(y, 4), sy.sd(z, 6)}}
  end
  return sy.car{title = "weighed", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1420, loaded_radius = 300}},
    parts = {part("tub", 150, 1100, 5, 350), part("front corners", 50, 10, -3, 290), part("rear corners", 60, 2390, 4, 300),
      sy.group "powertrain" {at = {1700, 0, 300}, turned = {nose_left = 20}, whole = whole, unaccounted = true,
        part("engine", 130, 0, 0, 0), part("gearbox", 45, 520, 20, -40),
        sy.group "exhaust" {at = {300, 200, 0}, part("silencer", 9, 200, 0, 20)}}}}
end

local wholes = {
  ["mass alone"] = {mass = sy.sd(187, 0.5)},
  ["mass and CG"] = {mass = sy.sd(187, 0.5), cg = {sy.sd(1846, 2), sy.sd(22, 2), sy.sd(292, 4)}},
}

test("spread_weighed_assemblies_covariances_are_those_of_first_order", function()
  for name, whole in pairs(wholes) do
    local car = weighed_car(whole)
    for what, edited in pairs{as_weighed = car, moved = car:move("gearbox", {back = 60, left = 15}), removed = car:without "silencer",
                              set = car:set("engine", {mass = sy.sd(131, 2)})} do
      local c = contents.inside(edited)
      local groups = {{set = "balance", asked = {now = c.now, geometry = c.geometry},
                       names = {"mass", "cg.x", "cg.y", "cg.z", "yaw_inertia", "lf"}}}
      compare(name .. ", " .. what, drawn(c, groups), groups)
    end
  end
end)

os.execute("rm -r " .. folder)
check.done()
