--- What a simulation is of, without its car: what its result and its page need, and what a file of its draws carries for sy.merge.
--
-- about.of(s, plan, names) -> a table that is JSON:
--   heading, state, aboard, file   of the car asked about
--   draws, seed, growth, hash, drawn (numbers a draw), sources
--   outputs   in the order of show: {name, label, unit, decimals, grows, answer = number among the answers, below, above}
--   answers   in the order of the core: {value, sd, from, to, rounding, inputs = list of {what, field}}
--   size      blocks of 256 draws in one slice    notes

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local notes_of = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local shards = require "steelyard.study.shards"
local text = require "steelyard.print.text"

local about = {}

about.DRAWS = 256 -- of a block (core/study/random.h)

local function first_of(plan, answer, names)
  local f = core.spread_first(plan, answer)
  local inputs = {}
  for i, source in ipairs(f.inputs) do inputs[i] = {what = names[source].what, field = names[source].field} end
  f.inputs = inputs
  return f
end

local found_sets = {shafts = true, clearances = true, usable = true}

local function notes(s)
  local list, linear, conditioned = {}, false, s.c.measured
  for _, group in ipairs(s.groups) do linear = linear or found_sets[group.set] end
  if linear then
    list[#list + 1] = "shafts, clearances and what can be drawn from tanks are drawn by the first-order effect of each error"
  end
  if conditioned then
    list[#list + 1] = "the records condition every draw, exactly for normal errors as far as what was read is linear in them"
  end
  local b = core.balance(s.c.now, s.c.geometry)
  for _, out in ipairs(s.outputs) do
    if out.grows == "inertia" and b.points > 0 then
      list[#list + 1] = ("%s counts %d of %d parts as points: read it as \"at least\""):format(out.label, b.points, b.parts)
      break
    end
  end
  for _, note in ipairs(notes_of.gaps(s.c, b)) do list[#list + 1] = note end
  local said, kept = {}, {}
  for _, note in ipairs(list) do
    if not said[note] then kept[#kept + 1] = note end
    said[note] = true
  end
  return kept
end

--- See above.
function about.of(s, plan, names)
  local a = {heading = s.car:heading(), state = loading.title(s.c), aboard = origin.aboard_of(s.c), file = origin.file_of(s.c),
             draws = s.draws, seed = s.seed, growth = s.growth, outputs = {}, answers = {}, sources = #names,
             drawn = core.spread_drawn(plan),
             hash = s.hash, size = s.size}
  for o, out in ipairs(s.outputs) do
    local answer = s.answer_of[o]
    a.outputs[o] = {name = out.name, label = out.label, unit = out.unit, decimals = out.decimals, change = out.change, grows = out.grows,
                    answer = answer, below = s.below[o] or nil, above = s.above[o] or nil}
    a.answers[answer] = first_of(plan, answer, names)
  end
  a.notes = notes(s)
  return a
end

--- How many draws are made when `done` of the slices are.
function about.draws_of(a, done) return math.min(a.draws, done * a.size * about.DRAWS) end

--- How many slices all draws are.
function about.slices(a) return ((a.draws + about.DRAWS - 1) // about.DRAWS + a.size - 1) // a.size end

--- How many draws shard {k, n} makes.
function about.draws_of_shard(a, shard)
  local first, last = shards.range(about.slices(a), shard)
  return about.draws_of(a, last) - about.draws_of(a, first - 1)
end

--- "20,000 draws".
function about.count(a) return text.grouped(a.draws) .. (a.draws == 1 and " draw" or " draws") end

return about
