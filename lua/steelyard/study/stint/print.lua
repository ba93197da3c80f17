--- The page of car:stint: a row for each step of fuel, the means, the extremes and the car to set up.

local core = require "steelyard.core"
local given = require "steelyard.study.stint.given"
local figures = require "steelyard.print.figures"
local made = require "steelyard.study.made"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local print = {}

local function litres_text(x) return text.plain(core.number(core.fixed(x, 2))) end

local function decimals(r, out) return figures.decimals(r, out.unit, out.decimals) end

local function with_unit(words, out) return out.unit ~= "" and words .. " " .. out.unit or words end

local function value_text(r, out, value, sd) return text.plus_minus(value, sd, decimals(r, out)) end

local function at_words(litres, driver) return ("%s%s"):format(given.litres(litres), driver and ", " .. driver or "") end

local function main_table(r, outputs, mean_alone)
  local driven = r.rows[1].driver ~= nil
  local headings, rows = {{"litres", "%s"}}, {}
  if driven then headings[2] = {"driver", "%s"} end
  for _, out in ipairs(outputs) do headings[#headings + 1] = {out.unit ~= "" and out.label .. ", " .. out.unit or out.label, "%s"} end
  for _, row in ipairs(mean_alone and {} or r.rows) do
    local cells = {litres_text(row.litres)}
    if driven then cells[2] = row.driver end
    for _, out in ipairs(outputs) do cells[#cells + 1] = value_text(r, out, row.values[out.name], row.sd[out.name]) end
    rows[#rows + 1] = cells
  end
  local mean = {"mean"}
  if driven then mean[2] = "" end
  for _, out in ipairs(outputs) do mean[#mean + 1] = value_text(r, out, r.mean[out.name], r.sd[out.name]) end
  rows[#rows + 1] = mean
  return page.table(headings, rows, #headings // 2 + 2)
end

local function extremes_line(r, out)
  local low, high, places = r.lowest[out.name], r.highest[out.name], decimals(r, out)
  if text.fixed(low.value, places) == text.fixed(high.value, places) then
    return ("%s: %s throughout."):format(text.sentence(out.label):gsub("%.$", ""), with_unit(text.fixed(low.value, places), out))
  end
  return ("%s: lowest %s (%s), highest %s (%s)."):format(text.sentence(out.label):gsub("%.$", ""), text.fixed(low.value, places),
    at_words(low.litres, low.driver), with_unit(text.fixed(high.value, places), out), at_words(high.litres, high.driver))
end

local function set_up_line(r, outputs)
  local pieces = {}
  for i, out in ipairs(outputs) do
    pieces[i] = ("%s %s"):format(out.label, with_unit(text.fixed(r.reached[out.name], decimals(r, out)), out))
  end
  return ("To set up, with %s: %s."):format(at_words(r.at, r.at_driver), table.concat(pieces, "; "))
end

--- The page.
function print.page(r)
  local kept = made.from[r]
  local lines = {page.heading(("%s: a stint from %s to %s in %s"):format(r.heading, litres_text(r.from), given.litres(r.to),
    text.name(r.tank)))}
  lines[2] = main_table(r, kept.outputs, kept.mean_alone)
  for _, out in ipairs(kept.outputs) do lines[#lines + 1] = extremes_line(r, out) end
  lines[#lines + 1] = set_up_line(r, kept.outputs)
  return page.of(r, lines)
end

return print
