--- Which single slip explains that the parts do not come to the weighed whole?
--
--   slips.find(lines, gap, sd, twice?, whole?) -> suspects, weaker
--     whole  {value =, sd =} kg, where it may have slipped too
--     lines  list of {name =, reading =, unit =, factor = kg per unit, per = pieces that were on the scale, pieces = booked,
--            mass = kg of all pieces, sd = kg of all pieces; zeros and tares make mass / pieces less than reading * factor / per.
--            was = {value =, sd =} kg of one piece or nil, extra = boolean, unknown = boolean}
--     gap    whole - sum, kg           sd  its standard uncertainty, kg; 0 where nothing was stated
--     twice  of measure/closure/twice.lua: lines known to stand in two assemblies
--     suspects  {name =, why =, reading =, unit =, would_be = kg of one piece, count = pieces there would be or nil,
--               left = kg of the gap that the correction leaves, fits_estimate = true or nil,
--               tied = names of the others that explain it as well or nil}
--     weaker    the same: they close the gap too, but clearly less well
--
-- A slip is a suspect when its correction brings the gap within its 95 %. They are ranked by what they leave of it; those whose
-- chi-square is within 1 of the best are tied. What an earlier estimate contradicts is not a suspect, one that it speaks for goes before
-- all others. One line may have slipped in several ways, and all of them are kept. The kinds of slip are common practice, no source.

local core = require "steelyard.core"
local in_kg = require("steelyard.file.user_values").in_kg
local text = require "steelyard.print.text"

local slips = {}

slips.MISSED = "a second one like it missed" -- the line itself is right

local TIED = 1            -- of chi-square: a likelihood ratio of exp(-1/2), 0.6, prefers neither
local ESTIMATE_SD = 0.15  -- of the mass: an earlier estimate that states no uncertainty (common practice, no source)
local MOST_DECIMALS = 4   -- a number with more was worked out and not read off: its digits tell nothing
-- Where no uncertainty is stated a tenth of the gap stands for its 95 %: a slip must explain nine tenths of it.
local UNSTATED_SHARE = 0.1

-- ---- digits -----------------------------------------------------------------------------------------------------------

--- Decimals of a number as it was read, or nil for one that was worked out.
function slips.decimals(number)
  local shown = core.shortest(number)
  if shown:find "[eE]" then return nil end
  local decimals = #(shown:match "%.(%d+)$" or "")
  return decimals <= MOST_DECIMALS and decimals or nil
end

-- A scale shows the same number of decimals each time: 24 among 20.4 and 31.6 was read as 24.0.
local function decimals_by_unit(lines)
  local most = {}
  for _, line in ipairs(lines) do
    local decimals = not line.unknown and slips.decimals(line.reading)
    if decimals then most[line.unit] = math.max(most[line.unit] or 0, decimals) end
  end
  return most
end

