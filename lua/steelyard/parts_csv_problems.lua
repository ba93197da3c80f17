--- What is wrong with a table: told with row, column letter, head and what the cell holds. Several are collected and the first is raised.

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
  return ("row %d, column %s %q: "):format(row, column.letter, column.head)
end

--- An error object on a cell, a row, or (without a row) the whole table.
function problems.failure(file, csv, row, column, code, message, hint, part, field)
  return {code = code, file = file, line = row and csv:line(row), part = part ~= "" and part or nil,
          field = field or column and column.field, message = (row and problems.place_of(row, column) or "") .. message, hint = hint}
end

--- list, wrong(row, column, code, message, hint, part, field): what `wrong` is told goes to the list.
function problems.collect(file, csv)
  local list = {}
  local function wrong(row, column, ...)
    list[#list + 1] = {row = row, index = column and column.index or 0, failure = problems.failure(file, csv, row, column, ...)}
  end
  return list, wrong
end

--- The first by row, then by column; it says how many there are.
function problems.raise_first(list)
  if #list == 0 then return end
  local first = list[1]
  for _, problem in ipairs(list) do
    if problem.row < first.row or problem.row == first.row and problem.index < first.index then first = problem end
  end
  local more = #list - 1
  if more > 0 then
    local count = ("%d more %s in this table"):format(more, more == 1 and "problem is" or "problems are")
    first.failure.hint = first.failure.hint and first.failure.hint .. "; " .. count or count
  end
  core.fail(first.failure)
end

return problems
