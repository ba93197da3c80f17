--- sy.table(headings, rows) -> text: aligned columns under headings.
--
--   sy.table({{"front, kg", "%.1f"}, {"moved", "%s"}}, {{327.3, "engine"}, {nil, "tank"}})
--
-- headings  list of {label, format}; when every label is "" there is no heading line
-- rows   list of lists of cells; a cell that is nil prints as "-"
-- Formats are text with one conversion: %.2f and %+.1f a fixed number of decimals, %d a whole number, %g the shortest
-- text that reads back as the same number, %s anything; %% is a percent sign. A text in a number's column is printed as
-- it is.
--
-- Columns of numbers stand right, columns of texts left. Texts that are numbers are lined up too: "343 +- 10" and "1410"
-- so that 343 and 1410 end in one place.
--
-- A table wider than 100 columns is narrowed: labels and texts go on in another line, those of the column that has most to give first.
-- One that is all numbers stays as wide as they are.

local core = require "steelyard.core"
local width_of = require "steelyard.print.width"

local table_print = {width = 100} -- columns of a page
local cell_lead, width_of_text = core.cell_lead, width_of.of

local GAP = "  "
local HANGING = 1 -- blanks before what goes on in another line

local function refuse(code, message, field, hint)
  core.fail{code = code, message = message, field = field, hint = hint}
end

local conversions = {
  f = function(x, flags, digits)
    local shown = core.fixed(x, digits or 6)
    if flags:find("+", 1, true) and shown:sub(1, 1) ~= "-" then shown = "+" .. shown end
    return shown
  end,
  d = function(x, flags)
    local shown = core.fixed(x, 0)
    return flags:find("+", 1, true) and x > 0 and "+" .. shown or shown
  end,
  g = function(x) return core.shortest(x) end,
  s = function(x) return type(x) == "number" and core.shortest(x) or tostring(x) end,
}

local as_text = conversions.s -- most columns

local function cell_name(i, k) return ("rows[%d][%d]"):format(i, k) end

local function heading_name(i) return ("headings[%d]"):format(i) end

-- "%+.1f kg", of the heading with that number -> function(cell, i, k) -> text, is it a column of numbers
local function compile(format, number)
  if format == "%s" then return as_text, false end
  local field = heading_name(number)
  if type(format) ~= "string" then refuse("type", "a format such as \"%.2f\" is needed", field) end
  local marked = format:gsub("%%%%", "\0")
  local before, flags, width, digits, letter, after = marked:match "^([^%%]*)%%([+-]*)(%d*)%.?(%d*)([fdgs])([^%%]*)$"
  local convert = conversions[letter]
  if not convert or tonumber(digits) and letter ~= "f" then
    refuse("syntax", ("%q is not a format"):format(format), field, "formats are such as %.2f %+.1f %d %g %s")
  end
  before, after = before:gsub("%z", "%%"), after:gsub("%z", "%%")
  width, digits = tonumber(width) or 0, tonumber(digits)
  local pad = flags:find("-", 1, true) and width_of.left or width_of.right
  return function(cell, i, k)
    if letter ~= "s" and type(cell) ~= "number" then return tostring(cell) end
    if letter == "d" and cell % 1 ~= 0 then
      refuse("type", ("%s is not a whole number, and the format is %%d"):format(core.shortest(cell)), cell_name(i, k))
    end
    return before .. pad(convert(cell, flags, digits), width) .. after
  end, letter ~= "s"
end

local function read_headings(headings)
  if type(headings) ~= "table" then refuse("type", "sy.table needs a list of {label, format} and a list of rows") end
  local columns, labelled = {}, false
  for i, heading in ipairs(headings) do
    if type(heading) ~= "table" then refuse("type", "a heading is {label, format}", heading_name(i)) end
    local label = heading[1] == nil and "" or tostring(heading[1])
    local show, numeric = compile(heading[2] or "%s", i)
    columns[i] = {label = label, show = show, numeric = numeric, cells = {}}
    labelled = labelled or label ~= ""
  end
  if #columns == 0 then refuse("missing", "a table needs at least one column") end
  return columns, labelled
end

local blank = {[""] = true, ["-"] = true, unknown = true}

-- Lines up the cells of a column of texts, whose widths are known; true when all of them are numbers, so that the heading stands right
-- too. Where uncertainties stand, "343" of "343 +- 10" ends in one place with the numbers above and below.
local function line_up(cells, widths)
  local leads, edge, uncertainties, numbers = {}, 0, false, true
  for i, cell in ipairs(cells) do
    local kind, lead = cell_lead(cell)
    uncertainties, numbers = uncertainties or kind == "uncertainty", numbers and (kind == "number" or blank[cell] ~= nil)
    if kind then
      leads[i] = lead == #cell and widths[i] or width_of_text(cell:sub(1, lead))
      if leads[i] > edge then edge = leads[i] end
    end
  end
  if not uncertainties then return numbers end
  for i, cell in ipairs(cells) do
    if leads[i] and leads[i] < edge then
      cells[i], widths[i] = (" "):rep(edge - leads[i]) .. cell, widths[i] + edge - leads[i]
    end
  end
  return false
end

-- Not " +$", which tries every blank inside and takes the square of their number.
local function trim(line) return line:byte(-1) == 32 and (line:match "^.*[^ ]" or "") or line end

-- Refuses what stands in row i beside its cells.
local function check_keys(row, i, columns)
  for k in pairs(row) do
    if math.type(k) ~= "integer" or k < 1 or k > #columns then
      refuse("unknown", ("there is no column %s"):format(tostring(k)), ("rows[%d]"):format(i))
    end
  end
