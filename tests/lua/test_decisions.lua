-- Decisions survive being carried out: on random cars with everything at once (mixed_cars.lua) and limits in their states, what
-- ballast, a search or a stint says is done to the car with the calls that anybody would use, or by the words that it prints for
-- what_if, and the car is asked again. Steps of weigh_next are carried out in test_sensitivity.lua.

local changed = require "steelyard.command.changed"
local check = dofile "tests/lua/check.lua"
local conventions = dofile "tests/lua/conventions.lua"
local core = require "steelyard.core"
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

-- The car after changes in the words of what_if.
local function tried(car, list)
  for _, phrase in ipairs(list) do car = changed.by(car, phrase) end
  return car
end

local ROUNDED = 1e-9 -- %, mm and kg: other roundings of the same sums

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
    local by_words = tried(car, r.what_if)
    check.equal(by_words:heading(), r.car:heading(), what)
    check.equal({by_words:balance().front_share, by_words:balance().height, by_words:balance().sd.front_share},
      {r.after.front_share, r.after.height, r.after.sd.front_share}, what)
    for k, slot in ipairs(slots) do slot[1] = "more " .. k end
    local again = loaded:ballast(o)
    check.equal({again.possible, again.added}, {true, 0}, what)
  end)
  check.ok(possible >= 5, possible)
end)

-- The car at the mean of a stint has it: asked again it is set up as it is, and its stint is that of the car before.
test("the_car_set_up_for_a_stint_is_that_of_its_mean", function()
  local asked = 0
  each_car(function(car, now, what)
    local tank = now.front_share and car:tank "fuel"
    if not tank or tank.litres - (tank.unusable or 0) < 2 then return end
    asked = asked + 1
    local r = car:stint{step = 3, show = {"front_share", "height", "mass"}}
    check.near(r.car:balance().front_share, r.mean.front_share, ROUNDED, what)
    check.near(r.reached.mass, r.car:balance().mass, ROUNDED, what)
    local filled = tried(car, {("fuel fill %s"):format(core.shortest(r.at))})
    for _, name in ipairs{"front_share", "height", "mass"} do check.near(filled:balance()[name], r.reached[name], ROUNDED, what .. name) end
    local again = r.car:stint{fuel = {r.from, r.to}, step = 3, show = {"front_share", "height", "mass"}}
    for _, name in ipairs(r.names) do check.near(again.mean[name], r.mean[name], ROUNDED, what .. name) end
    check.near(again.at, r.at, 1e-6, what) -- litres: as far as the share tells them apart
  end)
  check.ok(asked >= 5, asked)
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
      check.near(tried(car, r.what_if):balance().front_share, r.reached.front_share, ROUNDED, what)
      local again = sy.seek(asked(moved))
      check.equal(again.possible, true, what)
      for _, move in ipairs(again.moves) do check.near(move.value, 0, 0.5, what .. move.words) end
    end)
    check.ok(possible >= 5, possible)
  end)
end

-- What a page says is typed as it stands, line ends and all: the document of what_if, then that of the answer.
local function typed(command, car, state)
  local function run(line, more) return check.command(("%s %s --state %q %s"):format(check.steelyard, line, state, more or "")).out end
  local words = check.ok(run(command):match "To try it: what_if(.-)\n%S", command)
  local decode = require "steelyard.print.json".decode
  return decode(run(("what_if %s %s"):format(car, words), "--json")), decode(run(command, "--json"))
end

local function value_of(document, name)
  for _, row in ipairs(document.rows) do
    if row.name == name then return row.values[2] end
  end
end

test("the_line_of_a_page_can_be_typed", function()
  local car = "vehicles/bistort.lua" -- on a datum of its own, y to the right
  for _, slots in ipairs{'--slot "front tray,1500,500,20,20,0.5" --slot "right sill,200,1100,0,20" --front 38.2 --left 48',
                         '--slot "tray on the left,1500,500,20,9,0.5" --slot "left sill,200,100,0,10" --front 37.9 --left 48.6'} do
    local now, said = typed(("ballast %s %s"):format(car, slots), car, "race start")
    check.ok(said.possible and said.added > 0, said.why)
    for _, name in ipairs{"mass", "front_share", "height"} do check.near(value_of(now, name), said.after[name], ROUNDED, name) end
  end
  if not check.can_seek then return end
  local inputs = "engine back -60 60,driver mass 60 100,fuel fill 10 28,rear axle left.spring_rate 40 70"
  local now, said = typed(('seek %s --vary "%s" --target "front_share 37.3"'):format(car, inputs), car, "race start")
  check.near(value_of(now, "front_share"), said.reached.front_share, ROUNDED)
end)

check.done()
