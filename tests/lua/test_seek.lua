--- Searches: what is found is reached when it is done, limits hold in their states, the impossible is said, and no seed shows.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local dice = dofile("tests/lua/dice.lua")(41)
local json = require "steelyard.print.json"
local sy = require "steelyard"
local test = check.test

local guess = sy.load "vehicles/first_guess.lua":state "race start"
local twayblade = sy.load "vehicles/twayblade.lua"

-- ---- what is refused -------------------------------------------------------------------------------------------------------------

local back = sy.vary("powertrain", "back", -60, 80)

local function refuses(more, want)
  local o = {guess, vary = {back}, target = {front_share = 42.8}}
  for key, value in pairs(more) do o[key] = value end
  for key, value in pairs(o) do if value == "none" then o[key] = nil end end
  return check.raises(function() sy.seek(o) end, want)
end

test("words_that_are_not_known_are_refused_with_the_nearest", function()
  refuses({taget = 1}, {code = "unknown", message = 'sy.seek has no field "taget"', hint = 'did you mean "target"?'})
  refuses({target = {front_shar = 43}}, {code = "unknown", field = "target", message = 'no quantity is called "front_shar"',
    hint = 'did you mean "front_share"?'})
  refuses({target = {["transfer.rol"] = 2}}, {code = "unknown", field = "target", hint = 'did you mean "transfer.roll"?'})
  refuses({least = "yaw_inerta"}, {code = "unknown", field = "least", hint = 'did you mean "yaw_inertia"?'})
  refuses({target = {["shafts.offset"] = 2}}, {code = "type", field = "target", message = "shafts.offset is a text, not a number"})
  refuses({worst_over = {"race"}}, {code = "unknown", field = "worst_over"})
  refuses({settings = {left_trun = 1}}, {code = "unknown", field = "left_trun", hint = 'did you mean "left_turn"?'})
  check.raises(function() sy.seek "car" end, {code = "type", message = "sy.seek takes a table"})
  check.raises(function() sy.seek{vary = {back}} end, {code = "missing", field = "car"})
end)

test("wishes_that_are_none_or_two_are_refused", function()
  refuses({target = "none"}, {code = "missing", message = "sy.seek needs a target, or what is to be least or most"})
  refuses({least = "mass", most = "height"}, {code = "clash", field = "most"})
  refuses({least = {"mass"}}, {code = "type", field = "least", message = "must be the name of one quantity, is a table"})
  refuses({least = "front_share"}, {code = "clash", field = "least", message = "front_share is a target as well"})
  refuses({target = {}}, {code = "type", field = "target"})
  refuses({target = {43}}, {code = "type", field = "target", message = "must be a table by quantity, and has 1"})
  refuses({target = {cross_share = 50, cross_weight = 51}}, {code = "clash", field = "target",
    message = "cross_share and cross_weight are one quantity"})
  refuses({target = {front_share = "43"}}, {code = "type", field = "target", message = 'front_share, the value must be a number'})
  refuses({target = {front_share = {43, 0}}}, {code = "range", field = "target",
    message = "front_share is to be reached within 0; that must be above 0"})
  refuses({target = {front_share = {43, -1}}}, {code = "range", field = "target"})
  refuses({target = {front_share = {43, 1, 2}}}, {code = "unknown", field = "target", message = "front_share has 3 beside its value"})
end)

