--- A weighed whole against the sum of its parts, and the lines of a group of a car for that.

local core = require "steelyard.core"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"

local judge = {}

-- Where nothing is stated: 0.1 + 0.2 is not quite 0.3, and no scale tells masses closer than that.
local ROUNDING = 1e-12

--- gap, its sd, sigmas, closes: a weighed whole against the sum of its parts, kg and standard uncertainties.
function judge.gap(whole, whole_sd, sum, sum_sd)
  local gap, sd = whole - sum, math.sqrt((whole_sd or 0) ^ 2 + sum_sd ^ 2)
  local sigmas
  if sd > 0 then sigmas = gap / sd end
  return {whole = whole, sum = sum, gap = gap, sd = sd, sigmas = sigmas, closes = math.abs(gap) <= text.K95 * sd + ROUNDING * whole}
end

-- A part as a line: with the unit and the digits that were read, where it was weighed and nothing had to be taken off.
local function line_of_part(item, node, totals)
  local pieces, weighed, was = item.form == "pair" and 2 or item.count or 1, node.weighed or nil, node.was
  local unit = weighed and weighed.unit or "kg"
  local factor = user_values.in_kg[unit]
  local each = totals.mass / pieces
  local shown = weighed and #weighed.reading == 1 and weighed.reading[1].value
  return {name = item.name, unit = unit, factor = factor, pieces = pieces, mass = totals.mass, sd = totals.sd.mass,
          reading = shown or each / factor, per = shown and weighed.pieces or 1, unknown = node.unknown, assembly = item.route:sub(1, -5),
          was = was and was.value and was.value > 0 and {value = was.value, sd = was.sd} or nil}
end

--- The lines below a group of a car, as the file has them: for closure/slips.lua.
function judge.lines_of_group(c, route)
  local lines = {}
  for _, item in ipairs(c.base:items(false, route)) do
    local node = c.shared.nodes[item.number]
    if item.form ~= "group" and not node.books_gap then
      local t = core.item_totals(c.base, c.geometry, item.route)
      lines[#lines + 1] = line_of_part(item, node, t)
    end
  end
  return lines
end

return judge
