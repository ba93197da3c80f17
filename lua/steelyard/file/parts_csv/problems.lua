--- What is wrong with a table: reported with line, column letter, column heading and what the cell holds. All are collected and raised
-- together: the first is the error, the others are listed in its `more`.

local core = require "steelyard.core"

local problems = {}

--- Refuses the files of spreadsheets themselves: packed (PK) or in the older compound form.
function problems.check_text(bytes, file)
  if bytes:find "^PK\3\4" or bytes:find "^\xD0\xCF\x11\xE0" then
    core.fail {code = "read", file = file, message = "is the file of a spreadsheet, not a table as text",
      hint = "save or export it as CSV"}
  end
end

--- 'row 3, column C "mass": '
function problems.place_of(row, column)
  if not column then return ("row %d: "):format(row) end
  if not column.heading then return ("row %d, column %s: "):format(row, column.letter) end
  return ("row %d, column %s %q: "):format(row, column.letter, column.heading)
end

--- The same for a message that has the line in front of it. A row with cells of several lines above it has another number.
function problems.place_behind(line, row, column)
  local place = problems.place_of(row, column)
  return line == row and place:gsub("^row %d+[:,] ", "") or place
end

--- An error object on a cell, a row, or (without a row) the whole table.
function problems.failure(file, csv, row, column, code, message, hint, part, field)
  local line = row and csv:line(row)
  return {code = code, file = file, line = line, part = part ~= "" and part or nil,
          field = field or column and column.field, hint = hint,
          message = (row and problems.place_behind(line, row, column) or "") .. message}
end

local MOST = 100 -- problems that are listed; nobody corrects more at a time

--- list, wrong(row, column, code, message, hint, part, field): what `wrong` gets goes to the list.
function problems.collect(file, csv)
  local list = {count = 0}
  local function wrong(row, column, ...)
    list.count = list.count + 1
    if #list < MOST then
      list[#list + 1] = {row = row, index = column and column.index or 0, order = #list, failure = problems.failure(file, csv, row,
        column, ...)}
    end
  end
  return list, wrong
end

local function before(a, b)
  if a.row ~= b.row then return a.row < b.row end
  if a.index ~= b.index then return a.index < b.index end
  return a.order < b.order
end

--- All of them, by row and then by column.
function problems.raise(list)
  if #list == 0 then return end
  table.sort(list, before)
  local first, more = list[1].failure, {}
  for i = 2, #list do more[i - 1] = list[i].failure end
  if list.count > #list then
    more[#more + 1] = {code = "limit", file = first.file, message = ("%s more are in this table"):format(
      core.shortest(list.count - #list))}
  end
  if #more > 0 then first.more = more end
  core.fail(first)
end

return problems
