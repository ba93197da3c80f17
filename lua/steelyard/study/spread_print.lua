--- The page of a simulation: what the draws come to beside first order, chances asked for, and what each quantity rests on.

local about_of = require "steelyard.study.spread_about"
local made = require "steelyard.study.made"
local page = require "steelyard.print.page"
local shards = require "steelyard.study.shards"
local text = require "steelyard.print.text"

local print = {}

local SHOWN_INPUTS = 3  -- of a quantity
local LEAST_INPUT = 0.1 -- a correlation below it says little
local RESOLUTION = 16384 -- bins

local function heading_of(out) return out.unit ~= "" and ("%s, %s"):format(out.label, out.unit) or out.label end

local function fixed(x, decimals) return x and text.fixed(x, decimals) or "unknown" end

-- First order has no word of its own where it agrees.
local function agrees(q)
  if q.agrees == nil then return "unknown" end
  return q.agrees and "yes" or "no"
end

local function with_sd(value, sd, decimals) return value and text.plus_minus(value, sd or 0, decimals) or "unknown" end

local function main_table(a, r)
  local rows = {}
  for i, out in ipairs(a.outputs) do
    local q = r.quantities[out.name]
    local d = out.decimals
    rows[i] = {heading_of(out), with_sd(q.mean, q.sd, d), fixed(q.p2_5, d), fixed(q.p50, d), fixed(q.p97_5, d),
               with_sd(q.first_order, q.first_order_sd, d), agrees(q)}
  end
  return text.table({{"", "%s"}, {"draws", "%s"}, {"2.5 %", "%s"}, {"median", "%s"}, {"97.5 %", "%s"}, {"first order", "%s"},
    {"agrees", "%s"}}, rows)
end

local function percent(p)
  local decimals = (p > 0 and p < 0.001 or p > 0.999) and 3 or (p < 0.1 or p > 0.9) and 2 or 1
  return text.fixed(100 * p, decimals)
end

-- "mass below 760 kg: 6.43 +- 0.34 % of draws"
local function chance(out, entry)
  local where = entry.below and "below" or "above"
  local what = ("%s %s %s%s"):format(out.label, where, text.plain(entry[where]), out.unit ~= "" and " " .. out.unit or "")
  if entry.at_most then return ("%s: in no draw, so less than %s %% (95 %%)."):format(what, percent(entry.at_most)) end
  if entry.at_least then return ("%s: in every draw, so more than %s %% (95 %%)."):format(what, percent(entry.at_least)) end
  local decimals = 100 * entry.sd < 0.05 and 3 or 2
  return ("%s: %s %% of draws."):format(what, text.plus_minus(100 * entry.p, 100 * entry.sd, decimals))
end

local words = {mass = "mass", dry_mass = "dry mass", fill = "fill", growth = "growth", bias = "bias", gain = "gain", shape = "shape",
               x = "place along x", y = "place along y", z = "place along z"}

local function field_words(field) return words[field] or (field:gsub("[_.]", " ")) end

-- "front: driver mass 0.52, tub mass -0.38"
local function rests_on(out, q)
  local pieces = {}
  for i, input in ipairs(q.inputs) do
    local r = input.correlation
    if i <= SHOWN_INPUTS and r and math.abs(r) >= LEAST_INPUT then
      pieces[#pieces + 1] = ("%s, %s %s"):format(input.what, field_words(input.field), text.fixed(r, 2))
    end
  end
  return pieces[1] and {heading_of(out), table.concat(pieces, "; ")} or nil
end

local function inputs_table(a, r)
  local rows = {}
  for _, out in ipairs(a.outputs) do rows[#rows + 1] = rests_on(out, r.quantities[out.name]) end
  if not rows[1] then return nil end
  return text.table({{"", "%s"}, {"rests most on (correlation)", "%s"}}, rows)
end

-- Of those that spread.
local function correlation_table(a, r)
  local list = {}
  for _, out in ipairs(a.outputs) do
    if r.correlation[out.name][out.name] then list[#list + 1] = out end
  end
  if #list < 2 then return nil end
  local headings, rows = {{"correlation", "%s"}}, {}
  for i, out in ipairs(list) do
    headings[i + 1] = {out.label, "%s"}
    rows[i] = {out.label}
    for k, other in ipairs(list) do
      local x = k <= i and r.correlation[out.name][other.name]
      rows[i][k + 1] = k > i and "" or x and text.fixed(x, 2) or "-"
    end
  end
  return page.table(headings, rows, 6)
end

-- What the figures themselves are known to: by how many draws there are, and by the width of a bin.
local function precision(a, r)
  local share, bin = 0, 0
  for _, out in ipairs(a.outputs) do
    local q = r.quantities[out.name]
    if q.sd and q.sd > 0 then
      share = math.max(share, q.sd_error / q.sd)
      bin = math.max(bin, (q.histogram.to - q.histogram.from) / RESOLUTION / q.sd)
    end
  end
  if share == 0 then return nil end
  return ("By so many draws the standard deviations are known to %s %% and the means to %s of one; percentiles are counted in bins "
    .. "of %s of one."):format(text.fixed(100 * share, share < 0.002 and 3 or 1),
      text.fixed(share * math.sqrt(2), share < 0.001 and 5 or 4), text.fixed(bin, 4))
end

local function whys(a, r)
  local list = {}
  for _, out in ipairs(a.outputs) do
    local q = r.quantities[out.name]
    if q.why then list[#list + 1] = ("%s: %s."):format(out.label, q.why) end
  end
  return list
end

-- "Shard 2 of 7: 131,072 of 1,000,000 draws."
local function shard_line(a, shard)
  if a.made == 0 then return shards.empty(shard, about_of.count(a)) end
  return ("Shard %d of %d: %s of %s."):format(shard[1], shard[2], text.grouped(a.made), about_of.count(a))
end

--- The page.
function print.page(r)
  local a = made.from[r].a
  local lines = {page.heading(("%s: %s of %s stated errors%s, seed %s"):format(r.heading, about_of.count(a), text.grouped(a.sources),
    a.growth and ", growth allowances among them" or "", text.plain(a.seed)))}
  if r.shard then lines[#lines + 1] = shard_line(a, r.shard) end
  if a.made > 0 then
    lines[#lines + 1] = main_table(a, r)
    for _, out in ipairs(a.outputs) do
      for _, entry in ipairs(r.quantities[out.name].probability or {}) do lines[#lines + 1] = chance(out, entry) end
    end
    for _, why in ipairs(whys(a, r)) do lines[#lines + 1] = why end
    lines[#lines + 1] = inputs_table(a, r)
    lines[#lines + 1] = correlation_table(a, r)
    lines[#lines + 1] = precision(a, r)
  end
  return page.of(r, lines)
end

return print
