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
local text = require "steelyard.print.text"
local watch = require "steelyard.study.watch"
local work = require "steelyard.study.work"

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
  core.fail{code = "limit", field = "vary",
    message = ("makes %s variants, %s GB of columns; at most %s GB are kept"):format(text.grouped(n),
    text.grouped(math.ceil(bytes / 1e9)), text.grouped(MOST_BYTES / 1e9)), hint = ("reduce = true keeps counts and extremes alone; with it "
    .. "shards share the work: shard = {1, %s} and so on, each to = a file of its own, then sy.merge"):format(core.fixed(shards, 0))}
end

-- ---- the study -----------------------------------------------------------------------------------------------------------------

-- Variants in a block: 50 ms is the most between two looks at the keyboard. Of what is asked one by one a balance takes some 10 us, other
-- answers up to some milliseconds; of what a plan answers a balance takes a tenth of a microsecond, with uncertainties some, a car on its
-- springs 5, shafts 20 and gaps 100.
local one_by_one = {balance = 128}
local planned = {balance = 65536, shafts = 1024, clearances = 256}
local ELSE, ELSE_PLANNED, WITH_SD = 8, 4096, 4096

local function block_size(s, w, inner)
  local size = w.all_planned and planned.balance or one_by_one.balance
  for _, out in ipairs(s.outputs) do
    size = math.min(size, w.all_planned and (planned[out.set] or ELSE_PLANNED) or one_by_one[out.set] or ELSE)
  end
  if s.uncertainty or s.rules[1] then size = math.min(size, WITH_SD) end
  if w.late then size = math.min(size, 128) end
  if (s.states[1] or s.change) and not w.all_planned then size = math.min(size, 32) end
  return math.max(1, size // inner.n)
end

-- The answers of the car itself, with its uncertainties; what it lacks for an answer or a verdict is said of all variants.
local function ask_the_car(s)
  for _, out in ipairs(s.outputs) do out.with_sd = true end
  local values, sds, fails, why = answer.new(s.outputs)(s.car, s.settings)
  local _, unknown = rules.judge(s.car, s.outputs, s.rules, values, sds, fails)
  s.whys = {why}
  table.move(unknown, 1, #unknown, #s.whys + 1, s.whys)
  for _, entry in ipairs(s.states) do
    local there = s.car:state(entry.state)
    local its, its_sds, its_fails = answer.new(entry.outputs)(there, s.settings)
    _, unknown = rules.judge(there, entry.outputs, entry.rules, its, its_sds, its_fails)
    table.move(unknown, 1, #unknown, #s.whys + 1, s.whys)
  end
  return values, sds
end

--- sy.study
function study.of(request)
  local s = asked_of.of(request)
  local outer, inner = about.points(s)
  check_size(s, outer.n, inner.n)
  require("steelyard.car.loading").need_mass(contents.inside(s.car))
  local values, sds = ask_the_car(s)
  s.hash = identity.of(s, outer)
  local a = about.of(s, outer, inner, values, sds)
  local w = work.new(s, outer, inner)
  local kept = kept_of.new(a, {size = block_size(s, w, inner), work = w.run, sums_alone = w.sums_alone})
  local live = {s = s, outer = outer, inner = inner}
  local done, ended = watch.run{label = text.count(a.n, "variant"), blocks = kept.blocks, work = kept.work, take = kept.take, to = s.to,
    shard = s.shard, quiet = s.quiet, replace = s.replace, heading = {kind = "study", hash = s.hash, seed = s.seed, file = a.file,
      about = a},
    finish = function() return require("steelyard.study.export").file(result_of.new(a, kept, nil, live), s.to) end}
  return result_of.new(a, kept, ended ~= "done" and math.min(a.n, done * kept.size) or nil, live, s.shard)
end

return study
