--- What was understood of a parts list, in words: to be looked at before anything is done with it.

local core = require "steelyard.core"
local headings = require "steelyard.file.parts_csv.headings"
local text = require "steelyard.print.text"

local preview = {}

local meanings = {
  name = "part", group = "group", kind = "kind", mass = "mass of one piece", total_mass = "mass of all pieces", count = "how many",
  mass_sd = "standard uncertainty of the mass", within = "limits of the mass", within_mm = "limits of the place", x = "x", y = "y",
  z = "z", sd_x = "standard uncertainty of x", sd_y = "standard uncertainty of y", sd_z = "standard uncertainty of z",
  sd_place = "standard uncertainty of x, y and z", basis = "where the mass comes from", unsprung = "who carries it",
  pair = "one of a pair?", tags = "tags", note = "note", growth = "growth allowance", instrument = "instrument",
  reading = "what the scale read", reading_unit = "unit of what it read", zero_before = "zero before", zero_after = "zero after",
  tare = "tare, read on the same scale", with = "what else was on the scale", pieces_weighed = "how many were on the scale",
  weighed_note = "note on the weighing", estimate = "mass of one piece, booked before",
  estimate_sd = "standard uncertainty of the mass booked before", reading_sd = "standard uncertainty of what it read",
  includes = "what the mass includes", shape = "shape", turned = "how it is turned", inertia = "moments of inertia, kg m2",
  density = "density of a tank's liquid, kg/L", fill = "what a tank holds, L", dry_mass = "mass of an empty tank, kg",
  capacity = "what a tank can hold, L",
}
local delimiters = {["\t"] = "tabs", [";"] = "semicolons", [","] = "commas", ["|"] = "strokes"}

-- A mass beside readings is not what is booked where there is one.
local function beside_readings(plan)
  if not plan.by.reading then return "" end
  return plan.by.estimate and "; beside a reading, what the table makes of it" or "; beside a reading, what was thought before"
end

local function meaning(column, plan)
  if not column.field then return "not understood, not read" end
  local words = column.field == "reading_unit" and plan.row_units and "unit of the mass" or meanings[column.field]
  local more = column.field == "mass" and beside_readings(plan) or ""
  if column.field and headings.is_read_off(column.field) then
    return words .. ", " .. (column.unit and column.unit.name or "in the unit of " .. (plan.by.reading_unit and "its row" or "the scale"))
  end
  if not headings.of(column.field) then return words end
  return ("%s, %s%s%s"):format(words, column.unit.name, (column.stated or plan.row_units and column.unit.of == "mass") and ""
    or ", assumed: the heading states no unit", more)
end

local function column_lines(plan)
  local width, lines = 0, {}
  for _, column in ipairs(plan.columns) do width = math.max(width, text.width(column.heading)) end
  for i, column in ipairs(plan.columns) do
    lines[i] = ("  %s  %s  %s"):format(text.left(column.letter, 2), text.left(column.heading, width), meaning(column, plan))
  end
  return lines
end

local function kilograms(sum) return core.fixed(sum, 3):gsub("%.?0+$", "", 1) end

local function sum_lines(sums)
  local lines = {}
  for i, sum in ipairs(sums) do
    lines[i] = sum.readings and ("Row %d, %q, stands below readings without a mass: not booked, not checked."):format(sum.row, sum.word)
      or sum.unchecked and ("Row %d, %q, says no mass: not booked, nothing to check."):format(sum.row, sum.word)
      or ("Row %d, %q, says %s kg and agrees with the rows above: not booked."):format(sum.row, sum.word, kilograms(sum.said))
  end
  return lines
end

local function count_groups(list)
  local seen, count = {}, 0
  for _, part in ipairs(list) do
    if part.group and not seen[part.group] then seen[part.group], count = true, count + 1 end
  end
  return count
end

