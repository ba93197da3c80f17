--- Weighing records in parts lists: what a scale read, as it was read, beside the mass that was booked before.
--
-- Cells of readings, zeros and tares hold a number, or a number and its standard uncertainty, 14.2 +- 0.3; a reading may be several,
-- 14.2; 14.3. What else was on the scale stands as strap: 0.35; oil inside: 0.2 +- 0.1. Numbers have the unit behind them, else that of
-- their heading, else that of the cell under "unit", else the one the scale reads in; none is converted, what was read stays so.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local cells = require "steelyard.file.parts_csv.cells"
local text = require "steelyard.print.text"
local vocabulary = require "steelyard.file.vocabulary"

local weighed = {}

local UNNAMED = "something else" -- what was on the scale, where the table says a number alone

local function trim(s) return s:match "^[ \t\r\n]*(.-)[ \t\r\n]*$" end

-- One number, the name of its unit (that behind it, else that of the column heading), and whether the unit is its own.
local function measured(self, field, piece)
  local column = self.plan.by[field]
  local number, unit = cells.measured(piece, self.mark)
  if not number then
    if unit == "error value" then return self:refuse_error_value(field, piece) end
    return self:wrong(field, "type", ("%q is not a number"):format(trim(piece)), field == "with"
      and "what else was on the scale has a mass, as in strap: 0.35; what a part includes stands in a column of that name"
      or "known units of a scale are kg, g, lb and oz")
  end
  local row_unit = unit and self:unit()
  if row_unit and row_unit ~= unit then
    return self:wrong(field, "clash", ("%q is in %s, the unit of its row is %s"):format(trim(piece), unit.name, row_unit.name))
  end
  local name = (unit or column.unit or {}).name
  if name and not user_values.in_kg[name] then
    return self:wrong(field, "type", ("%s is not a unit of a scale"):format(name), "readings are in kg, g, lb or oz")
  end
  return number, name, unit ~= nil
end

-- A number that a scale showed as a vehicle file has it.
local function as_said(number, unit, sd)
  local function amount(x) return unit and user_values.of_mass(x, unit) or x end
  return sd and vocabulary.sd(amount(number), amount(sd)) or amount(number)
end

-- "14.2", "14.2 +- 0.3", "14.2 +- 0.3 kg" or "14.2 kg +- 30 g": number, unit, sd.
local function shown(self, field, cell)
  local value, uncertainty = cell:gsub("±", "+-"):match "^(.-)%+%-(.*)$"
  local number, unit, own = measured(self, field, value or cell)
  if not number or not uncertainty then return number, unit end
  local sd, sd_unit, sd_own = measured(self, field, uncertainty)
  if not sd then return nil end
  if sd < 0 then return self:wrong(field, "range", ("%q has an uncertainty below 0"):format(trim(cell))) end
  if own and sd_own then
    sd = sd * user_values.in_kg[sd_unit] / user_values.in_kg[unit]
  elseif sd_own then
    unit = sd_unit -- of both
  end
  return number, unit, sd
end

local function one(self, field)
  local cell = self.plan.by[field] and trim(self:text(field)) or ""
  if cell == "" then return nil end
  local number, unit, sd = shown(self, field, cell)
  return number and as_said(number, unit, sd)
end

-- The standard uncertainty of a reading that a column of its own states: in the unit of its heading, else in that of the reading.
local function stated_uncertainty(self, number, unit)
  local column = self.plan.by.reading_sd
  local cell = column and trim(self:text "reading_sd") or ""
  if cell == "" then return nil end
  if cell:find "%%$" then
    local share = self:share "reading_sd"
    return share and share * math.abs(number)
  end
  if column.unit and column.unit.of == "share" then
    local share = self:number("reading_sd", {min = 0})
    return share and share * math.abs(number)
  end
  local size, size_unit = measured(self, "reading_sd", cell)
  if size and size < 0 then return self:wrong("reading_sd", "range", ("%q must be 0 or more"):format(cell)) end
  local row_unit = self:unit()
  unit = unit or row_unit and row_unit.name
  if not size or not size_unit then return size end
  if not unit then
    return self:wrong("reading_sd", "missing", ("is in %s, and the unit of the reading is not stated"):format(size_unit))
  end
  return size * user_values.in_kg[size_unit] / user_values.in_kg[unit]
end

local function readings(self)
  local list = {}
  for piece in (self:text "reading" .. ";"):gmatch "([^;]*);" do
    local number, unit, sd
    if trim(piece) ~= "" then number, unit, sd = shown(self, "reading", trim(piece)) end
    if number then
      local stated = stated_uncertainty(self, number, unit)
      if stated and sd then
        self:wrong("reading_sd", "clash", "stands beside a reading with its own uncertainty, one of the two is enough")
      end
      list[#list + 1] = as_said(number, unit, sd or stated)
    end
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
        local value, unit, sd = shown(self, "with", trim(number or piece))
        list[name] = value and as_said(value, unit, sd)
      end
    end
  end
  return list
end

local others = {"zero_before", "zero_after", "tare", "with", "pieces_weighed", "reading_sd"}

--- The record of one row as a vehicle file would say it, or nil.
function weighed.read(self)
  if not self.plan.by.reading then return nil end
  if trim(self:text "reading") == "" then
    for _, field in ipairs(others) do
      if trim(self:text(field)) ~= "" then return self:wrong(field, "missing", "stands here, and the row has no reading") end
    end
    return nil
  end
  local unit = self:unit()
  local note = trim(self:text "weighed_note")
  return {reading = readings(self), unit = unit and unit.name, zero_before = one(self, "zero_before"), zero_after = one(self, "zero_after"),
          tare = one(self, "tare"), with = loads(self), pieces = self:whole_number "pieces_weighed", note = note ~= "" and note or nil}
end

-- ---- out ----------------------------------------------------------------------------------------------------------------

--- Headings of the columns that a book with weighings or earlier masses has beyond the others.
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
  if node.kind == "tank" then was = {} end -- weighed empty: what was thought before stands under its dry mass
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