test("bounds_that_are_none_are_refused", function()
  check.raises(function() sy.vary("powertrain", "back", 20, 20) end, {code = "range", message = "from and to are both 20"})
  refuses({vary = {sy.vary("powertrain", "back", 80, -60)}}, {code = "range", field = "powertrain back",
    message = "has the bounds the wrong way round: 80 is above -60", hint = "write -60, 80"})
  refuses({vary = {sy.vary("powertrain", "back", {20})}}, {code = "range", message = "has one value, 20: there is nothing to seek"})
  refuses({vary = {sy.vary("state", {"race start"})}}, {code = "type", field = "state",
    message = "is a choice of words; what is sought lies between two bounds"})
  refuses({vary = {sy.vary("fuel", "fill", 5, 40, 2)}, worst_over = {"fuel"}}, {code = "missing", field = "vary",
    message = "has nothing left to seek: worst_over folds all of it"})
  refuses({vary = {back, sy.vary("fuel", "fill", 5, 40)}, worst_over = {"fuel"}}, {code = "missing", field = "fuel fill"})
  refuses({vary = {back, sy.vary("fuel", "fill", -5, 40)}}, {code = "range"})
  refuses({starts = 0}, {code = "range", field = "starts", message = "is 0, must be 1 to 256"})
  refuses({starts = 1.5}, {code = "type", field = "starts"})
  refuses({seed = "one"}, {code = "type", field = "seed"})
end)

test("limits_that_contradict_are_refused", function()
  refuses({limits = {front_share = {43, 42}}}, {code = "clash", field = "limits"})
  refuses({limits = {front_share = {43.5, 44}}, target = {front_share = 43}}, {code = "clash", field = "limits",
    message = 'front_share must be 43.5 or more by this call and 43 or less by the file\'s limit "front share": nothing can be both'})
  refuses({target = {front_share = 44}}, {code = "clash", field = "target",
    message = 'front_share is to be 44, and the file\'s limit "front share" asks for 43 or less: nothing can be both'})
  refuses({limits = {front_share = {41, 42}}}, {code = "clash", field = "target",
    message = "front_share is to be 42.8, and a limit asks for 42 or less: nothing can be both"})
end)

test("settings_that_act_on_nothing_are_refused", function()
  refuses({left_turn = 1}, {code = "clash", field = "left_turn", message = "changes nothing that is asked for",
    hint = 'it acts on transfer, as in target = {["transfer.roll"] = 1}'})
  refuses({target = {["transfer.roll"] = 1}}, {code = "missing", field = "target"})
end)

test("what_is_not_built_in_says_so_in_one_sentence", function()
  local path, loaded = package.cpath, package.loaded["steelyard.seek_nlopt"]
  package.cpath, package.loaded["steelyard.seek_nlopt"] = "", nil
  local fine, err = pcall(sy.seek, {guess, vary = {back}, target = {front_share = 42.8}})
  package.cpath, package.loaded["steelyard.seek_nlopt"] = path, loaded
  check.equal(fine, false)
  check.equal({err.code, tostring(err)}, {"unavailable",
    "sy.seek is not built in: it needs the library NLopt, with which this steelyard was not built"})
end)

if not check.can_seek then
  local r = check.command(check.steelyard
    .. ' seek vehicles/first_guess.lua --vary "powertrain back -60 80" --target "front_share 42.8"')
  test("the_command_says_so_too", function()
    check.equal({r.code, r.out}, {5, ""})
    check.equal(r.err, "steelyard: sy.seek is not built in: it needs the library NLopt, with which this steelyard was not built\n")
  end)
  check.done()
  return
end

test("quantities_that_nothing_moves_are_said_and_not_sought", function()
  refuses({target = {height = 340}}, {code = "clash", field = "target",
    message = "nothing that is varied moves height: it stays at 343, and 340 is asked for"})
  refuses({target = "none", least = "mass"}, {code = "clash", field = "least",
    message = "nothing that is varied moves mass: it stays at 770.8"})
  refuses({target = {cross_share = 51}}, {code = "clash", message = "nothing that is varied moves cross_share",
    hint = "the perches set it"})
  local r = sy.seek{guess, vary = {back}, target = {front_share = 42.8, mass = 770.8}} -- already there
  check.equal(r.possible, true)
end)