end

local function fill_cells(columns, rows)
  for i, row in ipairs(rows) do
    if type(row) ~= "table" then refuse("type", "a row is a list of cells", ("rows[%d]"):format(i)) end
    local used, all = 0, 0
    for k = 1, #columns do
      local cell, column = row[k], columns[k]
      local show = column.show
      if cell == nil then
        cell = "-"
      else
        used = used + 1
        if show ~= as_text or type(cell) ~= "string" then cell = show(cell, i, k) end
      end
      column.cells[i] = cell
    end
    for _ in pairs(row) do all = all + 1 end
    if all ~= used then check_keys(row, i, columns) end
  end
end

-- ---- wider than a page --------------------------------------------------------------------------------------------

-- Columns that a text takes with a word in each line, those after the first behind `hanging` blanks.
local function least_of(s, hanging)
  local least = 0
  for i, word in ipairs(width_of.words(s)) do least = math.max(least, width_of.of(word) + (i > 1 and hanging or 0)) end
  return #s:match "^ *" + least
end

-- How narrow a column can get when its label goes on in another line, and its cells as well where `wraps`: texts alone, numbers and
-- their +- stay as they are.
local function least_width(column, wraps)
  local least = least_of(column.label, column.right and 0 or HANGING)
  for i = 1, #column.cells do
    local cell = column.cells[i]
    local whole = not wraps or cell_lead(cell) == "uncertainty"
    local needs = whole and column.widths[i] or least_of(cell, HANGING)
    if needs > least then least = needs end
  end
  return math.min(least, column.width)
end

-- Makes the columns that have most to give narrower, until the table fits or none has anything left; gives its width.
local function give(columns, total, width)
  while total > width do
    local widest
    for _, column in ipairs(columns) do
      local slack = column.width - column.least
      if slack > 0 and (not widest or slack > widest.width - widest.least) then widest = column end
    end
    if not widest then break end
    widest.width, total = widest.width - 1, total - 1
  end
  return total
end

-- Labels give first, then texts.
local function narrow(columns, total, width)
  for _, column in ipairs(columns) do column.least = least_width(column, false) end
  total = give(columns, total, width)
  for _, column in ipairs(columns) do column.least = least_width(column, not column.numeric) end
  give(columns, total, width)
  for _, column in ipairs(columns) do column.blank = (" "):rep(column.width) end
end

-- ---- the columns --------------------------------------------------------------------------------------------------

-- Lines up the cells of a column and measures it.
local function measure(column)
  local cells, widths, width = column.cells, {}, width_of_text(column.label)
  for i = 1, #cells do widths[i] = width_of_text(cells[i]) end
  column.right = column.numeric or line_up(cells, widths)
  for i = 1, #cells do
    if widths[i] > width then width = widths[i] end
  end
  column.width, column.widths = width, widths
end

local function padded(column, cell, width)
  if width == column.width then return cell end
  local blanks = (" "):rep(column.width - width)
  return column.right and blanks .. cell or cell .. blanks
end

-- The lines of a cell in a column that had to be narrowed, each as wide as the column; what stands right needs no blanks in front of its
-- further lines.
local function lines_of(column, cell, width)
  if width <= column.width then return {padded(column, cell, width)} end
  local list, indent = {}, cell:match "^ *"
  for line in width_of.wrap(cell, column.width, indent, indent .. (" "):rep(column.right and 0 or HANGING)):gmatch "[^\n]+" do
    list[#list + 1] = padded(column, line, width_of_text(line))
  end
  return list
end

-- One row, or the labels (i = 0), of a table that had to be narrowed: as many lines as the cell with most of them takes, labels from below.
local function add_lines(lines, columns, i)
  local cells, most = {}, 1
  for k = 1, #columns do
    local column = columns[k]
    local own = i == 0 and lines_of(column, column.label, width_of_text(column.label))
      or lines_of(column, column.cells[i], column.widths[i])
    cells[k] = own
    if #own > most then most = #own end
  end
  for n = 1, most do
    local line = {}
    for k = 1, #columns do
      local own = cells[k]
      line[k] = own[i == 0 and n - most + #own or n] or columns[k].blank
    end
    lines[#lines + 1] = trim(table.concat(line, GAP))
  end
end

-- Does row i, or the labels, stand in one line, each cell in its column?
local function fits(columns, i)
  for k = 1, #columns do
    local column = columns[k]
    if (i == 0 and width_of_text(column.label) or column.widths[i]) > column.width then return false end
  end
  return true
end

--- The table as text, without a line end after the last row. width: of the page, unless the usual one.
function table_print.print(headings, rows, width)
  width = width or table_print.width
  local columns, labelled = read_headings(headings)
  if type(rows) ~= "table" then refuse("type", "sy.table needs a list of rows") end
  fill_cells(columns, rows)
  local total, lines, line = (#columns - 1) * #GAP, {}, {}
  for _, column in ipairs(columns) do
    measure(column)
    total = total + column.width
  end
  if total > width then narrow(columns, total, width) end
  for i = labelled and 0 or 1, #columns[1].cells do
    if total > width and not fits(columns, i) then
      add_lines(lines, columns, i)
    else
      for k = 1, #columns do
        local column = columns[k]
        local cell = i == 0 and column.label or column.cells[i]
        line[k] = padded(column, cell, i == 0 and width_of_text(cell) or column.widths[i])
      end
      lines[#lines + 1] = trim(table.concat(line, GAP))
    end
  end
  return table.concat(lines, "\n")
end

return table_print
