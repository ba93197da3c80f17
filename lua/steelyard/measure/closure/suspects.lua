--- The lines that would explain a gap, in words.

local slips = require "steelyard.measure.closure.slips"
local text = require "steelyard.print.text"

local suspects = {}

suspects.MOST_NAMES = 8    -- of suspects that a sentence lists
local LONGEST_READING = 8 -- digits and mark; longer ones were worked out and are shown to a gram

--- Their names, the first few.
function suspects.names(list)
  local names = {}
  for i = 1, math.min(#list, suspects.MOST_NAMES) do names[i] = list[i].name end
  names = text.names(names)
  if #list > #names then names[#names + 1] = ("%d more"):format(#list - #names) end
  return names
end

-- "reads 45 kg: lb read as kg, would be 20.4 kg"
local function reason(entry, decimals, each)
  local words = entry.why
  if entry.reading then
    local shown = #text.plain(entry.reading) <= LONGEST_READING and text.plain(entry.reading) or text.fixed(entry.reading, 3)
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
function suspects.sentence(list, decimals)
  if #list == 0 then return nil end
  if #list == 1 then return ("suspect: %s (%s)"):format(list[1].name, reason(list[1], decimals)) end
  if same_reason(list) then
    return ("suspects, any one of %d that explain it alike: %s (%s)"):format(#list, text.join(suspects.names(list), "or"),
      reason(list[1], decimals, true))
  end
  local cases = {}
  for i, entry in ipairs(list) do
    if i > suspects.MOST_NAMES then
      cases[i] = ("%d more"):format(#list - suspects.MOST_NAMES)
      break
    end
    cases[i] = ("%s (%s)"):format(entry.name, reason(entry, decimals))
  end
  return ("suspects, any one of %d that explain it alike: %s"):format(#list, text.join(cases, "or"))
end

return suspects
