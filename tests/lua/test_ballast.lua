-- Ballast in slots from Lua. The search itself is held against brute force in tests/test_pack.c and tests/reference/oracle_ballast.py;
-- here: what counts in which state, what comes back, words, refusals.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local scenario_a = dofile "tests/lua/scenario_a.lua"
local sy = require "steelyard"
local test = check.test

local twayblade = sy.load "vehicles/twayblade.lua":state "race start"

local function nose(more)
  local slot = {"nose", at = {-500, 0, 200}, max = 15, step = 0.1}
  for key, value in pairs(more or {}) do slot[key] = value end
  return slot
end

-- ---- worked cases -----------------------------------------------------------------------------------------------------------

-- Scenario A by hand: 770.8 kg at x 1409.63 of 2450, so 42.464 % at the front; a kilogram 500 ahead of the axle counts 1 + 500/2450 there:
-- m = 770.8 (0.43 - 0.42464) / (1.20408 - 0.43) = 5.336 kg. Source: the arithmetic of tests/lua/scenario_a.lua, by NumPy.
test("one_slot_takes_what_the_lever_rule_says", function()
  local r = scenario_a.car(sy):ballast{target = {front_share = 43}, slots = {nose()}}
  check.ok(r.possible, r.why)
  check.near(r.placed[1].mass, 5.3, 1e-12) -- the nearest tenth of 5.336
  check.equal(r.placed[1].steps, 53)
  local slot = nose()
  slot.step = nil
  local grams = scenario_a.car(sy):ballast{target = {front_share = 43}, slots = {slot}}
  check.near(grams.placed[1].mass, 5.336, 0.0006, "to the gram")
  check.near(grams.after.front_share, 43, grams.within.front_share)
end)

test("two_seater_takes_12_6_kg_in_the_nose", function()
  local r = twayblade:ballast{target = {front_share = 43}, slots = {nose()}}
  check.ok(r.possible, r.why)
  check.near(r.added, 12.6, 1e-12)
  local brute -- the same by adding a tenth of a kilogram after the other
  for tenths = 0, 150 do
    local share = tenths == 0 and twayblade:balance().front_share
      or twayblade:add(sy.part "lead" {mass = tenths / 10, at = {-500, 0, 200}}):balance().front_share
    if not brute and math.abs(share - 43) <= r.within.front_share then brute = tenths / 10 end
  end
  check.near(brute, r.added, 1e-12)
  -- half of what the first tenth changes
  local first = twayblade:add(sy.part "lead" {mass = 0.1, at = {-500, 0, 200}}):balance().front_share - twayblade:balance().front_share
  check.near(r.within.front_share, first / 2, 1e-9)
  check.near(r.height_cost, r.after.height - twayblade:balance().height, 1e-9)
  check.near(r.yaw_cost, r.after.yaw_inertia - twayblade:balance().yaw_inertia, 1e-9)
  check.near(r.misses.front_share, r.after.front_share - 43, 1e-9)
end)

test("two_seater_cannot_have_both_shares", function()
  local r = twayblade:ballast{target = {left_share = 49.5, front_share = 43.5}, finish = {fuel = 4},
    slots = {{"nose floor", at = {300, -300, 20}, max = 15, step = 0.5}, {"rear tray", at = {2900, -300, 60}, max = 10}}}
  check.equal(r.possible, false)
  check.equal(r.placed, nil, "nothing is placed")
  check.near(r.nearest.reached.front_share, 42.59, 0.005)
  check.near(r.nearest.reached.left_share, 49.11, 0.005)
  check.ok(r.nearest.placed[1].full and not r.nearest.placed[2].full)
  check.contains(r.why, "nose floor is at its stop, full with 15 kg")
  check.contains(r.why, "nose floor 30 kg and rear tray 0 kg would come nearest")
  check.contains(tostring(r), "Not possible: nose floor is at its stop")
  check.equal(r.status, "fail")
end)

