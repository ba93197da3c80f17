-- How full a tank is, is another value of one line: its dry mass, density and place err the same at every fill. Against the law of
-- propagation itself (JCGM 100:2008, 5.1.2 and 5.2.2), the derivatives taken by steps of the file, and against drawn errors.
-- Under the command alone: it holds figures of cars against figures; what a locale or another Lua could change are texts, read by others.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

-- The front axle is 350 ahead of the file's zero and x counts forward, the road lies at z = -120, the centre plane at y = 40.
local function odd(tank, more)
  local fields = {
    title = "Odd datum (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -120, centre = 40,
    axles = {{name = "front", at = 350, track = 1400, loaded_radius = 290},
      {name = "rear", at = -2050, track = 1440, loaded_radius = 300}},
    parts = {sy.part "tub" {mass = sy.sd(540, 0), at = {-700, 55, 230}},
      sy.group "tail" {at = {-900, 30, 90}, turned = {nose_up = 4}, tank}},
    states = {sy.state "full" {fill = {fuel = 60}}, sy.state "low" {fill = {fuel = 10}}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function tank_of(o)
  local fields = {shape = sy.box {600, 400, 300}, at = {-40, 210, 30}, density = 0.745, dry_mass = 5, fill = 40}
  for key, value in pairs(o) do fields[key] = value end
  return sy.tank "fuel" (fields)
end

-- the change of every answer from one fill to another
local shown = {"mass", "front_share", "cg.x", "cg.y", "cg.z", "height"}
local function change(car, to)
  local r = sy.compare{car, car:fill{fuel = to}, show = shown}
  local list, sd = {}, {}
  for i, row in ipairs(r.rows) do list[i], sd[i] = row.changes[2], row.sd[2] end
  return list, sd
end

test("a_refill_keeps_the_errors_of_dry_mass_density_and_place", function()
  -- each error by itself: the field, its standard uncertainty, and the tank with the error in it
  local errors = {
    {"dry_mass", 2, function(e) return {dry_mass = 5 + e} end}, {"density", 0.01, function(e) return {density = 0.745 + e} end},
    {"at", 8, function(e) return {at = {-40 + e, 210, 30}} end}, {"at", 8, function(e) return {at = {-40, 210, 30 + e}} end},
  }
  for k, error_ in ipairs(errors) do
    local sd = error_[2]
    local stated = k == 1 and {dry_mass = sy.sd(5, sd)} or k == 2 and {density = sy.sd(0.745, sd)}
      or k == 3 and {at = {sy.sd(-40, sd), 210, 30}} or {at = {-40, 210, sy.sd(30, sd)}}
    local _, got = change(odd(tank_of(stated)), 10)
    local step = 1e-3 * sd -- answers bend by a part in some hundred of an error: their square is far below the tolerance
    local up, down = change(odd(tank_of(error_[3](step))), 10), change(odd(tank_of(error_[3](-step))), 10)
    for i = 1, #shown do
      check.near(got[i], math.abs(up[i] - down[i]) / (2 * step) * sd, 1e-6 + 1e-4 * got[i], ("%s %d: %s"):format(error_[1], k, shown[i]))
    end
  end
end)

-- From 40 to 10 litres: 30 x 0.745 = 22.35 kg less, in which the empty tank has no part, and 30 x 0.010 = 0.300 kg by the density.
test("a_refill_takes_the_dry_mass_out_of_the_change", function()
  local list, sd = change(odd(tank_of{dry_mass = sy.sd(5, 3)}), 10)
  check.near(list[1], -22.35, 1e-9)
  check.near(sd[1], 0, 1e-12)
  list, sd = change(odd(tank_of{density = sy.sd(0.745, 0.010)}), 10)
  check.near(list[1], -22.35, 1e-9)
  check.near(sd[1], 0.300, 1e-12)
end)

test("a_fill_without_an_uncertainty_has_none", function()
  local car = odd(tank_of{fill = sy.sd(40, 2)})
  check.near(car:balance().sd.mass, 2 * 0.745, 1e-12)
  check.near(car:fill{fuel = 20}:balance().sd.mass, 0, 1e-12)
  check.near(car:set("fuel", {fill = 20}):balance().sd.mass, 0, 1e-12)
  check.near(car:state("low"):balance().sd.mass, 0, 1e-12)
  check.near(car:fill{fuel = sy.sd(20, 1)}:balance().sd.mass, 0.745, 1e-12)
  check.near(car:tank("fuel").sd.litres, 2, 1e-12)
  check.near(car:fill{fuel = 20}:tank("fuel").sd.litres, 0, 1e-12)
end)

test("states_of_one_tank_share_its_errors", function()
  local car = odd(tank_of{dry_mass = sy.sd(5, 3), density = sy.sd(0.745, 0.01)})
  local r = sy.compare{car:state "full", car:state "low", show = {"mass"}}
  check.near(r.rows[1].sd[2], 50 * 0.01, 1e-12)
  r = sy.compare{car, car:set("fuel", {fill = 10}), show = {"mass"}}
  check.near(r.rows[1].sd[2], 30 * 0.01, 1e-12)
  r = sy.compare{car, car:set("fuel", {dry_mass = 7}), show = {"mass"}}
  check.near(r.rows[1].sd[2], math.sqrt(3 ^ 2 + 3 ^ 2), 1e-12, "another statement of the dry mass is another error, the density's the same")
end)

-- What `assume` gives a line that states nothing is one relative error of it, whatever is in the tank.
test("an_assumed_uncertainty_is_one_of_the_line", function()
  local car = odd(tank_of{}, {assume = {estimate = "15 %"}})
  check.near(car:balance().sd.mass, 0.15 * (5 + 0.745 * 40), 1e-12)
  check.near(car:fill{fuel = 10}:balance().sd.mass, 0.15 * (5 + 0.745 * 10), 1e-12)
  local r = sy.compare{car, car:fill{fuel = 10}, show = {"mass"}}
  check.near(r.rows[1].sd[2], 0.15 * 22.35, 1e-12)
end)

test("a_pair_of_tanks_shares_one_error", function()
  local car = odd(tank_of{pair = true, dry_mass = sy.sd(5, 3), density = sy.sd(0.745, 0.01), fill = sy.sd(40, 2)})
  check.near(car:balance().sd.mass, 2 * math.sqrt(3 ^ 2 + 0.4 ^ 2 + 1.49 ^ 2), 1e-12)
  local r = sy.compare{car, car:fill{fuel = 10}, show = {"mass"}}
  check.near(r.rows[1].sd[2], 2 * math.sqrt(0.3 ^ 2 + 1.49 ^ 2), 1e-12)
end)

-- 4,000 cars with drawn errors: a fixed sequence of uniform numbers, twelve of which are near enough to a normal one for a standard
-- deviation. That of n normal draws errs by 1 / sqrt(2 n) = 1.1 % itself; three of those are allowed, and what first order leaves out.
test("changes_agree_with_drawn_errors", function()
  local seed = 7
  local function normal()
    local sum = -6
    for _ = 1, 12 do
      seed = (seed * 1103515245 + 12345) % 2147483648
      sum = sum + seed / 2147483648
    end
    return sum
  end
  local stated = odd(tank_of{dry_mass = sy.sd(5, 0.8), density = sy.sd(0.745, 0.02), fill = sy.sd(40, 1.5),
    at = {sy.sd(-40, 9), 210, sy.sd(30, 6)}})
  local _, want = change(stated, 10)
  local n, sum, square = 4000, {}, {}
  for _ = 1, n do
    local drawn = odd(tank_of{dry_mass = 5 + 0.8 * normal(), density = 0.745 + 0.02 * normal(), fill = 40 + 1.5 * normal(),
      at = {-40 + 9 * normal(), 210, 30 + 6 * normal()}})
    local list = change(drawn, 10)
    for i, x in ipairs(list) do
      sum[i], square[i] = (sum[i] or 0) + x, (square[i] or 0) + x * x
    end
  end
  for i, name in ipairs(shown) do
    local got = math.sqrt(square[i] / n - (sum[i] / n) ^ 2)
    check.near(got / want[i], 1, 3 * 0.011 + 0.005, name)
  end
end)

check.done()