-- Who is not aboard in any of the states that count moves nothing; in one of them is enough.
test("what_is_sought_of_what_is_not_aboard_is_said_with_the_state", function()
  local start = twayblade:state "race start"
  local function ask(more)
    local o = {start, vary = {sy.vary("passenger", "back", -200, 200)}, target = {front_share = {41.5, 0.6}}}
    for key, value in pairs(more or {}) do o[key] = value end
    return sy.seek(o)
  end
  check.raises(function() ask{target = {front_share = 42}} end, {code = "clash", field = "target",
    message = "nothing that is varied moves front_share: passenger is not aboard (race start); it stays at 41.68, and 42 is asked for"})
  check.raises(function() ask{vary = {sy.vary("passenger", "mass", 50, 90), sy.vary("luggage", "back", -9, 9)},
    worst_over = {"race start", "end of race"}, target = {height = 320}} end, {code = "clash",
    message = "passenger is not aboard (race start, end of race) and luggage is not aboard (race start, end of race); it stays at"})
  local r = ask{worst_over = {"race start", "two up"}}
  check.equal(r.possible, true)
  check.ok(not tostring(r):find("not aboard", 1, true), "passenger counts two up, and a note that says otherwise")
  local engine = sy.vary("engine", "back", -50, 50)
  check.contains(tostring(ask{vary = {sy.vary("passenger", "back", -9, 9), engine}, target = {front_share = {42, 0.1}}}),
    "Passenger is not aboard (race start): what was changed of it does not count here.")
  local s = sy.sensitivity{start, vary = {sy.vary("passenger", "back", -9, 9), sy.vary("driver", "mass", 60, 100)}, show = {"front_share"}}
  check.contains(tostring(s), "Passenger is not aboard (race start): what is varied of it moves nothing.")
end)

-- ---- what is found -------------------------------------------------------------------------------------------------------------------

local function is_multiple(x, per) return math.abs(x * per - math.floor(x * per + 0.5)) < 1e-6 end

