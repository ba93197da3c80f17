--- Weighing records in parts lists: what a scale read, as it was read, beside the mass that was booked before.
--
-- Cells of readings, zeros and tares hold a number, or a number and its standard uncertainty, 14.2 +- 0.3; a reading may be several,
-- 14.2; 14.3. What else was on the scale stands as strap: 0.35; oil inside: 0.2 +- 0.1. Numbers have the unit of their head, else
-- that of the cell under "unit", else the one the scale reads in; none is converted here, what was read stays as it was read.

local core = require "steelyard.core"
local amounts = require "steelyard.amounts"
local text = require "steelyard.text"
local words = require "steelyard.parts_csv_words"
local word_list = require "steelyard.words"

local weighed = {}

local UNNAMED = "something else" -- what was on the scale, where the table says a number alone

local function trim(s) return s:match "^[ \t\r\n]*(.-)[ \t\r\n]*$" end

-- The unit of one row's readings: kg, g, lb, oz; nil when the row does not say, false after a problem.
local function row_unit(self)
  local cell = trim(self:text "reading_unit")
  if cell == "" then return nil end
  local unit, column = words.unit(cell), self.plan.by.reading
  local head = column.unit
  if unit and head and head ~= unit then
    self:wrong("reading_unit", "clash", ("says %s, the head of column %s says %s"):format(unit.name, column.letter, head.name))
    return false
  end
  if unit and amounts.in_kg[unit.name] then return unit.name end
  self:wrong("reading_unit", "unknown", ("%q is no unit of a scale"):format(cell), "readings are in kg, g, lb or oz")
  return false
end

-- "14.2" or "14.2 +- 0.3": a number or a doubt, in the unit of the head if it has one.
local function shown(self, field, cell)
  local column = self.plan.by[field]
  local head = column.unit and column.unit.name
  if head and not amounts.in_kg[head] then
    return self:wrong(field, "type", ("%s is no unit of a scale"):format(head), "readings are in kg, g, lb or oz")
  end
  local value, doubt = cell:gsub("±", "+-"):match "^(.-)%+%-(.*)$"
  local list = {}
  for i, piece in ipairs{value or cell, doubt} do
    local number, kind = core.csv_number(piece, self.mark)
    if kind == "error value" then
      return self:wrong(field, "content", ("%q is what a spreadsheet writes for a formula without a result"):format(trim(piece)),
        "put the formula right and export again")
    end
    if not number then
      return self:wrong(field, "type", ("%q is no number"):format(trim(piece)),
        piece:find "%d *%a+ *$" and "units stand in the head of the column, or in a column called unit" or nil)
    end
    list[i] = head and amounts.of_mass(number, head) or number
  end
  if not list[2] then return list[1] end
  local size = core.csv_number(doubt, self.mark)
  if size < 0 then return self:wrong(field, "range", ("%q has a doubt below 0"):format(trim(cell))) end
  return word_list.sd(list[1], list[2])
end

local function one(self, field)
  local cell = self.plan.by[field] and trim(self:text(field)) or ""
  if cell == "" then return nil end
  return shown(self, field, cell)
end

local function readings(self)
  local list = {}
  for piece in (self:text "reading" .. ";"):gmatch "([^;]*);" do
    if trim(piece) ~= "" then list[#list + 1] = shown(self, "reading", trim(piece)) end
  end
  return list
end

local function loads(self)
  local list
  for piece in (self:text "with" .. ";"):gmatch "([^;]*);" do
    piece = trim(piece)
    if piece ~= "" then
      list = list or {}
      local name, number = piece:match "^(.*):([^:]*)$"
      name = name and trim(name) or UNNAMED
      if list[name] then
        self:wrong("with", "clash", ("says %q twice"):format(name))
      else
        list[name] = shown(self, "with", trim(number or piece))
      end
    end
  end
  return list
end

local others = {"zero_before", "zero_after", "tare", "with", "pieces_weighed"}

local function count(self)
  local number = self:number("pieces_weighed", {})
  local whole = number and math.tointeger(number)
  if number and not (whole and whole >= 1 and whole <= 1000000) then
    return self:wrong("pieces_weighed", "range", ("%q must be a whole number from 1 to 1000000"):format(trim(self:text "pieces_weighed")))
  end
  return whole
end

--- The record of one row as a vehicle file would say it, or nil.
function weighed.read(self)
  if not self.plan.by.reading then return nil end
  if trim(self:text "reading") == "" then
    for _, field in ipairs(others) do
      if trim(self:text(field)) ~= "" then return self:wrong(field, "missing", "stands here, and the row has no reading") end
    end
    return nil
  end
  local unit = row_unit(self)
  if unit == false then return nil end
  local note = trim(self:text "weighed_note")
  return {reading = readings(self), unit = unit, zero_before = one(self, "zero_before"), zero_after = one(self, "zero_after"),
          tare = one(self, "tare"), with = loads(self), pieces = count(self), note = note ~= "" and note or nil}
end

-- ---- out ----------------------------------------------------------------------------------------------------------------

--- Heads of the columns that a book with weighings or earlier masses has beyond the others.
weighed.columns = {"reading", "unit", "zero before", "zero after", "tare", "with", "pieces weighed", "weighing note", "estimate (kg)",
                   "estimate sd (kg)"}

-- number: a function that writes one
local function shown_text(value, number)
  if not value then return "" end
  return number(value.value) .. (value.sd and " +- " .. number(value.sd) or "")
end

local function join(list, number, named)
  local pieces = {}
  for i, value in ipairs(list or {}) do
    if named and value.name:find(";", 1, true) then
      core.fail{code = "content", field = "with",
        message = ("%q holds a semicolon, which stands between things in a table"):format(value.name)}
    end
    pieces[i] = (named and value.name .. ": " or "") .. shown_text(value, number)
  end
  return table.concat(pieces, "; ")
end

--- The texts of these columns for one part. number, kilograms: functions that write what was read, and a mass.
function weighed.cells(node, number, kilograms)
  local record, was = node.weighed or {}, node.was or {}
  if node.kind == "tank" then record, was = {}, {} end -- its row is the full tank, what was weighed is the empty one
  local function shown_by(key) return shown_text(record[key], number) end
  return {join(record.reading, number), record.unit or "", shown_by "zero_before", shown_by "zero_after", shown_by "tare",
          join(record.with, number, true), record.pieces and core.shortest(record.pieces) or "", record.note or "",
          was.unknown and "?" or was.value and kilograms(was.value) or "", was.sd and kilograms(was.sd) or ""}
end

-- ---- beside the mass ----------------------------------------------------------------------------------------------------

--- "3 rows have a reading: their mass is worked out from it", or nil.
function weighed.sentence(list)
  local n = 0
  for _, part in ipairs(list) do n = n + (part.weighed and 1 or 0) end
  if n == 0 then return nil end
  return ("%s %s a reading of a scale, from which the mass is worked out"):format(text.count(n, "row"), n == 1 and "has" or "have")
end

--- Half of the last printed digit of the mass that a table says for a part with a reading, in kg.
function weighed.said(self)
  local mass = self:number("mass", {})
  return mass and {mass = mass, room = self:half_digit "mass"} or nil
end

return weighed
