--- Readings as people type them in: a table as text with settings on top and, below, one table with headings.
--
--   # anything behind a # in the first cell is a remark, empty rows are skipped
--   kind,compound              a setting: name, value
--   mass,2.02,0.01             a third cell is the value's standard uncertainty
--   swings,times               the headings of the table: the first row that begins with a column's name which no setting has
--   20,29.61                   its rows
--
-- Delimiters, decimal commas and encodings are those of the parts lists (core/base/csv.h).
--
-- readings.read(path, spec) -> {file, settings = {name = value}, rows = {{column = value}}, lines = {name = line}}
--   spec.settings   name = kind: "number", "text", "flag", "point" (three cells)
--   spec.families   settings with names of the user's own: {blocks = "number"} takes blocks.a, blocks.b ...
--   spec.columns    name = kind, also "amount", a number or a text; in headings also "NAME sd" for its standard uncertainty;
--                   spec.open: other headings are numbers too
-- A number with a stated uncertainty is what sy.sd gives. rows[i].line is its line.

local core = require "steelyard.core"
local origin = require "steelyard.print.origin"
local vocabulary = require "steelyard.file.vocabulary"

local readings = {}

local function sorted_names(...)
  local names = {}
  for _, set in ipairs{...} do
    for name in pairs(set) do names[#names + 1] = name end
  end
  table.sort(names, core.before)
  return names
end

local Reader = {}
Reader.__index = Reader

function Reader:fail(row, field, code, message, hint)
  core.fail{code = code, file = self.file, line = row and self.csv:line(row), kind = "", field = field, message = message, hint = hint}
end

function Reader:cell(row, column) return (self.csv:cell(row, column):match "^%s*(.-)%s*$") end

function Reader:number(row, column, field)
  local cell = self:cell(row, column)
  local value = core.csv_number(cell, self.mark)
  if not value then
    self:fail(row, field, "type", cell == "" and "has no number" or ("must be a number, is %q"):format(cell))
  end
  return value
end

-- A value and its standard uncertainty, where the cell for one is filled.
function Reader:measured(row, column, sd_column, field)
  local value = self:number(row, column, field)
  if not sd_column or self:cell(row, sd_column) == "" then return value end
  local sd = self:number(row, sd_column, field)
  if sd < 0 then self:fail(row, field, "range", "has an uncertainty below 0") end
  return vocabulary.sd(value, sd)
end

local flags = {yes = true, ["true"] = true, no = false, ["false"] = false}

function Reader:value(kind, row, column, sd_column, field)
  local cell = self:cell(row, column)
  if kind == "number" or kind == "amount" and core.csv_number(cell, self.mark) then
    return self:measured(row, column, sd_column, field)
  end
  if cell == "" then self:fail(row, field, "missing", "has no value") end
  if kind == "text" or kind == "amount" then return cell end
  if kind == "point" then
    local point = {}
    for i = 0, 2 do point[i + 1] = self:number(row, column + i, field) end
    return point
  end
  if flags[cell] == nil then self:fail(row, field, "type", ("must be yes or no, is %q"):format(cell)) end
  return flags[cell]
end

-- What may have cut a number in two.
function Reader:comma_hint()
  return self.csv:about().delimiter == "," and "a decimal comma in a table with commas between its cells looks like this: write decimal "
    .. "points, or export with semicolons" or nil
end

function Reader:setting(row, name)
  local kind = self.spec.settings[name] or self.spec.families and self.spec.families[name:match "^(.-)%..+$"]
  if not kind then
    local near = core.nearest(name, sorted_names(self.spec.settings, self.spec.columns or {}))
    self:fail(row, name, "unknown", "there is no such setting", near and ("did you mean %s?"):format(near)
      or "the settings are " .. table.concat(sorted_names(self.spec.settings), ", "))
  end
  if self.out.settings[name] ~= nil then self:fail(row, name, "clash", "stands twice") end
  self.out.settings[name] = self:value(kind, row, 2, 3, name)
  self.out.lines[name] = self.csv:line(row)
  local last = kind == "point" and 4 or kind == "number" and 3 or 2
  for column = last + 1, self.csv:width(row) do
    if self:cell(row, column) ~= "" then
      self:fail(row, name, "content", ("has a cell too many: %q"):format(self:cell(row, column)), self:comma_hint())
    end
  end
end

-- columns[i] = {name, kind, sd = column of its uncertainty}
function Reader:headings(row)
  local columns, by_name = {}, {}
  for column = 1, self.csv:width(row) do
    local heading = self:cell(row, column)
    local base = heading:match "^(.-)%s+sd$"
    local name = base or heading
    local kind = self.spec.columns[name] or self.spec.open and "number"
    if heading == "" then
      columns[column] = false
    elseif not kind then
      local near = core.nearest(name, sorted_names(self.spec.columns))
      self:fail(row, heading, "unknown", "there is no such column", near and ("did you mean %s?"):format(near)
        or "the columns are " .. table.concat(sorted_names(self.spec.columns), ", "))
    else
      local entry = by_name[name] or {name = name, kind = kind}
      by_name[name] = entry
      if entry[base and "sd" or "column"] then self:fail(row, heading, "clash", "stands twice") end
      entry[base and "sd" or "column"] = column
      columns[column] = entry
    end
  end
  for _, name in ipairs(sorted_names(by_name)) do
    if not by_name[name].column then self:fail(row, name .. " sd", "missing", "has no column " .. name .. " to belong to") end
  end
  return columns
end

function Reader:row(row, columns)
  local values = {line = self.csv:line(row)}
  for column = 1, math.max(#columns, self.csv:width(row)) do
    local entry = columns[column]
    if self:cell(row, column) == "" then entry = nil
    elseif not entry then
      self:fail(row, nil, "content", ("%q stands in a column without a heading"):format(self:cell(row, column)), self:comma_hint())
    end
    if entry and entry.column == column then
      values[entry.name] = self:value(entry.kind, row, column, entry.sd, entry.name)
    elseif entry and self:cell(row, entry.column) == "" then
      self:fail(row, entry.name, "missing", "has an uncertainty but no value")
    end
  end
  return values
end

function Reader:blank(row)
  if self:cell(row, 1):sub(1, 1) == "#" then return true end
  for column = 1, self.csv:width(row) do
    if self:cell(row, column) ~= "" then return false end
  end
  return true
end

-- The decimal mark of the whole file.
function Reader:find_mark(columns)
  local list = {}
  for column = 2, columns do list[#list + 1] = column end
  local mark, code, message = self.csv:mark(list, 1)
  if not mark then self:fail(nil, nil, code, message, "write all numbers with a decimal point") end
  return mark
end

--- Readings from bytes; see above.
function readings.parse(bytes, file, spec)
  local csv <close> = core.csv(bytes, file)
  local about = csv:about()
  local self = setmetatable({csv = csv, file = file, spec = spec, out = {file = file, bytes = bytes, settings = {}, rows = {},
                                                                   lines = {}}}, Reader)
  self.mark = self:find_mark(about.columns)
  local columns
  for row = 1, about.rows do
    if not self:blank(row) then
      local first = self:cell(row, 1)
      if columns then
        self.out.rows[#self.out.rows + 1] = self:row(row, columns)
      elseif spec.columns and spec.columns[first:match "^(.-)%s+sd$" or first] and not spec.settings[first] then
        columns = self:headings(row)
      else
        self:setting(row, first)
      end
    end
  end
  return self.out
end

function readings.read(path, spec) return readings.parse(core.read_file(path), path, spec) end

--- f(...), a result of these readings, with errors reported by file and line: find(err) gives the line, or nil.
function readings.located(r, find, f, ...)
  local answers = table.pack(pcall(f, ...))
  if answers[1] then
    if type(answers[2]) == "table" then origin.of_readings(answers[2], r) end
    return table.unpack(answers, 2, answers.n)
  end
  local err = answers[2]
  if getmetatable(err) == core.error_metatable and not err.file then
    err.file, err.line = r.file, find(err)
  end
  error(err, 0)
end

--- Settings {["rod.mass"] = 5} as {rod = {mass = 5}}; what is set as a whole and by its parts is refused. families: those whose names,
-- of the user's own, may have points.
function readings.nested(r, families)
  local t = {}
  for _, name in ipairs(sorted_names(r.settings)) do
    local into, rest, outer = t, name, nil
    while not (outer and families and families[outer]) and rest:find(".", 1, true) do
      outer, rest = rest:match "^(.-)%.(.+)$"
      local whole = name:sub(1, #name - #rest - 1)
      if r.settings[whole] ~= nil then
        core.fail{code = "clash", file = r.file, line = r.lines[whole], kind = "", field = whole, message = "is set as a whole and by its "
          .. "parts"}
      end
      into[outer] = into[outer] or {}
      into = into[outer]
    end
    into[rest] = r.settings[name]
  end
  return t
end

return readings
