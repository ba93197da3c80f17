--- The Pareto front of a study: the variants that no other feasible one betters in everything asked for (core/study/front.h).
--
-- Variants that fail a limit, or of which an answer is not known, are not in it. Of several that answer the same all are. Their numbers
-- come
-- along the first of the quantities, from its least to its most. What is folded counts at its worst.

local core = require "steelyard.core"

local front = {}

--- Numbers of the variants in the front of stores (stores.lua).
function front.of(a, stores)
  local columns, most = {}, {}
  for q, entry in ipairs(a.front) do
    columns[q] = (a.folds and (entry.most and stores.lowest or stores.highest) or stores.values)[entry.out]
    most[q] = entry.most
  end
  return core.front(columns, most, a.rules[1] and stores.verdict or nil)
end

--- What is wished for, in order: list of {name of the output, way = "least" or "most"}.
function front.wishes(a)
  local list = {}
  for q, entry in ipairs(a.front) do list[q] = {name = a.outputs[entry.out].name, way = entry.most and "most" or "least"} end
  return list
end

return front
