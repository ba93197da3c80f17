--- sy.closure{whole =, parts =, extra =}: do the parts of a weighed assembly come to the whole, and if not, which line is to blame?
--
--   sy.closure{title = "Flat four", whole = sy.sd(168.0, 0.5),
--     parts = {{name = "crankcase", mass = sy.sd(31.4, 0.05), unit = "kg", count = 1, assembly = "engine", includes = {"studs"},
--               was = sy.sd(30, 3)}, ...},
--     extra = {["fastener bag"] = 2.4, ["residual oil"] = 1.1}, scale = {bias_sd = 0.02, gain_sd = 0.0005}}
--
-- mass   what was read, of one piece, in `unit` (kg, g, lb, oz); sy.unknown where nobody weighed it
-- weighed  instead of mass and unit: a weighing record as in a vehicle file, {reading = 33.9, tare = 0.26, pieces = 2, unit = "kg"}
-- was    an earlier estimate in kg, kept in the record: it breaks ties and clears lines
-- extra  what the whole holds beside the parts; a list of lines does as well
-- scale  what the scale of the parts may be off by, the same for all of them: standard uncertainties of its zero and gain
--
-- The uncertainty of the gap is that of the whole, of every line, and of the scale's errors, which add up over the lines before they are
-- squared (JCGM 100:2008, 5.2.2).

local text = require "steelyard.print.text"
local judge = require "steelyard.measure.closure.judge"
local lines_of = require "steelyard.measure.closure.lines"
local twice_of = require "steelyard.measure.closure.twice"

local closure = {}
local Closure = require("steelyard.reference.results").kind "closure"

closure.one_slip = "one slip at a time is looked for, not two that hide each other; read the line again before you change it"
closure.caution = "weighing the whole: rated slings and hoist, nobody under the load, on a stand before hands go in; local codes and "
  .. "licensed practice decide"

-- Sum of some lines and its uncertainty: their own, and what the scale's errors do to all of them at once.
local function sum_of(lines, scale, wanted)
  local mass, variance, readings, weighed, count = 0, 0, 0, 0, 0
  for _, line in ipairs(lines) do
    if not wanted or wanted(line) then
      mass, variance, count = mass + line.mass, variance + (line.sd or 0) ^ 2, count + 1
      if not line.extra and not line.unknown then
        readings, weighed = readings + line.pieces, weighed + line.mass
      end
    end
  end
  return mass, math.sqrt(variance + (readings * scale.bias_sd) ^ 2 + (weighed * scale.gain_sd) ^ 2), count
end

local function assemblies_of(lines)
  local names, seen, list = {}, {}, {}
  for _, line in ipairs(lines) do
    if not line.extra and not seen[line.assembly] then seen[line.assembly], names[#names + 1] = true, line.assembly end
  end
  for i, name in ipairs(names) do
    local mass, sd, count = sum_of(lines, lines.scale, function(line) return not line.extra and line.assembly == name end)
    list[i] = {name = name, mass = mass, sd = sd, lines = count}
  end
  return list
end

-- Decimals as the readings have, at most a gram, and no more than two digits of the uncertainty.
local function decimals_of(lines, sd)
  local slips, most = require "steelyard.measure.closure.slips", 1
  for _, line in ipairs(lines) do
    if line.unit == "g" then most = 3 end
    most = math.max(most, not line.unknown and line.unit == "kg" and slips.decimals(line.reading) or 0)
  end
  if sd > 0 then most = math.min(most, sd >= 1 and 1 or sd >= 0.1 and 2 or 3) end
  return math.min(most, 3)
end

local function count_where(lines, wanted)
  local count = 0
  for _, line in ipairs(lines) do count = count + (wanted(line) and 1 or 0) end
  return count
end

local function notes_of(result, lines)
  local notes = table.move(lines.notes, 1, #lines.notes, 1, {})
  local unstated = count_where(lines, function(line) return not line.unknown and not line.stated end)
  if lines.whole and not lines.whole.sd then notes[#notes + 1] = "the whole has no stated uncertainty and counts as exact" end
  if unstated > 0 then
    notes[#notes + 1] = ("%d of %s %s no stated uncertainty and %s as exact"):format(unstated, text.count(#lines, "line"),
      unstated == 1 and "has" or "have", unstated == 1 and "counts" or "count")
  end
  if result.unknown > 0 then
    notes[#notes + 1] = ("%s no known mass and %s in no sum"):format(text.count(result.unknown, "line has", "lines have"),
      result.unknown == 1 and "is" or "are")
  end
  if result.closes == false then
    notes[#notes + 1] = closure.one_slip
  end
  if result.gap then notes[#notes + 1] = closure.caution end
  return notes
end

--- sy.closure.
function closure.of(given)
  local lines = lines_of.read(given)
  local sum, sum_sd = sum_of(lines, lines.scale)
  local result = lines.whole and judge.gap(lines.whole.value, lines.whole.sd, sum, sum_sd) or {sum = sum}
  result.sum_sd, result.whole_sd = sum_sd, lines.whole and lines.whole.sd
  result.heading, result.state = lines.title or "Closure", "as listed"
  result.assemblies, result.twice = assemblies_of(lines), twice_of.find(lines)
  result.extra = {}
  for _, line in ipairs(lines) do
    if line.extra then result.extra[#result.extra + 1] = {name = line.name, mass = line.mass, sd = line.sd} end
  end
  result.twice_mass = 0
  for _, entry in ipairs(result.twice) do result.twice_mass = result.twice_mass + entry.mass end
  result.sum_once = sum - result.twice_mass
  result.lines, result.decimals = #lines, decimals_of(lines, result.sd or sum_sd)
  result.unknown = count_where(lines, function(line) return line.unknown end)
  result.suspects, result.weaker = {}, {}
  if result.closes == false then
    result.suspects, result.weaker = require("steelyard.measure.closure.slips").find(lines, result.gap, result.sd, result.twice,
      lines.whole)
  end
  result.notes = notes_of(result, lines)
  return setmetatable(result, Closure)
end

function Closure.__tostring(result) return require("steelyard.measure.closure.print").page(result) end

return closure
