-- The vehicles that come with steelyard, each state summed a second time by the few lines below, which read the file
-- with plain Lua and know nothing of the loader, the ledger or the library.
-- Source of the arithmetic: mass times arm; the lever rule for the axle loads.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"

-- ---- a second reading of the file -------------------------------------------------------------------------------

local function first(value) return type(value) == "table" and value.value or value end
local function uncertainty(value) return {value = value} end
local function keep(value) return value end

local function read(path)
  local words, vehicle = {sd = uncertainty, within = uncertainty, unknown = "unknown"}, nil
  for _, kind in ipairs {"part", "group", "tank", "person", "state"} do
    words[kind] = function(name)
      return function(t)
        t.kind, t.name = kind, name
        return t
      end
    end
  end
  for _, shape in ipairs {"box", "cylinder", "tube", "rod", "ellipsoid", "plate"} do words[shape] = keep end
  words.vehicle = function(t) vehicle = t end
  assert(loadfile(path, "t", words))()
  return vehicle
end

local function holds(list, name)
  for _, entry in ipairs(list or {}) do
    if entry == name then return true end
  end
  return false
end

-- Litres in a tank in a state, and how far below the middle of its box the liquid's own middle lies, mm.
local function liquid_of(line, state)
  local fill, size = state.fill and state.fill[line.name] or first(line.fill), line.shape
  local full = size and size[1] * size[2] * size[3] / 1e6 -- the demo tanks with a shape are boxes, the others not filled by percent
  if type(fill) == "string" then fill = tonumber(fill:match "[%d.]+") / 100 * full end
  return fill, size and (1 - fill / full) * size[3] / 2 or 0
end

-- kg of one piece in a state, or nil when it is not aboard
local function mass_of(line, state, spare)
  local named = holds(state.with, line.name)
  if state.stand_ins and not named then return line.stand_in and not spare and first(line.stand_in.mass) end
  if (spare and not named) or holds(state.without, line.name) or line.mass == "unknown" then return nil end
  if line.kind ~= "tank" then return first(line.mass) end
  local fill = liquid_of(line, state)
  return fill * first(line.density) + (first(line.dry_mass) or 0)
end

-- mass and moments (kg mm) of a list; only nose_up turns groups in these files
local function add_up(list, state, spare, frame, sum)
  local cos, sin = math.cos(frame.up), math.sin(frame.up)
  for _, line in ipairs(list) do
    local at = line.at or {0, 0, 0}
    local x, y, z = first(at[1]), first(at[2]), first(at[3])
    x, y, z = frame[1] + x * cos + z * sin, frame[2] + y, frame[3] + z * cos - x * sin
    if line.kind == "group" then
      local turned = math.rad(line.turned and line.turned.nose_up or 0)
      add_up(line, state, spare, {x, y, z, up = frame.up + turned}, sum)
    else
      local mass = mass_of(line, state, spare)
      if mass then
        mass = mass * (line.count or line.pair and 2 or 1)
        sum.mass, sum.x, sum.z = sum.mass + mass, sum.x + mass * x, sum.z + mass * z
        sum.y = sum.y + (line.pair and 0 or mass * y)
        if line.kind == "tank" and not state.stand_ins then -- none of them stands in a turned group
          local litres, below = liquid_of(line, state)
          sum.z = sum.z - litres * first(line.density) * below
        end
      end
    end
  end
end

local function sum_of(vehicle, state)
  local sum, origin = {mass = 0, x = 0, y = 0, z = 0}, {0, 0, 0, up = 0}
  add_up(vehicle.parts, state, false, origin, sum)
  add_up(vehicle.spares or {}, state, true, origin, sum)
  return sum
end

-- ---- the claims -------------------------------------------------------------------------------------------------

local ROUNDING = 1e-9 -- relative; some hundred additions of double precision, with room

local bounds = {} -- what each invented car is meant to be, so that an edit of its file cannot drift off unseen
bounds.first_guess = {mass = {600, 800}, share = {40, 44}, height = {330, 350}}
bounds.twayblade = {mass = {100, 850}, share = {39, 45}, height = {250, 370}}
bounds.teasel = {mass = {540, 720}, share = {45, 54}, height = {370, 420}}
bounds.burnet = {mass = {340, 560}, share = {56, 62}, height = {320, 350}}

