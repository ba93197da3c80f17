--- The Pareto front of a study: the variants that no other feasible one betters in everything asked for.
--
-- Variants that fail a limit, or of which an answer is not known, are not in it. Of several that answer the same all are. Their numbers come
-- along the first of the quantities, from its least to its most. What is folded counts at its worst.

local front = {}

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

-- What each variant has of each quantity, less being better; and the numbers of those that are known and feasible.
local function keys_of(a, stores, n)
  local key, list = {}, {}
  for q in ipairs(a.front) do key[q] = {} end
  local feasible = {pass = true, near = true}
  for i = 1, n do
    local known = feasible[stores.verdict[i]]
    for q, entry in ipairs(a.front) do
      local value = known and (a.folds and (entry.most and stores.lowest or stores.highest) or stores.values)[entry.out][i]
      known = known and value ~= nil
      key[q][i] = value and (entry.most and -value or value)
    end
    if known then list[#list + 1] = i end
  end
  return key, list
end

--- Numbers of the variants in the front of stores (stores.lua) of n variants.
function front.of(a, stores, n)
  local key, list = keys_of(a, stores, n)
  table.sort(list, function(x, y)
    for q = 1, #key do
      local one, other = key[q][x], key[q][y]
      if one ~= other then return one < other end
    end
    return x < y
  end)
  local kept = {}
  for _, i in ipairs(list) do
    local beaten = false
    for k = #kept, 1, -1 do -- what was kept last is nearest in the first quantity, and the likeliest to be better
      if better_or_same(key, kept[k], i) and not same(key, kept[k], i) then
        beaten = true
        break
      end
    end
    if not beaten then kept[#kept + 1] = i end
  end
  if a.front[1].most then
    for k = 1, #kept // 2 do kept[k], kept[#kept + 1 - k] = kept[#kept + 1 - k], kept[k] end
  end
  return kept
end

return front
