--- The rows of a parts list: from cells to parts, and sums that must agree.
--
--   rows.read(csv, plan, mark, wrong) -> list, sums, skipped
--     plan     of parts_csv_heads        mark   decimal mark
--     wrong(row, column, code, message, hint, part)   notes a problem; reading goes on
--     list     of parts in file order, see parts_csv.lua
--     sums     of rows such as "Total": {row =, word =, said =, sum =, unchecked = true where it says no mass}
--     skipped  rows with nothing in the columns that are read

local core = require "steelyard.core"
local amounts = require "steelyard.amounts"
local fields = require "steelyard.fields"
local heads = require "steelyard.parts_csv_heads"
local sums = require "steelyard.parts_csv_sums"
local words = require "steelyard.parts_csv_words"
local word_list = require "steelyard.words"

local rows = {}

local LONGEST_NAME = 100 -- bytes, as in nodes.lua
local letters = {"x", "y", "z"}

-- One row while it is read.
local Row = {}
Row.__index = Row

--- The text of a field's cell, folded to nothing when there is no such column.
function Row:text(field)
  local column = self.plan.by[field]
  if not column then return "" end
  local cell = self.csv:cell(self.row, column.index)
  -- an apostrophe that keeps a spreadsheet from taking text for a formula; see parts_csv_write.lua
  if cell:find "^'+[=+%-@\t\r]" then return cell:sub(2) end
  return cell
end

function Row:wrong(field, code, message, hint)
  self.bad = true
  self.note(self.row, self.plan.by[field], code, message, hint, self.name, field)
end

local function one_line(text)
  local first, last = text:byte(1), text:byte(-1)
  if first ~= 32 and last ~= 32 and not text:find "[\t\r\n]" and not text:find("  ", 1, true) then return text end -- most are
  return text:gsub("[ \t\r\n]+", " "):match "^ ?(.-) ?$"
end

local function shown(text)
  text = one_line(text)
  return #text > 60 and text:sub(1, 60):gsub("[\x80-\xBF]*$", "", 1) .. "..." or text
end

local function is_error_value(text)
  local _, kind = core.csv_number(text, ".")
  return kind == "error value"
end

local function refuse_error_value(self, field, text)
  self:wrong(field, "content", ("%q is what a spreadsheet writes for a formula without a result"):format(shown(text)),
    "put the formula right and export again")
end

--- A number in kg or mm, or nil when the cell is blank or a problem was noted. limits: as in fields.lua.
function Row:number(field, limits)
  local column = self.plan.by[field]
  if not column then return nil end
  local cell = self.csv:cell(self.row, column.index)
  local number, kind = core.csv_number(cell, self.mark)
  if kind == "blank" then return nil end
  if kind == "error value" then return refuse_error_value(self, field, cell) end
  if not number then
    local hint = cell:find "%d *[%a%%\"]+ *$" and "units stand in the head of the column, once"
      or cell:find "^ *%d+[.,]%d+ *$" and ("the decimal mark of this table is a %s"):format(self.mark == "," and "comma" or "point")
      or nil
    return self:wrong(field, "type", ("%q is no number"):format(shown(cell)), hint)
  end
  number = heads.convert(column, number)
  local unit = heads.measures[field] == "length" and "mm" or heads.measures[field] == "mass" and "kg" or ""
  local code, message = amounts.outside(number, limits or {}, unit)
  if code then return self:wrong(field, code, ("%q %s"):format(shown(cell), message)) end
  return number
end

--- Half of the last printed digit of a field's cell, in kg or mm.
function Row:half_digit(field) return sums.half_digit(self.csv, self.plan.by[field], self.row, self.mark) end

--- "15 %" as 0.15; nil after noting a problem.
function Row:share(field)
  local cell = self:text(field)
  local number = core.csv_number((cell:gsub("%% *$", "")), self.mark)
  if not number or number < 0 then return self:wrong(field, "type", ("%q is no share"):format(shown(cell)), "as in 10 %") end
  return number / 100
