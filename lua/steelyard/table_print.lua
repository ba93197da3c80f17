--- sy.table(heads, rows) -> text: aligned columns under headings.
--
--   sy.table({{"front, kg", "%.1f"}, {"moved", "%s"}}, {{327.3, "engine"}, {nil, "tank"}})
--
-- heads  list of {label, format}; when every label is "" there is no heading line
-- rows   list of lists of cells; a cell that is nil prints as "-"
-- Formats are text with one conversion: %.2f and %+.1f a fixed number of decimals, %d a whole number, %g the shortest
-- text that reads back as the same number, %s anything; %% is a percent sign. A text in a number's column is printed as
-- it is.
--
-- Columns of numbers stand right, columns of texts left. Texts that are numbers are lined up too: "343 +- 10" and "1410"
-- so that 343 and 1410 end in one place.

local core = require "steelyard.core"
local text = require "steelyard.text"

local table_print = {}

local GAP = "  "

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

local function cell_name(i, k) return ("rows[%d][%d]"):format(i, k) end

-- "%+.1f kg" -> function(cell, i, k) -> text, is it a column of numbers
local function compile(format, field)
  if format == "%s" then return conversions.s, false end -- most columns
  if type(format) ~= "string" then refuse("type", "a format such as \"%.2f\" is needed", field) end
  local marked = format:gsub("%%%%", "\0")
  local before, flags, width, digits, letter, after = marked:match "^([^%%]*)%%([+-]*)(%d*)%.?(%d*)([fdgs])([^%%]*)$"
  local convert = conversions[letter]
  if not convert or tonumber(digits) and letter ~= "f" then
    refuse("syntax", ("%q is no format"):format(format), field, "formats are such as %.2f %+.1f %d %g %s")
  end
  before, after = before:gsub("%z", "%%"), after:gsub("%z", "%%")
  width, digits = tonumber(width) or 0, tonumber(digits)
  local pad = flags:find("-", 1, true) and text.left or text.right
  return function(cell, i, k)
    if letter ~= "s" and type(cell) ~= "number" then return tostring(cell) end
    if letter == "d" and cell % 1 ~= 0 then
      refuse("type", ("%s is no whole number, and the format is %%d"):format(core.shortest(cell)), cell_name(i, k))
    end
    return before .. pad(convert(cell, flags, digits), width) .. after
  end, letter ~= "s"
end

local function read_heads(heads)
  if type(heads) ~= "table" then refuse("type", "sy.table needs a list of {label, format} and a list of rows") end
  local columns, labelled = {}, false
  for i, head in ipairs(heads) do
    local field = ("heads[%d]"):format(i)
    if type(head) ~= "table" then refuse("type", "a heading is {label, format}", field) end
    local label = head[1] == nil and "" or tostring(head[1])
    local show, numeric = compile(head[2] or "%s", field)
    columns[i] = {label = label, show = show, numeric = numeric, cells = {}}
    labelled = labelled or label ~= ""
  end
  if #columns == 0 then refuse("missing", "a table needs at least one column") end
  return columns, labelled
end

-- How much of a cell stands left of the common edge: all of a number, of "343 +- 10" the "343". nil for other words.
local function head_of(cell)
  return cell:match "^[+-]?%d[%d.]*$" or cell:match "^(.-%d) %+%- %d" or cell:match "^%a[%a ]* [+-]?%d[%d.]*$"
end

local blank = {[""] = true, ["-"] = true, unknown = true}

local function is_number(cell) return blank[cell] or cell:find "^[+-]?%d[%d.]*$" ~= nil end

local function has_doubts(cells)
  for i = 1, #cells do
    if cells[i]:find(" +- ", 1, true) and cells[i]:find "%d %+%- %d" then return true end
  end
  return false
end

-- Lines up the cells of a column of texts; true when all of them are numbers, so that the heading stands right too.
local function line_up(cells)
  if not has_doubts(cells) then
    for i = 1, #cells do
      if not is_number(cells[i]) then return false end
    end
    return true
  end
  local widths, edge = {}, 0
  for i, cell in ipairs(cells) do
    local head = head_of(cell)
    widths[i] = head and text.width(head)
    if head then edge = math.max(edge, widths[i]) end
  end
  for i, cell in ipairs(cells) do
    if widths[i] then cells[i] = (" "):rep(edge - widths[i]) .. cell end
  end
  return false
end

-- Not " +$", which tries every blank inside and takes the square of their number.
local function trim(line) return line:byte(-1) == 32 and (line:match "^.*[^ ]" or "") or line end

local function fill_cells(columns, rows)
  for i, row in ipairs(rows) do
    if type(row) ~= "table" then refuse("type", "a row is a list of cells", ("rows[%d]"):format(i)) end
    for k, column in ipairs(columns) do
      local cell = row[k]
      column.cells[i] = cell == nil and "-" or column.show(cell, i, k)
    end
    for k in pairs(row) do
      if math.type(k) ~= "integer" or k < 1 or k > #columns then
        refuse("unknown", ("there is no column %s"):format(tostring(k)), ("rows[%d]"):format(i))
      end
    end
  end
end

-- Fills the cells of a column, and its label, with blanks to one width.
local function pad_column(column)
  local cells, widths = column.cells, {}
  local right = column.numeric or line_up(cells)
  cells[0] = column.label
  local width = 0
  for i = 0, #cells do
    widths[i] = text.width(cells[i])
    width = math.max(width, widths[i])
  end
  for i = 0, #cells do
    if widths[i] < width then
      local blanks = (" "):rep(width - widths[i])
      cells[i] = right and blanks .. cells[i] or cells[i] .. blanks
    end
  end
end

--- The table as text, without a line end after the last row.
function table_print.print(heads, rows)
  local columns, labelled = read_heads(heads)
  if type(rows) ~= "table" then refuse("type", "sy.table needs a list of rows") end
  fill_cells(columns, rows)
  for _, column in ipairs(columns) do pad_column(column) end
  local lines, line = {}, {}
  for i = labelled and 0 or 1, #rows do
    for k, column in ipairs(columns) do line[k] = column.cells[i] end
    lines[#lines + 1] = trim(table.concat(line, GAP))
  end
  return table.concat(lines, "\n")
end

return table_print
