-- Edits hold under all states: what a state adds, swaps or fills, an edit made by name acts on it, and it does not matter whether the
-- state or the edit came first. The car is measured forward from a bulkhead, left-handed, its ground and centre plane not at zero.
-- Under the command alone: it holds figures of cars against figures; what a locale or another Lua could change are texts, read by others.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function odd()
  return sy.car{
    title = "Odd (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -120, centre = 35,
    axles = {{name = "front", at = 1430, track = 1400, loaded_radius = 290}, {name = "rear", at = -970, track = 1420, loaded_radius = 300}},
    parts = {
      sy.part "tub" {mass = 210, at = {300, 35, 180}},
      sy.group "powertrain" {at = {-300, 35, 210},
        sy.part "engine" {mass = 96, at = {0, 0, 12}, stand_in = {mass = 14, at = {20, 0, 0}}},
        sy.part "transaxle" {mass = 61, at = {-560, 0, -40}},
        sy.part "starter" {mass = 4, at = {100, 60, -20}},
      },
      sy.group "crew" {at = {400, 0, 250},
        sy.person "driver" {mass = 78, at = {0, 215, 0}}, sy.part "cushion" {mass = 3, at = {0, 215, -100}}},
      sy.tank "fuel" {capacity = 40, at = {-100, 35, 190}, density = 0.745, fill = 30},
      sy.tank "saddle" {capacity = 10, at = {-100, 400, 190}, density = 0.745, fill = 4, pair = true, tags = {"liquids"}},
      sy.tank "washer" {capacity = 5, at = {1500, 35, 300}, density = 1, fill = 3, tags = {"liquids"}},
    },
    spares = {
      sy.person "passenger" {mass = 70, at = {400, -145, 250}}, sy.person "tall" {mass = 96, at = {390, 250, 252}},
      sy.person "short" {mass = 55, at = {420, 250, 240}}, sy.person "friend" {mass = 88, at = {400, -145, 255}},
      sy.part "pack" {mass = 130, at = {900, 35, 150}},
      sy.tank "big tank" {capacity = 60, at = {-100, 35, 190}, density = 0.745, fill = 50},
      sy.part "battery" {mass = 40, at = {-100, 35, 190}},
      sy.group "touring" {at = {-800, 35, 300}, sy.part "trunk" {mass = 9, at = {0, 0, 0}}, sy.part "rack" {mass = 5, at = {0, 0, 50}}},
    },
    states = {
      sy.state "two up" {with = {"passenger"}, fill = {fuel = 35}}, sy.state "tall one" {swap = {driver = "tall"}},
      sy.state "kerb" {without = {"driver"}, fill = {fuel = "90 %", saddle = 2, washer = 2}},
      sy.state "empty" {without = {"crew"}, fill = {fuel = 0}},
      sy.state "packed" {with = {"pack", "touring"}}, sy.state "trunk only" {with = {"touring/trunk"}},
      sy.state "mock-up" {stand_ins = true}, sy.state "mocked powertrain" {stand_ins = true, with = {"powertrain"}},
      sy.state "refitted" {without = {"powertrain"}, with = {"powertrain/engine"}},
    },
  }
end

local function key(car)
  local fine, b = pcall(car.balance, car)
  if not fine then return b.message end -- nothing aboard has a mass
  return string.pack("nnnnnn", b.mass, b.cg.x, b.cg.y, b.cg.z, b.front_share, b.yaw_inertia)
end

local function mass(car) return car:balance().mass end

test("what_a_state_adds_is_taken_out_by_name", function()
  local car = odd():state "two up"
  check.near(mass(car:without "passenger"), mass(car) - 70, 1e-9)
  check.ok(key(odd():without("passenger"):state "two up") == key(car:without "passenger"))
  check.near(mass(odd():state("packed"):without "pack"), mass(odd()) + 14, 1e-9)
  check.near(mass(odd():state("packed"):without "touring"), mass(odd()) + 130, 1e-9)
  check.near(mass(odd():state("packed"):without "touring/rack"), mass(odd()) + 130 + 9, 1e-9)
  check.near(mass(odd():state("tall one"):without "tall"), mass(odd()) - 78, 1e-9)
  check.near(mass(odd():state("tall one"):without "driver"), mass(odd()) - 78, 1e-9, "whoever sits there for the driver")
  check.near(mass(odd():state("tall one"):without "crew"), mass(odd()) - 81, 1e-9)
end)

test("stands_with_the_pack_and_without_it", function()
  local places = {at = {{-900, 400, -120}, {-900, -330, -120}, {200, -330, -120}, {200, 400, -120}}}
  local bare = odd():stands(places)
  places.without = {"pack", "touring"}
  local packed = odd():state("packed"):stands(places)
  check.near(packed.mass, bare.mass, 1e-9)
  check.near(packed.margin, bare.margin, 1e-9)
  check.near(packed.steps[1].mass, bare.mass + 144, 1e-9)
end)

