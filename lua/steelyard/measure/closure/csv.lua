--- A teardown as a table from a spreadsheet: parts, what else was weighed, and the whole, for sy.closure.
--
--   closure_csv.read(bytes, {file =, decimal =}) -> what sy.closure takes, with notes = {sentences}
--
-- The table is read as a parts list is (parts_csv/rows.lua), and its columns mean the same: a mass is of one piece; where a column says
-- what a scale read, zeros, tare, what else was on it and how many pieces were on it make the mass of it, and a mass beside it is what was
-- thought before. Of its own a teardown has the kinds of row: part, extra, whole. Places and the like are not needed.

local in_kg = require("steelyard.file.user_values").in_kg
local parts_csv = require "steelyard.file.parts_csv"
local preview = require "steelyard.file.parts_csv.preview"
local text = require "steelyard.print.text"
local weighings = require "steelyard.file.weighings"
local vocabulary = require "steelyard.file.vocabulary"

local closure_csv = {}

-- Columns that a car needs and a closure has no use for; scales are named, but what they err by the table does not say.
local no_use = {"x", "y", "z", "sd_x", "sd_y", "sd_z", "within_mm", "basis", "unsprung", "growth", "tags", "instrument", "shape",
                "turned", "inertia", "density", "fill", "dry_mass", "capacity"}

-- Where a record is wrong: its field in the file's words, and the column.
local column_of = {unit = "reading_unit", pieces = "pieces_weighed"}

-- kg of one piece of a part with a weighing record.
local function mass_of(part, row)
  local fine, mass = pcall(weighings.alone, part.weighed, part.name)
  if fine then return mass.mass end
  local field = type(mass) == "table" and mass.field and mass.field:match "^weighed%.([a-z_]+)"
  if not field then error(mass, 0) end
  row:wrong(column_of[field] or field, mass.code, mass.message, mass.hint)
end

local function in_unit(kg, unit) return kg / in_kg[unit] end

local function value_of(mass) return type(mass) == "number" and mass or mass.value end

-- The mass of a row as it was read: in its unit, with the digits of its cell.
local function as_read(part)
  local read = part.read
  if not read then return part.mass end
  local reading, unit = read.value / read.per, read.unit.name
  if not in_kg[unit] then reading, unit = value_of(part.mass), "kg" end -- tonnes
  return part.mass ~= value_of(part.mass) and vocabulary.sd(reading, in_unit(part.mass.sd, unit)) or reading, unit
end

-- A record of one reading and nothing else is a mass in the unit it was read in.
local function is_bare(record)
  return #record.reading == 1 and not (record.zero_before or record.zero_after or record.tare or record.with or record.pieces)
end

local function line_of(part)
  local line = {name = part.name, count = part.pieces, assembly = part.group, includes = part.includes, was = part.was}
  if part.weighed then
    line.was = part.mass ~= vocabulary.unknown and part.mass or nil
    if not is_bare(part.weighed) then
      line.weighed = part.weighed
      return line
    end
    local _, record = weighings.alone(part.weighed, part.name)
    local shown = record.reading[1]
    line.mass, line.unit = shown.sd and vocabulary.sd(shown.value, shown.sd) or shown.value, record.unit
  elseif part.mass == vocabulary.unknown then
    line.mass = part.mass
  else
    line.mass, line.unit = as_read(part)
  end
  return line
end

-- kg, with its standard uncertainty where one is known
local function whole_of(part)
  local mass, sd
  if part.weighed then
    local worked_out = weighings.alone(part.weighed, part.name)
    mass, sd = worked_out.mass, worked_out.sd
  elseif type(part.mass) == "number" then
    mass = part.mass
  else
    mass, sd = part.mass.value, part.mass.sd
  end
  return sd and vocabulary.sd(mass * part.pieces, sd * part.pieces) or mass * part.pieces
end

-- A second whole, or one nobody weighed.
local function check_whole(part, row, seen)
  if part.kind ~= "whole" then return end
  if seen.row then
    row:wrong("kind", "clash", ("is a second whole, the first is in row %d"):format(seen.row))
  elseif part.mass == vocabulary.unknown and not part.weighed then
    row:wrong("mass", "missing", "is unknown, and without it there is nothing to close against", "leave the row out")
  end
  seen.row = seen.row or part.row
end

local function notes_of(out, found, file)
  local from, plan, idle = file and "in " .. file .. ", " or "", found.plan, {}
  local notes = preview.common_notes(found, from)
  for _, field in ipairs(no_use) do
    local column = plan.by[field]
    if column then idle[#idle + 1] = ("%s %q"):format(column.letter, column.heading) end
  end
  if #idle > 0 then
    notes[#notes + 1] = ("%s%s %s nothing that a closure needs"):format(from, #idle == 1 and "column" or "columns",
      text.join(idle) .. (#idle == 1 and " says" or " say"))
  end
  local mass = plan.by.reading or plan.by.mass or plan.by.total_mass
  if not (mass.stated or plan.by.reading_unit) then notes[#notes + 1] = from .. "no unit in the mass column heading; kg assumed" end
  if not out.whole then notes[#notes + 1] = from .. "no row is of the kind whole, so there is nothing to close against" end
  return notes
end

local needed = {"name", "mass"}

--- The table for sy.closure.
function closure_csv.read(bytes, options)
  options = options or {}
  local seen = {}
  local found = parts_csv.open(bytes, {file = options.file, decimal = options.decimal,
    how_to_say = "--decimal , or --decimal . says which"}, needed,
    {mass_of = mass_of, check = function(part, row) check_whole(part, row, seen) end})
  local out = {parts = {}, extra = {}}
  for _, part in ipairs(found.list) do
    if part.kind == "whole" then
      out.whole = whole_of(part)
    else
      local into = part.kind == "extra" and out.extra or out.parts
      into[#into + 1] = line_of(part)
    end
  end
  if #out.parts == 0 then parts_csv.no_parts(found, options.file) end
  out.notes = notes_of(out, found, options.file)
  return out
end

return closure_csv
