-- Stints: means against closed forms, drivers, tanks, axes, the car at the mean, words and refusals. The committed page is worked out anew
-- from the vehicle file in tests/reference/oracle_stint.py.

local check = dofile "tests/lua/check.lua"
local scenario_a = dofile "tests/lua/scenario_a.lua"
local core = require "steelyard.core"
local sy = require "steelyard"
local test = check.test

local twayblade = sy.load "vehicles/twayblade.lua":state "race start"
local guess = sy.load "vehicles/first_guess.lua":state "race start"

-- ---- means in closed form -----------------------------------------------------------------------------------------------------

-- Of a + b u over c + d u the mean from u0 to u1: b/d + (a - b c/d) ln((c + d u1)/(c + d u0)) / (d (u1 - u0)). Source: the integral of
-- a rational function, worked out by hand.
local function mean_of_ratio(a, b, c, d, from, to)
  return b / d + (a - b * c / d) * math.log((c + d * from) / (c + d * to)) / (d * (from - to))
end

-- Masses and moments of the scenario without its fuel, kg and kg mm.
local function dry(but)
  local mass, mx, my, mz = 0, 0, 0, 0
  for _, line in ipairs(scenario_a.lines) do
    if line[1] ~= "fuel" and line[1] ~= but then
      mass, mx, my, mz = mass + line[2], mx + line[2] * line[3], my + line[2] * line[4], mz + line[2] * line[5]
    end
  end
  return mass, mx, my, mz
end

local WHEELBASE, DENSITY, AT = 2450, 0.745, {1290, 0, 310}

-- A few roundings of shares of 100 %, heights of 300 mm and masses of 800 kg.
local TINY = 1e-10