test("who_was_swapped_in_stays_in_the_seat_under_every_state", function()
  local car = odd()
  check.near(mass(car:state("tall one"):swap("driver", "short")), mass(car) - 23, 1e-9)
  check.near(mass(car:state("tall one"):swap("tall", "short")), mass(car) - 23, 1e-9)
  check.near(mass(car:swap("driver", "short"):state "tall one"), mass(car) - 23, 1e-9)
  check.near(mass(car:swap("driver", "tall"):swap("tall", "short"):state "kerb"), mass(car:state "kerb"), 1e-9, "the short one gets out")
  check.ok(key(car:swap("driver", "tall"):swap("tall", "driver")) == key(car))
  check.near(mass(car:swap("driver", "tall"):state "empty"), mass(car:state "empty"), 1e-9, "out with the crew")
  check.near(mass(car:swap("driver", "tall"):without "crew"), mass(car) - 81, 1e-9)
  check.near(mass(car:without("driver"):swap("driver", "tall")), mass(car) + 18, 1e-9)
  check.near(mass(car:swap("driver", "tall"):without("driver"):state "tall one"), mass(car) - 78, 1e-9)
  local two = car:state("two up"):swap("passenger", "friend")
  check.near(mass(two), mass(car:state "two up") + 18, 1e-9)
  check.near(mass(two:state "kerb"), mass(car:state "kerb"), 1e-9, "the friend takes the passenger's place, who is not there")
  check.near(mass(two:state()), mass(car), 1e-9)
end)

test("what_is_aboard_already_is_not_swapped_in", function()
  check.raises(function() odd():state("two up"):swap("driver", "passenger") end,
    {code = "clash", message = "passenger is aboard already and cannot take the place of driver as well"})
  check.raises(function() odd():swap("tub", "powertrain") end, {code = "clash"})
  check.raises(function() odd():state("kerb"):swap("driver", "tall"):swap("passenger", "tall") end,
    {code = "clash", message = "tall takes the place of crew/driver already"})
  check.near(mass(odd():without("driver"):swap("fuel", "driver")), mass(odd()) - 30 * 0.745, 1e-9, "not aboard any more")
end)

test("a_fill_that_was_set_holds_over_those_of_states", function()
  local car = odd()
  check.near(mass(car:state("kerb"):set("fuel", {fill = 10})), mass(car:state "kerb") - 26 * 0.745, 1e-9)
  check.near(mass(car:set("fuel", {fill = 10}):state "kerb"), mass(car:state "kerb") - 26 * 0.745, 1e-9)
  check.near(mass(car:set("fuel", {fill = 10}):fill{fuel = 20}), mass(car) - 10 * 0.745, 1e-9)
  check.near(mass(car:set("fuel", {fill = 10}):fill{fuel = 20}:state "two up"), mass(car) - 20 * 0.745 + 70, 1e-9)
  local set = car:fill{fuel = 20}:set("fuel", {fill = 10})
  check.near(mass(set), mass(car) - 20 * 0.745, 1e-9, "what was said last")
  check.equal(set:heading(), "Odd (invented), everything in the file, no state chosen, fuel fill 10")
end)

test("fills_under_several_names_go_in_the_order_they_came", function()
  local car = odd()
  check.near(mass(car:fill{liquids = 1}:fill{washer = 5}), mass(car) - 6 * 0.745 + 2, 1e-9)
  check.near(mass(car:fill{washer = 5}:fill{liquids = 1}), mass(car) - 6 * 0.745 - 2, 1e-9)
  check.equal(car:fill{washer = 5}:fill{liquids = 1}:heading(), "Odd (invented), everything in the file, no state chosen, liquids 1 litres")
  check.raises(function() car:fill{washer = 5, liquids = 1} end, {code = "clash", message = '"liquids" and "washer" are the same tank'})
end)

test("a_state_fills_what_took_the_place_of_the_tank", function()
  local car = odd()
  check.near(mass(car:swap("fuel", "big tank"):state "two up"), mass(car:state "two up"), 1e-9, "35 litres in it")
  check.near(mass(car:swap("fuel", "battery"):state "two up"), mass(car:state "two up") - 35 * 0.745 + 40, 1e-9)
end)

test("a_part_named_inside_what_is_not_aboard_comes_alone", function()
  check.near(mass(odd():state "trunk only"), mass(odd()) + 9, 1e-9)
  check.near(mass(odd():state "refitted"), mass(odd()) - 65, 1e-9)
  check.near(mass(odd():swap("driver", "touring/trunk")), mass(odd()) - 78 + 9, 1e-9)
end)

test("a_mock_up_with_a_group_has_its_parts", function()
  check.near(mass(odd():state "mocked powertrain"), 14 + 61 + 4, 1e-9)
  check.near(mass(odd():without("powertrain/starter"):state "mocked powertrain"), 14 + 61, 1e-9)
  check.near(mass(odd():state("mocked powertrain"):without "powertrain/starter"), 14 + 61, 1e-9)
end)

