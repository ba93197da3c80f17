--- A teardown as a table from a spreadsheet: parts, what else was weighed, and the whole, for sy.closure.
--
--   closure_csv.read(bytes, {file =, decimal =}) -> what sy.closure takes, with notes = {sentences}
--
-- Columns: part and mass, and of these what is there: unit (of the row's reading), quantity, sd, assembly, kind (part, extra, whole),
-- was (earlier estimate, kg), was sd, includes, remarks. Heads are those of parts lists (parts_csv_words.lua) and the ones below.

local core = require "steelyard.core"
local in_kg = require("steelyard.amounts").in_kg
local heads = require "steelyard.parts_csv_heads"
local problems = require "steelyard.parts_csv_problems"
local rows = require "steelyard.parts_csv_rows"
local sums = require "steelyard.parts_csv_sums"
local text = require "steelyard.text"
local words = require "steelyard.parts_csv_words"
local word_list = require "steelyard.words"

local closure_csv = {}

-- Heads that parts lists do not have, folded. English, German, French, Italian, Spanish, Dutch, Swedish; common practice, no source.
local own_heads = {}
for field, list in pairs {
  unit = "unit, einheit, unite, unita, unidad, eenheid, enhet",
  was = "was, estimate, estimated, earlier, schatzung, estimation, stima, estimacion, schatting, uppskattning",
  was_sd = "was sd, estimate sd, sd of estimate, schatzung sd, estimation sd, stima sd, estimacion sd, schatting sd, uppskattning sd",
  includes = "includes, including, with, enthalt, comprend, compris, comprende, incluye, bevat, innehaller",
} do
  for word in list:gmatch "[^,]+" do own_heads[word:match "^ *(.-) *$"] = field end
end

local kinds = {part = "part", extra = "extra", whole = "whole"}
local number_fields = {"mass", "mass_sd", "count", "was", "was_sd"}

-- Columns that only a teardown has; a field of theirs goes before one that a parts list would see in the head.
local function add_own(csv, plan, fail)
  for _, column in ipairs(plan.columns) do
    local rest, unit = heads.split_unit(words.fold(csv:cell(plan.row, column.index)))
    local field = own_heads[rest]
    if field then
      local other = plan.by[field]
      if other and other ~= column then
        fail(plan.row, column, "clash", ("means the same as column %s, %q"):format(other.letter, other.head), "leave one of the two out")
      end
      if column.field and plan.by[column.field] == column then plan.by[column.field] = nil end
      column.field, plan.by[field] = field, column
      column.unit = unit or words.unit "kg"
      if column.unit.of ~= "mass" then fail(plan.row, column, "type", ("%s is no unit of mass"):format(unit.name)) end
    end
  end
end

-- A raw reading is the mass here, and a mass beside it what was thought before.
local function use_reading(plan, fail)
  local by, reading = plan.by, plan.by.reading
  if reading then
    by.was, by.mass, by.reading = by.was or by.mass, reading, nil
    reading.unit = reading.unit or words.unit "kg"
  end
  if not by.mass then fail(plan.row, nil, "missing", "no column for the mass of one piece", "as in mass (kg)") end
end

local function decimal_mark(csv, plan, options, fail)
  if options.decimal then return options.decimal end
  local columns = {}
  for _, field in ipairs(number_fields) do
    if plan.by[field] then columns[#columns + 1] = plan.by[field].index end
  end
  local mark, code, message = csv:mark(columns, plan.first)
  if not mark then
    fail(nil, nil, code, message, code == "content" and "--decimal , or --decimal . says which" or "write one of the two in all numbers")
  end
  return mark
end

local function is_blank(csv, row)
  for index = 1, csv:width(row) do
    if csv:cell(row, index):find "[^ \t\r\n]" then return false end
  end
  return true
end

-- ---- cells ------------------------------------------------------------------------------------------------------------

local function trimmed(cell) return cell:gsub("[ \t\r\n]+", " "):match "^ ?(.-) ?$" end

-- A doubt has the unit of its own head, a share of the reading, or the reading's unit.
local function read_doubt(row, reading, unit)
  local sd, column = row:number("mass_sd", {min = 0}), row.plan.by.mass_sd
  if not sd then return nil end
  if column.unit.of == "share" then return sd * reading end
  if column.stated then return sd * unit.over / unit.times end
  return core.csv_number(row:text "mass_sd", row.mark)
end

-- The reading as it stands in the cell, and its unit by name: what digits were written matters to what slipped.
local function read_mass(row)
  local head = row.plan.by.mass
  local unit = head.unit
  local cell = trimmed(row:text "unit")
  if cell ~= "" then
    local known = words.unit(cell)
    if not (known and in_kg[known.name]) then
      row:wrong("unit", "unknown", ("%q is no unit of mass"):format(cell), "kg, g, lb and oz are known")
      return nil
    end
    unit = known
  end
  if not in_kg[unit.name] then return row:wrong("mass", "type", ("is in %s; a scale is read in kg, g, lb or oz"):format(unit.name)) end
  if words.unknown[words.fold(row:text "mass")] then return word_list.unknown, unit.name end
  if not row:number "mass" then
    if not row.bad then row:wrong("mass", "missing", "has no mass", "a question mark is a mass nobody knows") end
    return nil
  end
  local reading = core.csv_number(row:text "mass", row.mark)
  local sd = read_doubt(row, math.abs(reading), unit)
  return sd and not row.bad and word_list.sd(reading, sd) or reading, unit.name
end

local function read_estimate(row)
  local value = row:number("was", {above = 0})
  local sd = row:number("was_sd", {min = 0})
  if sd and not value and not row.bad then return row:wrong("was_sd", "missing", "stands without an earlier estimate") end
  return value and sd and word_list.sd(value, sd) or value
end

local function read_count(row)
  local count = row:number "count"
  local whole = count and math.tointeger(count)
  if count and (not whole or whole < 1 or whole > 1000000) then
    return row:wrong("count", "range", ("%q must be a whole number from 1 to 1000000"):format(trimmed(row:text "count")))
  end
  return whole
end

local function read_list(cell)
  local list = {}
  for piece in cell:gmatch "[^,;\r\n]+" do
    if trimmed(piece) ~= "" then list[#list + 1] = trimmed(piece) end
  end
  return #list > 0 and list or nil
end

-- kind, line
local function read_row(row)
  if row.name == "" then return row:wrong("name", "missing", "has no name",
    "an empty row may stand between others, a sum is called Total") end
  local kind = row:choice("kind", kinds, "part, extra and whole")
  if not kind and not row.bad and words.fold(row.name):find "%f[%a]whole%f[%A]" then
    return row:wrong("name", "content", ("%q looks like the whole and does not say so"):format(row.name),
      'a column "kind" holds part, extra or whole')
  end
  local mass, unit = read_mass(row)
  local assembly = trimmed(row:text "group")
  return kind or "part", {name = row.name, mass = mass, unit = unit, count = read_count(row), was = read_estimate(row),
                assembly = assembly ~= "" and assembly or nil, includes = read_list(row:text "includes")}
end

-- ---- the table --------------------------------------------------------------------------------------------------------

local function take(out, row, kind, line)
  if kind == "extra" then
    out.extra[#out.extra + 1] = line
  elseif kind == "part" then
    out.parts[#out.parts + 1] = line
  elseif out.whole then
    row:wrong("kind", "clash", ("is a second whole, the first is in row %d"):format(out.whole_row))
  elseif line.mass == word_list.unknown then
    row:wrong("mass", "missing", "is unknown, and without it there is nothing to close against", "leave the row out")
  else
    out.whole, out.whole_unit, out.whole_row = line.mass, line.unit, row.row
  end
end

-- What a row called Total is held against, with half of the last digit of the reading as its room.
local function add_to_sum(account, row, line)
  if line.mass == word_list.unknown then return end
  local factor, pieces, unit = in_kg[line.unit], line.count or 1, row.plan.by.mass.unit
  local room = row:half_digit "mass" * unit.over / unit.times * factor * pieces
  local reading = type(line.mass) == "number" and line.mass or line.mass.value
  for _, sum in ipairs {account.total, account.part} do sum:add(reading * factor * pieces, pieces, room) end
end

local function unread(plan)
  local names = {}
  for _, column in ipairs(plan.columns) do
    if not column.field then names[#names + 1] = ("%s %q"):format(column.letter, column.head) end
  end
  return #names > 0 and (#names == 1 and "column " or "columns ") .. text.join(names) .. (#names == 1 and " is" or " are")
end

local function notes_of(out, plan, file)
  local notes, from, columns = {}, file and "in " .. file .. ", " or "", unread(plan)
  if columns then notes[1] = ("%s%s not understood and not read"):format(from, columns) end
  if not (plan.by.mass.stated or plan.by.unit) then
    notes[#notes + 1] = from .. "the head of the masses states no unit: kg is taken"
  end
  if not out.whole then notes[#notes + 1] = from .. "no row is of the kind whole, so there is nothing to close against" end
  return notes
end

--- The table for sy.closure.
function closure_csv.read(bytes, options)
  options = options or {}
  local file = options.file
  problems.check_text(bytes, file)
  local csv <close> = core.csv(bytes, file)
  local function fail(...) core.fail(problems.failure(file, csv, ...)) end
  local plan = heads.find(csv, fail, {"name", "mass"})
  add_own(csv, plan, fail)
  use_reading(plan, fail)
  local mark = decimal_mark(csv, plan, options, fail)
  local found, wrong = problems.collect(file, csv)
  local out, account = {parts = {}, extra = {}}, sums.new(csv, plan, mark)
  for at = plan.first, csv:about().rows do
    local row = not is_blank(csv, at) and rows.row(csv, plan, mark, wrong, at)
    local sum = row and words.sum_row(words.fold(row.name))
    if sum then
      account:check(row, sum, row.name)
    elseif row then
      local kind, line = read_row(row)
      if not row.bad then take(out, row, kind, line) end
      if row.bad then account.broken = true
      elseif kind ~= "whole" then add_to_sum(account, row, line) end
    end
  end
  problems.raise_first(found)
  if #out.parts == 0 then fail(plan.row, nil, "missing", "no part stands below the heads") end
  out.notes = notes_of(out, plan, file)
  if out.whole then out.whole = out.whole * in_kg[out.whole_unit] end
  out.whole_unit, out.whole_row = nil, nil
  return out
end

return closure_csv
