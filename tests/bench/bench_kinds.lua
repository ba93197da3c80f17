--- Kinds of inputs by sets of answers: the time of one variant of a study, and of the same car made and asked in Lua.
--
-- A cell is the time of one variant in sy.study, with what does not depend on the number of variants left out (two sizes, their
-- difference), in seconds of the processor, which other jobs of the machine change least. "*": without a plan.
-- Below it stands how many times as long the same edit and question take in Lua. Asked: five times or more where there is a plan; without
-- one the two are the same work, and half allows for the clock.

local core = require "steelyard.core"
local made = require "steelyard.study.made"
local sy = require "steelyard"
local vehicle_fields = require "steelyard.study.vehicle_fields" -- no script has words for the chassis of a car

local car = sy.load "vehicles/twayblade.lua":state "race start"
local LONG = 0.05 -- s of the larger study: far above the clock's grain

local function between(from, to) return {from = from, to = to} end

-- Words have no values between them: many variants come from the place of a light part beside them.
local function words(list) return {list = list} end

local kinds = {
  {"part moved", "engine", "back", between(-40, 40), function(c, v) return c:move("engine", {back = v}) end},
  {"group turned", "powertrain", "nose_up", between(-2, 2), function(c, v) return c:move("powertrain", {nose_up = v}) end},
  {"axle moved", "rear axle", "back", between(0, 60), function(c, v) return c:move("rear axle", {back = v}) end},
  {"mass", "driver", "mass", between(60, 100), function(c, v) return c:set("driver", {mass = v}) end},
  {"spring rate", "front axle", "spring_rate", between(30, 60), function(c, v) return c:set("front axle", {spring_rate = v}) end},
  {"chassis", "chassis", "torsion", between(2000, 9000), function(c, v) return vehicle_fields.setter{way = "torsion"}(c, v) end},
  {"fill", "fuel", "fill", between(4, 40), function(c, v) return c:fill{fuel = v} end},
  {"swap", "battery", "swap", words{"battery", "light battery"}, function(c, v)
    return c:swap("battery", "light battery"):move("radiator", {back = v}) end},
  {"state", "state", nil, words{"race start", "end of race", "two up"}, function(c, v)
    return c:state("end of race"):move("radiator", {back = v}) end},
}

local sets = {
  {"balance", {"front_share", "height", "yaw_inertia"}, function(c) return c:balance() end},
  {"corners", {"corners.lf", "corners.cross_share"}, function(c) return c:corners() end},
  {"attitude", {"attitude.pitch"}, function(c) return c:attitude() end},
  {"transfer", {"transfer.front_transfer_share"}, function(c) return c:transfer{left_turn = 0.5} end, {left_turn = 0.5}},
  {"stability", {"stability.ssf"}, function(c) return c:stability() end},
  {"shafts", {"shafts.worst_angle"}, function(c) return c:shafts() end},
  {"clearances", {"clearances.tightest"}, function(c) return c:clearances() end},
}

local function inputs(kind, n)
  local what, way, values = kind[2], kind[3], kind[4]
  if values.from then return {sy.vary(what, way, values.from, values.to, n)} end
  local each = math.max(2, n // #values.list)
  local of_words = way and sy.vary(what, way, values.list) or sy.vary(what, values.list)
  return {of_words, sy.vary("radiator", "back", -20, 20, each)}
end

-- Seconds for a study of about n variants, how many there were, and whether a plan covers what is asked.
local function study(kind, set, n)
  local request = {car, vary = inputs(kind, n), show = set[2], quiet = true, threads = 1}
  for name, value in pairs(set[4] or {}) do request[name] = value end
  collectgarbage()
  local begin = os.clock()
  local s = sy.study(request)
  return os.clock() - begin, s.n, made.from[s].live.planned
end

local function in_study(kind, set)
  local few, many = 10, 10
  local first, n_first = study(kind, set, few)
  local last, n_last, planned
  repeat
    many = many * 4
    last, n_last, planned = study(kind, set, many)
  until last - first > LONG or many > 1000000
  return math.max(last - first, 0) / (n_last - n_first), planned
end

local function in_lua(kind, set)
  local apply, ask, count = kind[5], set[3], 1
  local from, to = kind[4].from or -20, kind[4].to or 20
  local took
  repeat
    count = count * 2
    local begin = os.clock()
    for i = 1, count do ask(apply(car, from + (to - from) * i / count)) end
    took = os.clock() - begin
  until took > LONG
  return took / count
end

local function us(seconds)
  local value = seconds * 1e6
  return core.fixed(value, value < 10 and 2 or value < 100 and 1 or 0)
end

local heads, slow = {{"us a variant", "%s"}}, {}
for _, set in ipairs(sets) do heads[#heads + 1] = {set[1], "%s"} end
local rows = {}
for _, kind in ipairs(kinds) do
  local times, factors = {kind[1]}, {"  in Lua, times"}
  for _, set in ipairs(sets) do
    local ours, planned = in_study(kind, set)
    local lua = in_lua(kind, set)
    local factor = lua / math.max(ours, 1e-12)
    times[#times + 1] = us(ours) .. (planned and "" or " *")
    factors[#factors + 1] = core.fixed(factor, factor < 10 and 1 or 0)
    if factor < (planned and 5 or 0.5) then slow[#slow + 1] = ("%s by %s: %s times"):format(kind[1], set[1], core.fixed(factor, 1)) end
  end
  rows[#rows + 1], rows[#rows + 2] = times, factors
end
print(sy.table(heads, rows))
print("* without a plan: solved singly, as in Lua")
for _, line in ipairs(slow) do print("slower than asked: " .. line) end
os.exit(#slow == 0, true)