-- The stand-in hangs 20 mm ahead of where the engine does.
test("a_stand_in_moves_with_its_part", function()
  local mocked = odd():state "mock-up"
  local x = mocked:balance().cg.x
  check.near(x, -280, 1e-9)
  check.near(mocked:move("powertrain/engine", {back = 50}):balance().cg.x, x - 50, 1e-9)
  check.near(mocked:move("powertrain/engine", {back = 50}):set("tub", {mass = 200}):balance().cg.x, x - 50, 1e-9)
  check.near(odd():move("powertrain/engine", {back = 50}):state("mock-up"):balance().cg.x, x - 50, 1e-9)
  check.near(odd():move("powertrain", {back = 50}):state("mock-up"):balance().cg.x, x - 50, 1e-9)
end)

local function all_notes(result) return table.concat(result.notes, "\n") end

test("an_edit_of_what_is_not_aboard_says_so", function()
  local car = odd():state "kerb"
  local want = "driver is not aboard (kerb): what was changed of it does not count here"
  local moved = car:move("driver", {back = 50})
  check.contains(all_notes(moved:balance()), want)
  check.contains(all_notes(sy.compare{car, moved}), "driver 50 back: " .. want)
  check.contains(all_notes(car:set("driver", {mass = 90}):balance()), want)
  check.contains(all_notes(car:move("driver", {nose_up = 5}):balance()), want)
  check.contains(all_notes(car:swap("driver", "tall"):balance()), "tall is not aboard (kerb)")
  check.contains(all_notes(car:without("fuel"):fill{fuel = 20}:balance()), "fuel is not aboard (kerb)")
  check.ok(not all_notes(moved:state():balance()):find("aboard", 1, true), "in another state it counts")
  check.contains(all_notes(odd():move("driver", {back = 50}):state("kerb"):balance()), want)
  check.ok(not all_notes(car:move({"driver", "tub"}, {back = 50}):balance()):find("aboard", 1, true))
  local book = car:book "driver"
  check.contains(all_notes(book), "driver is not aboard (kerb): in no total")
  check.ok(not tostring(book):find("By basis", 1, true))
end)

test("a_piece_of_a_pair_is_booked_by_its_name", function()
  local rows = odd():book("saddle/left").rows
  check.equal(#rows, 1)
  check.equal({rows[1].path, rows[1].pieces, rows[1].kind}, {"saddle/left", 1, "tank"})
  check.near(rows[1].mass, 4 * 0.745, 1e-9)
  check.near(odd():book("saddle/right").rows[1].cg.y - 35, 35 - rows[1].cg.y, 1e-9, "mirrored in the centre plane")
end)

-- A car in a state is the same whichever came first, bit for bit: 400 sequences of five edits from a generator of our own.
test("states_and_edits_commute", function()
  local seed = 20
  local function below(n)
    seed = (seed * 1103515245 + 12345) % 2147483648
    return seed // 65536 % n + 1
  end
  local names = {"passenger", "tall", "short", "driver", "crew", "pack", "touring", "touring/rack", "powertrain/engine", "fuel", "saddle",
                 "saddle/left", "washer", "liquids", "powertrain"}
  local people = {"driver", "tall", "short", "passenger", "friend"}
  local fuels = {"fuel", "big tank", "battery"}
  local function pick(list) return list[below(#list)] end
  local kinds = {
    function() local what = pick(names); return function(c) return c:without(what) end end,
    function() local a, b = pick(people), pick(people); return function(c) return c:swap(a, b) end end,
    function() local a, b = pick(fuels), pick(fuels); return function(c) return c:swap(a, b) end end,
    function() local what, mm = pick(names), below(90); return function(c) return c:move(what, {back = mm, up = 3}) end end,
    function() local what, kg = pick{"passenger", "tall", "driver", "pack", "powertrain/engine"}, 40 + below(60)
      return function(c) return c:set(what, {mass = kg}) end end,
    function() local what, fill = pick{"fuel", "saddle", "washer"}, below(5)
      return function(c) return c:set(what, {fill = fill}) end end,
  }
  local tried = 0
  for _ = 1, 400 do
    local list = {}
    for i = 1, 5 do list[i] = pick(kinds)() end
    local state = pick(odd():states())
    local after, before, fine = odd(), odd():state(state), true
    for _, edit in ipairs(list) do
      -- who is aboard already depends on the state in which it is asked, so such swaps are left out
      local well, a = pcall(edit, after)
      local good, b = pcall(edit, before)
      if well and good then after, before = a, b else fine = fine and not (well or good) end
    end
    if fine then tried = tried + 1 end
    check.ok(key(after:state(state)) == key(before), state)
    check.ok(key(before:state()) == key(after), state)
  end
  check.ok(tried > 100)
end)

check.done()