test("what_is_impossible_names_the_slot_and_how_much_it_would_have_to_hold", function()
  local r = scenario_a.car(sy):ballast{target = {front_share = 60}, slots = {nose()}}
  -- 770.8 (0.6 - 0.42464) / (1.20408 - 0.6) = 223.7
  check.equal(r.nearest.hinders[1].kind, "slot")
  check.near(r.nearest.hinders[1].needs, 223.7, 0.1)
  check.contains(r.why, "nose holds at most 15 kg and would have to hold 223.7 kg")
  local less = scenario_a.car(sy):ballast{target = {mass = 700}, slots = {nose()}}
  check.equal(less.nearest.hinders[1].kind, "targets")
  check.equal(less.nearest.added, 0)
end)

-- ---- the car that comes back ------------------------------------------------------------------------------------------------

-- A yaw index is no share: many masses are as light as one another, and which of them is named must not cost the answer.
test("what_would_do_is_said_of_answers_that_are_no_shares", function()
  local slots = {{"nose", at = {300, -300, 20}, max = 15, step = 0.5}, {"tray", at = {2900, -300, 60}, max = 10, step = 0.5},
                 {"sill", at = {1500, 500, 100}, max = 10, step = 0.5}}
  local r = twayblade:ballast{target = {left_share = 49, yaw_index = 0.75}, slots = slots}
  check.equal(r.possible, false)
  local would
  for _, h in ipairs(r.nearest.hinders) do would = would or h.kind == "limits" and h end
  check.ok(would, r.why)
  local car = twayblade
  for _, slot in ipairs(slots) do
    local mass = would.masses[slot[1]]
    if mass > 0 then car = car:add(sy.part(slot[1]){mass = mass, at = slot.at}) end
  end
  check.near(car:balance().left_share, 49, r.within.left_share)
  check.near(car:balance().yaw_index, 0.75, r.within.yaw_index)
end)

-- A box that stays open because a row is bent is parted at its widest, not a gram at a time: that took half a million cars.
test("a_yaw_index_to_the_gram_takes_few_cars", function()
  local slots = {{"nose", at = {-500, 0, 200}, max = 15}, {"left", at = {1200, -600, 100}, max = 15},
                 {"tail", at = {2900, 100, 300}, max = 15}}
  local r = twayblade:ballast{target = {yaw_index = 0.65}, slots = slots}
  check.ok(r.possible, r.why)
  check.ok(r.tried.combinations < 20000, r.tried.combinations)
  local function index(mass) return twayblade:add(sy.part "lead" {mass = mass, at = {-500, 0, 200}}):balance().yaw_index end
  -- a kilogram in the nose does most: a gram less there would not do, and less of anything else even less
  check.ok(math.abs(index(r.added) - 0.65) <= r.within.yaw_index)
  check.ok(math.abs(index(r.added - 0.001) - 0.65) > r.within.yaw_index)
end)

-- Was given up after two seconds without a word of what would do.
test("what_would_do_is_said_where_springs_say_it", function()
  local slots = {{"nose", at = {-500, 0, 200}, max = 15, step = 0.1}, {"left", at = {1200, -600, 100}, max = 15, step = 0.1},
                 {"tail", at = {2900, 100, 300}, max = 15, step = 0.1}}
  local r = twayblade:ballast{target = {["corners.lf"] = 152, ["corners.cross_share"] = 50.1}, slots = slots}
  check.equal(r.possible, false)
  local would
  for _, h in ipairs(r.nearest.hinders) do would = would or h.kind == "limits" and h end
  check.ok(would, r.why)
  local car = twayblade
  for _, slot in ipairs(slots) do
    local mass = would.masses[slot[1]]
    if mass > 0 then car = car:add(sy.part(slot[1]){mass = mass, at = slot.at}) end
  end
  check.near(car:corners().lf, 152, r.within["corners.lf"])
  check.near(car:corners().cross_share, 50.1, r.within["corners.cross_share"])
end)

