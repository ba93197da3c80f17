--- A table in a picture: cells right-aligned under their headings unless a column says otherwise, a hairline under the headings.

local canvas = require "steelyard.draw.canvas"
local text_width = require "steelyard.print.width"

local rows = {}

local PITCH, APART = 4.4, 2.6 -- mm from row to row, and between columns, as a rule
local LEAST = 16              -- mm of the column that gives way
local LETTER = 1.8            -- mm: columns are as wide as a terminal's letters would be, where there is room
local LINES, NEXT = 2, 1.3    -- of a cell in it, and from one to the next in sizes of the letters

local function words_of(cell) return type(cell) == "table" and cell[1] or cell end

-- At least as wide as so many letters of a terminal.
local function width_of(c, cell, size, letter)
  local shown = words_of(cell)
  return math.max(c:width_of(shown, size, type(cell) == "table" and cell.bold), letter * text_width.of(shown))
end

-- The width of every column, and of all with what lies between.
local function widths_of(c, columns, list, size, apart, letter)
  local widths, sum = {}, -apart
  for k, column in ipairs(columns) do
    widths[k] = width_of(c, column[1], size, letter)
    for _, row in ipairs(list) do widths[k] = math.max(widths[k], width_of(c, row[k], size, letter)) end
    sum = sum + widths[k] + (widths[k] > 0 and apart or 0)
  end
  return widths, sum
end

-- Wide where there is room for that; else as the words need it, and one column gives way if it must.
local function fitted(c, columns, list, size, apart, room)
  local widths, sum = widths_of(c, columns, list, size, apart, LETTER)
  if sum <= room then return widths end
  widths, sum = widths_of(c, columns, list, size, apart, 0)
  for k, column in ipairs(columns) do
    if column.gives and sum > room then widths[k] = math.max(LEAST, widths[k] - (sum - room)) end
  end
  return widths
end

--- columns: list of {heading, left = true, gives = true: its cells go on in a second line}. list: rows of cells, each words or
-- {words, bold =, colour =}. o: {left, right: edges on the paper, size, pitch, apart}. Gives the y of its lower end.
function rows.draw(c, y, columns, list, o)
  local size, pitch, apart = o.size or canvas.sizes.small, c:line_of(o.pitch or PITCH), math.max(o.apart or APART, c.letter or 0)
  local widths = fitted(c, columns, list, size, apart, o.right - o.left)
  local from, x = {}, o.left
  for k in ipairs(columns) do
    from[k] = x
    x = x + widths[k] + (widths[k] > 0 and apart or 0)
  end
  local function put(k, at, shown, look)
    if shown == "" then return end
    c:text(columns[k].left and from[k] or from[k] + widths[k], at, shown,
           {size = size, anchor = columns[k].left and "start" or "end", bold = look.bold, colour = look.colour, table = true})
  end
  y = y + pitch
  for k, column in ipairs(columns) do put(k, y, c:cut(column[1], widths[k] + 0.01, size), {colour = "grey"}) end
  local rule = y + (c.letter and pitch - 0.35 * size or 1.2) -- on a terminal in a row of its own
  c:line(o.left, rule, o.right, rule, {weight = "hair", colour = "grey", what = "table"})
  y = y + (c.letter and pitch or 0.8)
  for _, row in ipairs(list) do
    y = y + pitch
    local lines = 1
    for k, column in ipairs(columns) do
      local cell = row[k]
      local look, shown = type(cell) == "table" and cell or {}, {words_of(cell)}
      if column.gives then shown = c:wrap(shown[1], widths[k] + 0.01, size, look.bold, LINES) end
      for i, line in ipairs(shown) do put(k, y + (i - 1) * c:line_of(NEXT * size), line, look) end
      lines = math.max(lines, #shown)
    end
    y = y + (lines - 1) * c:line_of(NEXT * size)
  end
  return y
end

return rows
