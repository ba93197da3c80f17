--- The head row of a parts list: which column means which field, in which unit.
--
--   heads.find(csv, fail, needed?) -> plan
--     csv    core.csv's table        fail(row, column, code, message, hint) raises
--     needed  fields that must have a column; those of a part unless given
--   plan = {
--     row =, first = first row below (and below a row of units),
--     columns = {column, ...}         all that has a head, from left to right
--     by = {[field] = column},        assumed = {column, ...} without a stated unit
--   }
--   column = {index =, letter = "C", head = "Masse [kg]", field = "mass" or nil, unit = unit of parts_csv_words, stated =}

local core = require "steelyard.core"
local text = require "steelyard.text"
local words = require "steelyard.parts_csv_words"

local heads = {}

local LINES_SEARCHED = 30 -- a list may have a title and remarks above it

-- What a unit of each field measures; fields without an entry take none.
local measures = {mass = "mass", total_mass = "mass", mass_sd = "mass", within = "mass", within_mm = "length",
                  estimate = "mass", estimate_sd = "mass"}
for _, letter in ipairs {"x", "y", "z"} do measures[letter], measures["sd_" .. letter] = "length", "length" end
-- What a scale read is kept as it was read, so no unit is assumed for it: see parts_csv_weighed.lua.
local read_off = {reading = "mass", zero_before = "mass", zero_after = "mass", tare = "mass", with = "mass"}
local or_share = {mass_sd = true, within = true} -- may be in % of the mass
local needed = {"name", "mass", "x", "y", "z"}
local in_words = {name = "the part's name", mass = "its mass", x = "its x", y = "its y", z = "its z"}

-- ---- one head ---------------------------------------------------------------------------------------------------------

--- A folded head without the unit at its end, and the unit or nil.
local function split_unit(folded)
  for _, pattern in ipairs {"^(.-) ?%(([^()]*)%)$", "^(.-) ?%[([^%[%]]*)%]$", "^(.-) ?/ ?([^/ ]+)$", "^(.-) ?, ?([^, ]+)$",
                            "^(.-) in ([^ ]+)$", "^(.-)[ _]([^ _]+)$"} do
    local rest, word = folded:match(pattern)
    local unit = word and words.unit(word:match "^ ?(.-) ?$")
    -- "+/-" is no "+" per "-", and "in" needs something in front of it
    if unit and rest ~= "" then return rest, unit end
  end
  return folded, nil
end

-- "within" heads a mass or a place by its unit.
local function field_with_unit(field, unit)
  if field == "within" and unit and unit.of == "length" then return "within_mm" end
  return field
end

heads.split_unit = split_unit

local function read_head(cell)
  local folded = words.fold(cell)
  if folded == "" then return nil end
  local rest, unit = split_unit(folded)
  local field = words.field(rest)
  if not field and unit then field, unit = words.field(folded), nil end
  if unit and field and (field == "mass_sd") and unit.of == "length" then return "sd_place", unit end
  return field and field_with_unit(field, unit), unit
end

local function read_row(csv, row)
  local columns, found = {}, 0
  for index = 1, csv:width(row) do
    local head = csv:cell(row, index)
    local field, unit = read_head(head)
    if head:find "[^ \t]" then
      columns[#columns + 1] = {index = index, letter = core.csv_letters(index), head = words.fold(head) == "" and head or
        head:gsub("[\r\n\t ]+", " "), field = field, unit = unit, stated = unit ~= nil}
    end
    if field then found = found + 1 end
  end
  return columns, found
end

-- ---- which row --------------------------------------------------------------------------------------------------------

local function has(columns, field)
  for _, column in ipairs(columns) do
    if column.field == field then return true end
  end
  return false
end

local function is_head_row(columns)
  local mass = has(columns, "mass") or has(columns, "total_mass") or has(columns, "estimate") or has(columns, "reading")
  local name = has(columns, "name") or has(columns, "weak name") or has(columns, "name or count")
  return mass and name
end

-- ;kg;mm;mm;mm below the heads: units alone
local function take_units(csv, row, columns)
  local units, any = {}, false
  for index = 1, csv:width(row) do
    local folded = words.fold(csv:cell(row, index))
    local unit = words.unit(folded:match "^[%(%[](.*)[%)%]]$" or folded)
    if folded ~= "" and folded ~= "-" and not unit then return false end
    units[index], any = unit, any or unit ~= nil
  end
  if not any then return false end
  for _, column in ipairs(columns) do
    local unit = units[column.index]
    if unit and not column.unit then
      column.unit, column.stated = unit, true
      if column.field then column.field = field_with_unit(column.field, unit) end
    end
  end
  return true
end

local function quoted(columns)
  local list = {}
  for i, column in ipairs(columns) do
    if i > 8 then
      list[i] = "..."
      break
    end
    list[i] = ("%q"):format(column.head)
  end
  return table.concat(list, ", ")
end

local function find_row(csv, fail, asked)
  local best, best_found, best_row = {}, -1, 1
  for row = 1, math.min(csv:about().rows, LINES_SEARCHED) do
    local columns, found = read_row(csv, row)
    if is_head_row(columns) then return row, columns end
    if found > best_found then best, best_found, best_row = columns, found, row end
  end
  if #best == 0 then fail(1, nil, "content", "holds no table") end
  fail(best_row, nil, "content", ("no row has heads for a part and its mass; this one reads %s"):format(quoted(best)),
    asked and "as in part, mass (kg)" or "as in part, mass (kg), x (mm), y (mm), z (mm)")