test("what_is_found_is_reached_when_it_is_done", function()
  local r = sy.seek{guess, vary = {back, sy.vary("battery", "back", -300, 900), sy.vary("driver", "mass", 60, 100)},
                    target = {front_share = 42.9, mass = 765}}
  check.equal(r.possible, true)
  check.equal(r.why, nil)
  local car = guess
  for _, move in ipairs(r.moves) do
    local item, way = move.name:match "^(%S+) (%S+)$"
    car = way == "mass" and car:set(item, {mass = move.value}) or car:move(item, {[way] = move.value})
    check.ok(is_multiple(move.value, move.unit == "kg" and 1000 or 100), move.words .. ": rounded to 0.01 mm and 1 g, which")
  end
  local b, of_r = car:balance(), r.car:balance()
  check.equal({b.front_share, b.mass}, {r.reached.front_share, r.reached.mass})
  check.equal({of_r.front_share, of_r.mass}, {r.reached.front_share, r.reached.mass})
  check.near(b.front_share, 42.9, r.within.front_share, "front")
  check.near(b.mass, 765, r.within.mass, "mass")
  check.near(r.misses.mass, b.mass - 765, 0, "misses")
  check.equal({r.within.front_share, r.within.mass}, {0.005, 0.05}) -- half a unit of the last place that is printed
  check.equal({r.sd.front_share, r.sd.mass}, {b.sd.front_share, b.sd.mass})
  check.equal(#r.limits, 2)
  for i, row in ipairs(car:checks()) do check.equal({r.limits[i].value, r.limits[i].status}, {row.value, row.status}) end
  check.equal(r.status, car:checks().status)
end)

test("what_is_found_can_be_said_to_what_if", function()
  local car = twayblade:state "race start"
  local vary = {sy.vary("driver", "mass", 60, 100), sy.vary("powertrain", "nose_up", -2, 2), sy.vary("front tyre", "out", -20, 20),
                sy.vary("chassis", "torsion", 3000, 9000), sy.vary("fuel", "fill", 10, 30)}
  local r = sy.seek{car, vary = vary, target = {front_share = 42.1, ["corners.lf"] = {151, 0.5}}}
  check.ok(r.possible, r.why)
  local changed = require "steelyard.command.changed"
  local tried = car
  for _, phrase in ipairs(r.what_if) do tried = changed.by(tried, phrase) end
  check.near(tried:balance().front_share, r.reached.front_share, 1e-9)
  check.near(tried:corners().lf, r.reached["corners.lf"], 1e-6, "kg: another way to the same rest of liquid and springs")
  local pushed = sy.seek{car, vary = {sy.vary("left_turn", 0.2, 0.9)}, target = {["transfer.roll"] = {1, 0.1}}}
  check.equal(pushed.what_if, nil, "a force is no change of the car")
  local both = sy.seek{car, vary = {sy.vary({"engine", "battery"}, "back", -60, 60)}, target = {front_share = 42}}
  check.equal(both.what_if, nil, "a list of parts turns about its joint CG")
end)

test("one_input_and_one_target_give_the_closed_form", function()
  -- 230 kg moved by s shift the share by 230 s / (770.8 x 2450); vehicles/first_guess.lua is scenario A
  local r = sy.seek{guess, vary = {back}, target = {front_share = 42.8}}
  local b = guess:balance()
  local want = -(42.8 - b.front_share) / 100 * 770.8 * 2450 / 230
  check.near(r.moves[1].value, want, 0.005 + 0.0005 / 100 * 770.8 * 2450 / 230, "half a step, and a tenth of what counts as reached")
end)

-- Random cars and bounds: the least of a grid is no less, and near the end of a fine one.
test("least_is_no_more_than_a_grid_has", function()
  for _ = 1, 12 do
    local parts = {sy.part "tub" {mass = dice.between(200, 400), at = {dice.between(900, 1300), 0, 350}}}
    for k = 1, 3 do
      parts[k + 1] = sy.part("p" .. k) {mass = dice.between(10, 150),
        at = {dice.between(-300, 2600), dice.between(-500, 500), dice.between(150, 600)}}
    end
    local car = sy.car{title = "Random (invented)", axes = {x = "back", y = "left", z = "up"}, parts = parts,
      axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1420, loaded_radius = 300}}}
    local share = car:balance().front_share
    local limits = {front_share = {share - 0.7, share + 0.5}, left_share = {48, 52}}
    local function vary(n) return {sy.vary("p1", "back", -200, 300, n), sy.vary("p2", "left", -150, 150, n)} end
    local grid = sy.study{car, vary = vary(41), show = {"yaw_inertia"}, limits = limits, quiet = true}
    local least
    for i, verdict in ipairs(grid.verdict) do
      local value = grid.columns.yaw_inertia[i]
      if verdict ~= "fail" and (not least or value < least) then least = value end
    end
    local r = sy.seek{car, vary = vary(), least = "yaw_inertia", limits = limits}
    check.equal(r.possible, least ~= nil, "possible")
    if least then
      check.ok(r.reached.yaw_inertia <= least + 1e-9, ("%.6f against %.6f of the grid, which"):format(r.reached.yaw_inertia, least))
      for _, row in ipairs(r.limits) do check.ok(row.status ~= "fail", row.name .. " is kept, which") end
    end
  end
end)

test("limits_of_states_hold_in_their_states", function()
  local function car(most)
    return sy.car{title = "Stated (invented)", axes = {x = "back", y = "left", z = "up"},
      axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1420, loaded_radius = 300}},
      parts = {sy.part "tub" {mass = 400, at = {1150, 0, 350}}, sy.part "engine" {mass = 150, at = {1700, 0, 320}},
               sy.person "driver" {mass = 80, at = {1000, 100, 370}}},
      states = {sy.state "empty" {without = {"driver"}}, sy.state "driven" {}},
      limits = {{name = "front, empty", quantity = "front_share", min = most, state = "empty"}}}
  end
  local o = {vary = {sy.vary("engine", "back", -100, 200)}, most = "cg_behind"}
  o.car = car(40):state "driven"
  local free = sy.seek(o)
  check.equal(free.moves[1].value, 200) -- nothing in the way
  local there = free.car:state "empty":balance().front_share
  o.car = car(there + 0.5):state "driven"
  local r = sy.seek(o)
  check.equal({r.possible, r.limits[1].state, r.status}, {true, "empty", "near"})
  check.ok(r.moves[1].value < 200, "the limit binds, which")
  check.equal(r.car:state "empty":balance().front_share, r.limits[1].value)
  check.near(r.limits[1].margin, 0, 0.01 * 100 * 150 / (550 * 2400), "one step of 0.01 mm")
  check.equal({r.binding[1].kind, r.binding[1].name}, {"limit", "front, empty (empty)"})
  -- 1 % of 550 kg on 2400 is 13200 kg mm, of 150 kg 88 mm, and the CG of 630 kg moves by 13200 / 630
  check.near(r.binding[1].gain, 13200 / 630, 1e-6, "gain")
