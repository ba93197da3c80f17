--- The Pareto front of a study: the variants that no other feasible one betters in everything asked for.
--
-- Variants that fail a limit, or of which an answer is not known, are not in it. Of several that answer the same all are. Their numbers come
-- along the first of the quantities, from its least to its most.

local front = {}

-- Sorted along the first quantity, best first; ties by the others.
local function sorted(list, key)
  table.sort(list, function(a, b)
    for q = 1, #key do
      local one, other = key[q][a], key[q][b]
      if one ~= other then return one < other end
    end
    return a < b
  end)
end

local function better_or_same(key, a, b)
  for q = 1, #key do
    if key[q][a] > key[q][b] then return false end
  end
  return true
end

local function same(key, a, b)
  for q = 1, #key do
    if key[q][a] ~= key[q][b] then return false end
  end
  return true
end

--- Numbers of the variants in the front.
function front.of(s, stores, n)
  local key, list = {}, {}
  for q in ipairs(s.front) do key[q] = {} end
  for i = 1, n do
    local known = stores.verdict[i] <= 2
    for q, entry in ipairs(s.front) do
      local value = (s.inner[1] and (entry.most and stores.lowest or stores.highest) or stores.values)[entry.out][i] -- folded: at its worst
      known = known and value ~= nil
      key[q][i] = value and (entry.most and -value or value)
    end
    if known then list[#list + 1] = i end
  end
  sorted(list, key)
  local kept = {}
  for _, i in ipairs(list) do
    local beaten = false
    for k = #kept, 1, -1 do -- what comes later is worse in the first, so the last ones kept are the likeliest to beat it
      if better_or_same(key, kept[k], i) and not same(key, kept[k], i) then
        beaten = true
        break
      end
    end
    if not beaten then kept[#kept + 1] = i end
  end
  if s.front[1].most then
    for k = 1, #kept // 2 do kept[k], kept[#kept + 1 - k] = kept[#kept + 1 - k], kept[k] end
  end
  return kept
end

return front
