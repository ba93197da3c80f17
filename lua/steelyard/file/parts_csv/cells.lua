--- Cells of a table as what they mean: numbers in their units, shares, words of a list.
--
--   cells.row(csv, plan, mark, note, row) -> a row, to be read field by field
--     plan     of parts_csv_headings        mark   decimal mark
--     note(row, column, code, message, hint, part, field)   takes a problem; the row's `bad` is true from then on
--   cells.measured(cell, mark) -> number, unit of the dictionary where one stands behind it; or nil and the kind of core.csv_number
--
-- A unit behind a number goes before that of the row (a column "unit"), which goes before that of the column heading: 46 and g under
-- "mass (kg)" is 46 g, and the notes of the table say so. A cell and a row that contradict each other are a problem, and so are a row and
-- the heading of a reading, which is to stay as it was read.

local core = require "steelyard.core"
local most = require "steelyard.file.most"
local user_values = require "steelyard.file.user_values"
local headings = require "steelyard.file.parts_csv.headings"
local dictionary = require "steelyard.file.parts_csv.dictionary"

local cells = {}

local Row = {}
Row.__index = Row

function cells.one_line(text)
  local first, last = text:byte(1), text:byte(-1)
  if first ~= 32 and last ~= 32 and not text:find "[\t\r\n]" and not text:find("  ", 1, true) then return text end -- most are
  return text:gsub("[ \t\r\n]+", " "):match "^ ?(.-) ?$"
end

--- A cell for a message.
function cells.shown(text)
  text = cells.one_line(text)
  return #text > 60 and text:sub(1, 60):gsub("[\x80-\xBF]*$", "", 1) .. "..." or text
end
local shown = cells.shown

function cells.is_blank(text) return not text:find "[^ \t\r\n]" end

--- A row of a table; see above.
function cells.row(csv, plan, mark, note, row)
  local self = setmetatable({csv = csv, plan = plan, mark = mark, note = note, row = row}, Row)
  self.name = cells.one_line(self:text "name")
  return self
end

--- The text of a field's cell, "" when there is no such column.
function Row:text(field)
  local column = self.plan.by[field]
  if not column then return "" end
  local cell = self.csv:cell(self.row, column.index)
  -- an apostrophe that keeps a spreadsheet from taking text for a formula; see answers/book/csv.lua
  if cell:find "^'+[=+%-@\t\r]" then return cell:sub(2) end
  return cell
end

function Row:is_empty(field) return not self.plan.by[field] or cells.is_blank(self:text(field)) end

function Row:wrong(field, code, message, hint)
  self.bad = true
  self.note(self.row, self.plan.by[field], code, message, hint, self.name, field)
end

function Row:refuse_error_value(field, text)
  return self:wrong(field, "content", ("%q is what a spreadsheet writes for a formula without a result"):format(shown(text)),
    "put the formula right and export again")
end

-- ---- units ------------------------------------------------------------------------------------------------------------

function cells.measured(cell, mark)
  local number, kind = core.csv_number(cell, mark)
  if number then return number end
  if kind ~= "text" then return nil, kind end
  local rest, word = cell:match '^(.-)[ \t\r\n]*([%a%%"]+%.?)[ \t\r\n]*$'
  local unit = word and dictionary.unit(word)
  number = unit and core.csv_number(rest, mark)
  if number then return number, unit end
  return nil, kind
end

--- The unit of what this row read, from a column "unit"; nil where it has none, or after noting a problem.
function Row:unit()
  if self.own_unit ~= nil then return self.own_unit or nil end
  self.own_unit = false
  local cell = cells.one_line(self:text "reading_unit")
  if cell == "" then return nil end
  local unit, column = dictionary.unit(cell), self.plan.by.reading
  if not (unit and user_values.in_kg[unit.name]) then
    return self:wrong("reading_unit", "unknown", ("%q is not a unit of mass"):format(shown(cell)), "kg, g, lb and oz are known")
  end
  if column and column.stated and column.unit ~= unit then
    return self:wrong("reading_unit", "clash", ("says %s, the heading of column %s says %s"):format(unit.name, column.letter,
      column.unit.name), "where rows have units of their own the heading has none")
  end
  self.own_unit = unit
  return unit
end

local of_the_mass, beside_the_mass = {mass = true, total_mass = true}, {mass_sd = true, within = true}

local in_words = {mass = "kg", length = "mm"}

-- The unit of a bare number.
local function default_unit(self, field, column)
  if self.plan.row_units and of_the_mass[field] then
    local unit = self:unit() or column.unit
    if column.stated and unit ~= column.unit then self.plan.own_units[self.row] = ("%s in row %d"):format(unit.name, self.row) end
    return unit
  end
  if beside_the_mass[field] and not column.stated then return self.mass_unit or column.unit end
  return column.unit