end)

test("of_states_that_are_folded_the_worst_counts", function()
  local states = {"kerb", "race start", "end of race"}
  local r = sy.seek{twayblade, vary = {sy.vary("engine", "back", -60, 80)}, least = "yaw_inertia", worst_over = states}
  local worst, at = -1, nil
  for _, name in ipairs(states) do
    local value = r.car:state(name):balance().yaw_inertia
    if value > worst then worst, at = value, name end
  end
  check.equal({r.reached.yaw_inertia, r.reached_at.yaw_inertia}, {worst, at})
  local t = sy.seek{twayblade, vary = {sy.vary("engine", "back", -60, 80), sy.vary("battery", "back", -200, 900)},
                    target = {front_share = {41, 1}}, worst_over = states}
  check.equal(t.possible, true)
  local off = 0
  for _, name in ipairs(states) do off = math.max(off, math.abs(t.car:state(name):balance().front_share - 41)) end
  check.near(math.abs(t.misses.front_share), off, 1e-12, "the farthest off")
end)

-- One state is folded as several are: what is sought is judged in it, not as the car asked about is loaded.
test("one_state_alone_is_judged_as_it_is", function()
  local o = {twayblade:state "race start", vary = {sy.vary("engine", "back", -80, 80)}, target = {front_share = 42.3},
             worst_over = {"two up"}}
  local r = sy.seek(o)
  check.ok(r.possible, r.why)
  check.near(r.car:state "two up":balance().front_share, 42.3, r.within.front_share)
  check.equal({r.reached.front_share, r.reached_at.front_share}, {r.car:state "two up":balance().front_share, "two up"})
  check.near(r.asked.front_share, twayblade:state "two up":balance().front_share, 1e-12, "as booked, two up")
  for _, row in ipairs(r.limits) do
    if row.name == "front share" then check.equal(row.value, r.reached.front_share) end
  end
  local heavy = sy.seek{guess, vary = {back, sy.vary("driver", "mass", {100})}, worst_over = {"driver"}, target = {front_share = 42.8}}
  check.near(heavy.car:set("driver", {mass = 100}):balance().front_share, 42.8, heavy.within.front_share)
  check.equal(heavy.reached_at.front_share, "100 kg")
end)

