--- The heading row of a parts list: which column means which field, in which unit.
--
--   headings.find(csv, fail, needed?) -> plan
--     csv    core.csv's table        fail(row, column, code, message, hint) raises
--     needed  fields that must have a column; those of a part unless given
--   plan = {
--     row =, first = first row below (and below a row of units),
--     columns = {column, ...}         all that has a heading, from left to right
--     by = {[field] = column},        assumed = {column, ...} without a stated unit
--     last = index of the last column heading, unheaded = letters of columns before it that hold cells and have none
--     row_units = true where a column "unit" tells the unit of each row's mass
--     own_units = {} by row, "g in row 7": units other than a heading says
--   }
--   column = {index =, letter = "C", heading = "Masse [kg]", field = "mass" or nil, unit = unit of the dictionary, stated =}

local core = require "steelyard.core"
local text = require "steelyard.print.text"
local dictionary = require "steelyard.file.parts_csv.dictionary"

local headings = {}

--- A shape in a cell, as a vehicle file writes it.
headings.SHAPE = "^%s*(%a[%a_]*)%s*{(.*)}%s*$"

local LINES_SEARCHED = 30 -- a list may have a title and remarks above it

-- What a unit of each field measures; fields without an entry take none.
local measures = {mass = "mass", total_mass = "mass", mass_sd = "mass", within = "mass", within_mm = "length",
                  estimate = "mass", estimate_sd = "mass"}
local in_words_of_a_file = {shape = true, turned = true, inertia = true, density = true, fill = true, capacity = true, dry_mass = true}
for _, letter in ipairs {"x", "y", "z"} do measures[letter], measures["sd_" .. letter] = "length", "length" end
-- What a scale read is kept as it was read, so no unit is assumed for it: see file/parts_csv/weighed.lua.
local read_off = {reading = "mass", reading_sd = "mass", zero_before = "mass", zero_after = "mass", tare = "mass", with = "mass"}
local or_share = {mass_sd = true, within = true, reading_sd = true} -- may be in % of the mass
local needed = {"name", "mass", "x", "y", "z"}
local in_words = {name = "the part's name", mass = "its mass", x = "its x", y = "its y", z = "its z"}

-- ---- one heading ---------------------------------------------------------------------------------------------------------

--- A folded heading without the unit at its end, and the unit or nil.
local function split_unit(folded)
  for _, pattern in ipairs {"^(.-) ?%(([^()]*)%)$", "^(.-) ?%[([^%[%]]*)%]$", "^(.-) ?/ ?([^/ ]+)$", "^(.-) ?, ?([^, ]+)$",
                            "^(.-) in ([^ ]+)$", "^(.-)[ _]([^ _]+)$"} do
    local rest, word = folded:match(pattern)
    local unit = word and dictionary.unit(word:match "^ ?(.-) ?$")
    -- "+/-" is not "+" per "-", and "in" needs something in front of it
    if unit and rest ~= "" then return rest, unit end
  end
  return folded, nil
end

-- "within" stands over a mass or a place, by its unit.
local function field_with_unit(field, unit)
  if field == "within" and unit and unit.of == "length" then return "within_mm" end
  return field
end

local function read_heading(cell)
  local folded = dictionary.fold(cell)
  if folded == "" then return nil end
  local rest, unit = split_unit(folded)
  local field = dictionary.field(rest)
  if not field and unit then field, unit = dictionary.field(folded), nil end
  if unit and field and (field == "mass_sd") and unit.of == "length" then return "sd_place", unit end
  return field and field_with_unit(field, unit), unit
end

-- A heading that would be one of ours but for what stands in its brackets: the field, the word; "mass [stone]" -> "mass", "stone".
local function strange_unit(cell)
  local rest, word = dictionary.fold(cell):match "^(.-) ?[%[(]([^%[%]()]+)[%])]$"
  local field = rest and dictionary.field(rest)
  if field and measures[field] then return field, word end
end

