--- The result of a simulation: what its draws come to, beside first order.

local core = require "steelyard.core"
local about_of = require "steelyard.study.spread_about"
local made = require "steelyard.study.made"
local origin = require "steelyard.print.origin"
local results = require "steelyard.reference.results"
local text = require "steelyard.print.text"

local result = {}

local methods = {}
function methods:json(path)
  require("steelyard.command.new_file").save(path, result.json_text(self), true)
  return path
end

local Spread = results.kind("spread", methods)

local Quantity = results.kind "spread_quantity"

-- r.front_share is r.quantities.front_share.
local declared = Spread.__index
function Spread.__index(r, key)
  local quantities = rawget(r, "quantities")
  local one = quantities and quantities[key]
  if one ~= nil then return one end
  return declared(r, key)
end

-- How far draws and first order may be apart and still agree: a fiftieth of the standard deviation, a tenth of it for the mean, and three
-- of the simulation's own errors. Common practice, no source.
local SD_SHARE, MEAN_SHARE, ERRORS = 0.02, 0.1, 3

local function share(x) return text.plain(tonumber(core.fixed(100 * x, math.abs(x) < 0.1 and 1 or 0))) .. " %" end

-- Whether first order agrees; where not, why.
local function agreement(q)
  if not q.mean then return nil, "no draw has an answer" end
  if not q.first_order_sd then return nil, "first order gives no uncertainty here" end
  if not q.sd then return nil, "one draw says nothing of a standard deviation" end
  if q.sd == 0 and q.first_order_sd == 0 then return true end
  local off, size = q.sd - q.first_order_sd, math.abs(q.mean - q.first_order)
  if math.abs(off) > SD_SHARE * q.first_order_sd + ERRORS * q.sd_error then
    if q.first_order_sd == 0 then
      return false, "first order has no spread where draws have one: the answer bends within its uncertainty"
    end
    return false, ("draws spread %s %s than first order says: the answer bends within its uncertainty%s"):format(
      share(math.abs(off) / q.first_order_sd), off > 0 and "more" or "less", q.unknown > 0 and ", or ends" or "")
  elseif size > MEAN_SHARE * q.sd + ERRORS * q.mean_error then
    return false, ("the mean of the draws lies %s of a standard deviation %s the first-order value"):format(share(size / q.sd),
      q.mean > q.first_order and "above" or "below")
  end
  return true
end

-- Of n draws k: none at all says "below 3 / n" with 95 % (the rule of three: 1 - 0.05^(1/n)).
local function probability(where, limit, k, n)
  local p = k / n
  local entry = {[where] = limit, p = p, sd = math.sqrt(p * (1 - p) / n)}
  if k == 0 then entry.at_most = math.min(1, 3 / n) end
  if k == n then entry.at_least = math.max(0, 1 - 3 / n) end
  return entry
end

local function quantity_of(a, out, found)
  local of = a.answers[out.answer]
  if found.sd and of.rounding and found.sd <= of.rounding then found.sd = 0.0 end
  if found.sd == 0 then found.mean_error, found.sd_error = 0.0, 0.0 end
  local q = {mean = found.mean, sd = found.sd, mean_error = found.mean_error, sd_error = found.sd_error, p2_5 = found.p2_5, p50 = found.p50,
             p97_5 = found.p97_5, low = found.low, high = found.high, first_order = of.value, first_order_sd = of.sd, unit = out.unit,
             unknown = 0}
  q.unknown = a.made - found.drawn
  q.histogram = {from = of.from, to = of.to, counts = found.counts, under = found.under, over = found.over}
  q.agrees, q.why = agreement(q)
  q.inputs = {}
  for i, input in ipairs(q.sd ~= 0 and of.inputs or {}) do
    q.inputs[i] = {what = input.what, field = input.field, correlation = found.correlations[i]}
  end
  if found.drawn > 0 and (out.below or out.above) then
    q.probability = {}
    if out.below then table.insert(q.probability, probability("below", out.below, found.below, found.drawn)) end
    if out.above then table.insert(q.probability, probability("above", out.above, found.above, found.drawn)) end
  end
  return setmetatable(q, Quantity)
end

local function correlations(a, totals, by)
  local by_name = {}
  for _, one in ipairs(a.outputs) do
    by_name[one.name] = {}
    for _, other in ipairs(a.outputs) do
      local r = core.spread_correlation(totals, one.answer, other.answer)
      if r == r and by[one.name].sd ~= 0 and by[other.name].sd ~= 0 then by_name[one.name][other.name] = r end
    end
  end
  return by_name
end

--- totals: of core.spread; done: how many slices of one that was stopped, or nil; c: the inside of the car, or nil; shard: {k, n} of one
-- shard, or nil.
function result.new(a, totals, done, c, shard)
  a.made = shard and about_of.draws_of_shard(a, shard) or done and about_of.draws_of(a, done) or a.draws
  local r = {draws = a.draws, n_done = done and a.made or nil, shard = shard, seed = a.seed, growth = a.growth, names = {}, quantities = {},
             correlation = {}, unknown = 0, hash = a.hash, heading = a.heading, state = a.state, notes = {}}
  for o, out in ipairs(a.outputs) do
    local q = quantity_of(a, out, core.spread_result(totals, out.answer))
    r.names[o], r.quantities[out.name] = out.name, q
    r.unknown = math.max(r.unknown, q.unknown)
    if q.unknown > 0 then
      table.insert(r.notes, ("%s is unknown in %s of %s draws: the car does not stand so there; the others count"):format(out.label,
        text.grouped(math.tointeger(q.unknown)), text.grouped(a.made)))
    end
  end
  r.correlation = correlations(a, totals, r.quantities)
  if done then table.insert(r.notes, 1, ("stopped after %s of %s"):format(text.grouped(a.made), about_of.count(a))) end
  table.move(a.notes, 1, #a.notes, #r.notes + 1, r.notes)
  made.from[r] = {a = a}
  setmetatable(r, Spread)
  if c then return origin.of_car(r, c) end
  r.aboard = a.aboard
  return origin.of_file(r, a.file)
end

--- The document as text.
function result.json_text(r)
  return require("steelyard.print.json").encode(require("steelyard.reference.document").of(r)) .. "\n"
end

function Spread.__tostring(r) return require("steelyard.study.spread_print").page(r) end

return result
