--- The car of the benches that ask of a whole car: 300 parts in 20 groups, with their uncertainties. many_parts.py has it in columns.

local sy = require "steelyard"

local many_parts = {}

local GROUPS, EACH = 20, 15 -- 300 parts

-- Places and masses that repeat nowhere: the fractional parts of multiples of the golden ratio.
local function spread(i, k, from, to) return from + (to - from) * ((i * 0.6180339887498949 + k * 0.7548776662466927) % 1) end

many_parts.scales = {
  {name = "bench", step = 0.001, bias = sy.sd(0, 0.002), gain = sy.sd(1, 0.001)},
  {name = "hook", step = 0.01, bias = sy.sd(0, 0.01), gain = sy.sd(1, 0.002)},
  {name = "floor", step = 0.1, bias = sy.sd(0, 0.1), gain = sy.sd(1, 0.002)},
}

local NORMAL = 5 / math.sqrt(3) -- mm: of limits of 5 mm

local function one(i, weighed, normal)
  local on = weighed and i % 2 == 0 and many_parts.scales[i // 2 % 3 + 1].name or nil
  local at = {spread(i, 3, -300, 2500) // 1, spread(i, 4, -700, 700) // 1, spread(i, 5, 100, 900) // 1}
  for k = 1, 3 do at[k] = normal and sy.sd(at[k], NORMAL) or at[k] end
  return sy.part("part " .. i) {
    mass = sy.sd(spread(i, 1, 0.05, 8), spread(i, 2, 0.001, 0.4)), at = at, within_mm = 5,
    shape = i % 3 == 0 and sy.box {300, 200, 100} or nil, scale = on, basis = on and "weighed" or nil}
end

--- A car of these parts; a state of it leaves the first out.
function many_parts.car_of(parts, instruments)
  return sy.car{
    title = "Bench (invented)", axes = {x = "back", y = "right", z = "up"}, instruments = instruments,
    axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
    parts = parts, spares = {sy.person "passenger" {mass = sy.sd(70, 0.5), at = {1020, -270, 365}}},
    states = {sy.state "as raced" {without = {"part 1"}}},
  }
end

--- The parts; `weighed`: every other one on one of the three scales, which err for all of its parts together.
-- `normal`: places with normal errors of the same size, where limits stand else.
function many_parts.parts_of(weighed, normal)
  local parts = {}
  for g = 1, GROUPS do
    local group = {}
    for k = 1, EACH do group[k] = one((g - 1) * EACH + k, weighed, normal) end
    parts[g] = sy.group("group " .. g) (group)
  end
  return parts
end

many_parts.spread = spread

return many_parts
