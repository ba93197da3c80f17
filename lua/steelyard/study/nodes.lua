--- At which values of an input a plan tries it, and how it goes on between them.
--
-- A domain is what an input may be: {low =, high =, list = its values, rising, or nil where any number between may come}.

local nodes = {}

local MOST_LISTED = 2000 -- values that a table is tried at

-- Those of a range rise or fall already.
local function in_order(values)
  local n, step, list = #values, 1, {}
  if n > 1 and values[1] > values[n] then step = -1 end
  local at, last = step > 0 and 1 or n, -math.huge
  for i = 1, n do
    local value = values[at] + 0.0
    if not (value > last) then return nil end
    list[i], last, at = value, value, at + step
  end
  return list
end

local function rising(values)
  local ordered = in_order(values)
  if ordered then return ordered end
  local list, seen = {}, {}
  for _, value in ipairs(values) do
    if not seen[value] then seen[value], list[#list + 1] = true, value + 0.0 end
  end
  table.sort(list)
  return list
end

--- The domain of an input. points: a column of the values that come, of a method that has no list of them.
function nodes.domain(input, points)
  if points or input.values then
    local list = rising(points and points:list() or input.values)
    return {low = list[1], high = list[#list], list = list}
  end
  return {low = math.min(input.from, input.to) + 0.0, high = math.max(input.from, input.to) + 0.0}
end

--- May it be that value?
function nodes.has(domain, value)
  if not domain.list then return domain.low <= value and value <= domain.high end
  for _, each in ipairs(domain.list) do
    if each == value then return true end
  end
  return false
end

--- Is it always that value?
function nodes.is_only(domain, value) return domain.low == value and domain.high == value end

--- A value of the domain, by a number from 0 to below 1.
function nodes.within(domain, x)
  if domain.list then return domain.list[1 + math.floor(x * #domain.list)] end
  return domain.low + x * (domain.high - domain.low)
end

-- Both ends and, crowded towards them, what lies between; none of them at `stands`.
local function spread(low, high, count, stands)
  local list = {}
  for k = 0, count - 1 do
    local x = 0.5 - 0.5 * math.cos(math.pi * k / (count - 1))
    if k == count - 1 then x = 1 end
    local value = low + x * (high - low)
    while value == stands do
      x = x + (x < 0.5 and 0.043 or -0.043)
      value = low + x * (high - low)
    end
    list[k + 1] = value
  end
  return list
end

-- Places of which no node knows; more of a level, which in most shapes follows no polynomial.
local function between(list, kind)
  local proof, shares = {}, kind == "level" and {0.05, 0.4, 0.8} or {0.381966}
  for i = 1, #list - 1, kind == "level" and 1 or 2 do
    for _, share in ipairs(shares) do proof[#proof + 1] = list[i] + share * (list[i + 1] - list[i]) end
  end
  return proof
end

-- kind -> way and how many nodes, the fewest first: see core/study/plan.h. "level" is a fill whose liquid finds a level in a shape; in an
-- upright box a second moment goes with its third power, a covariance with its fourth. The covariances of a fill that stays where it is go
-- with its square.
-- "statement": what a line states, of a car as records leave it; the one value that is stated already keeps its correction, others do not.
local counts = {level = {"powers", 4, 5, 8}, move = {"powers", 3}, field = {"powers", 3}, fill = {"powers", 2, 3},
                setting = {"powers", 2}, number = {"powers", 2}, turn = {"angle", 5}}

local PIECE = 7 -- nodes from the beginning of a piece to that of the next: core/study/plan.h

-- What is smooth between two values, most curved at either: pieces crowded towards them.
local function pieces(low, high, count, stands)
  local way, ends = {way = "pieces", proof = {}}, spread(low, high, count + 1, stands)
  for p = 1, count do
    local piece = spread(ends[p], ends[p + 1], PIECE + 1, stands)
    table.move(piece, p == 1 and 1 or 2, PIECE + 1, #way + 1, way)
    for _, k in ipairs{1, 4} do
      way.proof[#way.proof + 1] = piece[k] + 0.381966 * (piece[k + 1] - piece[k])
    end
  end
  return way
end

local MOST_PIECES = {4, 16}

-- The same list without a value, unless nothing is left.
local function without(list, value)
  local rest = {}
  for _, each in ipairs(list) do if each ~= value then rest[#rest + 1] = each end end
  return rest[1] and rest or list
end

local function all_of(list)
  local all = table.move(list, 1, #list, 1, {})
  all.way = "table"
  return all
end

--- The ways to try, the simplest first: lists of nodes with `way` and `proof`, values that must come out too; then the domain, without
-- `stands` where `drop` says so. A single value is one node. stands: a value at which the input is not tried, or nil.
function nodes.ways(kind, domain, stands, drop)
  local list = domain.list and (drop and without(domain.list, stands) or domain.list)
  local left = list and {low = list[1], high = list[#list], list = list} or domain
  if left.low == left.high then return {all_of{left.low}}, left end
  local ways, count = {}, counts[kind]
  if list and count and #list <= count[2] and not stands then return {all_of(list)}, left end
  for k = 2, count and #count or 1 do
    local low, high = left.low, left.high
    if kind == "turn" and high - low > 288 then low, high = -144, 144 end -- five around the circle
    local way = kind == "turn" and high - low == 288 and {-144, -72, 0, 72, 144} or spread(low, high, count[k], stands)
    way.way, way.proof = count[1], between(way, kind)
    ways[#ways + 1] = way
  end
  for _, many in ipairs(kind == "level" and MOST_PIECES or {}) do -- a table of fewer values is quicker made
    if not list or #list > 2 * PIECE * many then ways[#ways + 1] = pieces(left.low, left.high, many, stands) end
  end
  if list and #list <= MOST_LISTED and not (stands and nodes.has(left, stands)) then ways[#ways + 1] = all_of(list) end
  return ways, left
end

return nodes
