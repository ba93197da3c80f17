--- Counts and extremes of a study, block by block: with reduce = true they are all that is kept.
--
-- core.summary adds exactly, so that a mean is the same however the study was run.

local core = require "steelyard.core"
local stores_of = require "steelyard.study.stores"

local tally = {}

local BLOCK = "<I8I8I8I8I8I8" -- variants; of each verdict; solved singly
local SUMMARY = 64            -- bytes of core.summary

--- What the entries from .. to of stores say. sums: the summaries of their answers; singly: how many of them were solved one by one.
function tally.of(a, stores, from, to, sums, singly)
  local t = {n = to - from + 1, counts = {0, 0, 0, 0}, singly = singly, outputs = sums}
  if a.rules[1] then t.counts = {core.verdict_count(stores.verdict, from, to)} end
  return t
end

--- Summaries of nothing so far, of the outputs that are shown.
function tally.sums(a)
  local sums = {}
  for o = 1, a.shown do sums[o] = core.summary() end
  return sums
end

--- Of nothing so far.
function tally.new(a)
  return {n = 0, counts = {0, 0, 0, 0}, singly = 0, outputs = tally.sums(a)}
end

--- Adds the next block's.
function tally.add(all, t)
  for k = 1, 4 do all.counts[k] = all.counts[k] + t.counts[k] end
  all.n, all.singly = all.n + t.n, all.singly + t.singly
  for o, one in ipairs(t.outputs) do all.outputs[o]:join(one) end
end

function tally.bytes(t)
  local pieces = {string.pack(BLOCK, t.n, t.counts[1], t.counts[2], t.counts[3], t.counts[4], t.singly)}
  for o, one in ipairs(t.outputs) do pieces[o + 1] = one:bytes() end
  return table.concat(pieces)
end

--- The same read back, and where the next bytes begin.
function tally.read(a, bytes)
  local t, at = {counts = {}, outputs = {}}
  t.n, t.counts[1], t.counts[2], t.counts[3], t.counts[4], t.singly, at = string.unpack(BLOCK, bytes)
  for o = 1, a.shown do
    t.outputs[o] = core.summary(bytes:sub(at, at + SUMMARY - 1))
    at = at + SUMMARY
  end
  return t, at
end

--- {min, max, mean, at_min, at_max} of an output, nil where none is known; and how many are not known.
function tally.summary(one)
  local found = one:read()
  local summary = found.known > 0 and {min = found.min, max = found.max, mean = found.mean, at_min = found.at_min, at_max = found.at_max}
  return summary or nil, found.unknown
end

--- {pass =, near =, unknown =, fail =}
function tally.counts(t)
  local counts = {}
  for k, word in ipairs(stores_of.verdicts) do counts[word] = t.counts[k] end
  return counts
end

return tally
