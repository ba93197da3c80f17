--- Parts lists from spreadsheets, and back to them.
--
--   parts_csv.read(bytes, {file =, decimal =}) -> list
--       file     for messages           decimal  "," or ".", where the table itself cannot tell
--       list[i] = {
--         kind = "part" or "person", name =, group = "powertrain/cooling" or nil, row =, line =,
--         mass = kg, with its uncertainty where one is stated, or unknown; at = {x, y, z} likewise, mm
--         count =, pair = true, within_mm =, basis =, unsprung = axle, wheel or {[carrier] = fraction}, tags = {...},
--         note =, growth = fraction, instrument =                       absent where the table says nothing
--         weighed = a weighing record, was = mass booked before, said = {mass =, room =} what the table makes of the reading itself
--       }
--       list.preview   text: what was understood, column by column
--       list.notes     sentences a result should carry: what was assumed, what was not read
--       list.encoding, list.delimiter, list.decimal
--   parts_csv.items(list, file) -> items for `parts` of a vehicle, groups made, in file order
--
-- Nothing is read until every row is good: all problems are raised together. Messages name row, column letter, column heading and what
-- the cell holds.

local core = require "steelyard.core"
local headings = require "steelyard.file.parts_csv.headings"
local preview = require "steelyard.file.parts_csv.preview"
local problems = require "steelyard.file.parts_csv.problems"
local rows = require "steelyard.file.parts_csv.rows"
local placing = require "steelyard.file.placing"
local vocabulary = require "steelyard.file.vocabulary"

local parts_csv = {}

-- Columns whose numbers decide on the decimal mark.
local number_fields = {"mass", "total_mass", "mass_sd", "within", "count", "x", "y", "z", "sd_x", "sd_y", "sd_z", "within_mm", "growth",
                       "reading", "reading_sd", "zero_before", "zero_after", "tare", "with", "estimate", "estimate_sd"}

-- ---- names ------------------------------------------------------------------------------------------------------------

-- Every group on the way to a path takes its name in the group around it; a part may not have it too.
local function take_groups(taken, path, row)
  local outer = ""
  for name in path:gmatch "[^/]+" do
    taken[outer] = taken[outer] or {}
    local there = taken[outer][name]
    if there and not there.group then return there end
    taken[outer][name] = there or {group = true, row = row}
    outer = outer .. "/" .. name
  end
  return nil, outer
end

local function check_names(list, plan, wrong)
  local taken = {}
  for _, part in ipairs(list) do
    local clash, inside = take_groups(taken, part.group or "", part.row)
    if clash then
      wrong(part.row, plan.by.group, "clash", ("a part of row %d is called as this group is"):format(clash.row), nil, part.name)
    else
      taken[inside] = taken[inside] or {}
      local there = taken[inside][part.name]
      if there then
        wrong(part.row, plan.by.name, "clash", ("%q is the name of %s row %d already"):format(part.name,
          there.group and "a group of" or "the part in", there.row),
          "names differ inside a group: a column for groups or a number behind the name tells them apart", part.name)
      end
      taken[inside][part.name] = there or {row = part.row}
    end
  end
end

-- A row about a group in which no part stands.
local function check_groups(list, plan, wrong)
  local used = {}
  for _, part in ipairs(list) do
    local path = part.group
    while path do
      used[path] = true
      path = path:match "^(.*)/[^/]*$"
    end
  end
  for _, group in ipairs(list.groups) do
    if not used[group.path] then
      wrong(group.row, plan.by.name, "content", "is a group in which no part of this table stands", nil, group.name)
    end
  end
end

-- ---- reading ----------------------------------------------------------------------------------------------------------