end

-- ---- all heads together -----------------------------------------------------------------------------------------------

-- Does a column hold nothing but numbers, as one that counts the lines does?
local function counts_lines(csv, column, first)
  local any = false
  for row = first, csv:about().rows do
    local cell = csv:cell(row, column.index)
    if cell:find "[^ \t\r\n]" then
      if not core.csv_number(cell, ".") then return false end
      any = true
    end
  end
  return any
end

-- Heads that mean one thing beside some columns and another beside others.
local function settle_weak(columns, csv, first)
  for _, column in ipairs(columns) do
    if column.field == "name or count" then column.field = has(columns, "name") and "count" or "name" end
  end
  local weak = {}
  for _, column in ipairs(columns) do
    if column.field == "weak name" then weak[#weak + 1] = column end
  end
  if #weak > 1 and counts_lines(csv, weak[1], first) then weak[1].field = nil end -- "Item 1" beside a description
  for _, column in ipairs(weak) do
    if column.field then
      if not has(columns, "name") then
        column.field = "name"
      else
        column.field = not has(columns, "note") and "note" or nil
      end
    end
  end
end

-- What means something beside a reading only.
local beside_reading = {reading_unit = true, zero_before = true, zero_after = true, tare = true, with = true, pieces_weighed = true,
                        weighed_note = true}

-- A guess is the mass where the table has no other; zeros and tares without a reading are not understood.
local function settle_weighings(columns)
  local guess = not (has(columns, "mass") or has(columns, "total_mass"))
  local reading = has(columns, "reading")
  for _, column in ipairs(columns) do
    if guess and column.field == "estimate" then column.field = "mass" end
    if guess and column.field == "estimate_sd" then column.field = "mass_sd" end
    if beside_reading[column.field] and not reading then column.field = nil end
  end
end

-- "sd (mm)": of all three coordinates
local function spread_doubt(plan)
  local place = plan.by.sd_place
  if not place then return end
  for _, letter in ipairs {"x", "y", "z"} do
    if not plan.by["sd_" .. letter] then plan.by["sd_" .. letter] = place end
  end
end

local function check_unit(column, fail, row)
  local unit, of = column.unit, measures[column.field == "sd_place" and "x" or column.field] or read_off[column.field]
  if not unit or unit.of == of or unit.of == "share" and (or_share[column.field] or column.field == "growth") then return end
  local what = {mass = "a mass", length = "a length", share = "a share"}
  fail(row, column, "type", of and ("%s is %s, a column of %s is needed"):format(unit.name, what[unit.of] or unit.of, what[of])
    or ("takes no unit, %s is there"):format(unit.name), of == "mass" and "kg, g, t, lb and oz are known"
    or of == "length" and "mm, cm, m, in and ft are known" or nil)
end

-- Columns without a unit: kg and mm, or what columns of the same kind agree on.
local function assume_units(plan)
  local mass = plan.by.mass or plan.by.total_mass or {}
  local length
  for _, letter in ipairs {"x", "y", "z"} do
    local column = plan.by[letter]
    if column and column.unit then
      if length and length ~= column.unit then length = words.unit "mm" end
      length = length or column.unit
    end
  end
  for _, column in ipairs(plan.columns) do
    local of = column.field and measures[column.field]
    if of and not column.unit then
      column.unit = of == "mass" and (mass.unit or words.unit "kg") or length or words.unit "mm"
      plan.assumed[#plan.assumed + 1] = column
    end
  end
end

local function check_needed(plan, fail, asked)
  local missing = {}
  for _, field in ipairs(asked or needed) do
    if not (plan.by[field] or field == "mass" and (plan.by.total_mass or plan.by.reading)) then missing[#missing + 1] = field end
  end
  if #missing == 0 then return end
  local hint
  for _, column in ipairs(plan.columns) do
    if not column.field and not hint then
      local near = core.nearest(words.fold(column.head), words.heads(missing[1]))
      hint = near and ("column %s is headed %q, did you mean %q?"):format(column.letter, column.head, near)
    end
  end
  for i, field in ipairs(missing) do missing[i] = in_words[field] end
  fail(plan.row, nil, "missing", ("no column for %s; the heads are %s"):format(text.join(missing), quoted(plan.columns)),
    hint or "a column of zeros does where all parts lie on one plane")
end

--- The plan of a table.
function heads.find(csv, fail, asked)
  local row, columns = find_row(csv, fail, asked)
  local plan = {row = row, first = row + 1, columns = columns, by = {}, assumed = {}}
  if take_units(csv, row + 1, columns) then plan.first = row + 2 end
  settle_weak(columns, csv, plan.first)
  settle_weighings(columns)
  for _, column in ipairs(columns) do
    if column.field then
      local other = plan.by[column.field]
      if other then
        fail(row, column, "clash", ("means the same as column %s, %q"):format(other.letter, other.head),
          "give one of the two another head, or leave it out")
      end
      check_unit(column, fail, row)
      plan.by[column.field] = column
    end
  end
  check_needed(plan, fail, asked)
  assume_units(plan)
  spread_doubt(plan)
  return plan
end

--- A number of a column in kg or mm.
function heads.convert(column, number)
  if not column.unit then return number end
  return number * column.unit.times / column.unit.over
end

heads.measures, heads.read_off = measures, read_off

return heads
