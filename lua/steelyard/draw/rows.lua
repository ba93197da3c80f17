--- A table in a picture: cells right-aligned under their headings unless a column says otherwise, a hairline under the headings.

local canvas = require "steelyard.draw.canvas"

local rows = {}

local PITCH, APART = 4.4, 2.6 -- mm from row to row, and between columns at least
local LEAST = 10              -- mm of the column that gives way

local function words_of(cell) return type(cell) == "table" and cell[1] or cell end

local function width_of(cell, size)
  return canvas.width_of(words_of(cell), size, type(cell) == "table" and cell.bold)
end

-- The width of every column; where they do not fit, one gives way.
local function widths_of(columns, list, size, room)
  local widths, sum, gives = {}, APART * (#columns - 1), nil
  for k, column in ipairs(columns) do
    widths[k] = canvas.width_of(column[1], size)
    for _, row in ipairs(list) do widths[k] = math.max(widths[k], width_of(row[k], size)) end
    sum = sum + widths[k]
    if column.gives then gives = k end
  end
  if gives and sum > room then widths[gives] = math.max(LEAST, widths[gives] - (sum - room)) end
  return widths
end

--- columns: list of {heading, left = true, gives = true: its cells are cut where there is no room}. list: rows of cells, each words or
-- {words, bold =, colour =}. o: {left, right: edges on the paper, size, pitch}. Gives the y of its lower end.
function rows.draw(c, y, columns, list, o)
  local size, pitch = o.size or canvas.sizes.small, o.pitch or PITCH
  local widths = widths_of(columns, list, size, o.right - o.left)
  local from, x = {}, o.left
  for k in ipairs(columns) do
    from[k] = x
    x = x + widths[k] + (widths[k] > 0 and APART or 0)
  end
  local function put(k, cell, colour)
    local look = type(cell) == "table" and cell or {}
    local words = canvas.cut(words_of(cell), widths[k] + 0.01, size, look.bold)
    if words == "" then return end
    local left = columns[k].left
    c:text(left and from[k] or from[k] + widths[k], y, words,
           {size = size, anchor = left and "start" or "end", bold = look.bold, colour = look.colour or colour, table = true})
  end
  y = y + pitch
  for k, column in ipairs(columns) do put(k, column[1], "grey") end
  c:line(o.left, y + 1.2, o.right, y + 1.2, {weight = "hair", colour = "grey", what = "table"})
  y = y + 0.8
  for _, row in ipairs(list) do
    y = y + pitch
    for k in ipairs(columns) do put(k, row[k]) end
  end
  return y
end

return rows