for _, name in ipairs {"first_guess", "twayblade", "burnet", "teasel"} do
  local path = "vehicles/" .. name .. ".lua"
  local vehicle, car = read(path), sy.load(path)
  for _, state in ipairs(vehicle.states) do
    check.test(name .. "_" .. state.name .. "_is_mass_times_arm", function()
      local sum, b = sum_of(vehicle, state), car:state(state.name):balance()
      check.near(b.mass, sum.mass, ROUNDING * sum.mass, "mass")
      for _, letter in ipairs {"x", "y", "z"} do
        check.near(b.cg[letter], sum[letter] / sum.mass, ROUNDING * 2500, "cg." .. letter) -- mm on a car 2.5 m long
      end
      local wheelbase = vehicle.axles[2].at
      check.near(b.front_share, 100 - 100 * sum.x / sum.mass / wheelbase, ROUNDING * 100, "front share")
      local within = bounds[name]
      check.ok(b.mass >= within.mass[1] and b.mass <= within.mass[2], "a plausible mass")
      check.ok(b.front_share >= within.share[1] and b.front_share <= within.share[2], "a plausible front share")
      check.ok(b.height >= within.height[1] and b.height <= within.height[2], "a plausible height")
    end)
  end
end

check.test("first_guess_fits_one_screen_and_books_eighteen_lines", function()
  local lines = 0
  for _ in io.lines "vehicles/first_guess.lua" do lines = lines + 1 end
  check.ok(lines <= 40, lines .. " lines on a screen of 40")
  local parts = sy.load("vehicles/first_guess.lua"):book()
  local booked = 0
  for _, row in ipairs(parts.rows) do booked = booked + (row.kind ~= "group" and 1 or 0) end
  check.equal(booked, 18, "booked lines")
end)

check.test("weighed_wholes_of_twayblade_close_on_their_pieces", function()
  local closed = 0
  for _, row in ipairs(sy.load("vehicles/twayblade.lua"):book().rows) do
    if row.closure then
      check.ok(row.closure.closes, row.name)
      closed = closed + 1
    end
  end
  check.equal(closed, 2, "engine and transaxle")
end)

-- A car on a datum of its own is there to find what takes the front axle, the centre plane or the ground for zero, or the file's
-- directions for the car's: none of the three may stand at zero, and left and right must differ.
check.test("bistort_measures_from_a_datum_of_its_own", function()
  local vehicle, car = read "vehicles/bistort.lua", sy.load "vehicles/bistort.lua"
  check.ok(vehicle.axles[1].at ~= 0 and vehicle.ground ~= 0 and vehicle.centre ~= 0, "front axle, ground and centre away from zero")
  check.equal(vehicle.axes.x .. vehicle.axes.y .. vehicle.axes.z, "forwardrightup", "left-handed, forward")
  local b = car:state "race start":balance()
  check.near(b.cg.x, vehicle.axles[1].at - b.cg_behind, ROUNDING * 2500, "x forward of its zero")
  check.near(b.cg.y, vehicle.centre - b.cg_left, ROUNDING * 2500, "y right of its zero")
  check.near(b.cg.z, vehicle.ground + b.height, ROUNDING * 2500, "z above its zero")
  for _, state in ipairs(vehicle.states) do
    local now = car:state(state.name)
    b = now:balance()
    if state.stand_ins then
      check.ok(b.mass > 100 and b.mass < 130, "the mock-up is light")
    else
      check.ok(b.mass > 640 and b.mass < 860 and b.front_share > 34 and b.front_share < 44, state.name)
      check.ok(b.height > 340 and b.height < 380 and math.abs(b.cg_left) > 1, state.name .. ": height, and not on the centre plane")
    end
  end
  local lines, closed = 0, 0
  for _, row in ipairs(car:book("powertrain").rows) do
    if row.closure then
      check.ok(row.closure.closes, row.name)
      closed = closed + 1
    end
    if row.kind ~= "group" and row.path:find("powertrain/engine/", 1, true) then lines = lines + 1 end
  end
  check.equal(closed, 2, "engine and transaxle close on their pieces")
  check.equal(lines, 31, "the engine in 31 lines")
end)

-- kg/L at 15 C for petrol. Source: EN 228:2012, table 1, density 720.0 to 775.0 kg/m3.
check.test("petrol_in_the_demo_tanks_is_as_dense_as_petrol", function()
  for _, name in ipairs{"first_guess", "twayblade", "burnet", "teasel"} do
    local file <close> = assert(io.open("vehicles/" .. name .. ".lua", "rb"))
    local found = 0
    for density in file:read("a"):gmatch "tank \"fuel\"[^\n]-density%s*=%s*[sd(]*(%d[%d.]*)" do
      found = found + 1
      check.ok(tonumber(density) >= 0.720 and tonumber(density) <= 0.775, name .. ": " .. density)
    end
    check.ok(found > 0, name .. " has a tank")
  end
end)

check.done()
