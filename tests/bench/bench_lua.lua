-- Jobs of bench_lua.py, as a script writes them: a line with a job's name comes in, seconds per item go out.
-- The car comes twice: with masses as stated, and with every other part weighed on one of three scales, which err for all alike.
-- "million" builds, balances and releases a car of a million parts, and also tells the peak of memory in MB.

local sy = require "steelyard"

local many_parts = dofile "tests/bench/many_parts.lua"
local car_of, parts_of, spread = many_parts.car_of, many_parts.parts_of, many_parts.spread

local car = car_of(parts_of(false)):state "as raced"
local weighed_car = car_of(parts_of(true), many_parts.scales):state "as raced"
local moved = car:move("part 77", {back = 50})
local trial = car:trial("group 7", "back")
local drawn = sy.load "vehicles/twayblade.lua":state "race start" -- 188 pieces, 57 of them with outlines

-- 150 bodies in three layers of a body shell, some of which meet.
local function shaped()
  local list = {}
  for i = 1, 150 do
    local size = {60 + i * 37 % 110, 60 + i * 53 % 110, 60 + i * 71 % 90}
    local at = {100 + i * 149 % 2300, -700 + i * 211 % 1400, 150 + i % 3 * 220}
    list[i] = sy.part("body " .. i) {mass = 1 + i % 7, at = at, shape = sy.box(size)}
  end
  local axles = {{name = "front", at = 0, track = 1450, loaded_radius = 290}, {name = "rear", at = 2400, track = 1450, loaded_radius = 290}}
  return sy.car{title = "Bodies (invented)", axes = {x = "back", y = "right", z = "up"}, axles = axles, parts = list}
end
local bodies = shaped()

-- A vehicle file of a hundred parts, with ten records of scales and without.
local function written(records)
  local text = {'vehicle { title = "Records (invented)", axes = { x = "back", y = "right", z = "up" },',
    'instruments = { { name = "pads", sd = 0.1 } }, axles = { { name = "front", at = 0, track = 1450, loaded_radius = 290 },',
    '{ name = "rear", at = 2400, track = 1450, loaded_radius = 290 } }, parts = {'}
  for i = 1, 100 do
    text[#text + 1] = ('part "part %d" { mass = sd(%d, 0.1), at = { %d, %d, 300 } },'):format(i, 3 + i % 5, 200 + 20 * i, i % 7 - 3)
  end
  text[#text + 1] = "}, records = {"
  for i = 1, records do
    text[#text + 1] = ('record "record %d" { date = "2026-03-%02d", kind = "corners", instrument = "pads", '
      .. "corners = { lf = 130.2, rf = 131, lr = %d, rr = 118.4 } },"):format(i, i, 110 + i)
  end
  text[#text + 1] = "} }"
  local path = os.tmpname()
  local out <close> = assert(io.open(path, "w"))
  out:write(table.concat(text, "\n"))
  return path
end
local with_records, without_records = written(10), written(0)

local function million()
  local begin, list = os.clock(), {}
  for g = 1, 1000 do
    local group = {}
    for k = 1, 1000 do
      local i = (g - 1) * 1000 + k
      group[k] = sy.part("part " .. i) {mass = sy.sd(spread(i, 1, 0.001, 0.002), 1e-5), at = {spread(i, 3, -300, 2500) // 1,
        spread(i, 4, -700, 700) // 1, spread(i, 5, 100, 900) // 1}}
    end
    list[g] = sy.group("group " .. g) (group)
  end
  local large = car_of(list)
  list = nil -- luacheck: ignore 311
  assert(large:move("part 500000", {back = 50}):balance().parts == 1000000)
  large = nil -- luacheck: ignore 311
  collectgarbage()
  collectgarbage()
  return os.clock() - begin
end

local function peak_mb()
  for line in io.lines "/proc/self/status" do
    local kb = line:match "^VmHWM:%s*(%d+)"
    if kb then return kb // 1024 end
  end
  return 0 -- not Linux: unknown
end

-- What a loop is written for. All else in a balance comes when it is looked at: "balance_all" looks.
local function read(b) return b.front_share, b.sd.front_share, b.lf, b.height end

local distance = 0
local jobs = {
  move_balance = function()
    distance = distance % 90 + 1
    return read(car:move("part 77", {back = distance}):balance())
  end,
  move_balance_weighed = function()
    distance = distance % 90 + 1
    return read(weighed_car:move("part 77", {back = distance}):balance())
  end,
  compare_weighed = function()
    distance = distance % 90 + 1
    return sy.compare{weighed_car, weighed_car:move("part 77", {back = distance})}
  end,
  move_group_balance = function()
    distance = distance % 90 + 1
    return read(car:move("group 7", {back = distance}):balance())
  end,
  balance = function() return read(moved:balance()) end,
  balance_all = function()
    for _ in pairs(moved:balance()) do end
  end,
  plan_lift = function()
    return car:plan_lift{within = 10, pads = {sd = 0.1}, sd = {lift = 1, zero = 0.05, radius = 2, wheelbase = 1}}
  end,
  trial = function()
    distance = distance % 90 + 1
    return trial(distance)
  end,
  compare = function() return sy.compare{car, moved} end,
  overlaps = function()
    distance = distance % 90 + 1
    return bodies:move("body 77", {back = distance}):overlaps{gap = 5}
  end,
  load_records = function() return sy.load(with_records) end,
  load_without = function() return sy.load(without_records) end,
  draw = function() return require("steelyard.draw.drawing").svg_of(drawn:draw()) end,
  compare_moves = function()
    distance = distance % 90 + 1
    return sy.compare{car, car:move("part 77", {back = distance})}
  end,
}

for name in io.lines() do
  if name == "million" then
    print(("%.9e"):format(million()))
    print(peak_mb())
  elseif name == "answers" then
    local b = car:balance()
    print(("%.17g %.17g %.17g %.17g %.17g %.17g %.17g"):format(b.mass, b.cg.x, b.cg.y, b.cg.z, b.yaw_inertia, b.sd.mass, b.sd.cg.x))
  else
    local job, items, took = jobs[name], 1
    repeat -- some milliseconds, far above the clock's grain
      items = items * 2
      local begin = os.clock()
      for _ = 1, items do job() end
      took = os.clock() - begin
    until took > 20e-3
    print(("%.9e"):format(took / items))
  end
  io.stdout:flush()
end
os.remove(with_records)
os.remove(without_records)