end

-- Is a unit behind a number one of what the field measures?
local function check_unit(self, field, column, cell, unit)
  local of = headings.of(column.field)
  if unit.of ~= of then
    local what = {mass = "a mass", length = "a length", share = "a share"}
    return self:wrong(field, "type", of and ("%q is %s, %s is needed"):format(shown(cell), what[unit.of] or unit.of, what[of])
      or ("%q has a unit, a plain number is needed"):format(shown(cell)))
  end
  local row_unit = self.plan.row_units and of_the_mass[field] and self:unit()
  if row_unit and row_unit ~= unit then
    return self:wrong(field, "clash", ("%q is in %s, the unit of its row is %s"):format(shown(cell), unit.name, row_unit.name))
  end
  if column.stated and column.unit ~= unit then
    self.plan.own_units[self.row] = ("%s in row %d"):format(unit.name, self.row)
  end
  return true
end

-- ---- numbers ----------------------------------------------------------------------------------------------------------

local function refuse_text(self, field, cell)
  return self:wrong(field, "type", ("%q is not a number"):format(shown(cell)),
    cell:find "^ *%-?%d+[.,]%d+ *[%a\"]*$" and ("the decimal mark of this table is a %s"):format(self.mark == "," and "comma" or "point")
      or cell:find "%d *[%a%%\"]+ *$" and "known units are kg, g, t, lb, oz and mm, cm, m, in, ft" or nil)
end

--- A number in kg or mm, the number as it stands, its unit; nil when the cell is blank or a problem was noted. limits: as in
-- fields.lua.
function Row:number(field, limits)
  local column = self.plan.by[field]
  if not column then return nil end
  local cell = self.csv:cell(self.row, column.index)
  local raw, unit = core.csv_number(cell, self.mark)
  if not raw and unit == "text" then raw, unit = cells.measured(cell, self.mark) end
  if not raw then
    if unit == "blank" then return nil end
    if unit == "error value" then return self:refuse_error_value(field, cell) end
    return refuse_text(self, field, cell)
  end
  if unit and not check_unit(self, field, column, cell, unit) then return nil end
  unit = unit or (self.plan.row_units or beside_the_mass[field]) and default_unit(self, field, column) or column.unit
  local number = unit and raw * unit.times / unit.over or raw
  if limits then
    local code, message = user_values.outside(number, limits, unit and in_words[unit.of] or "")
    if code then return self:wrong(field, code, ("%q %s"):format(shown(cell), message)) end
  end
  return number, raw, unit
end

--- Half of the last printed digit of a field's cell, in kg or mm: what rounding may have taken from it. 0 without a column.
function Row:half_digit(field)
  local column = self.plan.by[field]
  if not column then return 0 end
  local cell = self.csv:cell(self.row, column.index)
  local decimals = cell:match(self.mark == "," and ",(%d+)" or "%.(%d+)")
  local unit, power = default_unit(self, field, column), nil
  if not cell:find "^[-%d.,]*$" then -- a unit or a power of ten
    local _, own = cells.measured(cell, self.mark)
    unit, power = type(own) == "table" and own or unit, cell:match "%d[eE]([-+]?%d+)"
  end
  local half = 0.5 * 10.0 ^ ((power and core.number(power) or 0) - (decimals and #decimals or 0))
  return unit and half * unit.times / unit.over or half
end

--- A whole number of pieces, or nil.
function Row:whole_number(field)
  local count = self:number(field)
  local whole = count and math.tointeger(count)
  if count and not (whole and whole >= 1 and whole <= most.count) then
    return self:wrong(field, "range", ("%q must be a whole number from 1 to %d"):format(shown(self:text(field)), most.count))
  end
  return whole
end

--- "15 %" as 0.15; nil after noting a problem.
function Row:share(field)
  local cell = self:text(field)
  local number = core.csv_number((cell:gsub("%% *$", "")), self.mark)
  if not number or number < 0 then return self:wrong(field, "type", ("%q is not a share"):format(shown(cell)), "as in 10 %") end
  return number / 100
end

--- What a word of a list means; nil when the cell is blank or a problem was noted.
function Row:choice(field, meanings, names)
  local cell = self:text(field)
  local folded = dictionary.fold(cell)
  if folded == "" then return nil end
  if meanings[folded] ~= nil then return meanings[folded] end
  local known = {}
  for word in pairs(meanings) do known[#known + 1] = word end
  table.sort(known)
  local near = core.nearest(folded, known)
  self:wrong(field, "unknown", ("%q is not understood"):format(shown(cell)), near and ("did you mean %q?"):format(near)
    or "the words are " .. names)
end

return cells
