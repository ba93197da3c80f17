--- What each of many changes has done to an answer, so that the lines add up to the whole change.
--
-- The answers rest on five sums over the parts, in kg and metres about one origin: m, m x, m y, m z and q = m (x^2 + y^2)
-- with the parts' own moments. Shares and heights are a ratio N / M of two such sums, yaw inertia is q - (X^2 + Y^2) / M.
-- With a bar for the mean of before (0) and after (1), without rest:
--
--   change of N/M  =  sum of (dN - dM Nbar/Mbar) Mbar / (M0 M1)
--   change of X^2/M = Xbar times the change of X/M, and the mean of X/M before and after times dX
--
-- Both are linear in a line's own dN, dM, dX: the order of the lines does not matter, two lines taken as one have the sum of
-- their effects, and a line alone has the whole change. In words: each line's effect on the mean of the two cars.

local core = require "steelyard.core"

local shares = {}

--- The answers that changes are reported in, by quantity name.
shares.quantities = {"mass", "front_share", "left_share", "height", "yaw_inertia"}

--- {m, x, y, z, q} of an item; "" is everything aboard.
function shares.sums(ledger, route)
  local m, x, y, z, q = core.item_sums(ledger, route)
  return {m = m, x = x, y = y, z = z, q = q}
end

shares.nothing = {m = 0, x = 0, y = 0, z = 0, q = 0}

--- a less b.
function shares.less(a, b) return {m = a.m - b.m, x = a.x - b.x, y = a.y - b.y, z = a.z - b.z, q = a.q - b.q} end

-- What a kilogram at the origin, and a kilogram metre fore-aft and across, put on the front axle and on the left wheels: loads
-- are linear in m, m x and m y whatever the wheels. Asked of the library with three small masses.
local function load_sensitivities(geometry)
  local probes = {}
  for i, at in ipairs{{0, 0, 0}, {1000, 0, 0}, {0, 1000, 0}} do
    local builder = core.builder(geometry)
    builder:part("probe", nil, {mass = 1, at = {geometry:point_out(at[1], at[2], at[3])}, number = 1})
    probes[i] = core.answers(builder:finish(), geometry, {"front", "left"})
  end
  local origin, fore, across = probes[1], probes[2], probes[3]
  local sensitivities = {}
  for k, name in ipairs{"front", "left"} do
    sensitivities[name] = {m = origin[k], x = fore[k] - origin[k], y = across[k] - origin[k]}
  end
  return sensitivities
end

-- N of the answers that are ratios, from five sums
local function numerators(sensitivities)
  local function load(name)
    local s = sensitivities[name]
    return function(sums) return 100 * (s.m * sums.m + s.x * sums.x + s.y * sums.y) end -- percent
  end
  return {front_share = load "front", left_share = load "left", height = function(sums) return 1000 * sums.z end} -- mm
end

local function mean(a, b) return (a + b) / 2 end

-- effect(d) of a line on N/M
local function of_ratio(before, after, numerator)
  local mass, value = mean(before.m, after.m), mean(numerator(before), numerator(after))
  local ratio, scale = value / mass, mass / (before.m * after.m)
  return function(d) return (numerator(d) - d.m * ratio) * scale end
end

local function of_yaw(before, after)
  local terms = {}
  for i, axis in ipairs{"x", "y"} do
    local cg_change = of_ratio(before, after, function(sums) return sums[axis] end)
    local cg, first = mean(before[axis] / before.m, after[axis] / after.m), mean(before[axis], after[axis])
    terms[i] = function(d) return cg * d[axis] + first * cg_change(d) end
  end
  return function(d) return d.q - terms[1](d) - terms[2](d) end
end

--- effects(d) -> {mass =, front_share =, ...} of a line whose sums change by d, where all lines together take the car from
-- `before` to `after` on one geometry.
function shares.effects(geometry, before, after)
  local effect = {mass = function(d) return d.m end, yaw_inertia = of_yaw(before, after)}
  for name, numerator in pairs(numerators(load_sensitivities(geometry))) do effect[name] = of_ratio(before, after, numerator) end
  return function(d)
    local list = {}
    for _, name in ipairs(shares.quantities) do list[name] = effect[name](d) end
    return list
  end
end

return shares