-- The decimal mark of a table: stated, or seen in its numbers.
local function decimal_mark(csv, plan, options, fail)
  if options.decimal ~= nil then
    if options.decimal ~= "," and options.decimal ~= "." then
      fail(nil, nil, "type", ('decimal must be "," or ".", is %s'):format(require("steelyard.print.text").named(options.decimal)))
    end
    return options.decimal
  end
  local columns = {}
  for _, field in ipairs(number_fields) do
    if plan.by[field] then columns[#columns + 1] = plan.by[field].index end
  end
  local mark, code, message = csv:mark(columns, plan.first)
  if mark then return mark end
  fail(nil, nil, code, message, code == "content" and (options.how_to_say or 'say which, as in from_csv "parts.csv" { decimal = "," }')
    or "write one of the two in all numbers")
end

--- What stands in the bytes of a table: {list =, sums =, skipped =, sections =, plan =, mark =, about =}. needed: fields that must have a
-- column; teardown: see file/parts_csv/rows.lua; options.how_to_say: a hint that tells how the decimal mark is stated.
function parts_csv.open(bytes, options, needed, teardown)
  local file = options.file
  problems.check_text(bytes, file)
  local csv <close> = core.csv(bytes, file)
  local function fail(...) core.fail(problems.failure(file, csv, ...)) end
  local list, wrong = problems.collect(file, csv)
  local plan = headings.find(csv, fail, needed, wrong)
  problems.raise(list)
  local mark = decimal_mark(csv, plan, options, fail)
  local found = {plan = plan, mark = mark, about = csv:about()}
  found.list, found.sums, found.skipped, found.sections = rows.read(csv, plan, mark, wrong, teardown)
  if not teardown then
    check_names(found.list, plan, wrong)
    check_groups(found.list, plan, wrong)
  end
  problems.raise(list)
  found.first_line = csv:line(plan.row)
  if #found.list == 0 then parts_csv.no_parts(found, file) end
  return found
end

--- Refuses a table without parts.
function parts_csv.no_parts(found, file)
  core.fail{code = "missing", file = file, line = found.first_line,
    message = problems.place_behind(found.first_line, found.plan.row) .. "no part stands below the column headings"}
end

--- A parts list from the bytes of a table.
function parts_csv.read(bytes, options)
  options = options or {}
  local found = parts_csv.open(bytes, options)
  local list, about = found.list, found.about
  list.encoding, list.delimiter, list.decimal, list.columns = about.encoding, about.delimiter, found.mark, found.plan.by
  preview.add(list, found, options.file)
  return list
end

-- ---- items ------------------------------------------------------------------------------------------------------------

local field_names = {"count", "pair", "at", "within_mm", "basis", "unsprung", "tags", "note", "growth", "instrument", "includes", "mass",
                     "weighed", "was", "shape", "turned", "inertia", "density", "fill", "dry_mass", "capacity"}

-- Columns of the fields of a weighing record.
local record_columns = {whole = "mass", unit = "reading_unit", pieces = "pieces_weighed", note = "weighed_note"}

-- How problems that a vehicle finds later name the place of a field, "at.y", in the table.
local function locate(line, row, columns, otherwise)
  return function(field)
    local part_of_record = field and field:match "^weighed%.([a-z_]+)"
    local key = part_of_record and (record_columns[part_of_record] or part_of_record)
      or field and (field:match "^at%.([xyz])" or field:match "^[a-z_]+") or otherwise
    return problems.place_behind(line, row, columns[key] or columns[otherwise])
  end
end

local SUBTRACTED = 6 -- decimals of a millimetre that are left of a place in a group: further ones are what arithmetic leaves

-- A place of the file as it is in a group.
local function inside(at, frame)
  local number, sd, off = {}, {}, {}
  for i, value in ipairs(at) do
    number[i] = value
    if type(value) ~= "number" then number[i], sd[i] = value.value, value.sd end
    off[i] = number[i] - frame.at[i]
  end
  local own = placing.turned_back(frame.turn, off)
  for i = 1, 3 do
    local same = frame.at[i] == 0 and not frame.turn
    own[i] = same and number[i] or core.number(core.fixed(own[i], SUBTRACTED)) + 0.0
    if sd[i] then own[i] = vocabulary.sd(own[i], sd[i]) end
  end
  return own
end

-- Placements of groups by path: one without a place of its own lies where the one around it does.
local function frames_of(list, axes)
  local frames = {}
  local function frame(path)
    if not path then return placing.top end
    if frames[path] then return frames[path] end
    local outer, said = frame(path:match "^(.*)/[^/]*$"), list.groups[path]
    local at = said and said.at and inside(said.at, outer) or {0, 0, 0}
    frames[path] = said and placing.inside(outer, axes, at, axes and said.turned) or outer
    return frames[path]
  end
  return frame
end

--- The list as items for `parts` of a vehicle. axes: the vehicle's, as placing.lua has them; groups that are turned need them.
function parts_csv.items(list, file, axes)
  local Item = core.vocabulary_functions.marked "item"
  local items, groups, frame = {}, {}, frames_of(list, axes)
  local function group_for(path, part)
    if not path then return items end
    local fields = groups[path]
    if not fields then
      local outer, name = path:match "^(.*)/([^/]*)$"
      local said = list.groups[path] or {}
      fields = {at = said.at and inside(said.at, frame(outer)), turned = said.turned, tags = said.tags, note = said.note, whole = said.mass,
                weighed = said.weighed}
      groups[path] = fields
      local around = group_for(outer, part)
      around[#around + 1] = setmetatable({kind = "group", name = name or path, line = said.line or part.line, file = file,
        fields = fields, locate = locate(said.line or part.line, said.row or part.row, list.columns, "group")}, Item)
    end
    return fields
  end
  for _, part in ipairs(list) do
    local fields = {}
    for _, key in ipairs(field_names) do fields[key] = part[key] end
    fields.at = inside(part.at, frame(part.group))
    local into = group_for(part.group, part)
    into[#into + 1] = setmetatable({kind = part.kind, name = part.name, line = part.line, file = file, fields = fields,
      said = part.said, locate = locate(part.line, part.row, list.columns, "name")}, Item)
  end
  return items
end

--- A book as a table.

return parts_csv