-- "kg" or "kg and mm"
local function assumed_units(plan)
  local names, seen = {}, {}
  for _, column in ipairs(plan.assumed) do
    if not seen[column.unit.name] then
      seen[column.unit.name] = true
      names[#names + 1] = column.unit.name
    end
  end
  return #names > 0 and text.join(names) or nil
end

local function left_out(skipped)
  local numbers = {}
  for i = 1, math.min(#skipped, 5) do numbers[i] = core.shortest(skipped[i]) end
  if #skipped > 5 then numbers[5] = ("%d more"):format(#skipped - 4) end
  return ("%s %s nothing in the columns that are read, left out"):format(#skipped == 1 and "row" or "rows",
    text.join(numbers) .. (#skipped == 1 and " has" or " have"))
end

-- What is reported of a table, be it a parts list or a teardown: columns that are not read, units of single cells, sections.
function preview.common_notes(found, from)
  local notes, unread, plan = {}, {}, found.plan
  for _, column in ipairs(plan.columns) do
    if not column.field then unread[#unread + 1] = ("%s %q"):format(column.letter, column.heading) end
  end
  if #unread > 0 then
    notes[#notes + 1] = ("%s%s %s not understood and not read"):format(from, #unread == 1 and "column" or "columns",
      text.join(unread) .. (#unread == 1 and " is" or " are"))
  end
  if #plan.unheaded > 0 then
    notes[#notes + 1] = ("%s%s %s no heading and %s not read"):format(from, #plan.unheaded == 1 and "column" or "columns",
      text.join(plan.unheaded) .. (#plan.unheaded == 1 and " has" or " have"), #plan.unheaded == 1 and "is" or "are")
  end
  local own = {}
  for row in pairs(plan.own_units) do own[#own + 1] = row end
  table.sort(own)
  if #own > 0 then
    notes[#notes + 1] = ("%s%s%s: a unit in a row goes before that of the heading"):format(from, plan.own_units[own[1]],
      #own > 1 and (" and in %s"):format(text.count(#own - 1, "more row", "more rows")) or "")
  end
  for _, section in ipairs(found.sections) do
    notes[#notes + 1] = ("%srow %d has a name alone, %q: the group of the %s below"):format(from, section.row, section.name,
      section.rows == 1 and "row" or core.shortest(section.rows) .. " rows")
  end
  return notes
end

local function notes_of(list, found, file)
  local notes, plan, skipped = {}, found.plan, found.skipped
  local from = file and "in " .. file .. ", " or ""
  if list.encoding == "Windows-1252" then
    notes[#notes + 1] = from .. "letters are read as Windows-1252, for they are not UTF-8; look whether accents came out right"
  end
  local units = assumed_units(plan)
  if units then notes[#notes + 1] = ("%sheads without a unit are taken as %s"):format(from, units) end
  local common = preview.common_notes(found, from)
  table.move(common, 1, #common, #notes + 1, notes)
  if #skipped > 0 then notes[#notes + 1] = from .. left_out(skipped) end
  return notes
end

--- Puts `preview` and `notes` into a list of parts.
function preview.add(list, found, file)
  local plan, sums, skipped = found.plan, found.sums, found.skipped
  local groups = count_groups(list)
  local lines = {("%s%s%s, %s, cells apart by %s, decimal %s, headings in row %d"):format(file and file .. ": " or "",
    text.count(#list, "part"), groups > 0 and " in " .. text.count(groups, "group") or "", list.encoding,
    delimiters[list.delimiter], list.decimal == "," and "comma" or "point", plan.row)}
  table.move(column_lines(plan), 1, #plan.columns, 2, lines)
  for _, line in ipairs(sum_lines(sums)) do lines[#lines + 1] = line end
  for _, section in ipairs(found.sections) do
    lines[#lines + 1] = ("Row %d, %q, has a name alone: the group of the rows below it."):format(section.row, section.name)
  end
  local readings = plan.by.reading and require("steelyard.file.parts_csv.weighed").sentence(list)
  if readings then lines[#lines + 1] = text.sentence(readings) end
  list.notes = notes_of(list, found, file)
  if #skipped > 0 then lines[#lines + 1] = text.sentence(left_out(skipped)) end
  if list.encoding == "Windows-1252" then lines[#lines + 1] = text.sentence(list.notes[1]) end
  list.preview = table.concat(lines, "\n")
end

return preview