-- Every number that two neighbouring digits in the other order make of a reading.
local function swapped(shown)
  local places, values = {}, {}
  for at in shown:gmatch "()%d" do places[#places + 1] = at end
  for i = 1, #places - 1 do
    local a, b = places[i], places[i + 1]
    local first, second = shown:sub(a, a), shown:sub(b, b)
    local other = shown:sub(1, a - 1) .. second .. shown:sub(a + 1, b - 1) .. first .. shown:sub(b + 1)
    -- nobody writes 02.4 down
    if first ~= second and not other:find "^%-?0%d" then values[#values + 1] = core.number(other) end
  end
  return values
end

--- The same of a number that was read, or that somebody typed in; none of one that was worked out.
function slips.swapped(number)
  local decimals = slips.decimals(number)
  return decimals and swapped(core.fixed(number, decimals)) or {}
end

-- ---- kinds of slip ----------------------------------------------------------------------------------------------------

local function each_of(line) return line.mass / line.pieces end

-- add(line, why, would_be): kg of one piece. All that one scale showed, zero and tare too, was read in the wrong unit.
local function wrong_unit(line, add)
  local each, unit = each_of(line), line.unit
  for _, other in ipairs {"lb", "kg", "g"} do
    if other ~= unit then add(line, ("%s read as %s"):format(other, unit), each * in_kg[other] / line.factor) end
  end
  if unit ~= "kg" then return end
  -- booked in kg after a conversion that was none
  for _, other in ipairs {"lb", "g"} do add(line, ("kg read as %s"):format(other), each / in_kg[other]) end
end

-- Another number in place of the reading; zero and tare stay.
local function wrong_digits(line, decimals, add)
  local function other(why, reading)
    add(line, why, each_of(line) + (reading - line.reading) * line.factor / line.per)
  end
  other("decimal mark one place off", line.reading * 10)
  other("decimal mark one place off", line.reading / 10)
  if not decimals or not slips.decimals(line.reading) then return end
  for _, value in ipairs(swapped(core.fixed(line.reading, decimals))) do other("two digits swapped", value) end
end

local function reading_key(line) return ("%s %s %s x %d"):format(core.shortest(line.reading), line.unit, core.shortest(line.mass),
  line.pieces) end
local function name_key(line) return line.assembly .. "\n" .. line.name end

local function count_by(lines, key)
  local count = {}
  for _, line in ipairs(lines) do
    if not line.unknown then count[key(line)] = (count[key(line)] or 0) + 1 end
  end
  return count
end

-- For each line: does another one have the same reading; the same, or the same name in its assembly?
local function doubles_of(lines)
  local readings, names = count_by(lines, reading_key), count_by(lines, name_key)
  local alike, double = {}, {}
  for i, line in ipairs(lines) do
    alike[i] = not line.unknown and readings[reading_key(line)] > 1
    double[i] = alike[i] or not line.unknown and names[name_key(line)] > 1
  end
  return alike, double
end

-- ---- judging ----------------------------------------------------------------------------------------------------------

local function hypot(a, b) return math.sqrt(a * a + b * b) end

-- chi of a mass of one piece against the earlier estimate
local function against_estimate(line, value)
  local was = line.was
  local own = (line.sd or 0) / line.pieces
  return math.abs(value - was.value) / hypot(own, was.sd or ESTIMATE_SD * math.abs(was.value))
end

-- "fits", "contradicts", or nil where no estimate tells one from the other
local function verdict(line, value)
  if not line.was then return nil end
  if not (against_estimate(line, value) <= text.K95) then return "contradicts" end
  if line.unknown or against_estimate(line, line.mass / line.pieces) > text.K95 then return "fits" end
  return nil
end

local Case = {}
Case.__index = Case


-- One possible correction: `change` in kg of the sum. more: further fields of the entry.
function Case:add(name, index, why, would_be, change, speaks_for_it, more)
  local left = self.gap - change
  local chi2 = (left / self.scale) ^ 2
  if chi2 > text.K95 ^ 2 then return end
  local entry = {name = name, why = why, would_be = would_be, left = left, chi2 = chi2, index = index, speaks = speaks_for_it == true}
  for key, value in pairs(more or {}) do entry[key] = value end
  local known = self.by_name[index] or {}
  self.by_name[index] = known
  known[#known + 1] = entry
end

-- A reading that ought to be another one.
function Case:other_value(line, why, would_be)
  local own = (line.sd or 0) / line.pieces
  -- what weighs less than the scale's own uncertainty was not weighed on it
  if math.abs(would_be) <= text.K95 * own then return end
  local says = verdict(line, would_be)
  if says == "contradicts" then return end
  self:add(line.name, line.index, why, would_be, line.pieces * would_be - line.mass, says == "fits")
end

-- How many pieces may have been typed for `n`: one or two more or fewer, double, half.
local function other_counts(n)
  local list, seen = {}, {[n] = true}
  for _, count in ipairs{n - 1, n + 1, n - 2, n + 2, 2 * n, n % 2 == 0 and n // 2 or n} do
    if count >= 1 and not seen[count] then
      seen[count] = true
      list[#list + 1] = count
    end
  end
  return list
end

-- More or fewer of them, and the mass of all booked as that of one or the other way round.
local function wrong_counts(case, lines, double)
  for _, line in ipairs(lines) do
    local n, each = line.pieces, not line.unknown and each_of(line)
    if each and each ~= 0 and not line.extra then
      for _, count in ipairs(n > 1 and other_counts(n) or not double[line.index] and {2} or {}) do -- of doubles one was missed
        case:add(line.name, line.index, ("%s of them instead of %s"):format(core.shortest(count), core.shortest(n)), each,
          (count - n) * each, false, {count = count})
      end
      if n > 1 then
        case:other_value(line, ("the mass of all %s booked as that of one"):format(core.shortest(n)), each / n)
        case:other_value(line, ("the mass of one taken for that of all %s"):format(core.shortest(n)), each * n)
      end
      if line.per > 1 then case:other_value(line, "one piece was on the scale, not " .. core.shortest(line.per), each * line.per) end
    end
  end
end

-- The whole read or typed wrong, and all parts of one unit in another one.
local function whole_slips(case, lines, whole)
  if whole then
    local function add(why, would_be)
      case:add("the whole", "whole", why, would_be, whole.value - would_be, false, {reading = whole.value, unit = "kg"})
    end
    add("lb read as kg", whole.value * in_kg.lb)
    add("kg read as lb", whole.value / in_kg.lb)
    add("decimal mark one place off", whole.value * 10)
    add("decimal mark one place off", whole.value / 10)
    for _, value in ipairs(slips.swapped(whole.value)) do
      if value > 0 then add("two digits swapped", value) end
    end
  end
  local sums, count = {kg = 0, lb = 0}, {kg = 0, lb = 0}
  for _, line in ipairs(lines) do
    local unit = not line.unknown and not line.extra and sums[line.unit] and line.unit
    if unit then sums[unit], count[unit] = sums[unit] + line.mass, count[unit] + 1 end
  end
  for unit, other in pairs{kg = "lb", lb = "kg"} do
    if count[unit] > 1 then -- one is a line like others
      case:add("all parts in " .. unit, "all " .. unit, ("%s read as %s"):format(other, unit), 0,
        sums[unit] * (in_kg[other] / in_kg[unit] - 1))
    end
  end
end

local function other_readings(case, lines)
  local decimals = decimals_by_unit(lines)
  local function add(line, why, would_be) case:other_value(line, why, would_be) end
  for _, line in ipairs(lines) do
    if not line.unknown then
      wrong_unit(line, add)
      wrong_digits(line, decimals[line.unit], add)
      if line.mass < 0 or line.extra then add(line, "wrong sign", -line.mass / line.pieces) end
    end
  end
end

local function whole_lines(case, lines, double, twice)
  for _, line in ipairs(lines) do
    local each = not line.unknown and line.mass / line.pieces
    if line.unknown then
      local would_be = case.gap / line.pieces
      if would_be > 0 and verdict(line, would_be) ~= "contradicts" then
        case:add(line.name, line.index, "not weighed yet", would_be, case.gap, true)
      end
    elseif double[line.index] then
      case:add(line.name, line.index, "booked twice", 0, -line.mass)
      case:add(line.name, line.index, slips.MISSED, each, line.mass)
    end
  end
  local names, mass = {}, 0
  for i, entry in ipairs(twice or {}) do
    local why = "booked in " .. text.join_names(entry.assemblies)
    case:add(entry.name, "twice " .. i, why, 0, -entry.mass, true)
    names[i], mass = entry.name, mass + entry.mass
  end
  if #names > 1 then case:add(text.join(names), "twice", "booked in two assemblies", 0, -mass, true) end
end

-- Lines whose earlier estimate says what the whole says, whatever the slip was.
local function estimates(case, lines)
  for _, line in ipairs(lines) do
    if line.was and not line.unknown and not case.by_name[line.index] then
      local would_be = (line.mass + case.gap) / line.pieces
      if verdict(line, would_be) == "fits" then
        case:add(line.name, line.index, "the earlier estimate and the whole agree on another mass", would_be, case.gap, true)
      end
    end
  end
end

-- When nothing else fits: one of several equal readings may be that of its neighbour.
local function copies(case, lines, alike)
  if next(case.by_name) then return end
  for i, line in ipairs(lines) do
    local would_be = alike[i] and (line.mass + case.gap) / line.pieces
    if would_be and would_be > 0 then case:other_value(line, "the same reading as another line, copied?", would_be) end
  end
end

-- ---- ranking ----------------------------------------------------------------------------------------------------------

local function order_of(entry) return type(entry.index) == "number" and entry.index or math.huge end

local function before(a, b)
  if a.speaks ~= b.speaks then return a.speaks end
  if a.chi2 ~= b.chi2 then return a.chi2 < b.chi2 end
  if order_of(a) ~= order_of(b) then return order_of(a) < order_of(b) end
  if a.name ~= b.name then return core.before(a.name, b.name) end
  return core.before(a.why, b.why)
end

local function ranked(case)
  local list = {}
  for _, entries in pairs(case.by_name) do table.move(entries, 1, #entries, #list + 1, list) end
  table.sort(list, before)
  local suspects, weaker, best = {}, {}, list[1]
  for _, entry in ipairs(list) do
    local tied = entry.speaks == best.speaks and entry.chi2 - best.chi2 <= TIED
    local into = tied and suspects or weaker
    into[#into + 1] = entry
  end
  return suspects, weaker
end

-- What a result shows of them.
local function publish(list, lines, name_ties)
  local shown = {}
  for i, entry in ipairs(list) do
    local line = lines[entry.index]
    local tied
    for k, other in ipairs(name_ties and #list > 1 and list or {}) do
      if k ~= i and other.name ~= entry.name then
        tied = tied or {}
        tied[#tied + 1] = other.name
      end
    end
    shown[i] = {name = entry.name, why = entry.why, reading = line and line.reading or entry.reading, unit = line and line.unit
                or entry.unit, would_be = entry.would_be, count = entry.count, left = entry.left, tied = tied,
                fits_estimate = line and line.was and entry.speaks or nil}
  end
  return shown
end

--- The suspects, best first, and those that close the gap less well.
function slips.find(lines, gap, sd, twice, whole)
  local scale = sd > 0 and sd or UNSTATED_SHARE * math.abs(gap) / text.K95
  local case = setmetatable({gap = gap, scale = scale, by_name = {}}, Case)
  for i, line in ipairs(lines) do line.index = i end
  local alike, double = doubles_of(lines)
  other_readings(case, lines)
  whole_lines(case, lines, double, twice)
  wrong_counts(case, lines, double)
  whole_slips(case, lines, whole)
  estimates(case, lines)
  copies(case, lines, alike)
  local suspects, weaker = ranked(case)
  return publish(suspects, lines, true), publish(weaker, lines)
end

return slips