test("car_given_back_has_the_ballast_as_parts", function()
  local r = twayblade:ballast{target = {front_share = 42.5, left_share = 49}, finish = {fuel = 4},
    slots = {{"left bar", at = {-500, -300, 200}, max = 15, step = 0.5}, {"tray", at = {2300, -300, 60}, max = 20, step = 0.5}}}
  check.ok(r.possible, r.why)
  local b = r.car:balance()
  check.equal(b.front_share, r.after.front_share)
  check.equal(b.mass, r.after.mass)
  check.near(b.mass - twayblade:balance().mass, r.added, 1e-9)
  for _, placed in ipairs(r.placed) do
    local row = r.car:book(placed.name).rows[1]
    check.near(row.mass, placed.mass, 1e-12, placed.name)
    check.near(row.cg.x, placed.at.x, 1e-9)
  end
  check.contains(r.car:heading(), "at left bar")
  -- asked again of that car: nothing more is needed
  local again = r.car:ballast{target = {front_share = {42.5, r.within.front_share}, left_share = {49, r.within.left_share}},
                              slots = {{"more", at = {0, 0, 100}, max = 5}}}
  check.ok(again.possible and again.added == 0, again.why)
  -- saved and loaded: the same car
  local path = os.tmpname()
  os.remove(path)
  r.car:save(path .. ".lua")
  local loaded = sy.load(path .. ".lua"):state "race start"
  os.remove(path .. ".lua")
  check.equal(loaded:balance().front_share, b.front_share)
  check.equal(loaded:balance().height, b.height)
  -- compared: changes and their uncertainties are those that the result says
  local change = sy.compare{twayblade, r.car, show = {"front_share"}}.rows[1]
  check.equal(change.changes[2], r.after.changes.front_share)
  check.equal(change.sd[2], r.after.changes_sd.front_share)
  local study = sy.study{r.car, vary = {sy.vary("fuel", "fill", {4, 30})}, show = {"front_share"}}
  check.near(study.columns.front_share[2], b.front_share, 1e-9)
end)

-- ---- states, limits, the finish ---------------------------------------------------------------------------------------------

