--- The rows of a parts list or a teardown: from cells to parts, and sums that must agree.
--
--   rows.read(csv, plan, mark, wrong, teardown) -> list, sums, skipped, sections
--     plan     of parts_csv_headings        mark   decimal mark
--     wrong(row, column, code, message, hint, part)   notes a problem; reading goes on
--     teardown nil for a parts list. For a teardown, where places and the like say nothing: {mass_of = function(part, row) kg of one piece
--              of a part with a weighing record, check = function(part, row) that may note problems}
--     list     of parts in file order, see file/parts_csv.lua; those of a teardown have pieces =, and read = {value =, unit =, sd =, per =}
--              where they have a mass: the number as it stands in its cell and its unit, of so many pieces
--     sums     of rows such as "Total": {row =, word =, said =, sum =, unchecked = true where it says no mass}
--     skipped  rows with nothing in the columns that are read
--     groups   list.groups: what rows of the kind "group" say of the group of that name, by path: {at, tags, note, mass (its whole),
--              weighed}
--     sections of rows with a name alone, which names the rows below as a group: {row =, name =, rows = how many}

local core = require "steelyard.core"
local language = require "steelyard.file.language"
local most = require "steelyard.file.most"
local user_values = require "steelyard.file.user_values"
local cells = require "steelyard.file.parts_csv.cells"
local fields = require "steelyard.file.fields"
local masses = require "steelyard.file.parts_csv.masses"
local sums = require "steelyard.file.parts_csv.sums"
local dictionary = require "steelyard.file.parts_csv.dictionary"
local vocabulary = require "steelyard.file.vocabulary"

local rows = {}
local one_line, shown = cells.one_line, cells.shown

local letters = {"x", "y", "z"}

local function is_error_value(text)
  local _, kind = core.csv_number(text, ".")
  return kind == "error value"
end

-- ---- fields -----------------------------------------------------------------------------------------------------------

local bases_known = require("steelyard.print.text").join(language.bases)
local part_fields = fields.by_name.part
local place_limits = {min = -language.MOST_LENGTH, max = language.MOST_LENGTH}
local uncertainty_limits = {min = 0}

local function with_uncertainty(value, sd) return sd and vocabulary.sd(value, sd) or value end

local function read_count(self)
  local pair = self:choice("pair", dictionary.yes_no, "yes and no")
  local whole = self:whole_number "count"
  if pair and whole and whole > 2 then
    return self:wrong("count", "clash", ("says %d, a pair is two"):format(whole))
  end
  if pair then return true, nil, 2 end
  return nil, whole and whole > 1 and whole or nil, whole or 1
end

local function read_place(self, may_be_missing)
  local at = {}
  if may_be_missing and self:is_empty "x" and self:is_empty "y" and self:is_empty "z" then return nil end
  for i, letter in ipairs(letters) do
    local value = self:number(letter, place_limits)
    if not value and self:text(letter):find "^[ \t]*$" then
      self:wrong(letter, "missing", ("has no %s"):format(letter), "0 is a place too")
    end
    local column = self.plan.by["sd_" .. letter]
    local sd = column and self:number(column.field, uncertainty_limits)
    at[i] = value and with_uncertainty(value, sd)
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
  local flag = dictionary.yes_no[dictionary.fold(text)]
  if text == "" or flag == false then return nil end
  if flag then
    return self:wrong("unsprung", "type", ("%q does not say who carries it"):format(shown(text)),
      "an axle such as front, or a wheel such as lf")
  end
  if not text:find(":", 1, true) then return text end
  local shares = {}
  for piece in (text .. ","):gmatch "([^,;]*)[,;]" do
    local carrier, share = piece:match "^ *(.-) *: *(.-) *$"
    local fraction = carrier and (user_values.fraction(share) or user_values.fraction(core.number(share)))
    if not fraction then
      return self:wrong("unsprung", "type", ("%q is not a share of a carrier"):format(shown(piece)), "as in front: 50 %, rear: 25 %")
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
  local fraction, code, message = user_values.fraction(number)
  if number and not fraction then return self:wrong("growth", code, message) end
  return fraction
end