local function read_row(csv, row)
  local columns, found = {}, 0
  for index = 1, csv:width(row) do
    local heading = csv:cell(row, index)
    local field, unit = read_heading(heading)
    if heading:find "[^ \t]" then
      columns[#columns + 1] = {index = index, letter = core.csv_letters(index), heading = dictionary.fold(heading) == "" and heading or
        heading:gsub("[\r\n\t ]+", " "), field = field, unit = unit, stated = unit ~= nil}
      if not field then columns[#columns].meant, columns[#columns].strange = strange_unit(heading) end
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

local function is_heading_row(columns)
  local mass = has(columns, "mass") or has(columns, "total_mass") or has(columns, "estimate") or has(columns, "reading")
  local name = has(columns, "name") or has(columns, "weak name") or has(columns, "name or count")
  return mass and name
end

-- ;kg;mm;mm;mm below the headings: units alone
local function take_units(csv, row, columns)
  local units, any = {}, false
  for index = 1, csv:width(row) do
    local folded = dictionary.fold(csv:cell(row, index))
    local unit = dictionary.unit(folded:match "^[%(%[](.*)[%)%]]$" or folded)
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
    list[i] = ("%q"):format(column.heading)
  end
  return table.concat(list, ", ")
end

local known_units = {mass = "kg, g, t, lb and oz are known", length = "mm, cm, m, in and ft are known"}

-- Refuses the column that means one of these fields and has a unit nobody knows.
local function refuse_strange(columns, row, fail, fields)
  for _, column in ipairs(columns) do
    for _, field in ipairs(fields) do
      if column.meant == field then
        fail(row, column, "unknown", ("%q is not a unit of %s"):format(column.strange, measures[field]), known_units[measures[field]])
      end
    end
  end
end

local function find_row(csv, fail, asked)
  local best, best_found, best_row = {}, -1, 1
  for row = 1, math.min(csv:about().rows, LINES_SEARCHED) do
    local columns, found = read_row(csv, row)
    if is_heading_row(columns) then return row, columns end
    if found > best_found then best, best_found, best_row = columns, found, row end
  end
  if #best == 0 then fail(1, nil, "content", "holds no table") end
  refuse_strange(best, best_row, fail, {"mass", "total_mass"})
  fail(best_row, nil, "content", ("no row has headings for a part and its mass; this one reads %s"):format(quoted(best)),
    asked and "as in part, mass (kg)" or "as in part, mass (kg), x (mm), y (mm), z (mm)")
end

-- ---- all headings together -----------------------------------------------------------------------------------------------

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

-- Headings that mean one thing beside some columns and another beside others.
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

-- What means something beside a reading only: where nobody says what a scale read, "mass" could be with or without the tare.
local beside_reading = {"zero_before", "zero_after", "tare", "with", "pieces_weighed", "reading_sd"}

local function is_filled(csv, column, first)
  for row = first, csv:about().rows do
    if csv:cell(row, column.index):find "[^ \t\r\n]" then return row end
  end
end

local function check_beside_reading(csv, plan, wrong)
  for _, field in ipairs(beside_reading) do
    local column = plan.by[field]
    local row = column and is_filled(csv, column, plan.first)
    if row then
      wrong(row, column, "missing", "belongs to what a scale read, and no column says that",
        'name the column of what the scale read "reading", or leave this one out where the mass is without it already')
    end
  end
end

-- Does the column "unit" say how parts are counted, "pcs", and nothing of a mass?
local function counts_parts(csv, column, first)
  local counted = false
  for row = first, csv:about().rows do
    local folded = dictionary.fold(csv:cell(row, column.index))
    local unit = dictionary.unit(folded)
    if unit and unit.of == "mass" then return false end
    counted = counted or dictionary.counted[folded]
  end
  return counted
end

-- Columns that mean something only as a vehicle file would write it: a shape with its sizes, a tank with density and fill. Others of that
-- name say something else.
local function settle_bodies(columns, csv, first)
  local tank = has(columns, "kind") and has(columns, "density") and has(columns, "fill")
  for _, column in ipairs(columns) do
    if in_words_of_a_file[column.field] then
      local kept = tank
      for row = first, column.field == "shape" and not kept and csv:about().rows or 0 do
        kept = kept or csv:cell(row, column.index):find(headings.SHAPE) ~= nil
      end
      if not kept and (column.field == "turned" or column.field == "inertia") then kept = has(columns, "shape") end
      if not kept then column.field = nil end
      if column.field == "dry_mass" then column.unit = nil end
    end
  end
end

-- A guess is the mass where the table has no other. Without a mass in its column an uncertainty is that of the reading.
local function settle_weighings(columns, csv, first)
  local guess = not (has(columns, "mass") or has(columns, "total_mass"))
  local reading = has(columns, "reading")
  local of_reading = reading and guess and not has(columns, "estimate") and not has(columns, "reading_sd")
  for _, column in ipairs(columns) do
    if column.field == "mass_sd" and of_reading then column.field = "reading_sd" end
    if guess and column.field == "estimate" then column.field = "mass" end
    if guess and column.field == "estimate_sd" then column.field = "mass_sd" end
    if column.field == "weighed_note" and not reading then column.field = nil end
    if column.field == "reading_unit" and not reading and counts_parts(csv, column, first) then column.field = nil end
  end
end

-- "sd (mm)": of all three coordinates
local function spread_uncertainty(plan)
  local place = plan.by.sd_place
  if not place then return end
  for _, letter in ipairs {"x", "y", "z"} do
    if not plan.by["sd_" .. letter] then plan.by["sd_" .. letter] = place end
  end
end

--- What a field measures: "mass", "length", or nil.
function headings.of(field) return measures[field == "sd_place" and "x" or field] or read_off[field] end

--- Is it kept as it was read, so that no unit is assumed for it?
function headings.is_read_off(field) return read_off[field] ~= nil end

local function check_unit(column, wrong, row)
  local unit, of = column.unit, headings.of(column.field)
  if not unit or unit.of == of or unit.of == "share" and (or_share[column.field] or column.field == "growth") then return end
  local what = {mass = "a mass", length = "a length", share = "a share"}
  wrong(row, column, "type", of and ("%s is %s, a column of %s is needed"):format(unit.name, what[unit.of] or unit.of, what[of])
    or ("takes no unit, %s is there"):format(unit.name), known_units[of])
end

local of_the_mass = {mass = true, total_mass = true, mass_sd = true, within = true} -- in the unit of a row that has one

-- Columns without a unit: kg and mm, or what columns of the same kind agree on.
local function assume_units(plan)
  local mass = plan.by.mass or plan.by.total_mass or {}
  local length
  for _, letter in ipairs {"x", "y", "z"} do
    local column = plan.by[letter]
    if column and column.unit then
      if length and length ~= column.unit then length = dictionary.unit "mm" end
      length = length or column.unit
    end
  end
  for _, column in ipairs(plan.columns) do
    local of = column.field and measures[column.field]
    if of and not column.unit then
      column.unit = of == "mass" and (mass.unit or dictionary.unit "kg") or length or dictionary.unit "mm"
      if not (plan.row_units and of_the_mass[column.field]) then plan.assumed[#plan.assumed + 1] = column end
    end
  end
end

local function check_needed(plan, fail, asked)
  local missing = {}
  for _, field in ipairs(asked or needed) do
    if not (plan.by[field] or field == "mass" and (plan.by.total_mass or plan.by.reading)) then missing[#missing + 1] = field end
  end
  if #missing == 0 then return end
  refuse_strange(plan.columns, plan.row, fail, missing)
  local hint
  for _, column in ipairs(plan.columns) do
    if not column.field and not hint then
      local near = core.nearest(dictionary.fold(column.heading), dictionary.headings(missing[1]))
      hint = near and ("column %s is headed %q, did you mean %q?"):format(column.letter, column.heading, near)
    end
  end
  for i, field in ipairs(missing) do missing[i] = in_words[field] end
  fail(plan.row, nil, "missing", ("no column for %s; the headings are %s"):format(text.join(missing), quoted(plan.columns)),
    hint or "a column of zeros does where all parts lie on one plane")
end

-- Columns in front of the last heading that hold cells and have no heading themselves.
local function find_unheaded(csv, plan)
  local headed = {}
  for _, column in ipairs(plan.columns) do headed[column.index], plan.last = true, column.index end
  for index = 1, plan.last do
    if not headed[index] and is_filled(csv, {index = index}, plan.first) then
      plan.unheaded[#plan.unheaded + 1] = core.csv_letters(index)
    end
  end
end

--- The plan of a table. What is wrong with single columns is noted by wrong(row, column, ...), and reading may go on to find more.
function headings.find(csv, fail, asked, wrong)
  local row, columns = find_row(csv, fail, asked)
  local plan = {row = row, first = row + 1, columns = columns, by = {}, assumed = {}, unheaded = {}, own_units = {}}
  if take_units(csv, row + 1, columns) then plan.first = row + 2 end
  settle_weak(columns, csv, plan.first)
  settle_weighings(columns, csv, plan.first)
  settle_bodies(columns, csv, plan.first)
  for _, column in ipairs(columns) do
    local other = column.field and plan.by[column.field]
    if other then
      wrong(row, column, "clash", ("means the same as column %s, %q"):format(other.letter, other.heading),
        "give one of the two another heading, or leave it out")
    elseif column.field then
      check_unit(column, wrong, row)
      plan.by[column.field] = column
    end
  end
  check_needed(plan, fail, asked)
  plan.row_units = plan.by.reading_unit ~= nil and not plan.by.reading
  if not plan.by.reading then check_beside_reading(csv, plan, wrong) end
  for field in pairs(in_words_of_a_file) do plan.bodies = plan.bodies or plan.by[field] ~= nil end
  assume_units(plan)
  spread_uncertainty(plan)
  find_unheaded(csv, plan)
  return plan
end

return headings
