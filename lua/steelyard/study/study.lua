--- sy.study{car, vary = {...}, show = {...}}: many cars asked at once. See reference/calls/study.lua for what it takes and gives.
--
-- The variants are worked out in blocks, in order, through study/watch.lua. Inputs that worst_over names make no variants of their own: of
-- each variant the lowest and the highest answer over all their combinations are kept, and the worst verdict.

local core = require "steelyard.core"
local answer = require "steelyard.study.answer"
local asked_of = require "steelyard.study.asked"
local columns = require "steelyard.study.columns"
local contents = require "steelyard.car.contents"
local identity = require "steelyard.study.identity"
local points_of = require "steelyard.study.points"
local result_of = require "steelyard.study.result"
local singly = require "steelyard.study.singly"
local text = require "steelyard.print.text"
local watch = require "steelyard.study.watch"

local study = {}

local MOST_BYTES = 8e9 -- of columns; more is for several runs

local function picked(list, numbers)
  local some = {}
  for k, j in ipairs(numbers) do some[k] = list[j] end
  return some
end

-- Points of the inputs that make variants, and of those that are folded: {n, columns by number of the input}.
local function points_for(s)
  local outer, inner = {n = 1, shape = {}, columns = {}}, {n = 1, columns = {}}
  if s.outer[1] then
    outer = points_of.of{method = s.method, inputs = picked(s.inputs, s.outer), points = s.points, seed = s.seed}
  end
  if s.inner[1] then inner = points_of.grid(picked(s.inputs, s.inner)) end
  return outer, inner
end

local function grouped(n)
  local shown = core.fixed(n, 0)
  repeat
    local more
    shown, more = shown:gsub("^(%d+)(%d%d%d)", "%1,%2")
  until more == 0
  return shown
end
study.grouped = grouped

-- How many numbers a variant leaves behind.
local function width_of(s)
  local each = (s.uncertainty and 2 or 1) + (s.inner[1] and 4 or 0)
  return #s.outputs * each + 1
end

local function check_memory(s, n)
  if s.reduce then return end
  local bytes = 8 * n * width_of(s)
  if bytes <= MOST_BYTES then return end
  core.fail{code = "limit", field = "vary", message = ("makes %s variants, %s GB of columns; at most %s GB are kept"):format(grouped(n),
    grouped(math.ceil(bytes / 1e9)), grouped(MOST_BYTES / 1e9)), hint = ("reduce = true keeps counts and extremes only; or run it in %s shards, "
    .. "shard = \"1/%s\" and so on, each to a file of its own, and join these with sy.merge"):format(grouped(math.ceil(bytes / MOST_BYTES)),
    core.fixed(math.ceil(bytes / MOST_BYTES), 0))}
end

-- ---- what is kept ----------------------------------------------------------------------------------------------------------

-- The columns of a study, or of one block of it: lists by output, and one of verdicts.
local function new_stores(s, n)
  local stores = {values = {}, sds = {}, lowest = {}, highest = {}, lowest_at = {}, highest_at = {}, verdict = columns.new(n)}
  for o = 1, #s.outputs do
    stores.values[o] = columns.new(n)
    if s.uncertainty then stores.sds[o] = columns.new(n) end
    if s.inner[1] then
      for _, which in ipairs{"lowest", "highest", "lowest_at", "highest_at"} do stores[which][o] = columns.new(n) end
    end
  end
  return stores
end

local in_order = {"values", "sds", "lowest", "highest", "lowest_at", "highest_at"}

local function each_store(stores, visit)
  for _, which in ipairs(in_order) do
    for _, column in ipairs(stores[which]) do visit(column) end
  end
  visit(stores.verdict)
end

