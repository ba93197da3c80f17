--- sy.study{car, vary = {...}, show = {...}}: many cars asked at once. See reference/calls/study.lua for what it takes and gives.
--
-- The variants are worked out in blocks, in order, through study/watch.lua. Inputs that worst_over names make no variants of their own: of
-- each variant the lowest and the highest answer over all their combinations are kept, and the worst verdict.

local core = require "steelyard.core"
local about = require "steelyard.study.about"
local answer = require "steelyard.study.answer"
local asked_of = require "steelyard.study.asked"
local contents = require "steelyard.car.contents"
local held_liquid = require "steelyard.file.held_liquid"
local identity = require "steelyard.study.identity"
local kept_of = require "steelyard.study.kept"
local result_of = require "steelyard.study.result"
local rules = require "steelyard.study.rules"
local settings_of = require "steelyard.study.settings"
local stores_of = require "steelyard.study.stores"
local text = require "steelyard.print.text"
local variants = require "steelyard.study.variants"
local watch = require "steelyard.study.watch"
local work = require "steelyard.study.work"

local study = {}

local MOST_FOLDS = 1000000 -- combinations of what is folded

local function gigabytes(bytes) return text.grouped(math.ceil(bytes / 1e9)) .. " GB" end

-- Bytes of points that are not a grid's: every run has all of them.
local function bytes_of_points(s, n) return s.method == "grid" and 0 or 8 * n * #s.outer end

local function check_size(s, n, folds)
  if folds > MOST_FOLDS then
    core.fail{code = "limit", field = "worst_over", message = ("folds %s combinations, at most %s are possible"):format(text.grouped(folds),
      text.grouped(MOST_FOLDS))}
  end
  local points, most = bytes_of_points(s, n), stores_of.MOST
  if points > most then
    core.fail{code = "limit", field = "points", message = ("are %s, %s of them; at most %s are kept"):format(text.grouped(n),
      gigabytes(points), gigabytes(most)), hint = "a grid keeps no points"}
  end
  if s.reduce or s.shard then return end -- one block at a time
  local bytes = n * stores_of.bytes_each(#s.outputs, s.uncertainty, folds > 1)
  if bytes + points <= most then return end
  local needed = text.plain(math.ceil(bytes / math.max(most - points, most / 2)))
  core.fail{code = "limit", field = "vary",
    message = ("makes %s variants, %s of columns; at most %s are kept"):format(text.grouped(n), gigabytes(bytes), gigabytes(most)),
    hint = ("reduce = true keeps counts and extremes alone; or %s runs share the work: shard = {1, %s} and so on, each with to = a file "
      .. "of its own, and sy.merge joins what they count"):format(needed, needed)}
end

-- ---- the study -----------------------------------------------------------------------------------------------------------------

-- Variants in a block: 50 ms is the most between two looks at the keyboard. Of what is asked one by one a balance takes some 10 us, other
-- answers up to some milliseconds; of what a plan answers a balance takes a tenth of a microsecond, with uncertainties some, a car on its
-- springs 5, shafts 20 and gaps 100.
local one_by_one = {balance = 128}
-- With liquid that runs or springs that bend a car on springs is searched for, which takes up to a millisecond; limits of stability ten.
local planned = {balance = 65536, shafts = 1024, clearances = 256, stability = 16}
local ELSE, ELSE_PLANNED, ELSE_SEARCHED, WITH_SD = 8, 2048, 64, 4096

local function bends(axle) return axle and (axle.bump_stop ~= nil or type(axle.motion_ratio) == "table") end

local function is_searched(c)
  for _, node in ipairs(c.shared.nodes) do
    if held_liquid.has_level(node) then return true end
  end
  for _, axle in ipairs(c.axles) do
    if bends(axle) or bends(axle.left) or bends(axle.right) then return true end
  end
  return false
end

local function block_size(s, w, inner)
  local size = w.all_planned and planned.balance or one_by_one.balance
  local else_planned = is_searched(contents.inside(s.car)) and ELSE_SEARCHED or ELSE_PLANNED
  for _, out in ipairs(s.outputs) do
    size = math.min(size, w.all_planned and (planned[out.set] or else_planned) or one_by_one[out.set] or ELSE)
  end
  if s.uncertainty or s.rules[1] then size = math.min(size, WITH_SD) end
  if w.late then size = math.min(size, 128) end
  if (s.states[1] or s.change) and not w.all_planned then size = math.min(size, 32) end
  return math.max(1, size // inner.n)
end

-- Why an answer is not known: of settings that are varied the car itself says nothing, so it is asked with their first values.
local function why_not(s, why)
  local first = {}
  for j, input in ipairs(s.inputs) do first[j] = input.kind == "setting" and (input.values and input.values[1] or input.from) end
  local given = variants.set_by(s.inputs, first)
  if not (why and given) then return why end
  return select(4, answer.new(s.outputs)(s.car, settings_of.with(s.settings, given)))
end

-- The answers of the car itself, with its uncertainties; what it lacks for an answer or a verdict is said of all variants.
local function ask_the_car(s)
  for _, out in ipairs(s.outputs) do out.with_sd = true end
  local values, sds, fails, why = answer.new(s.outputs)(s.car, s.settings)
  local _, unknown = rules.judge(s.car, s.outputs, s.rules, values, sds, fails)
  s.whys = {why_not(s, why)}
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
  local kept = kept_of.new(a, {size = block_size(s, w, inner), work = w.run, sums_alone = w.sums_alone, shared = s.shard ~= nil})
  local live = {s = s, outer = outer, inner = inner, planned = w.all_planned}
  local done, ended = watch.run{label = text.count(a.n, "variant"), blocks = kept.blocks, work = kept.work, take = kept.take, to = s.to,
    shard = s.shard, quiet = s.quiet, replace = s.replace, heading = {kind = "study", hash = s.hash, seed = s.seed, file = a.file,
      about = a},
    finish = function() return require("steelyard.study.export").file(result_of.new(a, kept, nil, live), s.to) end}
  return result_of.new(a, kept, ended ~= "done" and math.min(a.n, done * kept.size) or nil, live, s.shard)
end

return study
