--- Studies: what each variant answers is what a script gets that makes the same car and asks it.
--
-- 1e-12 of the value: a plan sums what a ledger sums in another order; the claim is that of study/plan.lua.

local check = dofile "tests/lua/check.lua"
local json = require "steelyard.print.json"
local sy = require "steelyard"
local test = check.test

local guess = sy.load("vehicles/first_guess.lua"):state "race start"
local sedge = sy.load "vehicles/sedge.lua"
local twayblade = sy.load "vehicles/twayblade.lua"

local function at(result, path)
  for key in path:gmatch "[^.]+" do result = result and result[key] end
  return result
end

-- The same but for rounding; lists entry by entry.
local function same(got, want, what)
  if type(want) ~= "table" then return check.near(got, want, 1e-12 * math.max(1, math.abs(want)), what) end
  check.equal(#got, #want, what)
  for i = 1, #want do same(got[i], want[i], ("%s, entry %d"):format(what or "list", i)) end
end

-- ---- which variants --------------------------------------------------------------------------------------------------------

test("grid_takes_all_with_all_the_last_fastest", function()
  local s = sy.study{guess, vary = {sy.vary("powertrain", "back", {-50, 20}), sy.vary("driver", "mass", 60, 100, 3)},
    show = {"front_share"}}
  check.equal({s.n, s.shape, s.method}, {6, {2, 3}, "grid"})
  check.equal(s.columns["powertrain back"]:list(), {-50, -50, -50, 20, 20, 20})
  check.equal(s.columns["driver mass"]:list(), {60, 80, 100, 60, 80, 100})
  local k = 0
  for _, back in ipairs{-50, 20} do
    for _, mass in ipairs{60, 80, 100} do
      k = k + 1
      local b = guess:move("powertrain", {back = back}):set("driver", {mass = mass}):balance()
      same(s.columns.front_share[k], b.front_share)
      same(s:variant(k):balance().front_share, b.front_share)
    end
  end
end)

test("one_at_a_time_leaves_the_others_as_the_car_has_them", function()
  local s = sy.study{guess, method = "one at a time", show = {"height"},
    vary = {sy.vary("battery", "up", {100, 200}), sy.vary("state", {"no driver", "no fuel"}), sy.vary("fuel", "fill", 5, 30, 2)}}
  check.equal(s.n, 6)
  check.equal({s.columns["battery up"][1], s.columns["battery up"][3], s.columns.state[1], s.columns.state[4]}, {100, nil, nil, "no fuel"})
  same(s.columns.height:list(), {guess:move("battery", {up = 100}):balance().height, guess:move("battery", {up = 200}):balance().height,
    guess:state("no driver"):balance().height, guess:state("no fuel"):balance().height, guess:fill{fuel = 5}:balance().height,
    guess:fill{fuel = 30}:balance().height})
  check.contains(tostring(s), "as booked")
end)

test("list_takes_the_rows_given_by_name_or_in_order", function()
  local vary = {sy.vary("battery", "back", 0, 500), sy.vary("state", {"race start", "no fuel"})}
  local s = sy.study{guess, vary = vary, show = {"mass"}, method = "list", points = {{120, "no fuel"}, {["battery back"] = 7},
    {state = "no fuel"}}}
  check.equal({s.n, s.columns["battery back"][2], s.columns["battery back"][3], s.columns.state[1], s.columns.state[2]},
    {3, 7, nil, "no fuel", nil})
  same(s.columns.mass[1], guess:state("no fuel"):move("battery", {back = 120}):balance().mass)
end)

test("settings_go_to_what_is_shown_and_states_come_first", function()
  local s = sy.study{twayblade, vary = {sy.vary("left_turn", {0.4, 1}), sy.vary("state", {"kerb", "race start"}), sy.vary("fuel", "fill",
    {10, 30})},
                     show = {"transfer.roll", "mass"}, bars = "off"}
  local k = 0
  for _, g in ipairs{0.4, 1} do
    for _, state in ipairs{"kerb", "race start"} do
      for _, litres in ipairs{10, 30} do
        k = k + 1
        local car = twayblade:state(state):fill{fuel = litres}
        same(s.columns.mass[k], car:balance().mass)
        same(s.columns["transfer.roll"][k], car:transfer{left_turn = g, bars = "off"}.roll)
      end
    end
  end
end)

test("change_makes_any_car_of_the_row", function()
  local s = sy.study{guess, vary = {sy.vary("ballast", {0, 12}), sy.vary("powertrain", "back", {0, 30})}, show = {"mass", "front_share"},
    change = function(car, row)
      if row.ballast == 0 then return car end
      return car:add(sy.part "ballast" {mass = row.ballast, at = {row["powertrain back"], 0, 120}})
    end}
  same(s.columns.mass[4], guess:balance().mass + 12)
  same(s.columns.front_share[4],
    guess:move("powertrain", {back = 30}):add(sy.part "ballast" {mass = 12, at = {30, 0, 120}}):balance().front_share)
  check.equal(s:variant(4):balance().mass, s.columns.mass[4])
end)

-- ---- what is answered ------------------------------------------------------------------------------------------------------

test("quantities_of_every_set_are_those_of_the_calls_with_their_uncertainties", function()
  local names = {"mass", "mass_with_growth", "axle.rear", "cg.x", "yaw_inertia", "corners.lf", "corners.cross_share",
    "attitude.heights.front",
    "attitude.rake", "transfer.front_transfer_share", "transfer.gain.lf", "transfer.first_lift.g", "stability.ssf", "stability.tip.left",
    "shafts.worst_angle", "clearances.tightest", "handling.heaviest", "usable.fuel"}
  local car = twayblade:state "race start"
  local s = sy.study{car, vary = {sy.vary("engine", "back", {0, 13})}, show = names, left_turn = 0.3, uncertainty = true}
  local moved = car:move("engine", {back = 13})
  local balance, turn = moved:balance(), {left_turn = 0.3}
  local of = {corners = moved:corners(), attitude = moved:attitude(), transfer = moved:transfer(turn), stability = moved:stability()}
  for _, name in ipairs(names) do
    local set, path = name:match "^(%a+)%.(.+)$"
    local value, sd
    if of[set] then value, sd = at(of[set], path), at(of[set].sd, path)
    elseif not set or set == "axle" or set == "cg" then value, sd = at(balance, name), at(balance.sd, name) end
    if value then
      same(s.columns[name][2], value, name)
      if sd then check.near(s.sd[name][2], sd, 1e-9 * sd, name .. ", sd") else check.equal(s.sd[name][2], nil, name .. ", sd") end
    end
    check.ok(s.columns[name][2], name)
  end
  check.near(s.columns["shafts.worst_angle"][2], moved:shafts().worst_angle, 1e-9)
  check.near(s.columns["clearances.tightest"][2], moved:clearances().tightest, 1e-9)
  local heaviest = 0
  for _, row in ipairs(moved:handling()) do
    if row.whole or row.kind ~= "group" then heaviest = math.max(heaviest, row.mass or 0) end
  end
  check.equal(s.columns["handling.heaviest"][2], heaviest)
  check.near(s.columns["usable.fuel"][2], moved:tank("fuel").usable, 1e-9)
end)

test("what_the_vehicle_lacks_is_unknown_in_every_variant_counted_and_said", function()
  local s = sy.study{guess, vary = {sy.vary("engine", "back", {0, 13})}, show = {"clearances.tightest", "corners.lf", "f", "mass"}}
  for i, name in ipairs{"clearances.tightest", "corners.lf", "f"} do
    check.equal({s.columns[name][1], s.columns[name]:max(), s.outputs[i].unknown, s.summary[name]}, {nil, nil, 2, nil})
  end
  check.equal(s.outputs[4].unknown, 0)
  check.contains(tostring(s), "Tightest gap is unknown in every variant.")
  check.contains(tostring(s), "Axle \"front\", spring_rate: is not given")
end)

test("an_axle_that_moves_says_what_goes_along", function()
  local s = sy.study{guess, vary = {sy.vary("rear axle", "back", 0, 120, 3)}, show = {"wheelbase", "shafts.worst_angle"}}
  for i, want in ipairs{2450, 2510, 2570} do check.near(s.columns.wheelbase[i], want, 1e-9) end
  check.contains(table.concat(s.notes, "\n"),
    "with the rear axle go rear corner and the outer joint of right half-shaft; all else stays")
  local half = sy.study{sedge, vary = {sy.vary("front axle", "forward", 0, 20, 2)}, show = {"wheelbase"}}
  check.contains(table.concat(half.notes, "\n"), "front wishbones (50 % of the way)")
  local torn = sy.study{twayblade, vary = {sy.vary("crankcase", "back", 0, 20, 2)}, show = {"mass"}}
  check.contains(table.concat(torn.notes, "\n"), "are bolted together and were moved apart")
end)

-- ---- limits ------------------------------------------------------------------------------------------------------------------

test("limits_of_the_file_and_of_the_study_judge", function()
  local s = sy.study{guess, vary = {sy.vary("powertrain", "back", {-60, 0, 60, 120})}, show = {"front_share"},
    limits = {front_share = {max = 42.9}}}
  for i = 1, s.n do
    local value, sd = s.columns.front_share[i], guess:move("powertrain", {back = s.columns["powertrain back"][i]}):balance().sd.front_share
    local inside = math.min(value - 41, 42.9 - value)
    check.equal(s.verdict[i], inside < 0 and "fail" or inside < 1.96 * sd and "near" or "pass")
  end
  check.equal(s.counts, {pass = 0, near = 3, fail = 1, unknown = 0})
  check.equal({s.feasible, s.status}, {3, "near"})
end)

test("limits_that_name_states_judge_the_variant_in_them", function()
  local s = sy.study{sedge, vary = {sy.vary("battery", "mass", {11, 60})}, show = {"mass"}}
  for i = 1, 2 do
    local checks = sedge:set("battery", {mass = s.columns["battery mass"][i]}):checks()
    check.equal(s.verdict[i], checks.status)
  end
end)

test("no_feasible_variant_is_a_failure_of_the_command", function()
  local s = sy.study{guess, vary = {sy.vary("powertrain", "back", {0, 10})}, show = {"mass"}, limits = {mass = {max = 700}}}
  check.equal({s.feasible, s.status, s.counts.fail}, {0, "fail", 2})
  check.contains(tostring(s), "No variant keeps the limits.")
  local ran = check.command(check.steelyard .. " window vehicles/first_guess.lua --front 50,51")
  check.equal(ran.code, 3, "the file's own limit is 41 to 43, which nothing keeps besides")
  check.equal(check.command(check.steelyard .. " window vehicles/first_guess.lua --back=-200,-150,2").code, 4)
end)

-- ---- worst over ----------------------------------------------------------------------------------------------------------------

test("worst_over_items_keeps_the_ends_where_they_are_and_the_worst_word", function()
  local vary = {sy.vary("driver", "mass", 60, 100, 3), sy.vary("powertrain", "back", {0, 60}), sy.vary("fuel", "fill", {5, 40})}
  local flat = sy.study{guess, vary = vary, show = {"front_share", "height"}}
  local s = sy.study{guess, vary = vary, show = {"front_share", "height"}, worst_over = {"driver", "fuel fill"}}
  check.equal({s.n, s.folded}, {2, {"driver mass", "fuel fill"}})
  local rank = {pass = 1, near = 2, unknown = 3, fail = 4}
  for u, back in ipairs{0, 60} do
    local low, high, low_at, high_at, word = math.huge, -math.huge, nil, nil, "pass"
    for i = 1, flat.n do
      if flat.columns["powertrain back"][i] == back then
        local value = flat.columns.front_share[i]
        local where = ("%d kg, %d L"):format(flat.columns["driver mass"][i] // 1, flat.columns["fuel fill"][i] // 1)
        if value < low then low, low_at = value, where end
        if value > high then high, high_at = value, where end
        if rank[flat.verdict[i]] > rank[word] then word = flat.verdict[i] end
      end
    end
    same({s.lowest.front_share[u], s.highest.front_share[u]}, {low, high})
    check.equal({s.lowest_at.front_share[u], s.highest_at.front_share[u], s.verdict[u]}, {low_at, high_at, word})
    same(s.columns.front_share[u], guess:move("powertrain", {back = back}):balance().front_share, "as the car has what is folded")
  end
end)

test("worst_over_states_asks_the_car_in_each", function()
  local s = sy.study{guess, vary = {sy.vary("powertrain", "back", {0, 60})}, show = {"height"}, worst_over = {"no driver", "no fuel"}}
  for u, back in ipairs{0, 60} do
    local car = guess:move("powertrain", {back = back})
    local a, b = car:state("no driver"):balance().height, car:state("no fuel"):balance().height
    same({s.lowest.height[u], s.highest.height[u]}, {math.min(a, b), math.max(a, b)})
    check.equal(s.lowest_at.height[u], a < b and "no driver" or "no fuel")
  end
end)

test("what_is_not_known_somewhere_has_no_worst", function()
  local s = sy.study{sedge, vary = {sy.vary("engine", "back", {0, 10})}, show = {"usable.fuel"}, worst_over = {"race start", "kerb"},
                     limits = {["usable.fuel"] = {min = 1}}}
  check.ok(s.lowest["usable.fuel"][1] == nil or s.lowest["usable.fuel"][1] <= s.highest["usable.fuel"][1])
end)

-- ---- lines that run as they stand ----------------------------------------------------------------------------------------------

test("studies_of_demo_cars_run_as_they_stand", function()
  for _, name in ipairs{"twayblade", "tansy", "bistort", "burnet"} do
    local car = sy.load("vehicles/" .. name .. ".lua")
    local has = {}
    for _, state in ipairs(car:states()) do has[state] = true end
    local what = pcall(car.move, car, "powertrain", {back = 1}) and "powertrain" or pcall(car.move, car, "engine", {back = 1}) and "engine"
    if what and has["race start"] and has["two up"] then
      local s = sy.study{car, vary = {sy.vary(what, "back", -40, 60, 6), sy.vary("rear axle", "back", 0, 120, 7)},
                         show = {"front_share", "yaw_index", "shafts.worst_angle", "clearances.tightest"}, worst_over = {"race start",
                           "two up"}}
      check.equal({s.n, #s.lowest.front_share:list()}, {42, 42}, name)
      check.contains(tostring(s), "With the rear axle go ", name)
    end
  end
  local car = twayblade
  local s = sy.study{car, vary = {sy.vary("front axle", "bar_rate", 0, 20, 11)}, show = {"transfer.front_transfer_share",
    "transfer.roll"}, left_turn = 1}
  check.equal(s.n, 11)
  for i = 2, 11 do
    check.ok(s.columns["transfer.front_transfer_share"][i] > s.columns["transfer.front_transfer_share"][i - 1],
      "a stiffer front bar takes more, which")
    check.ok(s.columns["transfer.roll"][i] < s.columns["transfer.roll"][i - 1], "and rolls less, which")
  end
end)

-- ---- planned and one by one ------------------------------------------------------------------------------------------------------

-- A function that changes nothing has every variant made and asked by itself.
local function unchanged(car) return car end

local function studies_of(car, o)
  local function study(change)
    local all = {car, change = change}
    for key, value in pairs(o) do all[key] = value end
    return sy.study(all)
  end
  return study(nil), study(unchanged)
end

local function same_columns(a, b, names, what)
  for _, field in ipairs{"columns", "sd", "lowest", "highest"} do
    for _, name in ipairs(a[field] and names or {}) do
      for i = 1, a[field][name] and a.n or 0 do
        local value, want = a[field][name][i], b[field][name][i]
        local where = ("%s: %s %s of variant %d"):format(what, field, name, i)
        check.equal(value == nil, want == nil, where)
        if want then check.near(value, want, 1e-11 * math.max(1, math.abs(want)), where) end
      end
    end
  end
end

test("a_plan_and_asking_one_by_one_give_the_same", function()
  local cases = {
    {guess, {vary = {sy.vary("powertrain", "back", -50, 75, 6), sy.vary("rear axle", "back", {0, 40}), sy.vary("fuel", "fill", {5, 40})},
             show = {"front_share", "yaw_inertia", "shafts.worst_angle", "lf"}, limits = {front_share = {41.5, 42.8}}, uncertainty = true}},
    {sedge, {vary = {sy.vary("engine", "nose_up", 0, 4, 3), sy.vary("state", {"race start", "two up"}), sy.vary("front axle", "track",
      {1300, 1380})},
             show = {"height", "cross_share", "corners.lf", "stability.ssf"}, worst_over = {"state"}}},
    {twayblade, {vary = {sy.vary("left_turn", {0.3, 0.9}), sy.vary("front axle", "bar_rate", {0, 12}), sy.vary("driver", "mass", {60, 95})},
                 show = {"transfer.roll", "transfer.front_transfer_share", "mass"}, worst_over = {"driver"},
                   limits = {["transfer.roll"] = {max = 1.3}}}},
    {sy.load "vehicles/tansy.lua", {vary = {sy.vary("engine", "back", -20, 20, 3)}, show = {"front_share", "attitude.heights.front",
      "clearances.tightest"}}},
  }
  for k, case in ipairs(cases) do
    local planned, singly = studies_of(case[1], case[2])
    same_columns(planned, singly, case[2].show, "case " .. k)
    check.equal(planned.counts, singly.counts, "case " .. k)
    if planned.verdict then check.equal(planned.verdict:list(), singly.verdict:list(), "case " .. k) end
    check.equal(singly.solved_singly, singly.n * (singly.folded and 2 or 1))
  end
end)

test("a_study_is_the_same_bytes_for_any_number_of_threads", function()
  local function text(threads)
    local s = sy.study{guess, vary = {sy.vary("powertrain", "back", -50, 75), sy.vary("fuel", "fill", 5, 40),
      sy.vary("rear axle", "back", 0, 40)},
      method = "latin", points = 1009, show = {"front_share", "corners.lf", "shafts.worst_angle"}, limits = {front_share = {41.5, 42.8}},
      threads = threads}
    return json.encode(s) .. tostring(s)
  end
  local one = text(1)
  for _, threads in ipairs{2, 3, 5, 64} do check.ok(text(threads) == one, threads) end
  check.ok(text(nil) == one, "as many as there are processors")
  for _, bad in ipairs{0, 65, 1.5, "two"} do
    local err = check.raises(function() text(bad) end)
    check.equal(err.field, "threads")
  end
end)

test("variants_that_lift_or_run_liquid_are_counted_as_solved_singly", function()
  local dry = twayblade:set("fuel", {fill = 0})
  local function of(car, o)
    o[1], o.show, o.quiet = car, o.show or {"transfer.roll", "mass"}, true
    return sy.study(o)
  end
  local turn = sy.vary("left_turn", 0.2, 2.2, 11)
  local s, lifts = of(dry, {vary = {turn}}), 0
  for i = 1, s.n do -- of the car by itself: what lifts a wheel, and what goes over
    local fine, t = pcall(dry.transfer, dry, {left_turn = s.columns.left_turn[i]})
    if not fine or #t.lifted > 0 then lifts = lifts + 1 end
  end
  check.ok(lifts > 1 and lifts < s.n - 1, lifts)
  check.equal(s.solved_singly, lifts)
  check.contains(tostring(s), ("Solved singly: %d of 11 variants."):format(lifts))
  for _, note in ipairs(s.notes) do check.ok(not note:find "needs left_turn", note) end
  check.equal(of(dry, {vary = {turn}, reduce = true}).solved_singly, lifts)
  check.equal(of(twayblade, {vary = {turn}}).solved_singly, 11, "its liquid runs")
  check.equal(of(dry, {vary = {sy.vary("powertrain", "back", 1, 11, 11)}, show = {"mass"}, change = function(c) return c end})
    .solved_singly, 11, "a function makes each car")
  local level = of(dry, {vary = {sy.vary("powertrain", "back", {-10, 20})}, show = {"mass", "corners.lf", "shafts.worst_angle"}})
  check.equal(level.solved_singly, 0)
  check.ok(not tostring(level):find "singly")
  local folded = of(dry, {vary = {turn, sy.vary("driver", "mass", {60, 100})}, worst_over = {"driver"}})
  check.equal({folded.n, folded.solved_singly >= lifts, folded.solved_singly <= 2 * (lifts + 1)}, {11, true, true})
end)

test("of_a_car_as_records_leave_it_a_plan_gives_what_each_car_gives", function()
  local built = sy.load("vehicles/sedge.lua"):as_built()
  local tansy = sy.load("vehicles/tansy.lua"):as_built()
  local cases = {
    {built, {sy.vary("engine", "back", -20, 30, 7), sy.vary("driver", "mass", {60, 78, 90})}, {"mass", "lf", "cross_share", "yaw_inertia"}},
    -- a line that goes on stating what it states keeps what the records made of it: 7.1 kg in the file
    {built, {sy.vary("coolant", "mass", {1.1, 3.1, 5.1, 7.1, 8.1, 9.1, 10.1})}, {"mass", "front_share", "corners.lf"}},
    {built, {sy.vary("fuel", "fill", {0, 5, 20, 25}), sy.vary("state", {"kerb", "race start"})}, {"mass", "front_share"}},
    {built, {sy.vary("rear axle", "back", -20, 40, 7), sy.vary("front axle", "track", {1300, 1350})}, {"left_share", "lf"}},
    {tansy, {sy.vary("powertrain", "up", -20, 20, 5), sy.vary("engine", "nose_up", -2, 3, 6)}, {"height", "corners.cross_share"}},
  }
  for k, case in ipairs(cases) do
    local planned, singly = studies_of(case[1], {vary = case[2], show = case[3], limits = {mass = {max = 900}}})
    same_columns(planned, singly, case[3], "case " .. k)
    check.ok(require("steelyard.study.made").from[planned].live.planned, k)
    check.equal(planned.verdict:list(), singly.verdict:list(), k)
  end
  local s = sy.study{built, vary = {sy.vary("engine", "back", -20, 30, 3)}, show = {"mass", "front_share"}, uncertainty = true}
  for i = 1, s.n do check.near(s.sd.front_share[i], s:variant(i):balance().sd.front_share, 1e-12, i) end
end)

-- 1e-12 of an uncertainty: sums of squares over the same errors, in another order. Enough cars that a plan has them; wheels and shares of
-- the diagonal rest on a cross weight that records measured.
test("uncertainties_of_many_cars_as_records_leave_them_are_those_of_each", function()
  local sedge_built, tansy_built = sedge:as_built(), sy.load("vehicles/tansy.lua"):as_built()
  local cases = {
    {sedge_built,
      {sy.vary("engine", "back", -20, 30, 7), sy.vary("driver", "left", -20, 20, 5), sy.vary("battery", "up", {0, 30, 70})},
      {"mass", "lf", "cross_share", "front_share", "height", "left_share"}},
    {sedge_built, {sy.vary("coolant", "mass", {1.1, 3.1, 7.1, 9.1}), sy.vary("fuel", "fill", 1, 25, 26)},
      {"mass", "rr", "diagonal_ratio"}},
    {tansy_built, {sy.vary("powertrain", "up", -20, 20, 11), sy.vary("engine", "nose_up", -2, 3, 10)}, {"height", "cross_share", "lr"}},
  }
  for k, case in ipairs(cases) do
    local s = sy.study{case[1], vary = case[2], show = case[3], uncertainty = true, limits = {mass = {max = 999}}}
    check.ok(require("steelyard.study.made").from[s].live.planned, k)
    for i = 1, s.n, 7 do
      local b = s:variant(i):balance()
      for _, name in ipairs(case[3]) do
        check.near(s.sd[name][i], b.sd[name], 1e-12 * b.sd[name], ("case %d: %s of variant %d"):format(k, name, i))
      end
    end
  end
end)

test("rows_that_leave_inputs_out_are_compiled_and_folded_by_what_they_say", function()
  local back, axle, mass = sy.vary("powertrain", "back", -50, 75, 21), sy.vary("rear axle", "back", 0, 40, 20),
    sy.vary("battery", "mass", 10, 30, 2)
  local function study(o)
    o[1], o.show, o.limits = guess, {"front_share", "height"}, {front_share = {41.5, 42.8}}
    return sy.study(o)
  end
  local s = study{vary = {back, axle, mass, sy.vary("driver", "mass", {60, 80, 100}), sy.vary("fuel", "fill", {5, 40})},
    method = "one at a time", worst_over = {"driver", "fuel"}}
  check.equal(s.n, 43)
  check.equal(s.solved_singly, 2 * 6, "of the battery there are too few")
  for _, i in ipairs{1, 8, 21, 22, 30, 41, 42, 43} do
    local car, lowest, highest = guess, math.huge, -math.huge
    if i <= 21 then car = car:move("powertrain", {back = back.values[i]})
    elseif i <= 41 then car = car:move("rear axle", {back = axle.values[i - 21]})
    else car = car:set("battery", {mass = mass.values[i - 41]}) end
    check.near(s.columns.front_share[i], car:balance().front_share, 1e-9, i)
    for _, kg in ipairs{60, 80, 100} do
      for _, litres in ipairs{5, 40} do
        local share = car:set("driver", {mass = kg}):set("fuel", {fill = litres}):balance().front_share
        lowest, highest = math.min(lowest, share), math.max(highest, share)
      end
    end
    check.near(s.lowest.front_share[i], lowest, 1e-9, i)
    check.near(s.highest.front_share[i], highest, 1e-9, i)
    if lowest < 41.5 or highest > 42.8 then check.equal(s.verdict[i], "fail", i) end
  end
  -- a list: what rows say differs from row to row
  local rows = {}
  for i = 1, 60 do
    rows[i] = i % 3 == 0 and {["powertrain back"] = i} or i % 3 == 1 and {["powertrain back"] = i, ["rear axle back"] = 60 - i} or {}
  end
  local o = {vary = {sy.vary("powertrain", "back", -60, 60), sy.vary("rear axle", "back", 0, 60)}, method = "list", points = rows,
    uncertainty = true}
  local list = study(o)
  o.change = unchanged
  local singly = study(o)
  same_columns(list, singly, {"front_share", "height"}, "list")
  check.equal({list.solved_singly, singly.solved_singly, list.verdict:list()}, {0, 60, singly.verdict:list()})
  check.equal(list.columns.front_share[2], list.asked.front_share, "a row that says nothing is the car itself")
end)

-- A block is what Ctrl-C waits for, some 50 ms: of cars on springs whose liquid runs, and of limits of stability, it holds few.
test("blocks_are_small_where_a_variant_takes_long", function()
  local function block(car, show, more)
    local o = {car, vary = {sy.vary("driver", "mass", 60, 90, 100)}, show = {show}, reduce = true, quiet = true}
    for key, value in pairs(more or {}) do o[key] = value end
    return require("steelyard.study.made").from[sy.study(o)].a.block
  end
  check.equal({block(guess, "mass"), block(sy.load "vehicles/tansy.lua", "corners.lf")}, {4096, 2048})
  check.equal({block(twayblade, "transfer.roll", {left_turn = 0.3}), block(guess, "stability.ssf")}, {64, 16})
end)

-- ---- fronts --------------------------------------------------------------------------------------------------------------------

test("front_is_that_of_brute_force_ties_and_unknown_with_it", function()
  local s = sy.study{guess, vary = {sy.vary("powertrain", "back", -60, 80, 15), sy.vary("battery", "back", -300, 900, 13)},
    show = {"yaw_inertia", "shafts.worst_angle", "front_share"}, front = {yaw_inertia = "least", front_share = "most",
      ["shafts.worst_angle"] = "least"}}
  local function key(i)
    return {s.columns.yaw_inertia[i], s.columns["shafts.worst_angle"][i], -s.columns.front_share[i]}
  end
  local want = {}
  for i = 1, s.n do
    local beaten = s.verdict[i] == "fail" or s.verdict[i] == "unknown"
    for k = 1, s.n do
      if s.verdict[k] == "pass" or s.verdict[k] == "near" then
        local a, b, no_worse, better = key(k), key(i), true, false
        for q = 1, 3 do
          no_worse, better = no_worse and a[q] <= b[q], better or a[q] < b[q]
        end
        beaten = beaten or no_worse and better
      end
    end
    if not beaten then want[#want + 1] = i end
  end
  table.sort(want, function(a, b)
    local x, y = key(a)[1], key(b)[1]
    if x ~= y then return x < y end
    return a < b
  end)
  check.ok(#want > 5, "a front of some length, which")
  check.equal(s.front, want)
end)

-- ---- what comes back -----------------------------------------------------------------------------------------------------------

-- An index of yaw inertia is none with the CG beyond the axles: within one block some variants have it and some do not. 1e-13: a thousand
-- roundings of a sum.
test("summary_leaves_out_variants_without_the_output_wherever_they_stand", function()
  local vary = {sy.vary("powertrain", "back", -6000, 6000, 1501)}
  local s = sy.study{guess, vary = vary, show = {"yaw_index", "front_share"}}
  local r = sy.study{guess, vary = vary, show = {"yaw_index", "front_share"}, reduce = true}
  local sum, known, least, most = 0, 0, math.huge, -math.huge
  for i = 1, s.n do
    local value = s.columns.yaw_index[i]
    if value then sum, known, least, most = sum + value, known + 1, math.min(least, value), math.max(most, value) end
  end
  check.ok(known > 100 and known < s.n - 100, known)
  check.equal({s.outputs[1].unknown, s.outputs[2].unknown}, {s.n - known, 0})
  check.equal({s.summary.yaw_index.min, s.summary.yaw_index.max}, {least, most})
  check.near(s.summary.yaw_index.mean, sum / known, 1e-13 * most)
  check.equal(r.summary, s.summary)
end)

test("summary_and_reduced_summary_are_the_same", function()
  local function of(reduce)
    return sy.study{guess, vary = {sy.vary("powertrain", "back", -50, 70, 37), sy.vary("driver", "mass", 60, 100, 9)},
      show = {"front_share", "height"},
                    reduce = reduce}
  end
  local s, r = of(false), of(true)
  local least, at_least, sum = math.huge, nil, 0
  for i = 1, s.n do
    local value = s.columns.front_share[i]
    if value < least then least, at_least = value, i end
    sum = sum + value
  end
  check.equal({s.summary.front_share.min, s.summary.front_share.at_min}, {least, at_least})
  check.near(s.summary.front_share.mean, sum / s.n, 1e-12) -- the order of a sum of 333 numbers of 40
  check.equal(r.summary, s.summary)
  check.equal(r.counts, s.counts)
  check.equal({next(r.columns), r.verdict, r.hash ~= s.hash}, {nil, nil, true})
  check.contains(tostring(r), "mean")
end)

-- Limits need columns of what they judge, others need none; a list goes by what its rows say.
test("reduced_studies_with_limits_say_what_whole_ones_do", function()
  local back, fuel, rows = sy.vary("powertrain", "back", -50, 75, 41), sy.vary("fuel", "fill", 5, 40, 30), {}
  for i = 1, 200 do
    rows[i] = i % 3 == 0 and {["powertrain back"] = i % 70} or i % 3 == 1 and {["powertrain back"] = i % 60, ["fuel fill"] = 5 + i % 30}
      or {["fuel fill"] = 5 + i % 7}
  end
  local limits = {front_share = {41.5, 42.8}}
  local cases = {
    {vary = {back, fuel}, show = {"mass", "front_share", "height"}, limits = limits},
    {vary = {back, fuel}, show = {"mass", "corners.lf", "shafts.worst_angle"}, limits = limits},
    {vary = {back, fuel}, show = {"mass"}, limits = limits, worst_over = {"fuel"}},
    {vary = {back, fuel}, show = {"mass", "height"}, limits = limits, method = "list", points = rows},
    {vary = {back, fuel}, show = {"mass", "height"}, method = "list", points = rows},
  }
  for k, case in ipairs(cases) do
    local function of(reduce, threads)
      local o = {guess, reduce = reduce, threads = threads, quiet = true}
      for key, value in pairs(case) do o[key] = value end
      return sy.study(o)
    end
    local whole = of(false, 1)
    check.ok(whole.summary.mass.mean > 500, k)
    for _, threads in ipairs{1, 2, 3, 5} do
      local reduced = of(true, threads)
      check.equal({reduced.summary, reduced.counts, reduced.solved_singly}, {whole.summary, whole.counts, whole.solved_singly},
        ("case %d, %d threads"):format(k, threads))
    end
  end
end)

test("asked_is_the_car_itself", function()
  local s = sy.study{guess, vary = {sy.vary("powertrain", "back", {-50, 20})}, show = {"front_share", "height"}}
  local b = guess:balance()
  check.equal(s.asked, {front_share = b.front_share, height = b.height})
  check.near(s.asked_sd.height, b.sd.height, 1e-12)
end)

test("json_has_null_and_csv_has_nothing_where_nothing_is_known", function()
  local s = sy.study{guess, vary = {sy.vary("state", {"race start", "no fuel"}), sy.vary("battery", "back", {0.5, 7})},
                     show = {"mass", "clearances.tightest"}, uncertainty = true}
  local folder = os.tmpname()
  os.remove(folder)
  os.execute("mkdir " .. folder)
  s:csv(folder .. "/s.csv")
  s:json(folder .. "/s.json")
  local lines = {}
  for line in io.lines(folder .. "/s.csv") do lines[#lines + 1] = line end
  check.equal({#lines, lines[1]}, {5, "state,battery back,mass,sd.mass,clearances.tightest,sd.clearances.tightest,verdict"})
  check.contains(lines[2], "race start,0.5,770.8,")
  check.contains(lines[2], ",,,near")
  local file <close> = assert(io.open(folder .. "/s.json"))
  local document = json.decode(file:read "a")
  check.equal(document.columns["clearances.tightest"], {json.null, json.null, json.null, json.null})
  check.equal({document.columns.mass[1], document.columns.state[3], document.verdict[1], document.n}, {770.8, "no fuel", "near", 4})
  os.execute("rm -r " .. folder)
end)

test("the_same_study_gives_the_same_bytes", function()
  local function page()
    return tostring(sy.study{twayblade, vary = {sy.vary("powertrain", "back", -40, 60, 3), sy.vary("rear axle", "back", 0, 120, 3)},
      show = {"front_share", "yaw_index", "shafts.worst_angle", "clearances.tightest"}, worst_over = {"race start", "two up"}})
  end
  check.equal(page(), page())
end)

test("shards_join_to_what_one_run_gives", function()
  local function study(more)
    local o = {guess, vary = {sy.vary("powertrain", "back", -50, 70, 37), sy.vary("driver", "mass", 60, 100, 9)}, show = {"front_share",
      "height"},
               worst_over = {"race start", "no fuel"}, front = {height = "least"}}
    for key, value in pairs(more) do o[key] = value end
    return sy.study(o)
  end
  local whole, folder = study{}, os.tmpname()
  os.remove(folder)
  os.execute("mkdir " .. folder)
  local paths = {}
  for k = 1, 3 do
    paths[k] = ("%s/%d"):format(folder, k)
    local one = study{to = paths[k], shard = {k, 3}, quiet = true}
    check.equal({one.shard, next(one.columns), one.status}, {{k, 3}, nil, nil})
  end
  local joined = sy.merge(paths)
  check.equal(tostring(joined), tostring(whole))
  check.equal({joined.hash, joined.counts, joined.front}, {whole.hash, whole.counts, whole.front})
  check.equal(joined.lowest.height:list(), whole.lowest.height:list())
  check.equal(json.encode(require("steelyard.reference.document").of(joined)),
    json.encode(require("steelyard.reference.document").of(whole)))
  check.raises(function() joined:variant(1) end, {code = "unavailable"})
  local path = folder .. "/whole.csv"
  study{to = path, quiet = true}
  local file <close> = assert(io.open(path))
  check.equal(select(2, file:read("a"):gsub("\n", "")), whole.n + 1)
  os.execute("rm -r " .. folder)
end)

test("more_variants_than_are_kept_say_how_many_and_shards_of_them_run", function()
  local stores_of = require "steelyard.study.stores"
  local _ <close> = setmetatable({stores_of.MOST}, {__close = function(kept) stores_of.MOST = kept[1] end})
  local path = os.tmpname()
  local function study(o)
    o[1], o.vary, o.show, o.quiet, o.replace = guess, {sy.vary("powertrain", "back", -50, 70, 41), sy.vary("fuel", "fill", 5, 40, 30)},
      {"front_share", "height"}, true, o.to and true or nil
    return sy.study(o)
  end
  local whole = study{}
  stores_of.MOST = 9000 -- 1230 x (2 x 8 + 1) bytes are three runs
  check.raises(function() study{} end, {code = "limit", field = "vary", message = "makes 1,230 variants", hint = "shard = {1, 3}"})
  local reduced, paths = study{reduce = true}, {}
  for k = 1, 3 do
    paths[k] = path .. "." .. k
    study{to = paths[k], shard = {k, 3}}
  end
  local joined = sy.merge(paths)
  check.equal({joined.n, joined.counts, joined.summary, joined.hash}, {whole.n, whole.counts, whole.summary, whole.hash})
  check.equal(joined.summary, reduced.summary)
  check.equal(next(joined.columns), nil)
  check.contains(joined.notes[1], "counts and extremes alone are joined")
  check.contains(tostring(joined), "Counts and extremes alone are joined")
  stores_of.MOST = 20000 -- 1230 points of two inputs are 19,680 bytes
  check.raises(function()
    sy.study{guess, vary = {sy.vary("powertrain", "back", -50, 70), sy.vary("fuel", "fill", 5, 40)}, method = "sobol", points = 1300,
      show = {"mass"}, reduce = true}
  end, {code = "limit", field = "points", message = "are 1,300"})
  for _, name in ipairs{path, table.unpack(paths)} do os.remove(name) end
end)

test("page_of_many_variants_is_short", function()
  local s = sy.study{guess, vary = {sy.vary("powertrain", "back", -50, 70, 41), sy.vary("driver", "mass", 60, 100, 21)},
    show = {"front_share", "height"}}
  local _, lines = tostring(s):gsub("\n", "\n")
  check.ok(lines < 40, lines .. " lines")
  check.contains(tostring(s), "861 variants")
  check.contains(tostring(s), "The best 6 and the worst 6:")
end)

test("what_is_not_aboard_in_any_state_asked_about_is_said", function()
  local start, vary = twayblade:state "race start", sy.vary("passenger", "back", -20, 20, 3)
  local function page(o)
    o[1], o.vary, o.show = start, o.vary or {vary}, {"front_share"}
    return tostring(sy.study(o))
  end
  check.contains(page{}, "Passenger is not aboard (race start): what was changed of it does not count here.")
  check.contains(page{worst_over = {"race start", "end of race"}}, "Passenger is not aboard (race start, end of race): what was changed")
  for _, o in ipairs{{worst_over = {"race start", "two up"}}, {vary = {vary, sy.vary("state", {"race start", "two up"})}}} do
    check.ok(not page(o):find("not aboard", 1, true), "passenger counts two up, and a note that says otherwise")
  end
end)

-- ---- what is refused -----------------------------------------------------------------------------------------------------------

local function refuses(more, want)
  local o = {guess, vary = {sy.vary("powertrain", "back", {-50, 20})}, show = {"front_share"}}
  for key, value in pairs(more) do o[key] = value end
  return check.raises(function() sy.study(o) end, want)
end

test("words_that_are_not_known_are_refused_with_the_nearest", function()
  refuses({shwo = 1}, {code = "unknown", message = 'sy.study has no field "shwo"', hint = 'did you mean "show"?'})
  refuses({left_trun = 1}, {code = "unknown", hint = 'did you mean "left_turn"?'})
  refuses({settings = {left_trun = 1}}, {code = "unknown", field = "left_trun", hint = 'did you mean "left_turn"?'})
  refuses({show = {"front_shar"}}, {code = "unknown", field = "show", message = 'no quantity is called "front_shar"',
    hint = 'did you mean "front_share"?'})
  refuses({show = {"transfer.rol"}}, {code = "unknown", field = "show", hint = 'did you mean "transfer.roll"?'})
  refuses({show = {"shafts.offset"}}, {code = "type", field = "show", message = "shafts.offset is a text; a study shows numbers"})
  refuses({show = {"mass", "mass"}}, {code = "clash", field = "show", message = "mass stands twice"})
  refuses({show = "mass"}, {code = "type", field = "show", hint = 'as in show = {"mass"}'})
  refuses({method = "sobl"}, {code = "unknown", field = "method", hint = 'did you mean "sobol"?'})
  refuses({method = "list"}, {code = "missing", field = "points"})
  refuses({method = "list", points = {{["powertrain bak"] = 3}}}, {code = "unknown", field = "points",
    hint = 'did you mean "powertrain back"?'})
  refuses({points = 5}, {code = "clash", field = "points"})
  refuses({worst_over = {"drivr"}, vary = {sy.vary("driver", "mass", {60, 70})}}, {code = "unknown", field = "worst_over",
    hint = 'did you mean "driver"?'})
  refuses({front = {mass = "smallest"}}, {code = "type", field = "front",
    message = '"mass" must be "least" or "most", is the text "smallest"'})
  refuses({change = 5}, {code = "type", field = "change"})
  refuses({vary = {sy.vary("powertrain", "back", -50, 20)}}, {code = "missing", field = "powertrain back",
    message = "has a range, -50 to 20, and no number of values"})
  check.raises(function() sy.study{"car.lua", vary = {}, show = {}} end, {code = "type", field = "car",
    hint = 'sy.load("car.lua") makes a car of a file'})
  check.raises(function() sy.study{vary = {}, show = {}} end, {code = "missing", field = "car"})
end)

test("settings_that_act_on_nothing_and_turns_that_are_not_said_are_refused", function()
  refuses({left_turn = 1}, {code = "clash", field = "left_turn", message = "changes nothing that is shown",
    hint = "it acts on transfer, as in show = {\"transfer.roll\"}"})
  refuses({show = {"transfer.roll"}}, {code = "missing", field = "show",
    message = "quantities of transfer need left_turn, right_turn, braking, drive or downforce"})
  refuses({left_turn = 1, settings = {left_turn = 2}, show = {"transfer.roll"}}, {code = "clash", field = "left_turn",
    message = "is given twice"})
end)

test("limits_that_contradict_are_refused", function()
  refuses({limits = {height = {360, 340}}}, {code = "clash", field = "limits",
    message = "height must be 360 or more and 340 or less: nothing can be both"})
  refuses({limits = {front_share = {min = 44}}}, {code = "clash", field = "limits",
    message = 'front_share must be 44 or more by this call and 43 or less by the file\'s limit "front share": nothing can be both'})
  refuses({limits = {height = {}}}, {code = "missing", field = "limits", message = "height has neither min nor max"})
  refuses({limits = {height = {mx = 5}}}, {code = "unknown", field = "limits", message = 'height has no "mx"',
    hint = 'did you mean "max"?'})
  refuses({limits = {heigth = {max = 5}}}, {code = "unknown", hint = 'did you mean "height"?'})
  refuses({limits = {360}}, {code = "type", field = "limits"})
end)

test("a_name_that_is_a_state_and_an_item_is_refused", function()
  local car = sy.car{title = "Both (invented)", axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290},
      {name = "rear", at = 2400, track = 1420, loaded_radius = 300}},
    parts = {sy.part "tub" {mass = 600, at = {1200, 0, 350}}, sy.part "kerb" {mass = 6, at = {700, 0, 350}}}, states = {sy.state "kerb" {}}}
  check.raises(function()
    sy.study{car, vary = {sy.vary("kerb", "mass", {5, 6}), sy.vary("tub", "back", {0, 1})}, show = {"mass"}, worst_over = {"kerb"}}
  end, {code = "clash", field = "worst_over", message = '"kerb" is a state of the file and an item that is varied',
    hint = 'write "kerb mass" for what is varied'})
end)

test("more_variants_than_memory_holds_are_refused_with_the_way_out", function()
  local list = {}
  for i, name in ipairs{"battery", "body", "tub and hoop", "exhaust"} do list[i] = sy.vary(name, "back", 0, 100, 200) end
  local err = refuses({vary = list}, {code = "limit", field = "vary",
    message = "makes 1,600,000,000 variants, 28 GB of columns; at most 8 GB are kept"})
  check.contains(err.hint, "reduce = true")
  check.contains(err.hint, "shard = {1, 4}")
  for i = 5, 20 do list[i] = sy.vary("battery", ("at.%s"):format(({"x", "y", "z"})[i % 3 + 1]), 0, 100, 100000) end
  list[5], list[6] = sy.vary("engine", "back", 0, 1, 9999999), sy.vary("engine", "up", 0, 1, 9999999)
  for i = 7, 20 do list[i] = nil end
  refuses({vary = list}, {code = "limit", field = "vary", message = "is a grid of more than 9e15 variants"})
end)

test("an_error_of_a_change_names_the_variant_and_keeps_the_line", function()
  local function change(car, row)
    if row["powertrain back"] == 20 then error "not at 20" end
    return car
  end
  local fine, err = pcall(sy.study, {guess, vary = {sy.vary("powertrain", "back", {-50, 20})}, show = {"mass"}, change = change})
  check.ok(not fine)
  check.contains(err, "test_study.lua:")
  check.contains(err, "not at 20 (in change, with powertrain back 20)")
  refuses({change = function(car, row) return car:move("battery", {back = row["powertrain back"] == 20 and 0 / 0 or 0}) end},
    {code = "range", field = "back"})
  local nan = refuses({change = function(car, row) return car:move("battery", {back = row["powertrain back"] == 20 and 0 / 0 or 0}) end})
  check.contains(nan.message, "must be a finite number (in ")
  -- of a function that ends in a call no line is left
  local function moved(car, row) return car:move("battery", {back = row["powertrain back"] == 20 and 0 / 0 or 0}) end
  local line = debug.getinfo(moved, "S").linedefined
  check.contains(refuses({change = moved}).message, ("test_study.lua:%d, change, with powertrain back 20)"):format(line))
  local function held(car, row)
    local other = car:move("battery", {back = row["powertrain back"] == 20 and 0 / 0 or 0})
    return other
  end
  check.contains(refuses({change = held}).message, ("test_study.lua:%d, change, with"):format(debug.getinfo(held, "S").linedefined + 1))
  refuses({change = function() end}, {code = "type", field = "change",
    message = "must give a car back, gave nothing (with powertrain back -50)"})
end)

test("a_variant_is_one_of_those_there_are", function()
  local s = sy.study{guess, vary = {sy.vary("powertrain", "back", {-50, 20})}, show = {"mass"}}
  check.raises(function() s:variant(3) end, {code = "range", message = "a variant is a number from 1 to 2, not the number 3"})
  check.raises(function() return s.colums end, {code = "unknown", hint = 'did you mean "columns"?'})
end)

check.done()