test("what_is_folded_may_be_varied_values", function()
  local vary = {sy.vary("powertrain", "back", -60, 80), sy.vary("driver", "mass", {60, 100}), sy.vary("fuel", "fill", {5, 40})}
  local r = sy.seek{guess, vary = vary, most = "front_share", worst_over = {"driver", "fuel"}}
  local worst = 100
  for _, mass in ipairs{60, 100} do
    for _, litres in ipairs{5, 40} do
      worst = math.min(worst, r.car:set("driver", {mass = mass}):fill{fuel = litres}:balance().front_share)
    end
  end
  check.equal({r.reached.front_share, r.reached_at.front_share}, {worst, "60 kg, 5 L"})
  check.equal(#r.moves, 1)
end)

test("a_target_beside_what_is_least_is_kept", function()
  local r = sy.seek{guess, vary = {back, sy.vary("battery", "back", -300, 900)}, target = {front_share = {42.5, 0.02}},
                    least = "yaw_inertia"}
  check.equal(r.possible, true)
  check.near(r.reached.front_share, 42.5, 0.02, "front")
  check.ok(r.reached.yaw_inertia < guess:balance().yaw_inertia, "less than as booked, which")
  local kinds = {}
  for _, entry in ipairs(r.binding) do kinds[entry.kind] = entry end
  check.equal(kinds.target.name, "front_share")
  check.equal(kinds.target.gains, "yaw_inertia")
end)

test("few_values_are_kept_to", function()
  local r = sy.seek{guess, vary = {sy.vary("powertrain", "back", -60, 80, 8), sy.vary("battery", "back", {-200, 0, 333.3, 900})},
                    target = {front_share = {42.7, 0.1}}}
  local few = {[-200] = true, [0] = true, [333.3] = true, [900] = true}
  check.equal({r.possible, r.moves[1].value % 20, few[r.moves[2].value]}, {true, 0, true})
  check.contains(tostring(r), "one of 8 values")
end)

test("settings_and_rates_are_sought", function()
  local car = twayblade:state "race start"
  local r = sy.seek{car, vary = {sy.vary("left_turn", 0.1, 1.5)}, target = {["transfer.roll"] = {1.5, 0.01}}}
  local roll = car:transfer{left_turn = r.moves[1].value}.roll
  check.equal({r.possible, r.reached["transfer.roll"]}, {true, roll})
  check.near(roll, 1.5, 0.01, "roll")
  local t = sy.seek{car, vary = {sy.vary("front axle", "spring_rate", 20, 60)}, target = {["transfer.front_transfer_share"] = 50},
                    left_turn = 0.5}
  check.equal(t.possible, true)
  check.equal(t.car:transfer{left_turn = 0.5}.front_transfer_share, t.reached["transfer.front_transfer_share"])
end)

test("cars_measured_by_records_are_asked_one_by_one", function()
  local car = sy.load "vehicles/tansy.lua":as_built()
  local front = car:balance().front_share
  local r = sy.seek{car, vary = {sy.vary("driver", "back", -40, 40)}, target = {front_share = front + 0.1}, starts = 2}
  check.equal(r.possible, true)
  check.equal(r.car:balance().front_share, r.reached.front_share)
end)

-- ---- what is impossible ---------------------------------------------------------------------------------------------------------------

test("what_is_out_of_reach_gives_the_nearest_and_what_is_in_the_way", function()
  local r = sy.seek{guess, vary = {sy.vary("powertrain", "back", -20, 80)}, target = {front_share = 43}}
  check.equal({r.possible, r.status, r.car, #r.moves}, {false, "fail", nil, 0})
  check.equal(r.nearest.moves[1].value, -20)
  check.equal(r.nearest.car:balance().front_share, r.nearest.reached.front_share)
  check.near(r.nearest.misses.front_share, r.nearest.reached.front_share - 43, 0, "misses")
  local h = r.nearest.hinders[1]
  check.equal({#r.nearest.hinders, h.kind, h.name, h.value, h.gains}, {1, "bound", "powertrain back", -20, "front_share"})
  check.near(h.gain, 100 * 230 / (770.8 * 2450), 1e-9, "one mm of 230 kg on 770.8 and 2450")
  check.contains(tostring(r), "Impossible: front comes no nearer to 43 than 42.71 %.")
  check.contains(tostring(r), "In the way: powertrain at its bound, 20 forward (1 mm more room: front 0.0122 % nearer).")
end)

test("targets_that_contradict_are_said_to", function()
  local r = sy.seek{guess, vary = {back}, target = {front_share = {42.9, 0.01}, cg_behind = {1420, 1}}}
  check.equal(r.possible, false)
  check.contains(tostring(r), "of one another")
end)

test("a_limit_that_cannot_be_kept_is_named", function()
  local r = sy.seek{guess, vary = {back}, target = {front_share = 42.8}, limits = {mass = {max = 700}}}
  check.equal({r.possible, r.status}, {false, "fail"})
  check.contains(r.why, "the limit mass is broken: 70.8 kg over the limit")
  local t = sy.seek{guess, vary = {back, sy.vary("driver", "mass", 60, 100)}, least = "yaw_inertia", limits = {mass = {max = 740}}}
  check.equal({t.possible, t.nearest.moves[2].value, t.nearest.moves[1].value}, {false, 60, 0})
  check.equal({t.nearest.hinders[1].name, t.nearest.hinders[1].gains}, {"driver mass", "mass"})
  check.near(t.nearest.hinders[1].gain, 1, 1e-9, "a kilogram of the driver is one of the car")
end)

-- ---- what must not show -----------------------------------------------------------------------------------------------------------------

local function page(r) return (tostring(r):gsub("Sought from %d+ starts?", "Sought")) end

test("seeds_and_starts_do_not_show", function()
  local questions = {
    {guess, vary = {back, sy.vary("battery", "back", -300, 900)}, target = {front_share = 42.83}},
    {guess, vary = {back, sy.vary("battery", "back", -300, 900)}, least = "yaw_inertia", limits = {front_share = {42.1, 42.7}}},
    {guess, vary = {back, sy.vary("driver", "back", -80, 80), sy.vary("battery", "up", -100, 250)},
      target = {front_share = 42.7, height = {341, 0.5}}, least = "yaw_inertia"},
    {twayblade, vary = {sy.vary("engine", "back", -60, 80)}, target = {front_share = 44}, worst_over = {"kerb", "race start"}},
  }
  for k, question in ipairs(questions) do
    local first
    for round = 0, 7 do
      question.seed, question.starts = 1 + 97 * round, 3 + (5 * round) % 9
      local shown = page(sy.seek(question))
      first = first or shown
      check.equal(shown, first, ("question %d, round %d"):format(k, round))
    end
  end
end)

test("the_numbers_of_the_c_library_are_left_alone", function()
  math.randomseed(7)
  local want = math.random()
  math.randomseed(7)
  sy.seek{guess, vary = {back}, target = {front_share = 42.8}}
  check.equal(math.random(), want)
end)

test("the_document_holds_what_the_result_holds_but_cars", function()
  for _, target in ipairs{42.8, 42.99} do
    local r = sy.seek{guess, vary = {sy.vary("powertrain", "back", -30, 80)}, target = {front_share = target}}
    local d = json.decode(json.encode(r))
    check.equal({d.possible, d.method, d.tried.starts, d.car, d.status}, {r.possible, "SLSQP", 8, nil, r.status})
    local place = r.possible and d or d.nearest
    check.equal({place.moves[1].name, place.car}, {"powertrain back", nil})
    check.equal(place.reached.front_share, (r.possible and r or r.nearest).reached.front_share)
  end
end)

test("errors_of_what_is_asked_come_through", function()
  local fine, err = pcall(core.seek, {folds = 1, inputs = {{low = 0, high = 1, now = 0, per = 10, column = core.column(64)}},
    quantities = {{size = 1, column = core.column(64)}}, targets = {{quantity = 1, value = 1}}, limits = {}, aim = 0, aimed = 1,
    starts = 1},
    require "steelyard.seek_nlopt", function() error("asked", 0) end, function() end)
  check.equal({fine, err}, {false, "asked"})
end)

-- Squares of misses over bounds and linear limits have one least: every start must come to it, and in every convention of axes alike.
test("every_start_comes_to_the_nearest_place", function()
  local car = sy.load "vehicles/bistort.lua":state "race start"
  local rear, ahead = sy.vary("powertrain", "back", -30, 30), sy.vary("battery", "forward", -40, 90)
  for _, o in ipairs{{vary = {rear, ahead}, target = {front_share = 37.9}},
                     {vary = {rear, ahead, sy.vary("driver", "left", -30, 30)}, target = {front_share = 37.9, left_share = 48.5}}} do
    o[1] = car
    local r = sy.seek(o)
    check.equal({r.possible, r.tried.agree}, {false, r.tried.starts})
  end
end)

check.done()