end

--- What a word of a list means; nil when the cell is blank or a problem was noted.
function Row:choice(field, meanings, names)
  local cell = self:text(field)
  local folded = words.fold(cell)
  if folded == "" then return nil end
  if meanings[folded] ~= nil then return meanings[folded] end
  local known = {}
  for word in pairs(meanings) do known[#known + 1] = word end
  table.sort(known)
  local near = core.nearest(folded, known)
  self:wrong(field, "unknown", ("%q is not understood"):format(shown(cell)), near and ("did you mean %q?"):format(near)
    or "the words are " .. names)
end

--- A row of a table, to be read field by field: self.bad after a problem was noted by note(row, column, code, message, ...).
function rows.row(csv, plan, mark, note, row)
  local self = setmetatable({csv = csv, plan = plan, mark = mark, note = note, row = row}, Row)
  self.name = one_line(self:text "name")
  return self
end

-- ---- fields -----------------------------------------------------------------------------------------------------------

local part_fields = fields.by_name.part
local mass_limits, place_limits = part_fields.mass[3], {min = -fields.MOST_LENGTH, max = fields.MOST_LENGTH}
local doubt_limits = {min = 0}

-- Standard uncertainty of the mass: stated, or from limits a, all between equally likely, a / sqrt 3 (JCGM 100:2008, 4.3.7)
local function mass_doubt(self, mass)
  local function in_kg(field)
    if self:text(field):find "%%" then
      local share = self:share(field)
      return share and share * mass
    end
    local value = self:number(field, doubt_limits)
    if value and self.plan.by[field].unit.of == "share" then return value * mass end
    return value
  end
  local sd, limit = in_kg "mass_sd", in_kg "within"
  if sd and limit then
    return self:wrong("within", "clash", ("stands beside column %s, one of the two is enough"):format(self.plan.by.mass_sd.letter))
  end
  return sd or limit and limit / math.sqrt(3)
end

local function with_doubt(value, sd) return sd and word_list.sd(value, sd) or value end

-- Cells such as "?" for a mass nobody knows.
local function is_unknown(self)
  return words.unknown[words.fold(self:text "mass")] and not self.bad
end

-- The mass of one piece from a column of its own, or from the mass of all pieces; where both stand they must agree.
local function read_mass(self, pieces)
  local mass = self:number("mass", mass_limits)
  local all = self:number("total_mass", mass_limits)
  if self.bad then return nil end
  if not mass and not all then
    return self:wrong(self.plan.by.mass and "mass" or "total_mass", "missing", "has no mass",
      "a question mark is a mass nobody knows; a row that is no part must be empty")
  end
  if not mass then return all / pieces end
  if all and math.abs(mass * pieces - all) > pieces * self:half_digit "mass" + self:half_digit "total_mass" + sums.ROUNDING * all then
    return self:wrong("total_mass", "clash", ("says %s kg, %d times %s kg is %s kg"):format(core.shortest(all), pieces,
      core.shortest(mass), core.shortest(mass * pieces)))
  end
  return mass
end

local function read_count(self)
  local pair = self:choice("pair", words.yes_no, "yes and no")
  local count = self:number("count", {})
  local whole = count and math.tointeger(count)
  if count and (not whole or whole < 1 or whole > 1000000) then
    return self:wrong("count", "range", ("%q must be a whole number from 1 to 1000000"):format(shown(self:text "count")))
  end
  if pair and whole and whole > 2 then
    return self:wrong("count", "clash", ("says %d, a pair is two"):format(whole))
  end
  if pair then return true, nil, 2 end
  return nil, whole and whole > 1 and whole or nil, whole or 1
end

local function read_place(self)
  local at = {}
  for i, letter in ipairs(letters) do
    local value = self:number(letter, place_limits)
    if not value and self:text(letter):find "^[ \t]*$" then
      self:wrong(letter, "missing", ("has no %s"):format(letter), "0 is a place too")
    end
    local column = self.plan.by["sd_" .. letter]
    local sd = column and self:number(column.field, doubt_limits)
    at[i] = value and with_doubt(value, sd)
  end
  return at
end

local function read_texts(text)
  local list = {}
  for piece in text:gmatch "[^,;\r\n]+" do
    piece = one_line(piece)
    if piece ~= "" then list[#list + 1] = piece end
  end
  return #list > 0 and list or nil
end

-- "front", or "front: 50 %, rear: 25 %"
local function read_unsprung(self)
  local text = one_line(self:text "unsprung")
  local flag = words.yes_no[words.fold(text)]
  if text == "" or flag == false then return nil end
  if flag then
    return self:wrong("unsprung", "type", ("%q does not say who carries it"):format(shown(text)),
      "an axle such as front, or a wheel such as lf")
  end
  if not text:find(":", 1, true) then return text end
  local shares = {}
  for piece in (text .. ","):gmatch "([^,;]*)[,;]" do
    local carrier, share = piece:match "^ *(.-) *: *(.-) *$"
    local fraction = carrier and (amounts.fraction(share) or amounts.fraction(core.number(share)))
    if not fraction then
      return self:wrong("unsprung", "type", ("%q is no share of a carrier"):format(shown(piece)), "as in front: 50 %, rear: 25 %")
    end
    shares[carrier] = fraction
  end
  return shares
end

local function read_growth(self)
  local column = self.plan.by.growth
  if not column or self:text "growth":find "^[ \t]*$" then return nil end
  if column.unit or self:text "growth":find "%%" then return self:share "growth" end
  local number = self:number("growth", {})
  local fraction, code, message = amounts.fraction(number)
  if number and not fraction then return self:wrong("growth", code, message) end
  return fraction
end

local function check_name(self, name)
  if name == "" then
    return self:wrong("name", "missing", "has no name", "a row that holds a sum is called Total")
  end
  if is_error_value(name) then return refuse_error_value(self, "name", name) end
  if name:find "[\0-\31\127/]" then
    return self:wrong("name", "content", ("%q holds a stroke or a control character"):format(shown(name)),
      'write "-" in its place; groups have a column of their own, where a/b is b in a')
  end
  if #name > LONGEST_NAME then
    return self:wrong("name", "content", ("is %d bytes long, %d are possible"):format(#name, LONGEST_NAME))
  end
  return true
end

-- "powertrain / cooling" -> "powertrain/cooling"
local function read_group(self)
  local text = one_line(self:text "group")
  if text == "" then return nil end
  if is_error_value(text) then return refuse_error_value(self, "group", text) end
  local path = {}
  for piece in (text .. "/"):gmatch "([^/]*)/" do
    path[#path + 1] = one_line(piece)
    if path[#path] == "" or path[#path]:find "[\0-\31\127]" or #path[#path] > LONGEST_NAME then
      return self:wrong("group", "content", ("%q is no name of a group"):format(shown(text)), "a/b is group b in group a")
    end
  end
  return table.concat(path, "/")
end

-- ---- rows -------------------------------------------------------------------------------------------------------------

local function text_or_nil(text) return text:find "[^ \t\r\n]" and text or nil end

-- The mass of one piece with its doubt, from the columns of the mass.
local function stated_mass(self, pieces)
  if is_unknown(self) then return word_list.unknown end
  local mass = read_mass(self, pieces)
  return mass and with_doubt(mass, mass_doubt(self, mass)), mass
end

-- What was booked before, where it has a column beside the mass.
local function read_estimate(self)
  if not self.plan.by.estimate then return nil end
  if words.unknown[words.fold(self:text "estimate")] then return word_list.unknown end
  local mass, sd = self:number("estimate", mass_limits), self:number("estimate_sd", doubt_limits)
  return mass and with_doubt(mass, sd), mass
end

local function is_empty(self, field) return not self.plan.by[field] or not self:text(field):find "[^ \t\r\n]" end

-- Into `part`: mass, was, weighed and what the table itself makes of a reading. Gives the mass in the table's own column, for sums.
local function read_masses(self, part, pieces)
  local by = self.plan.by
  local record = by.reading and require("steelyard.parts_csv_weighed").read(self)
  if not record and not is_empty(self, "reading") then return nil end -- the reading is wrong, and that is told
  local estimate, number = read_estimate(self)
  local empty = is_empty(self, "mass") and is_empty(self, "total_mass")
  local booked
  if record then
    part.weighed = record
    if part.basis == "weighed" then part.basis = nil end -- said of the reading, not of what was thought before
    if by.estimate then
      part.mass, part.said = estimate, require("steelyard.parts_csv_weighed").said(self)
      booked = part.said and part.said.mass
    elseif not empty then
      part.mass, booked = stated_mass(self, pieces)
    end
    return booked
  end
  if empty and estimate then
    part.mass = estimate
    return number
  end
  if by.reading and not (by.mass or by.total_mass) then
    return self:wrong("reading", "missing", "is empty, and the table has no other column for the mass",
      "a part that was not weighed needs an estimate, in a column of its own")
  end
  part.mass, booked = stated_mass(self, pieces)
  part.was = estimate ~= word_list.unknown and estimate or nil
  return booked
end

local function read_part(self)
  check_name(self, self.name)
  local pair, count, pieces = read_count(self)
  local part = {
    kind = self:choice("kind", words.kind, "part, person and tank") or "part", name = self.name, group = read_group(self),
    count = count, pair = pair or nil, at = read_place(self), within_mm = self:number("within_mm", part_fields.within_mm[3]),
    basis = self:choice("basis", words.basis, "estimate, calculated, supplier and weighed"), unsprung = read_unsprung(self),
    tags = read_texts(self:text "tags"), note = text_or_nil(self:text "note"), growth = read_growth(self),
    scale = text_or_nil(one_line(self:text "scale")), row = self.row, line = self.csv:line(self.row),
  }
  local mass = read_masses(self, part, pieces or 1)
  if self.bad then return nil end
  return part, mass and mass * pieces or 0, pieces, part.weighed and not mass
end

-- The first cell of a row that holds text says whether it is a sum: the label need not stand under "part".
local function label(csv, row, mark)
  for index = 1, csv:width(row) do
    local cell = csv:cell(row, index)
    if cell:find "[^ \t\r\n]" and not core.csv_number(cell, mark) then
      if cell:find "%d" then return nil end -- no word for a sum has a digit
      return words.sum_row(words.fold(cell)), one_line(cell)
    end
  end
end

-- Nothing in the columns that are read? And is there anything at all?
local function is_blank(csv, read, row)
  local anything = false
  for index = 1, csv:width(row) do
    if csv:cell(row, index):find "[^ \t\r\n]" then
      anything = true
      if read[index] then return false end
    end
  end
  return true, anything
end

local function read_columns(plan)
  local read = {}
  for _, column in pairs(plan.by) do read[column.index] = true end
  return read
end

--- All rows of a table.
function rows.read(csv, plan, mark, note)
  local list, skipped = {}, {}
  local account, read = sums.new(csv, plan, mark), read_columns(plan)
  for row = plan.first, csv:about().rows do
    local blank, anything = is_blank(csv, read, row)
    if anything and blank then skipped[#skipped + 1] = row end
    if not blank then
      local self = rows.row(csv, plan, mark, note, row)
      local kind, word = label(csv, row, mark)
      if kind then
        account:check(self, kind, word)
      else
        local part, mass, pieces, no_mass = read_part(self)
        if part then
          list[#list + 1] = part
          if no_mass then account:add_reading() else account:add(row, mass, pieces) end
        else
          account.broken = true
        end
      end
    end
  end
  return list, account.sums, skipped
end

return rows
