--- Random vehicle files for tests of car:save, and random edits of them: dofile "tests/lua/saved_cars.lua".
--
-- Each file has a table beside it, a weighing with repeats and a tare, a pair, a count, turned groups in one another, a tank by its
-- shape, a person by the hip, a spare to swap in and one to stay, unit words, comments inside tables, line ends of either kind, names with
-- escapes and one name twice on a line; every tenth has a local and a function. The numbers are invented.

local saved_cars = {}

local dice = dofile("tests/lua/dice.lua")()
local below, between, pick, chance = dice.below, dice.between, dice.pick, dice.chance
local function tenths(a, b) return ("%.1f"):format(between(10 * a, 10 * b) / 10) end
saved_cars.below, saved_cars.between, saved_cars.pick, saved_cars.chance = below, between, pick, chance
saved_cars.seed = dice.seed

local axes = {{"back", "right", "up"}, {"forward", "left", "up"}, {"back", "left", "up"}, {"forward", "right", "up"},
              {"back", "right", "down"}}

-- ---- the file ---------------------------------------------------------------------------------------------------------------

-- A text in which m is a place of the car: mm back of the front axle, right, up.
local function placer(way, datum)
  return function(x, y, z, exact)
    local v = {x = (way[1] == "back" and 1 or -1) * x + datum.front, y = (way[2] == "right" and 1 or -1) * y + datum.centre,
               z = (way[3] == "up" and 1 or -1) * z + datum.ground}
    local form = exact and pick{0, 3} or below(4)
    if form == 0 then return ("{x = %s, y = %s, z = %s}"):format(v.x, v.y, v.z) end
    if form == 1 then return ("{%s, --[[ measured ]] sd(%s, 1.5), %s}"):format(v.x, v.y, v.z) end
    if form == 2 then return ("{%.1f*cm, %s, within(%s, 4)}"):format(v.x / 10, v.y, v.z) end
    return ("{%s, %s, %s}"):format(v.x, v.y, v.z)
  end
end

-- The same inside a group, from its place.
local function inner(way)
  return function(x, y, z)
    local sign = {way[1] == "back" and 1 or -1, way[2] == "right" and 1 or -1, way[3] == "up" and 1 or -1}
    return ("{%d, %d, %d}"):format(sign[1] * x, sign[2] * y, sign[3] * z)
  end
end

local function mass(a, b)
  local form, value = below(5), tenths(a, b)
  if form == 0 then return ("%s*lb"):format(value) end
  if form == 1 then return ("sd(%s, 0.1)"):format(value) end
  if form == 2 then return ("within(%s, 0.6)"):format(value) end
  if form == 3 then return ("sd(%s*lb, 0.3*lb)"):format(value) end
  return value
end

local FILE = [==[
-- a car for a test (invented)
vehicle {
  title = "Test %d (invented)",
  axes = { x = "%s", y = "%s", z = "%s" }, %s
  axles = {
    { name = "front", at = %s, track = 1450, loaded_radius = 288, tyre_rate = 190, spring_rate = 42, motion_ratio = 0.9, bar_rate = 5 },
    { name = "rear", at = %s, track = 57.5*inch, loaded_radius = 301, tyre_rate = 215, -- as measured
      spring_rate = 54 },
  },
  chassis = { torsion = 5200 }, design = "race",
  assume = { estimate = "15 %%", within_mm = 12 },
  instruments = { { name = "bench", step = 0.02, bias = sd(0, 0.02), gain = sd(1.0005, 0.0005) } },
  parts = {
    -- what was drawn first
    group "powertrain" { at = %s, turned = { nose_up = %d }, -- the whole lot
      part "engine" { mass = %s, at = %s, shape = box {540, 620, 470} }, part "engine \"spare\" parts" { mass = %s, at = %s },
      group "box" { at = %s, turned = { left_up = %d, nose_left = 3 },
        part "gears" { mass = %s, --[[ with oil ]] at = %s, shape = cylinder {150, 380, axis = "x"} },
        part "selector" { mass = 1.5, at = %s },
      },
    },
    part "front corner" { pair = true, mass = %s, at = %s, unsprung = "front" },
    part "rear corner" { pair = true, mass = %s, at = %s, unsprung = "rear", },
    part "bolt" { count = %d, mass = 0.048, at = %s }, part 'panel "a"' { mass = 2.5, at = %s, unsprung = { front = 0.5 } },
    part "hoop" { mass = sd(12, 2), at = %s, note = "a bolt \\ a pin", -- says { mass = 3 }
      weighed = { reading = {14.26, 14.28, --[[ wind ]] 14.24}, on = "bench", tare = 0.3, with = { strap = 0.35 } } },
    tank "fuel" { shape = box {420, 300, 320}, at = %s, density = %s, fill = %s, dry_mass = 4 },
    person "driver" { mass = %d, hip = %s, stature = 1780, torso = 35, knee = 120 },
    from_csv "saved_cars.csv",
    part "tub" { mass = %s, at = %s, shape = box {2800, 1300, 700}, tags = {"body"} },
  },
  spares = {
    person "tall driver" { mass = 96, at = %s },
    part "ballast" { mass = 10, at = %s }
  },
  states = {
    state "race" {}, state "empty" { without = {"driver"}, fill = { fuel = "10 %%" } }, state "laden" { with = "ballast" },
    state "tall" { swap = { driver = "tall driver" }, with = {"ballast"} },
  },
}
]==]

