--- The page that sy.closure prints, and suspects in words.

local suspects = require "steelyard.measure.closure.suspects"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local closure_print = {}

local function kg(x, decimals) return text.fixed(x, decimals) end

local function sums_table(result)
  local d, rows = result.decimals, {}
  for _, assembly in ipairs(result.assemblies) do
    rows[#rows + 1] = {assembly.name == "" and "parts" or assembly.name, text.plain(assembly.lines),
                       text.plus_minus(assembly.mass, assembly.sd, d)}
  end
  for _, extra in ipairs(result.extra) do rows[#rows + 1] = {extra.name, "", text.plus_minus(extra.mass, extra.sd, d)} end
  rows[#rows + 1] = {"sum", text.plain(result.lines), text.plus_minus(result.sum, result.sum_sd, d)}
  if result.whole then
    rows[#rows + 1] = {"whole, as weighed", "", text.plus_minus(result.whole, result.whole_sd, d)}
    rows[#rows + 1] = {result.gap < 0 and "parts above the whole by" or "parts below the whole by", "",
                       text.plus_minus(math.abs(result.gap), result.sd, d)}
  end
  return text.table({{"", "%s"}, {"lines", "%s"}, {"mass, kg", "%s"}}, rows)
end

local function verdict(result)
  local sigmas = result.sigmas and (", %s times its standard uncertainty"):format(text.fixed(math.abs(result.sigmas), 1)) or ""
  if result.closes then return "Closes: the gap is within its 95 %" .. sigmas .. "." end
  return "Does not close: the gap is more than its 95 %" .. sigmas .. "."
end

local function twice_lines(result)
  local lines, d = {}, result.decimals
  for _, entry in ipairs(result.twice) do
    local where = entry.included_by and ("a line of its own and included in %s"):format(entry.included_by)
      or "booked in " .. text.join_names(entry.assemblies)
    lines[#lines + 1] = ("Twice: %s, %s kg, %s."):format(entry.name, kg(entry.mass, d), where)
  end
  if #lines > 0 then
    lines[#lines + 1] = ("Counted once the parts come to %s kg instead of %s, %s kg less."):format(kg(result.sum_once, d),
      kg(result.sum, d),
      kg(result.twice_mass, d))
  end
  return lines
end

local function suspect_lines(result)
  local lines, d = {}, result.decimals
  if result.closes ~= false then return lines end
  local found = suspects.sentence(result.suspects, d)
  lines[1] = found and text.sentence(found) or "No single slip that is looked for explains the gap."
  if #result.suspects > suspects.MOST_NAMES then
    lines[#lines + 1] = "So many can explain it because the gap is small against its uncertainty: "
      .. "weigh the whole better, or some of them again."
  end
  if result.gap > 0 and result.unknown == 0 then
    lines[#lines + 1] = ("Or something of about %s kg is in the whole and not on the list."):format(kg(result.gap, d))
  end
  if #result.weaker > 0 then
    lines[#lines + 1] = ("Would close it too, with less to speak for it: %s."):format(text.join(suspects.names(result.weaker)))
  end
  return lines
end

--- The page. last: notes that several results have in common, at the end of this one.
function closure_print.page(result, last)
  local lines = {page.heading(result.heading), sums_table(result)}
  if result.gap then lines[#lines + 1] = verdict(result) end
  for _, list in ipairs {suspect_lines(result), twice_lines(result)} do table.move(list, 1, #list, #lines + 1, lines) end
  return page.of(result, lines, {cautions = last})
end

return closure_print
