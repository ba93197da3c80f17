--- The page that sy.closure prints, and suspects in words.

local slips = require "steelyard.measure.closure.slips"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local closure_print = {}

local MOST_NAMES = 8       -- of suspects that a sentence lists
local LONGEST_READING = 8 -- digits and mark; longer ones were worked out and are shown to a gram

local function names_of(list)
  local names = {}
  for i, entry in ipairs(list) do
    if i > MOST_NAMES then
      names[i] = ("%d more"):format(#list - MOST_NAMES)
      break
    end
    names[i] = entry.name
  end
  return names
end

-- "reads 45 kg: lb read as kg, would be 20.4 kg"
local function reason(entry, decimals, each)
  local words = entry.why
  if entry.reading then
    local shown = #text.shortest(entry.reading) <= LONGEST_READING and text.shortest(entry.reading) or text.fixed(entry.reading, 3)
    words = ("%s %s %s: %s"):format(each and "each reads" or "reads", shown, entry.unit, words)
  end
  if entry.would_be ~= 0 and entry.why ~= slips.MISSED and not entry.count then
    words = ("%s, would be %s kg"):format(words, text.fixed(entry.would_be, decimals))
  end
  return entry.fits_estimate and words .. ", and its earlier estimate says so too" or words
end

local function same_reason(list)
  for _, entry in ipairs(list) do
    local first = list[1]
    if entry.why ~= first.why or entry.would_be ~= first.would_be or entry.reading ~= first.reading then return false end
  end
  return true
end

--- One sentence on the suspects; nil when there are none.
function closure_print.suspects(list, decimals)
  if #list == 0 then return nil end
  if #list == 1 then return ("suspect: %s (%s)"):format(list[1].name, reason(list[1], decimals)) end
  if same_reason(list) then
    return ("suspects, any one of %d that explain it alike: %s (%s)"):format(#list, text.join(names_of(list), "or"),
      reason(list[1], decimals, true))
  end
  local cases = {}
  for i, entry in ipairs(list) do
    if i > MOST_NAMES then
      cases[i] = ("%d more"):format(#list - MOST_NAMES)
      break
    end
    cases[i] = ("%s (%s)"):format(entry.name, reason(entry, decimals))
  end
  return ("suspects, any one of %d that explain it alike: %s"):format(#list, text.join(cases, "or"))
end

local function kg(x, decimals) return text.fixed(x, decimals) end

local function sums_table(result)
  local d, rows = result.decimals, {}
  for _, assembly in ipairs(result.assemblies) do
    rows[#rows + 1] = {assembly.name == "" and "parts" or assembly.name, text.shortest(assembly.lines),
                       text.plus_minus(assembly.mass, assembly.sd, d)}
  end
  for _, extra in ipairs(result.extra) do rows[#rows + 1] = {extra.name, "", text.plus_minus(extra.mass, extra.sd, d)} end
  rows[#rows + 1] = {"sum", text.shortest(result.lines), text.plus_minus(result.sum, result.sum_sd, d)}
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
      or "booked in " .. text.join(entry.assemblies)
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
  local found = closure_print.suspects(result.suspects, d)
  lines[1] = found and text.sentence(found) or "No single slip that is looked for explains the gap."
  if #result.suspects > MOST_NAMES then
    lines[#lines + 1] = "So many can explain it because the gap is small against its doubt: weigh the whole better, or some of them again."
  end
  if result.gap > 0 and result.unknown == 0 then
    lines[#lines + 1] = ("Or something of about %s kg is in the whole and not on the list."):format(kg(result.gap, d))
  end
  if #result.weaker > 0 then
    lines[#lines + 1] = ("Would close it too, with less to speak for it: %s."):format(text.join(names_of(result.weaker)))
  end
  return lines
end

--- The page.
function closure_print.page(result)
  local lines = {page.heading(result.heading), sums_table(result)}
  if result.gap then lines[#lines + 1] = verdict(result) end
  for _, list in ipairs {suspect_lines(result), twice_lines(result)} do table.move(list, 1, #list, #lines + 1, lines) end
  return page.of(result, lines)
end

return closure_print