local TABLE = [[
name,group,mass,unit,x,y,z,basis
seat,cabin,7.5,kg,%d,%d,310,weighed
belts,cabin,3.1,kg,1200,0,420,supplier
loom,,4.4,kg,900,10,300,estimate
]]

local function part_list(number, way, datum)
  local at, from = placer(way, datum), inner(way)
  local list = {number, way[1], way[2], way[3]}
  local function add(...)
    for _, value in ipairs{...} do list[#list + 1] = value end
  end
  local along = way[1] == "back" and 1 or -1
  add(datum.ground ~= 0 and ("ground = %s, centre = %s,"):format(datum.ground, datum.centre) or "", datum.front, datum.front + along * 2400)
  add(at(1780, between(-20, 20), 330, true), between(1, 4), mass(80, 120), from(between(-50, 50), 0, 12), mass(1, 9), from(100, 200, 50))
  add(from(600, 0, -30), between(1, 9), mass(20, 40), from(40, 0, 8), from(180, 30, 120))
  add(mass(25, 30), at(0, 725, 285), mass(28, 34), at(2400, 730, 300))
  add(between(2, 70), at(760, 0, 260), at(500, 300, 420))
  add(at(1300, 0, 600), at(1290, 20, 310), pick{"0.745", "sd(0.745, 0.008)", "0.74*kg/litre"}, pick{"30", "8*us_gallon", "\"60 %\""})
  add(between(60, 90), at(1100, 180, 300), mass(70, 120), at(1000, 13, 360))
  add(at(1010, 180, 372))
  add(at(-200, 0, 200, true)) -- what goes into a turned group cannot be more uncertain one way than another
  return list
end

--- The text of car number `n`, and that of the table beside it.
function saved_cars.text(n)
  local way = pick(axes)
  local datum = {front = 0, centre = 0, ground = 0}
  if chance(50) then datum = {front = between(-900, 900), centre = between(100, 700), ground = between(-200, -50)} end
  local text = FILE:format(table.unpack(part_list(n, way, datum)))
  if n % 10 == 0 then
    text = text:gsub("count = (%d+)", "count = twice(%1)"):gsub("front = 0.5 }", "front = half }")
    text = "local half = 0.5\nlocal function twice(x) return 2 * x end\n" .. text
  end
  if chance(40) then text = text:gsub("\n", "\r\n") end
  if chance(20) then text = "\xEF\xBB\xBF" .. text end
  local y = (way[2] == "right" and 1 or -1) * 180 + datum.centre
  return text, TABLE:format(between(900, 1200), y)
end

-- ---- edits --------------------------------------------------------------------------------------------------------------------

local shifts = {"forward", "back", "up", "down", "left", "right"}

local function distance() return pick{between(-80, 80), between(-800, 800) / 16, between(1, 99) / 7} end

-- name -> function(car, sy) -> car; several = it may come again; turns = places then differ by rounding
local edits = {
  {"move", function(car)
    return car:move(pick{"engine", "gears", "hoop", "fuel", "driver", "tub", "box", "powertrain", "bolt", "loom", "selector"},
      {[pick(shifts)] = distance()})
  end, several = true},
  {"move a pair", function(car) return car:move(pick{"front corner", "rear corner"}, {[pick{"up", "out", "back"}] = distance()}) end},
  {"turn", function(car)
    return car:move(pick{"powertrain", "gears", "engine", "box"}, {[pick{"nose_up", "left_up", "nose_right"}] = between(1, 9), back = 5})
  end, turns = true},
  {"set a mass", function(car)
    return car:set(pick{"engine", "gears", "tub", "loom", "bolt", "driver", "front corner"}, {mass = between(10, 999) / 10})
  end, several = true},
  {"set a place", function(car, sy)
    return car:set("tub", {at = pick{{x = 1010}, {z = sy.sd(355, 2)}, {1001, 12, 359}}, within_mm = chance(30) and 5 or nil})
  end},
  {"set over a weighing", function(car, sy) return car:set("hoop", {mass = chance(50) and 13.5 or sy.sd(13.5, 0.05)}) end},
  {"weigh", function(car) return car:set("tub", {weighed = {reading = {between(700, 900) / 10, 81.2}, on = "bench"}}) end},
  {"set an axle", function(car) return car:set("rear axle", {spring_rate = between(40, 90), track = chance(50) and 1470 or nil}) end},
  {"move an axle", function(car) return car:move("rear axle", {back = between(1, 40)}) end},
  {"move the front axle", function(car) return car:move("front axle", {forward = between(1, 40)}) end, turns = true},
  {"lower", function(car) return car:lower{front = between(1, 20), rear = between(0, 15)} end},
  {"add", function(car, sy)
    local lead = sy.part("lead " .. below(1000000)) {mass = sy.sd(5, 0.1), at = {10, 20, 30}, note = "a \"new\" line"}
    return car:add(lead, pick{"powertrain", "box"})
  end},
  {"add at the top", function(car, sy)
    local rail = sy.part "rail" {mass = 4, at = {1, 2, 3}, shape = sy.tube {45, 2, 1150, axis = "x"}}
    return car:add(sy.group("frame " .. below(1000000)) {at = {100, 0, 50}, rail})
  end},
  {"without", function(car) return car:without(pick{"bolt", "hoop", "loom"}) end},
  {"without one in a group", function(car) return car:without(pick{"selector", "gears"}) end, turns = true},
  {"swap", function(car) return car:swap("driver", "tall driver") end},
  {"swap into a group", function(car) return car:swap("engine", "ballast") end, turns = true},
  {"other fields", function(car)
    return car:set("gears", {note = "new", tags = {"drive", "oil"}, basis = "supplier", growth = "5 %"})
  end},
  {"fill", function(car) return car:set("fuel", {fill = between(1, 20)}) end},
}

-- One is taken out and one swapped in every car.
local always = {}
for _, edit in ipairs(edits) do
  if edit[1]:find "^without" or edit[1]:find "^swap" then always[edit[1]:match "^%a+"] = always[edit[1]:match "^%a+"] or edit end
end

--- The car after some edits, what they were, and whether places then differ by rounding.
function saved_cars.edited(car, sy)
  local names, turns, used = {}, false, {}
  local count, when = between(2, 8), {}
  when[between(1, count)] = always.without
  local at = between(1, count)
  when[when[at] and at % count + 1 or at] = always.swap
  for i = 1, count do
    local edit = when[i] or pick(edits)
    if edit.several or not used[edit] then
      used[edit] = true
      local fine, changed = pcall(edit[2], car, sy)
      if fine then
        car = changed
        names[#names + 1], turns = edit[1], turns or edit.turns or false
      elseif type(changed) ~= "table" then
        error(changed)
      end
    end
  end
  return car, table.concat(names, ", "), turns
end

return saved_cars
