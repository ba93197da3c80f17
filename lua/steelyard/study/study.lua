--- sy.study{car, vary = {...}, show = {...}}: many cars asked at once. See reference/calls/study.lua for what it takes and gives.
--
-- The variants are worked out in blocks, in order, through study/watch.lua. Inputs that worst_over names make no variants of their own: of
-- each variant the lowest and the highest answer over all their combinations are kept, and the worst verdict.

local core = require "steelyard.core"
local about = require "steelyard.study.about"
local answer = require "steelyard.study.answer"
local asked_of = require "steelyard.study.asked"
local contents = require "steelyard.car.contents"
local identity = require "steelyard.study.identity"
local kept_of = require "steelyard.study.kept"
local result_of = require "steelyard.study.result"
local rules = require "steelyard.study.rules"
local singly = require "steelyard.study.singly"
local text = require "steelyard.print.text"
local watch = require "steelyard.study.watch"

local study = {}

local MOST_BYTES = 8e9 -- of columns; more is for several runs
local MOST_FOLDS = 1000000 -- combinations of what is folded

local function check_size(s, n, folds)
  if folds > MOST_FOLDS then
    core.fail{code = "limit", field = "worst_over", message = ("folds %s combinations, at most %s are possible"):format(text.grouped(folds),
      text.grouped(MOST_FOLDS))}
  end
  if s.reduce then return end
  local each = 8 * #s.outputs * ((s.uncertainty and 2 or 1) + (folds > 1 and 4 or 0)) + 1
  local bytes = n * each
  if bytes <= MOST_BYTES or s.shard then return end
  local shards = math.ceil(bytes / MOST_BYTES)
  core.fail{code = "limit", field = "vary", message = ("makes %s variants, %s GB of columns; at most %s GB are kept"):format(text.grouped(n),
    text.grouped(math.ceil(bytes / 1e9)), text.grouped(MOST_BYTES / 1e9)), hint = ("reduce = true keeps counts and extremes alone; with it "
    .. "shards share the work: shard = {1, %s} and so on, each to = a file of its own, then sy.merge"):format(core.fixed(shards, 0))}
end

-- ---- one variant -------------------------------------------------------------------------------------------------------------

local function fold_one(stores, o, i, f, value)
  local low, high = stores.lowest[o], stores.highest[o]
  if not low[i] or value < low[i] then
    core.column_set(low, i, value)
    core.column_set(stores.lowest_at[o], i, f)
  end
  if not high[i] or value > high[i] then
    core.column_set(high, i, value)
    core.column_set(stores.highest_at[o], i, f)
  end
end

local function clear(stores, o, i)
  for _, which in ipairs{"lowest", "highest", "lowest_at", "highest_at"} do core.column_set(stores[which][o], i, nil) end
end

-- All that is folded of one variant: the worst verdict.
local function fold(s, ask, stores, values, inner, i)
  local worst, open = 1, {} -- an output that is not known everywhere has neither a lowest nor a highest
  for o = 1, #s.outputs do clear(stores, o, i) end
  for f = 1, inner.n do
    for k, j in ipairs(s.inner) do values[j] = inner.columns[k][f] end
    local found, _, rank = ask(values)
    for o = 1, #s.outputs do
      if found[o] then fold_one(stores, o, i, f, found[o]) else open[o] = true end
    end
    if rank > worst then worst = rank end
  end
  for o = 1, #s.outputs do
    if open[o] then clear(stores, o, i) end
  end
  for _, j in ipairs(s.inner) do values[j] = nil end
  return worst
end

-- Variant u, kept as entry i.
local function work_out(s, ask, stores, values, outer, inner, u, i)
  for k, j in ipairs(s.outer) do values[j] = outer.columns[k][u] end
  local found, sds, worst = ask(values)
  for o = 1, #s.outputs do
    core.column_set(stores.values[o], i, found[o])
    if s.uncertainty then core.column_set(stores.sds[o], i, sds[o]) end
  end
  if s.inner[1] then worst = fold(s, ask, stores, values, inner, i) end
  core.column_code(stores.verdict, i, worst)
end

-- function(first, count, stores, at): works out so many variants into the entries of stores from `at` on; gives how many it solved singly.
local function one_by_one(s, outer, inner)
  local ask, values = singly.new(s), {}
  return function(first, count, stores, at)
    for k = 0, count - 1 do work_out(s, ask, stores, values, outer, inner, first + k, at + k) end
    return count
  end
end

-- ---- the study -----------------------------------------------------------------------------------------------------------------

local FEW, MANY = 8, 128 -- variants in a block, of answers that take a millisecond and of balances: 50 ms is the most between two looks

local function block_size(s, inner)
  local size = MANY
  for _, out in ipairs(s.outputs) do
    if out.set ~= "balance" then size = FEW end
  end
  if s.states[1] or s.change then size = math.min(size, 32) end
  return math.max(1, size // inner.n)
end

local function ask_for_sds(s)
  for o, out in ipairs(s.outputs) do out.with_sd = s.uncertainty and o <= s.shown end
  for _, rule in ipairs(s.rules) do s.outputs[rule.out].with_sd = true end
  for _, entry in ipairs(s.states) do
    for _, out in ipairs(entry.outputs) do out.with_sd = true end
  end
end

-- The answers of the car itself, with its uncertainties; what it lacks for an answer or a verdict is said of all variants.
local function ask_the_car(s)
  for _, out in ipairs(s.outputs) do out.with_sd = true end
  local values, sds, fails, why = answer.new(s.outputs)(s.car, s.settings)
  local _, unknown = rules.judge(s.car, s.outputs, s.rules, values, sds, fails)
  s.whys = table.move(unknown, 1, #unknown, 2, {why})
  if not why then s.whys = unknown end
  return values, sds
end

--- sy.study
function study.of(request)
  local s = asked_of.of(request)
  local outer, inner = about.points(s)
  check_size(s, outer.n, inner.n)
  require("steelyard.car.loading").need_mass(contents.inside(s.car))
  local values, sds = ask_the_car(s)
  ask_for_sds(s)
  s.hash = identity.of(s, outer)
  local a = about.of(s, outer, inner, values, sds)
  local kept = kept_of.new(a, {size = block_size(s, inner), work = one_by_one(s, outer, inner)})
  local live = {s = s, outer = outer, inner = inner}
  local done, ended = watch.run{label = text.count(a.n, "variant"), blocks = kept.blocks, work = kept.work, take = kept.take, to = s.to,
    shard = s.shard, quiet = s.quiet, replace = s.replace, heading = {kind = "study", hash = s.hash, seed = s.seed, file = a.file, about = a},
    finish = function() return require("steelyard.study.export").file(result_of.new(a, kept, nil, live), s.to) end}
  return result_of.new(a, kept, ended ~= "done" and math.min(a.n, done * kept.size) or nil, live, s.shard)
end

return study