local function check_name(self, name)
  if name == "" then
    return self:wrong("name", "missing", "has no name", "a row that holds a sum is called Total")
  end
  if is_error_value(name) then return self:refuse_error_value("name", name) end
  if name:find "[\0-\31\127/]" then
    return self:wrong("name", "content", ("%q holds a stroke or a control character"):format(shown(name)),
      'write "-" in its place; groups have a column of their own, where a/b is b in a')
  end
  if #name > most.name then
    return self:wrong("name", "content", ("is %d bytes long, %d are possible"):format(#name, most.name))
  end
  return true
end

-- "powertrain / cooling" -> "powertrain/cooling"
local function group_path(self, field, text)
  if text == "" then return nil end
  if is_error_value(text) then return self:refuse_error_value(field, text) end
  local path = {}
  for piece in (text .. "/"):gmatch "([^/]*)/" do
    path[#path + 1] = one_line(piece)
    if path[#path] == "" or path[#path]:find "[\0-\31\127]" or #path[#path] > most.name then
      return self:wrong(field, "content", ("%q is not the name of a group"):format(shown(text)), "a/b is group b in group a")
    end
  end
  return table.concat(path, "/")
end

local function read_group(self, field) return group_path(self, field, one_line(self:text(field))) end

-- ---- rows -------------------------------------------------------------------------------------------------------------

local function text_or_nil(text) return text:find "[^ \t\r\n]" and text or nil end

local kinds = {part = "part", person = "person", extra = "part"}

-- The fields of a part in a vehicle.
local function read_part(self)
  check_name(self, self.name)
  local pair, count, pieces = read_count(self)
  local kind = self:choice("kind", dictionary.kind, "part, person, tank and group") or "part"
  local part = {
    kind = kinds[kind], name = self.name, group = read_group(self, "group") or self.section,
    count = count, pair = pair or nil, at = read_place(self), within_mm = self:number("within_mm", part_fields.within_mm[3]),
    basis = self:choice("basis", dictionary.basis, bases_known), unsprung = read_unsprung(self),
    tags = read_texts(self:text "tags"), note = text_or_nil(self:text "note"), growth = read_growth(self),
    includes = read_texts(self:text "includes"), instrument = text_or_nil(one_line(self:text "instrument")),
  }
  if not part.kind then
    self:wrong("kind", "content", "is the whole of a teardown, which a parts list does not book",
      "leave the row out; the group's whole stands in the vehicle file")
  end
  return part, pieces
end

-- A row that is not a part but says where its group lies, and what it weighs in one piece.
local function read_group_row(self)
  check_name(self, self.name)
  local outer = read_group(self, "group") or self.section
  local group = {kind = "group", name = self.name, path = (outer and outer .. "/" or "") .. self.name, group = outer,
    at = read_place(self, true), tags = read_texts(self:text "tags"), note = text_or_nil(self:text "note"), row = self.row,
    line = self.csv:line(self.row)}
  for i = 1, 3 do
    if group.at and type(group.at[i]) ~= "number" and not self.bad then
      self:wrong("sd_" .. letters[i], "unavailable", "the place of a group takes no uncertainty", "state it on the parts inside")
    end
  end
  if not (self:is_empty "mass" and self:is_empty "reading") then masses.read(self, group, 1) end
  if self.plan.by.turned then group.turned = require("steelyard.file.parts_csv.bodies").turned(self) end
  if group.weighed then group.weighed.instrument = text_or_nil(one_line(self:text "instrument")) end
  return not self.bad and group or nil
end

-- A row of a teardown: what places and basis say is of no use there.
local function read_torn_down(self)
  if self.name == "" then
    self:wrong("name", "missing", "has no name", "an empty row may stand between others, a sum is called Total")
  elseif is_error_value(self.name) then
    self:refuse_error_value("name", self.name)
  end
  local kind = self:choice("kind", dictionary.kind, "part, extra and whole")
  if not kind and not self.bad and dictionary.fold(self.name):find "%f[%a]whole%f[%A]" then
    self:wrong("name", "content", ("%q looks like the whole and does not say so"):format(self.name),
      'a column "kind" holds part, extra or whole')
  end
  local _, _, pieces = read_count(self)
  return {kind = kind == "person" and "part" or kind or "part", name = self.name, pieces = pieces,
          group = read_group(self, "group") or self.section, includes = read_texts(self:text "includes")}, pieces
end

-- part, kg of all pieces, how many, true where its mass is worked out later; nil after a problem
local function read_row(self, teardown)
  self.teardown = teardown ~= nil
  local part, pieces = (teardown and read_torn_down or read_part)(self)
  part.row, part.line = self.row, self.csv:line(self.row)
  local mass
  local empty_tank = not teardown and self.plan.by.density and self:is_empty "mass" and self:is_empty "reading"
    and not self:is_empty "density"
  if not empty_tank then mass = masses.read(self, part, pieces or 1) end
  if not teardown and self.plan.bodies and not self.bad then require("steelyard.file.parts_csv.bodies").read(self, part) end
  if teardown and not self.bad then
    if part.weighed then mass = teardown.mass_of(part, self) end
    part.read = self.read
    teardown.check(part, self)
  end
  if self.bad then return nil end
  return part, mass and mass * pieces or 0, pieces, part.weighed and not mass
end

-- The first cell of a row that holds text says whether it is a sum: the label need not stand under "part".
local function label(csv, row, mark)
  for index = 1, csv:width(row) do
    local cell = csv:cell(row, index)
    if cell:find "[^ \t\r\n]" and not core.csv_number(cell, mark) then
      if cell:find "%d" then return nil end -- no word for a sum has a digit
      return dictionary.sum_row(dictionary.fold(cell)), one_line(cell)
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

-- Cells beyond the last heading would be lost, and where a decimal comma cut a number in two so would its decimals.
local function check_width(csv, plan, note, row)
  if csv:width(row) <= plan.last then return true end
  for index = plan.last + 1, csv:width(row) do
    local cell = csv:cell(row, index)
    if not cells.is_blank(cell) then
      note(row, {index = index, letter = core.csv_letters(index)}, "content", ("%q stands beyond the last column heading, %s"):format(
        shown(cell), core.csv_letters(plan.last)), csv:about().delimiter == "," and "a decimal comma in a table with commas between its "
        .. "cells looks like this: write decimal points, or export with semicolons" or "give its column a heading, or empty the cell")
      return false
    end
  end
  return true
end

-- Is the name all that stands in the columns that are read?
local function is_name_alone(csv, plan, read, row)
  local name = plan.by.name.index
  if cells.is_blank(csv:cell(row, name)) then return false end
  for index = 1, plan.last do
    if index ~= name and read[index] and not cells.is_blank(csv:cell(row, index)) then return false end
  end
  return true
end

local Reader = {}
Reader.__index = Reader

-- A name alone is the group of the rows below it; with none below it is a part without anything else.
function Reader:end_section()
  local section = self.section
  self.section = nil
  if not section or section.rows > 0 then return end
  table.remove(self.sections)
  section.from:wrong(self.plan.by.mass and "mass" or self.plan.by.total_mass and "total_mass" or "name", "missing",
    "has no mass, and no rows stand below it", "a question mark is a mass nobody knows; a row that is not a part must be empty")
  self.account.broken = true
end

function Reader:begin_section(row)
  self:end_section()
  local text = row.name:gsub(" *:$", "")
  self.section = {row = row.row, name = group_path(row, "name", text), rows = 0, from = row}
  self.sections[#self.sections + 1] = self.section
end

-- A row of the kind "group".
function Reader:group_row(row)
  if self.teardown then
    if row:is_empty "mass" and row:is_empty "reading" then return end -- says where it lies, and no mass
    return row:wrong("kind", "content", "is the group of a car with its whole; the whole of a teardown is of the kind whole")
  end
  local group = read_group_row(row)
  if not group then return end
  local other = self.list.groups[group.path]
  if other then return row:wrong("name", "clash", ("the group %q stands in row %d already"):format(group.path, other.row)) end
  self.list.groups[group.path], self.list.groups[#self.list.groups + 1] = group, group
end

function Reader:row(row)
  local section = self.section
  row.section = section and section.name
  if dictionary.kind[dictionary.fold(row:text "kind")] == "group" then return self:group_row(row) end
  local part, mass, pieces, no_mass = read_row(row, self.teardown)
  if section and row:is_empty "group" then section.rows = section.rows + 1 end
  if not part then
    self.account.broken = true
    return
  end
  self.list[#self.list + 1] = part
  if no_mass then
    self.account:add_reading()
  elseif part.kind ~= "whole" then
    self.account:add(row, mass, pieces)
  end
end

--- All rows of a table.
function rows.read(csv, plan, mark, note, teardown)
  local self = setmetatable({plan = plan, list = {groups = {}}, sections = {}, account = sums.new(plan),
                             teardown = teardown}, Reader)
  local skipped, read = {}, read_columns(plan)
  local mass = plan.by.mass -- most rows have one, and are not sections
  for at = plan.first, csv:about().rows do
    local blank, anything = is_blank(csv, read, at)
    if not check_width(csv, plan, note, at) then
      self.account.broken = true
    elseif blank then
      if anything then skipped[#skipped + 1] = at end
    else
      local row = cells.row(csv, plan, mark, note, at)
      local kind, word = label(csv, at, mark)
      if kind then
        self.account:check(row, kind, word)
      elseif (not mass or cells.is_blank(csv:cell(at, mass.index))) and is_name_alone(csv, plan, read, at) then
        self:begin_section(row)
      else
        self:row(row)
      end
    end
  end
  self:end_section()
  return self.list, self.account.sums, skipped, self.sections
end

return rows