local function kart(more)
  local fields = {
    title = "Kart (invented)", axes = {x = "forward", y = "left", z = "up"}, ground = -40,
    axles = {{name = "front", at = 700, track = 1050, loaded_radius = 130, spring_rate = 60, tyre_rate = 190},
             {name = "rear", at = -350, track = 1080, loaded_radius = 140, spring_rate = 70, tyre_rate = 200}},
    parts = {
      sy.part "frame" {mass = sy.sd(62, 0.3), at = {150, 5, 60}}, sy.part "engine" {mass = sy.sd(34, 0.2), at = {-200, -280, 140}},
      sy.group "pod" {at = {100, 300, 50}, turned = {nose_up = 20}, sy.part "cover" {mass = 2, at = {0, 0, 0}}},
      sy.tank "fuel" {capacity = 9, density = 0.745, fill = 8, at = {300, 0, 80}, shape = sy.box {300, 200, 150}},
      sy.person "driver" {mass = 71, at = {60, 20, 260}}},
    spares = {sy.person "heavy driver" {mass = 88, at = {60, 20, 270}}, sy.group "spare pod" {at = {100, -300, 50},
      sy.part "spare cover" {mass = 2, at = {0, 0, 0}}}},
    states = {sy.state "grid" {}, sy.state "heavy" {swap = {driver = "heavy driver"}}, sy.state "dry" {fill = {fuel = 1}}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

-- All combinations of the slots' steps, by car:add: those that `holds(car)` says yes to, the lightest.
local function brute_force(car, slots, holds)
  local best, at = nil, nil
  local function try(k, here, added, masses)
    if best and added > best + 1e-9 then return end
    if k > #slots then
      if holds(here) and (not best or added < best - 1e-9) then best, at = added, {table.unpack(masses)} end
      return
    end
    local slot = slots[k]
    for steps = 0, math.floor(slot.max / slot.step + 1e-9) do
      local mass = steps * slot.step
      masses[k] = mass
      try(k + 1, mass > 0 and here:add(sy.part(slot[1]) {mass = mass, at = slot.at}, slot.into) or here, added + mass, masses)
    end
  end
  try(1, car, 0, {})
  return best, at
end

test("limits_hold_as_loaded_at_the_finish_and_in_the_states_they_name", function()
  local limits = {{name = "weight", quantity = "mass", min = 183}, {name = "tail", quantity = "front_share", min = 39.2, max = 44},
                  {name = "heavy tail", quantity = "front_share", max = 40.9, state = {"heavy"}},
                  {name = "low", quantity = "height", max = 194}}
  local slots = {{"bar", at = {600, 0, 20}, max = 12, step = 1}, {"seat lead", at = {-100, 350, 60}, max = 12, step = 1}}
  local car = kart{limits = limits}:state "grid"
  local target = {left_share = {48, 0.6}}
  local r = car:ballast{target = target, slots = slots, finish = {fuel = 2}}
  local function holds(here)
    if math.abs(here:balance().left_share - 48) > 0.6 then return false end
    for _, at in ipairs{here, here:fill{fuel = 2}} do
      for _, row in ipairs(at:checks()) do
        if row.status == "fail" then return false end
      end
    end
    return true
  end
  local best, masses = brute_force(car, slots, holds)
  check.ok(best, "some combination holds")
  check.ok(r.possible, r.why)
  check.near(r.added, best, 1e-9)
  check.ok(holds(r.car))
  check.near(r.placed[1].mass + r.placed[2].mass, masses[1] + masses[2], 1e-9)
  -- without the limits of the finish and the state less would do: they bind
  local free = kart():state "grid":ballast{target = target, slots = slots}
  check.ok(free.added < r.added, "limits cost mass")
  local names = {}
  for _, b in ipairs(r.binding) do names[#names + 1] = b.name end
  check.equal(table.concat(names, ", "), "tail (finish)")
  local less = brute_force(car, slots, function(here)
    if math.abs(here:balance().left_share - 48) > 0.6 then return false end
    for k, at in ipairs{here, here:fill{fuel = 2}} do
      for _, row in ipairs(at:checks()) do
        if row.status == "fail" and not (k == 2 and row.name == "tail") then return false end
      end
    end
    return true
  end)
  check.near(r.binding[1].gain, r.added - less, 1e-9)
end)

test("a_limit_that_no_ballast_changes_is_said_and_not_searched_for", function()
  local car = kart{limits = {{name = "legs", quantity = "unsprung.mass", min = 5}, {name = "cross", quantity = "cross_share", max = 49}}}
  local r = car:ballast{target = {left_share = {50, 0.5}}, slots = {{"lead", at = {-100, 500, 60}, max = 15, step = 0.5}}}
  check.ok(r.possible, r.why)
  check.contains(table.concat(r.notes, "; "), "the limit legs is broken with and without ballast")
  check.contains(table.concat(r.notes, "; "), "the limit cross is not looked at: assumed, not weighed")
  check.equal(r.status, "fail", "the car with it still breaks one")
end)

test("minimum_is_judged_at_the_finish", function()
  local car = kart():state "grid"
  local slots = {{"lead", at = {100, 30, 20}, max = 20, step = 0.5}}
  local now, dry = car:balance().mass, car:fill{fuel = 1}:balance().mass
  local r = car:ballast{minimum = now, slots = slots, finish = {fuel = 1}}
  check.near(r.added, math.ceil((now - dry) / 0.5) * 0.5, 1e-9)
  check.near(r.minimum.mass, dry + r.added, 1e-9)
  check.near(r.minimum.margin, r.minimum.mass - now, 1e-9)
  check.near(r.minimum.mass, r.after_finish.mass, 1e-9)
  check.ok(r.minimum.sd > 0)
  check.equal(car:ballast{minimum = now, slots = slots}.added, 0, "without a finish as it is loaded")
  local no = car:ballast{minimum = now + 30, slots = slots}
  check.contains(no.why, "no masses in these slots hold the limits and the minimum")
  check.near(no.nearest.placed[1].mass, 20, 0)
  check.near(no.nearest.hinders[1].needs, 30, 0.5)
end)

-- Slots as parts: in groups that are turned, in a body set lower, in any state.
test("slots_lie_where_parts_would", function()
  local car = kart():state "heavy":lower{front = 12, rear = 20}
  local slots = {{"lead", at = {60, 40, -10}, max = 8, step = 0.5, into = "pod"}, {"bar", at = {500, 0, 10}, max = 6, step = 0.5}}
  local first = car:balance()
  local r = car:ballast{target = {height = {first.height - 3, 0.3}, left_share = {first.left_share + 1, 0.2}}, slots = slots}
  local best = brute_force(car, slots, function(here)
    local b = here:balance()
    return math.abs(b.height - first.height + 3) <= 0.3 and math.abs(b.left_share - first.left_share - 1) <= 0.2
  end)
  check.ok(best and r.possible, r.why)
  check.near(r.added, best, 1e-9)
  check.equal(r.car:book("pod/lead").rows[1].mass, r.placed[1].mass)
end)

-- On springs with liquid that runs and wheels that give: nothing is linear, and the search must not lose what stepping finds.
test("targets_on_springs_are_those_of_stepping", function()
  local car = kart():state "grid"
  local slots = {{"bar", at = {600, 200, 20}, max = 10, step = 1}, {"lead", at = {-300, -300, 60}, max = 10, step = 1}}
  local found = 0
  for _, target in ipairs{{["corners.lf"] = {33, 0.4}}, {["corners.cross_share"] = {50.2, 0.15}, ["corners.rr"] = {58.5, 0.8}},
                          {["corners.heights.front"] = {-0.2, 0.02}}, {yaw_inertia = {7.5, 0.2}}, {yaw_inertia = {12, 0.1}}} do
    local r = car:ballast{target = target, slots = slots}
    local best = brute_force(car, slots, function(here)
      local c, a, b = here:corners(), here:attitude(), here:balance()
      for name, t in pairs(target) do
        local value = name == "yaw_inertia" and b.yaw_inertia or name == "corners.heights.front" and a.heights.front
          or c[name:match "%.(.*)"]
        if math.abs(value - t[1]) > t[2] then return false end
      end
      return true
    end)
    check.equal(r.possible, best ~= nil, r.why)
    found = found + (best and 1 or 0)
    if best then check.near(r.added, best, 1e-9) end
  end
  check.equal(found, 4, "targets that can be had")
end)

test("a_car_as_built_is_placed_from_where_the_scales_found_it", function()
  local car = sy.load "vehicles/tansy.lua":as_built()
  local b = car:balance()
  local r = car:ballast{target = {front_share = {b.front_share + 0.4, 0.05}}, slots = {{"bar", at = {-300, 0, 150}, max = 20, step = 0.5}}}
  check.ok(r.possible, r.why)
  check.near(r.after.front_share, b.front_share + 0.4, 0.05)
  check.near(r.reached.front_share, r.after.front_share, 1e-9)
end)

-- What has no words for what_if has none, rather than words for something else.
test("words_to_try_are_of_what_they_can_say", function()
  local car = kart():state "grid"
  local function words(at, into)
    local r = car:ballast{minimum = car:balance().mass + 2, slots = {{"bar", at = at, into = into, max = 5, step = 0.5}}}
    return r.what_if, r.car:heading()
  end
  local list, heading = words{x = 600, y = -20.5, z = 20}
  check.equal(list, {"ballast 2 at bar (600,-20.5,20)"})
  check.contains(heading, "ballast 2 at bar (600,-20.5,20)")
  list, heading = words({60, 40, -10}, "pod")
  check.equal(list, nil, "inside a group, in its own coordinates")
  check.contains(heading, "ballast 2 at bar")
  check.equal((words{600, 0, sy.sd(20, 3)}), nil, "a place with an uncertainty of its own")
end)

-- ---- words ------------------------------------------------------------------------------------------------------------------

test("what_no_scale_can_see_is_said", function()
  local slot = nose()
  slot.step = nil
  local r = twayblade:ballast{target = {front_share = 43}, slots = {slot}}
  local said = tostring(r)
  check.contains(said, "Nose has no step: filled to the gram")
  check.contains(said, "common practice, no source")
  check.contains(said, "Half of what one step of the most effective slot changes counts as there: front to")
  local wide = twayblade:ballast{target = {front_share = {43, 0.2}}, slots = {nose()}}
  check.ok(not tostring(wide):find("Half of what", 1, true), "a window that was stated is not one of ours")
  check.contains(tostring(wide), "43 within 0.20")
end)

local function refuses(o, code, words, car)
  check.raises(function() return (car or twayblade):ballast(o) end, {code = code, message = words})
end

test("wrong_requests_are_refused_by_name", function()
  local t = {front_share = 43}
  refuses(nil, "type", "takes a table")
  refuses({traget = t, slots = {nose()}}, "unknown", 'no field "traget"')
  refuses({slots = {nose()}}, "missing", "what is to be reached?")
  refuses({target = t}, "missing", "where may ballast go?")
  refuses({target = t, slots = {}}, "missing", "no slot")
  refuses({target = {frnt_share = 43}, slots = {nose()}}, "unknown", 'no quantity is called "frnt_share"')
  refuses({target = {front_share = 143}, slots = {nose()}}, "range", "between 0 and 100")
  refuses({target = {front_share = {43, 0}}, slots = {nose()}}, "range", "must be above 0")
  refuses({target = {cross_share = 51}, slots = {nose()}}, "range", "is changed by nothing")
  refuses({target = {["transfer.roll"] = 1}, slots = {nose()}}, "unavailable", "under a force")
  refuses({target = {["corners.pitch"] = 0.1}, slots = {nose()}}, "unavailable", "not one that masses are sought for")
  refuses({target = {["unsprung.mass"] = 140}, slots = {nose()}}, "range", "is changed by nothing")
  refuses({target = {front_share = 46}, slots = {nose()}}, "clash", "the limit front share asks for 45 or less")
  refuses({target = t, slots = {nose{min = 16}}}, "clash", "above its max of 15")
  refuses({target = t, slots = {nose{step = 0}}}, "range", "must be above 0")
  refuses({target = t, slots = {nose{step = 16}}}, "clash", "more than the slot holds")
  refuses({target = t, slots = {nose{min = 0.12, max = 0.18}}}, "clash", "no whole number of these")
  refuses({target = t, slots = {nose{at = {1, 2}}}}, "missing", "has no z")
  refuses({target = t, slots = {nose(), nose()}}, "clash", "is the name of slot 1 too")
  refuses({target = t, slots = {nose{mx = 3}}}, "unknown", 'no field "mx"')
  refuses({target = t, slots = {nose{into = "nowhere"}}}, "unknown", 'is called "nowhere"')
  check.raises(function() twayblade:ballast{target = t, slots = {nose()}, finish = {feul = 4}} end, {code = "unknown", field = "finish",
    hint = 'did you mean "fuel"?'})
  refuses({target = t, slots = {nose()}, limits = {left_share = {min = 53}}}, "clash", "53 or more by this call and 52 or less")
  refuses({target = t, slots = {nose()}, finish = {fuel = 40}}, "range", "more than the 30 that are aboard")
  refuses({target = t, slots = {nose()}, minimum = 0}, "range", "must be above 0")
  refuses({target = t, slots = {nose()}, limits = {front_share = {46, 47}}}, "clash", "nothing can be both")
  refuses({target = t, slots = {nose()}}, "clash", "is not aboard", twayblade:state "mock-up")
  refuses({target = {left_share = 50}, slots = {{"frame", at = {0, 0, 0}, max = 5}}}, "clash", 'already a "frame"', kart())
  refuses({target = {left_share = 50}, slots = {{"lead", at = {0, 0, 0}, max = 5, into = "spare pod"}}}, "clash", "is not aboard", kart())
  refuses({target = {["corners.lf"] = 100}, slots = {nose()}}, "unavailable", "is not known", sy.load "vehicles/first_guess.lua")
end)

test("errors_point_at_the_slot", function()
  local _, err = pcall(function()
    return twayblade:ballast{target = {front_share = 43}, slots = {nose(), {"tray", at = {1, 2}, max = 3}}}
  end)
  check.equal(err.field, "slots[2].at")
  check.equal(err.file, nil)
end)

check.ok(core.pack, "the core has it")
check.done()
