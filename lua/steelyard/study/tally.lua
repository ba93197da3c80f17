--- Counts and extremes of a study, block by block: with reduce = true they are all that is kept.
--
-- Sums are of each block by itself and then of the blocks in their order, so that a mean is the same however the study was run.

local stores_of = require "steelyard.study.stores"

local tally = {}

local BLOCK = "<I8I8I8I8I8" -- variants of each verdict, solved singly
local OUTPUT = "<I8ddI8dI8" -- known; sum; least and its variant; most and its variant

local function of_column(column, from, to, first)
  local t = {known = 0, sum = 0.0, min = 0.0, at_min = 0, max = 0.0, at_max = 0}
  for i = from, to do
    local value = column[i]
    if value then
      if t.known == 0 or value < t.min then t.min, t.at_min = value, first + i - from end
      if t.known == 0 or value > t.max then t.max, t.at_max = value, first + i - from end
      t.known, t.sum = t.known + 1, t.sum + value
    end
  end
  return t
end

--- What the entries from .. to of stores say, the variants from number `first` on. singly: how many of them were solved one by one.
function tally.of(a, stores, from, to, first, singly)
  local t = {counts = {0, 0, 0, 0}, singly = singly, outputs = {}}
  local rank = {}
  for k, word in ipairs(stores_of.verdicts) do rank[word] = k end
  for i = from, to do
    local k = rank[stores.verdict[i]]
    t.counts[k] = t.counts[k] + 1
  end
  for o = 1, a.shown do t.outputs[o] = of_column(stores.values[o], from, to, first) end
  return t
end

--- Of nothing so far.
function tally.new(a)
  local t = {counts = {0, 0, 0, 0}, singly = 0, outputs = {}}
  for o = 1, a.shown do t.outputs[o] = {known = 0, sum = 0.0, min = 0.0, at_min = 0, max = 0.0, at_max = 0} end
  return t
end

--- Adds the next block's.
function tally.add(all, t)
  for k = 1, 4 do all.counts[k] = all.counts[k] + t.counts[k] end
  all.singly = all.singly + t.singly
  for o, one in ipairs(t.outputs) do
    local into = all.outputs[o]
    if one.known > 0 then
      if into.known == 0 or one.min < into.min then into.min, into.at_min = one.min, one.at_min end
      if into.known == 0 or one.max > into.max then into.max, into.at_max = one.max, one.at_max end
      into.known, into.sum = into.known + one.known, into.sum + one.sum
    end
  end
end

function tally.bytes(t)
  local pieces = {string.pack(BLOCK, t.counts[1], t.counts[2], t.counts[3], t.counts[4], t.singly)}
  for o, one in ipairs(t.outputs) do
    pieces[o + 1] = string.pack(OUTPUT, one.known, one.sum, one.min, one.at_min, one.max, one.at_max)
  end
  return table.concat(pieces)
end

--- The same read back, and where the next bytes begin.
function tally.read(a, bytes)
  local t, at = {counts = {}, outputs = {}}, nil
  t.counts[1], t.counts[2], t.counts[3], t.counts[4], t.singly, at = string.unpack(BLOCK, bytes)
  for o = 1, a.shown do
    local one = {}
    one.known, one.sum, one.min, one.at_min, one.max, one.at_max, at = string.unpack(OUTPUT, bytes, at)
    t.outputs[o] = one
  end
  return t, at
end

--- How many variants there are in it.
function tally.variants(t) return t.counts[1] + t.counts[2] + t.counts[3] + t.counts[4] end

--- {min, max, mean, at_min, at_max} of an output; nil where none is known.
function tally.summary(one)
  if one.known == 0 then return nil end
  return {min = one.min, max = one.max, mean = one.sum / one.known, at_min = one.at_min, at_max = one.at_max}
end

--- {pass =, near =, unknown =, fail =}
function tally.counts(t)
  local counts = {}
  for k, word in ipairs(stores_of.verdicts) do counts[word] = t.counts[k] end
  return counts
end

return tally