test("mean_of_a_plain_tank_is_that_of_the_rational_function", function()
  local mass, mx, _, mz = dry()
  for _, step in ipairs{5, 3.7, 36, 100} do -- the mean does not know of the rows
    local r = guess:stint{fuel = {from = 40, to = 4}, step = step, show = {"front_share", "height", "mass", "cg_behind"}}
    local front = mean_of_ratio(mass * WHEELBASE - mx, DENSITY * (WHEELBASE - AT[1]), mass, DENSITY, 40, 4)
    check.near(r.mean.front_share, 100 * front / WHEELBASE, TINY)
    check.near(r.mean.height, mean_of_ratio(mz, DENSITY * AT[3], mass, DENSITY, 40, 4), TINY * 10)
    check.near(r.mean.cg_behind, mean_of_ratio(mx, DENSITY * AT[1], mass, DENSITY, 40, 4), TINY * 10)
    check.near(r.mean.mass, mass + DENSITY * 22, TINY * 10, "linear: half way")
    check.equal(#r.rows, 1 + math.ceil(36 / step))
    -- where the ratio is its mean: a + b u = mean (c + d u)
    local at = (front * mass - (mass * WHEELBASE - mx)) / (DENSITY * (WHEELBASE - AT[1]) - front * DENSITY)
    check.near(r.at, at, 1e-6, "litres: the sharpness of 1e-10 % by 0.005 % a litre")
    check.near(r.car:balance().front_share, r.mean.front_share, TINY)
    check.near(r.reached.front_share, r.mean.front_share, TINY)
    check.near(r.car:tank("fuel").litres, r.at, 1e-12)
  end
end)

test("a_row_is_the_car_filled_so", function()
  local r = twayblade:stint{fuel = {30, 4}, step = 7, show = {"front_share", "height", "corners.lf", "yaw_inertia"}}
  local litres = {}
  for i, row in ipairs(r.rows) do
    litres[i] = row.litres
    local filled = twayblade:fill{fuel = row.litres}
    local b = filled:balance()
    check.near(row.values.front_share, b.front_share, TINY)
    check.near(row.values.height, b.height, TINY * 10)
    check.near(row.values.yaw_inertia, b.yaw_inertia, TINY * 100)
    check.near(row.values["corners.lf"], filled:corners().lf, 1e-6, "kg: two ways to the same rest of liquid and springs")
    check.near(row.sd.front_share, b.sd.front_share, TINY)
  end
  check.equal(litres, {30, 23, 16, 9, 4})
end)

-- A tank with a shape has no closed form: Simpson's rule on 1000 pieces between the depths, by car:fill.
test("mean_of_a_tank_with_a_shape_is_simpsons", function()
  local r = twayblade:stint{fuel = {30, 4}, step = 13}
  local sum, N = 0, 1000
  for i = 0, N do
    local weight = (i == 0 or i == N) and 1 or i % 2 == 1 and 4 or 2
    sum = sum + weight * twayblade:fill{fuel = 30 - 26 * i / N}:balance().height
  end
  check.near(r.mean.height, sum / (3 * N), 1e-6, "mm: Simpson's own error")
end)

-- ---- drivers ------------------------------------------------------------------------------------------------------------------

local function two(show, ...)
  return twayblade:stint{fuel = {30, 4}, drivers = {...}, show = show}
end

test("drivers_take_their_litres", function()
  local r = two({"mass", "front_share"}, {"driver", from = 30, to = 21}, {name = "tall driver", from = 21, to = 4})
  local first = twayblade:stint{fuel = {30, 21}, show = {"mass", "front_share"}}
  local second = twayblade:swap("driver", "tall driver"):stint{fuel = {21, 4}, show = {"mass", "front_share"}}
  for _, name in ipairs{"mass", "front_share"} do
    check.near(r.mean[name], (9 * first.mean[name] + 17 * second.mean[name]) / 26, TINY * 10)
    check.near(r.sd[name], (9 * first.sd[name] + 17 * second.sd[name]) / 26, TINY * 10)
  end
  local litres, names = {}, {}
  for i, row in ipairs(r.rows) do litres[i], names[i] = row.litres, row.driver end
  check.equal(litres, {30, 25, 21, 21, 20, 15, 10, 5, 4})
  check.equal(names, {"driver", "driver", "driver", "tall driver", "tall driver", "tall driver", "tall driver", "tall driver",
                      "tall driver"})
  check.near(r.rows[4].values.mass - r.rows[3].values.mass, 96 - 78, TINY * 10, "the spare is 96 kg, the driver 78")
  check.equal({r.highest.mass.litres, r.highest.mass.driver}, {21, "tall driver"})
  check.equal({r.lowest.front_share.litres, r.lowest.front_share.driver}, {30, "driver"})
end)

test("ends_that_are_not_stated_follow", function()
  local all = two({"mass"}, {"driver", from = 30, to = 17}, {"tall driver", from = 17, to = 10}, {"driver", from = 10, to = 4})
  for _, drivers in ipairs{{{"driver", to = 17}, {"tall driver", to = 10}, {"driver"}},
                           {"driver", {"tall driver", from = 17}, {"driver", from = 10, to = 4}}} do
    check.equal(twayblade:stint{fuel = {30, 4}, drivers = drivers, show = {"mass"}}.mean, all.mean)
  end
end)

test("whoever_sits_there_may_be_the_second_driver", function()
  local r = two({"mass"}, {"tall driver", to = 20}, {"driver"})
  check.near(r.rows[1].values.mass, twayblade:swap("driver", "tall driver"):fill{fuel = 30}:balance().mass, TINY * 10)
  check.near(r.rows[#r.rows].values.mass, twayblade:fill{fuel = 4}:balance().mass, TINY * 10)
  local swapped = twayblade:swap("driver", "tall driver")
  local tall = swapped:stint{fuel = {30, 4}, drivers = {{"tall driver", to = 20}, {"driver"}}, show = {"mass"}}
  check.near(tall.mean.mass, r.mean.mass, TINY * 10, "swapped in before")
  local spare = twayblade:stint{fuel = {30, 4}, drivers = {"tall driver"}, show = {"mass"}}
  check.near(spare.rows[1].values.mass, r.rows[1].values.mass, TINY * 10, "a spare alone takes the driver's seat")
end)

test("a_mean_that_is_stepped_over_is_said_so", function()
  local r = two({"front_share", "height"}, {"driver", to = 17}, {"tall driver"})
  check.contains(tostring(r), "it steps over it as drivers change")
  check.contains(tostring(r), "Who drives sits in the place of driver.")
  local nearest = math.huge
  for _, row in ipairs(r.rows) do nearest = math.min(nearest, math.abs(row.values.front_share - r.mean.front_share)) end
  check.near(math.abs(r.reached.front_share - r.mean.front_share), nearest, TINY)
  check.equal({r.at, r.at_driver}, {17, "tall driver"})
end)

-- The mean of the whole stint may lie in both halves: the mass of one who is as heavier as half the fuel.
test("of_several_places_the_one_nearest_half_way", function()
  local car = twayblade:set("tall driver", {mass = 78 + 13 * 0.745})
  local r = car:stint{fuel = {30, 4}, drivers = {{"driver", to = 17}, {"tall driver"}}, show = {"mass"}}
  check.contains(tostring(r), "is its mean at 2 places")
  check.near(r.reached.mass, r.mean.mass, 1e-9)
  check.near(r.at, 23.5, 1e-6, "half way of each half, and the first of two as near")
end)

-- ---- tanks and axes -----------------------------------------------------------------------------------------------------------

local function of_two_tanks()
  return sy.car{title = "Two tanks (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 137, track = 1430, loaded_radius = 283}, {name = "rear", at = 2511, track = 1462, loaded_radius = 297}},
    parts = {sy.part "car" {mass = 611.3, at = {1307, 13, 341}},
      sy.tank "left tank" {capacity = 31, density = 0.741, fill = 22, at = {1402, -417, 263}},
      sy.tank "right tank" {capacity = 31, density = 0.741, fill = 22, at = {1402, 417, 263}}}}
end

test("of_several_tanks_one_burns", function()
  local r = of_two_tanks():stint{fuel = {22, 3}, tank = "left tank", show = {"cg_left", "mass"}}
  -- left of the centre plane: -(611.3 * 13 + 22 * 0.741 * 417 - u * 0.741 * 417) / (611.3 + 22 * 0.741 + u * 0.741)
  local still = 22 * 0.741
  check.near(r.mean.cg_left, mean_of_ratio(-(611.3 * 13 + still * 417), 0.741 * 417, 611.3 + still, 0.741, 22, 3), TINY * 10)
  check.near(r.mean.mass, 611.3 + still + 0.741 * 12.5, TINY * 10)
  check.near(r.car:tank("right tank").litres, 22, TINY)
  check.raises(function() return of_two_tanks():stint{fuel = {22, 3}} end, {code = "missing", field = "tank",
    message = "is not given, and left tank and right tank are aboard", hint = 'name one, as in tank = "left tank"'})
end)

test("the_only_tank_need_not_be_named", function()
  local bare = sy.car{title = "Bare (invented)", axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290},
    {name = "rear", at = 2400, track = 1420, loaded_radius = 300}}, parts = {sy.part "tub" {mass = 600, at = {1200, 30, 350}}}}
  local function tank(name) return sy.tank(name) {capacity = 45, density = DENSITY, fill = 40, at = {1700, 0, 300}} end
  local fuel = bare:add(tank "fuel"):stint()
  for _, car in ipairs{bare:add(tank "cell"), bare:add(sy.group "petrol" {tank "cell"}), bare:add(sy.group "fuel" {tank "cell"})} do
    local r = car:stint()
    check.equal({r.tank, r.from, r.to}, {"cell", 40, 0})
    check.equal(r.mean, fuel.mean)
  end
  check.contains(tostring(bare:add(tank "cell"):stint()), "a stint from 40 to 0 litres in cell")
  local one = of_two_tanks():without "right tank"
  check.equal(one:stint().tank, "left tank")
  check.raises(function() return one:without "left tank":stint() end, {code = "missing", field = "tank",
    message = "is not given, and none is aboard", hint = "choose a state with one"})
  check.raises(function() return bare:stint() end, {code = "missing", field = "tank", hint = "this car has none"})
end)

test("axes_and_datum_do_not_matter", function()
  local one = scenario_a.car(sy):balance()
  check.near(one.front_share, guess:balance().front_share, 1e-9)
  for _, forward in ipairs{false, true} do
    local car = scenario_a.car(sy, {forward = forward}):without "fuel":add(
      sy.tank "cell" {capacity = 45, density = DENSITY, fill = 10, at = {(forward and -1 or 1) * AT[1], 0, AT[3]}})
    local r = car:stint{fuel = {from = 40, to = 4}, tank = "cell"}
    local other = guess:stint{fuel = {from = 40, to = 4}}
    for _, name in ipairs(r.names) do check.near(r.mean[name], other.mean[name], 1e-9, name) end
    check.near(r.at, other.at, 1e-6)
  end
  local bistort = sy.load "vehicles/bistort.lua":state "race start" -- x forward from a bulkhead, z from a floor
  local r = bistort:stint{fuel = {28, 5}, show = {"height"}}
  check.near(r.car:balance().height, r.mean.height, 1e-9)
end)

-- As the tank is filled, down to what its line or its pick-up leaves in it; without either to nothing.
test("ends_of_the_fuel_that_are_not_given_are_the_tanks", function()
  local stays = core.number(core.fixed(twayblade:tank "fuel".unusable, 9))
  local usual = twayblade:stint()
  check.equal({usual.from, usual.to}, {30, stays})
  check.contains(tostring(usual), "From what is in the tank as the car is loaded down to what cannot be drawn.")
  check.equal(usual.mean, twayblade:stint{fuel = {30, stays}}.mean)
  local later = twayblade:fill{fuel = 21.5}:stint{step = 4}
  check.equal({later.from, later.to}, {21.5, stays})
  local begun, ended = twayblade:stint{fuel = {from = 25}}, guess:stint{fuel = {to = 4}}
  check.equal({begun.from, begun.to, ended.from, ended.to}, {25, stays, 40, 4})
  check.ok(not tostring(begun):find("From what", 1, true), "one end alone is spoken of")
  check.contains(tostring(begun), "Down to what cannot be drawn.")
  check.contains(tostring(guess:stint()), "From what is in the tank as the car is loaded down to an empty tank.")
  check.equal(guess:stint().to, 0)
end)

test("one_litre_is_one_litre", function()
  local r = twayblade:stint{fuel = {2, 0}, tank = "washer", step = 1, show = {"mass"}}
  check.near(r.at, 1, 1e-9, "mass is linear in the litres: half way")
  check.contains(tostring(r), "To set up, with 1 litre: ")
end)

test("what_does_not_change_is_set_up_half_way", function()
  local r = guess:stint{fuel = {40, 4}, show = {"unsprung.mass"}}
  check.near(r.at, 22, 1e-12)
  check.contains(tostring(r), "does not change in this stint")
end)

test("the_car_itself_stays_as_it_is", function()
  local before = tostring(twayblade:balance())
  twayblade:stint{fuel = {30, 4}, drivers = {{"driver", to = 17}, {"tall driver"}}}
  check.equal(tostring(twayblade:balance()), before)
  check.equal(guess:stint{fuel = {from = 40, to = 4}}.rows, guess:stint{fuel = {40, 4}}.rows)
end)

test("the_page_of_the_means_alone", function()
  local page = tostring(guess:stint{fuel = {40, 4}, mean = true})
  check.ok(not page:find "\n35 " and page:find "\nmean ", page)
end)

-- ---- refusals -----------------------------------------------------------------------------------------------------------------

local function refuses(o, code, field, words, car)
  check.raises(function() return (car or twayblade):stint(o) end, {code = code, field = field, message = words})
end

test("wrong_requests_are_refused_by_name", function()
  local fuel = {30, 4}
  local function driven(...) return {fuel = fuel, drivers = {...}} end
  refuses(30, "type", nil, "takes a table")
  refuses({fule = fuel}, "unknown", nil, 'no field "fule"')
  refuses({fuel = 30}, "type", "fuel", "must be {from =, to =}")
  refuses({fuel = {form = 30, to = 4}}, "unknown", "fuel", 'has no "form"')
  refuses({fuel = {30, 4, from = 30}}, "clash", "fuel", "says from twice")
  refuses({fuel = {sy.sd(30, 1), 4}}, "type", "fuel.from", "is exact")
  refuses({fuel = {12, 12}}, "range", "fuel", "nothing is burnt")
  refuses({fuel = {4, 30}}, "range", "fuel", "goes from 4 up to 30 litres")
  refuses({fuel = {to = 35}}, "range", "fuel", "goes from 30 up to 35 litres")
  refuses(nil, "range", "fuel", "from and to are both 0 litres: nothing is burnt", guess:fill{fuel = 0})
  refuses({fuel = {60, 4}}, "range", "fuel.from", "the tank holds 0 to 47.52")
  refuses({fuel = {30, -1}}, "range", "fuel.to", "must be 0 or more")
  refuses({fuel = {30, 1}}, "range", "fuel.to", "cannot be drawn")
  refuses({fuel = {30, 0 / 0}}, "range", "fuel.to", "")
  refuses({fuel = fuel, step = 0}, "range", "step", "must be 0.01 or more")
  refuses({fuel = fuel, step = -2}, "range", "step", "must be 0 or more")
  refuses({fuel = fuel, step = 0.011}, "limit", "step", "rows, 1000 are possible")
  refuses({fuel = fuel, step = "5"}, "type", "step", "")
  refuses({fuel = fuel, show = {"frnt_share"}}, "unknown", "show", 'is called "frnt_share"')
  refuses({fuel = fuel, show = {}}, "type", "show", "must be a list")
  refuses({fuel = fuel, show = {[2] = "mass", [3] = "height"}}, nil, "show", "")
  refuses({fuel = fuel, show = {"transfer.roll"}}, "missing", "show", "need left_turn")
  refuses({fuel = {20, 4}, show = {"corners.lf"}}, "unavailable", "show", "is not known of this vehicle", guess)
  refuses({fuel = fuel, mean = 1}, "type", "mean", "must be true or false")
  refuses({fuel = fuel, tank = "engine"}, "type", "tank", "is not a single tank")
  refuses({fuel = {20, 4}}, "missing", "tank", "is not aboard", guess:without "fuel")
  refuses({fuel = fuel, drivers = {}}, "type", "drivers", "must be a list")
  refuses(driven({"tal driver"}), "unknown", "drivers[1].name", 'is called "tal driver"')
  refuses(driven({"engine"}), "type", "drivers[1].name", "is not a person")
  refuses(driven({to = 4}), "missing", "drivers[1].name", "is not given")
  refuses(driven({"driver", til = 4}), "unknown", "drivers[1]", 'has no "til"')
  refuses(driven({"driver", to = 17}), "clash", "drivers[1].to", "the stint ends at 4")
  refuses(driven({"driver", from = 28}), "clash", "drivers[1].from", "the stint begins at 30")
  refuses(driven({"driver", to = 17}, {"tall driver", from = 15}), "clash", "drivers[2].from", "driver ends at 17")
  refuses(driven({"driver", to = 17}, {"tall driver", from = 19}), "clash", "drivers[2].from", "driver ends at 17")
  refuses(driven({"driver"}, {"tall driver"}), "missing", "drivers[1].to", "the next does not say")
  refuses(driven({"driver", to = 31}), "range", "drivers[1].to", "begins with 30")
  refuses(driven({"driver", to = 17}, {"passenger"}), "clash", "drivers[2].name", "aboard already", twayblade:state "two up")
  refuses(driven({"tall driver"}), "missing", "drivers[1].name", "is not aboard", twayblade:state "kerb")
end)

check.done()
