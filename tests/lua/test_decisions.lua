-- Decisions survive being carried out: on random cars with everything at once (mixed_cars.lua) and limits in their states, what
-- ballast or a search says is done to the car with the calls that anybody would use, and the car is asked again. Steps of
-- weigh_next are carried out in test_sensitivity.lua.

local check = dofile "tests/lua/check.lua"
local conventions = dofile "tests/lua/conventions.lua"
local mixed = dofile "tests/lua/mixed_cars.lua"
local sy = require "steelyard"
local test = check.test

local CARS = 10

local path = os.tmpname()

-- A car in its state "race" whose file limits the height in all and the front share in both states, about where it is.
local function random_car()
  local tree = mixed.tree()
  local function load()
    local file <close> = assert(io.open(path, "wb"))
    file:write(conventions.text(tree))
    file:close()
    return sy.load(path)
  end
  local car = load()
  local race, empty = car:state "race":balance(), car:state "empty":balance()
  tree.fields.limits = {{name = "height", quantity = "height", max = race.height + 3}}
  if race.front_share then
    tree.fields.limits[2] = {name = "front", quantity = "front_share", min = math.min(race.front_share, empty.front_share) - 0.7,
                             max = math.max(race.front_share, empty.front_share) + 0.7, state = {"race", "empty"}}
  end
  return load():state "race", race
end

local function each_car(f)
  mixed.seed(29)
  for n = 1, CARS do
    local car, now = random_car()
    f(car, now, ("car %d: "):format(n))
  end
  os.remove(path)
end

local function keeps_limits(car, before, what)
  for i, row in ipairs(car:checks()) do
    check.ok(row.status ~= "fail" or before[i].status == "fail", what .. row.name .. ": " .. tostring(row.why))
  end
end

test("ballast_that_is_aboard_needs_no_more", function()
  local possible = 0
  each_car(function(car, now, what)
    if not now.front_share then return end
    local slots = {{"nose ballast", at = {-300, 120, 150}, max = 12, step = 0.25},
                   {"sill ballast", at = {900, -500, 90}, max = 9, step = 0.5}}
    local o = {target = {front_share = {now.front_share + 0.4, 0.05}, left_share = {now.left_share - 0.1, 0.3}}, slots = slots}
    local r = car:ballast(o)
    if not r.possible then
      check.ok(r.why ~= "" and r.nearest, what)
      return
    end
    possible = possible + 1
    local loaded = car
    for _, p in ipairs(r.placed) do
      if p.mass > 0 then loaded = loaded:add(sy.part(p.name){mass = p.mass, at = p.at}) end
    end
    check.near(loaded:balance().front_share, r.after.front_share, 1e-9, what)
    check.near(loaded:balance().front_share, now.front_share + 0.4, 0.05 * (1 + 1e-9), what)
    keeps_limits(loaded, car:checks(), what)
    for k, slot in ipairs(slots) do slot[1] = "more " .. k end
    local again = loaded:ballast(o)
    check.equal({again.possible, again.added}, {true, 0}, what)
  end)
  check.ok(possible >= 5, possible)
end)

if check.can_seek then
  test("what_was_sought_is_found_where_the_car_is", function()
    local possible = 0
    each_car(function(car, now, what)
      if not now.front_share then return end
      local function asked(from)
        return {from, vary = {sy.vary("powertrain", "back", -60, 60), sy.vary("driver", "left", -40, 40)},
                target = {front_share = {now.front_share + 0.3, 0.02}, cg_left = {now.cg_left + 1, 0.5}}}
      end
      local r = sy.seek(asked(car))
      if not r.possible then
        check.ok(r.why ~= "" and r.nearest, what)
        return
      end
      possible = possible + 1
      local moved = car
      for _, move in ipairs(r.moves) do
        local item, way = move.name:match "^(.+) (%S+)$"
        moved = moved:move(item, {[way] = move.value})
      end
      check.near(moved:balance().front_share, r.reached.front_share, 1e-9, what)
      check.near(moved:balance().cg_left, now.cg_left + 1, 0.5 * (1 + 1e-9), what)
      keeps_limits(moved, car:checks(), what)
      local again = sy.seek(asked(moved))
      check.equal(again.possible, true, what)
      for _, move in ipairs(again.moves) do check.near(move.value, 0, 0.5, what .. move.words) end
    end)
    check.ok(possible >= 5, possible)
  end)
end

check.done()
