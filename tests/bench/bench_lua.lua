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
