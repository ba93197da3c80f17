--- sy.spread{car, draws = 100000, seed = 1, show = {...}}: how answers spread when everything that is stated of a car is drawn at
-- random. See
-- reference/calls/spread.lua for what it takes and gives.
--
-- Draws are made in slices, in order, through study/watch.lua. Bins are fixed before; where more than one draw in ten thousand falls
-- outside
-- them the same draws are made again with wider ones, but not those of a file.

local core = require "steelyard.core"
local about_of = require "steelyard.study.spread_about"
local asked_of = require "steelyard.study.spread_asked"
local contents = require "steelyard.car.contents"
local growth_of = require "steelyard.answers.growth"
local result_of = require "steelyard.study.spread_result"
local sources_of = require "steelyard.study.spread_sources"
local uncertain = require "steelyard.study.uncertain"
local watch = require "steelyard.study.watch"

local spread = {}

local OUTSIDE = 1e-4         -- of the draws: more outside the bins and these are made wider
local WIDER, MOST_WIDER = 8, 2.0 ^ 60 -- times as wide, at most so many times in all
local PILOT = 16             -- blocks of draws to try them with

-- About what a slice may take, ns, and one draw of it: a number that is drawn, and a solve of a set. Only how long a block lasts rests
-- on these.
local SLICE, NUMBER, SOLVE = 4e7, 1.5, {balance = 600, corners = 1e5, attitude = 1e5, stability = 3e6}
local MOST_BLOCKS = 4096

local function slice_of(s, sources)
  local each = NUMBER * sources
  for _, group in ipairs(s.groups) do each = each + (SOLVE[group.set] or 1000) end
  local blocks = SLICE / (each * about_of.DRAWS)
  local size = 1
  while 2 * size <= blocks and size < MOST_BLOCKS do size = 2 * size end
  return size
end

-- Allowances by the number of a node: of its mass, and kg.
local function allowances(s)
  if not s.growth then return nil end
  local fraction, fixed = {}, {}
  for number in ipairs(s.c.shared.nodes) do
    local none, one = growth_of.allowance(s.c, number, 0), growth_of.allowance(s.c, number, 1)
    fraction[number], fixed[number] = one - none, none
  end
  return {fraction = fraction, fixed = fixed}
end

local function in_order(s, by_output)
  local list = {}
  for answer, o in ipairs(s.output_of) do list[answer] = by_output[o] end
  return list
end

-- Names of two sources that would be drawn alike.
local function refuse_clash(names, first, second)
  local one, other = names[first], names[second]
  core.fail{code = "clash", part = one.what, message = ("and %s would draw the same numbers: their paths %q and %q have one hash"):format(
    other.what, one.path, other.path), hint = "give one of them another name"}
end

local function start(s, plan, names, wider)
  local fine, first, second = core.spread_start(plan, names, {draws = s.draws, seed = s.seed, wider = wider, below = in_order(s, s.below),
    above = in_order(s, s.above)})
  if not fine then refuse_clash(names, first, second) end
end

-- Numbers of what is asked, with uncertainties: what makes two simulations the same.
local function plain(value)
  if type(value) == "number" or type(value) == "string" or type(value) == "boolean" then return value end
  if type(value) ~= "table" or getmetatable(value) ~= nil then return nil end
  local copy = {}
  for key, entry in pairs(value) do copy[tostring(key)] = plain(entry) end
  return copy
end

local function hash_of(s, names, sources)
  local shown, drawn, groups = {}, {}, {}
  for o, out in ipairs(s.outputs) do shown[o] = {name = out.name, below = s.below[o], above = s.above[o]} end
  for i, name in ipairs(names) do
    drawn[i] = {name.path, name.quantity, name.distribution or "normal", sources[i].sd}
  end
  for g, group in ipairs(s.groups) do groups[g] = {set = group.set, asked = plain(group.asked)} end
  local c = s.c
  local totals = core.answers(c.now, c.geometry, {"mass", "cg.x", "cg.y", "cg.z", "inertia.xx", "inertia.yy", "inertia.zz", "inertia.xy",
                                                   "inertia.xz", "inertia.yz"})
  return watch.hash({shown = shown, drawn = drawn, groups = groups, totals = totals, draws = s.draws, seed = s.seed, growth = s.growth,
    heading = s.car:heading(),
      changes = contents.changes(c)}, c.shared.spec.sources and core.sha256(table.unpack(c.shared.spec.sources)) or "")
end

-- Are bins too narrow? Those of such answers are then made wider, in `wider`.
local function widen(s, plan, wider)
  local any = false
  for answer in ipairs(s.output_of) do
    local found = core.spread_result(plan, answer)
    if found.under + found.over > OUTSIDE * found.drawn and wider[answer] < MOST_WIDER then
      wider[answer], any = wider[answer] * WIDER, true
    end
  end
  return any
end

-- The first few draws say roughly how wide bins must be; every shard makes them, so all have the same bins.
local function try_bins(s, plan, names)
  local wider = {}
  for answer in ipairs(s.output_of) do wider[answer] = 1 end
  repeat
    start(s, plan, names, wider)
    core.spread_take(plan, core.spread_run(plan, 0, math.min(PILOT, (s.draws + about_of.DRAWS - 1) // about_of.DRAWS), s.threads))
  until not widen(s, plan, wider)
  return wider
end

local function run(s, plan, a)
  local blocks = (s.draws + about_of.DRAWS - 1) // about_of.DRAWS
  local done, ended = watch.run{label = about_of.count(a), blocks = about_of.slices(a),
    work = function(slice)
      local first = (slice - 1) * s.size
      return core.spread_run(plan, first, math.min(s.size, blocks - first), s.threads)
    end,
    take = function(_, bytes) core.spread_take(plan, bytes) end, to = s.to, shard = s.shard, quiet = s.quiet, replace = s.replace,
    heading = {kind = "spread", hash = s.hash, seed = s.seed, file = a.file, about = a},
    finish = function() return result_of.json_text(result_of.new(a, plan, nil, s.c)) end}
  return ended ~= "done" and done or nil
end

--- sy.spread
function spread.of(request)
  local s = asked_of.of(request)
  s.answer_of, s.output_of = uncertain.numbers(s.groups)
  local plan = core.spread(s.groups, allowances(s))
  local given = core.spread_sources(plan)
  local names = sources_of.of(s.c, uncertain.ledgers(s.groups), given)
  s.size, s.hash = slice_of(s, #names), hash_of(s, names, given)
  local wider = try_bins(s, plan, names)
  while true do
    start(s, plan, names, wider)
    local a = about_of.of(s, plan, names)
    local stopped = run(s, plan, a)
    if stopped or s.to or not widen(s, plan, wider) then return result_of.new(a, plan, stopped, s.c, s.shard) end
  end
end

return spread
