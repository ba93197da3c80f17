--- What is kept of a study while it runs: its columns and its tally, block by block.
--
-- kept.new(a, {size = variants in a block, work = function(first, count, stores, at, sums) -> solved singly, sums_alone = function(o) ->
-- whether output o needs no column, shared = true of a shard}) -> {blocks, size, work, take} as study/watch.lua has them, with `stores`
-- (none with reduce and of a shard, whose columns go to its file block by block) and `tally`.

local stores_of = require "steelyard.study.stores"
local tally_of = require "steelyard.study.tally"

local kept = {}

local function range(k, block)
  local first = (block - 1) * k.size + 1
  return first, math.min(k.n, first + k.size - 1)
end

-- Whole columns.
local function keeping(a, k, work)
  k.stores = stores_of.new(a, k.n)
  function k.work(block, stored)
    local first, last = range(k, block)
    local sums = tally_of.sums(a)
    local singly = work(first, last - first + 1, k.stores, first, sums)
    local t = tally_of.of(a, k.stores, first, last, sums, singly)
    if stored then return tally_of.bytes(t) .. stores_of.bytes(k.stores, first, last) end
    tally_of.add(k.tally, t)
  end
  function k.take(block, bytes)
    local first, last = range(k, block)
    local t, at = tally_of.read(a, bytes)
    tally_of.add(k.tally, t)
    stores_of.put(k.stores, first, last, bytes, at)
  end
end

-- The tally alone: the columns are of one block. Where they are wanted in a file (`shared`) they go along with it, else there are only
-- those that something else needs.
local function reducing(a, k, work, shared, sums_alone)
  local stores = stores_of.new(a, math.min(k.size, k.n), not shared and sums_alone or nil)
  local kept_any = stores_of.any(stores) or a.rules[1] ~= nil
  function k.work(block)
    local first, last = range(k, block)
    local sums = tally_of.sums(a)
    local singly = work(first, last - first + 1, stores, kept_any and 1 or first, sums) -- nothing is written: points stay where they are
    local bytes = tally_of.bytes(tally_of.of(a, stores, 1, last - first + 1, sums, singly))
    return shared and bytes .. stores_of.bytes(stores, 1, last - first + 1) or bytes
  end
  function k.take(_, bytes) tally_of.add(k.tally, (tally_of.read(a, bytes))) end
end

--- See above.
function kept.new(a, o)
  local k = {n = a.n, size = o.size, blocks = (a.n + o.size - 1) // o.size, tally = tally_of.new(a)}
  a.block = o.size
  if a.reduce or o.shared then reducing(a, k, o.work, not a.reduce, o.sums_alone) else keeping(a, k, o.work) end
  return k
end

return kept