-- The entries from..to of all columns as bytes, and back.
local function bytes_of(stores, from, to)
  local pieces = {}
  each_store(stores, function(column)
    for i = from, to do pieces[#pieces + 1] = string.pack("<d", column[i] or 0 / 0) end
  end)
  return table.concat(pieces)
end

local function put_bytes(stores, from, to, bytes)
  local at = 1
  each_store(stores, function(column)
    for i = from, to do
      local value
      value, at = string.unpack("<d", bytes, at)
      column:put(i, value)
    end
  end)
end

-- ---- one variant -------------------------------------------------------------------------------------------------------------

local function fold_one(stores, o, u, f, value)
  if not value then return end
  local low, high = stores.lowest[o], stores.highest[o]
  if not low[u] or value < low[u] then
    low:put(u, value)
    stores.lowest_at[o]:put(u, f)
  end
  if not high[u] or value > high[u] then
    high:put(u, value)
    stores.highest_at[o]:put(u, f)
  end
end

local function values_at(s, outer, u, values)
  for k, j in ipairs(s.outer) do values[j] = outer.columns[k][u] end
  return values
end

-- All that is folded of variant u: the worst verdict.
local function fold(s, ask, stores, values, inner, u, i)
  local worst, why = 1, nil
  for o = 1, #s.outputs do
    for _, which in ipairs{"lowest", "highest", "lowest_at", "highest_at"} do stores[which][o]:put(i, nil) end
  end
  local open = {} -- an output that is not known everywhere has neither a lowest nor a highest
  for f = 1, inner.n do
    for k, j in ipairs(s.inner) do values[j] = inner.columns[k][f] end
    local found, _, rank, lacks = ask(values)
    why = why or lacks
    for o = 1, #s.outputs do
      if not found[o] then open[o] = true end
      fold_one(stores, o, i, f, found[o])
    end
    if rank > worst then worst = rank end
  end
  for o in pairs(open) do
    for _, which in ipairs{"lowest", "highest", "lowest_at", "highest_at"} do stores[which][o]:put(i, nil) end
  end
  for _, j in ipairs(s.inner) do values[j] = nil end
  return worst, why
end

-- Variant u, kept as entry i.
local function work_out(s, ask, stores, values, outer, inner, u, i)
  values_at(s, outer, u, values)
  local found, sds, worst, why = ask(values)
  for o = 1, #s.outputs do
    stores.values[o]:put(i, found[o])
    if s.uncertainty then stores.sds[o]:put(i, sds[o]) end
  end
  if s.inner[1] then
    local lacks
    worst, lacks = fold(s, ask, stores, values, inner, u, i)
    why = why or lacks
  end
  stores.verdict:put(i, worst)
  s.why = s.why or why
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

local function with_sds(s)
  for o, out in ipairs(s.outputs) do out.with_sd = s.uncertainty and o <= s.shown end
  for _, rule in ipairs(s.rules) do s.outputs[rule.out].with_sd = true end
  for _, entry in ipairs(s.states) do
    for _, out in ipairs(entry.outputs) do out.with_sd = true end
  end
end

-- The answers of the car itself, with its uncertainties.
local function ask_the_car(s)
  for _, out in ipairs(s.outputs) do out.with_sd = true end
  local values, sds, _, why = answer.new(s.outputs)(s.car, s.settings)
  s.asked, s.asked_sd, s.why = values, sds, why
end

--- sy.study
function study.of(request)
  local s = asked_of.of(request)
  local outer, inner = points_for(s)
  check_memory(s, outer.n)
  require("steelyard.car.loading").need_mass(contents.inside(s.car))
  ask_the_car(s)
  with_sds(s)
  local n, size, values = outer.n, block_size(s, inner), {}
  local stores, ask = new_stores(s, n), singly.new(s)
  local function take(block, bytes)
    local from = (block - 1) * size + 1
    put_bytes(stores, from, math.min(n, from + size - 1), bytes)
  end
  local function work(block, stored)
    local from = (block - 1) * size + 1
    local to = math.min(n, from + size - 1)
    for u = from, to do work_out(s, ask, stores, values, outer, inner, u, u) end
    return stored and bytes_of(stores, from, to) or nil
  end
  s.hash = identity.of(s, outer)
  local blocks_done, ended = watch.run{label = text.count(n, "variant"), blocks = (n + size - 1) // size, work = work, take = take, to = s.to,
    shard = s.shard, hash = s.hash, quiet = s.quiet}
  return result_of.new(s, outer, inner, stores, ended ~= "done" and math.min(n, blocks_done * size) or nil)
end

return study
