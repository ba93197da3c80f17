--- A canvas as text for a terminal: the same drawing on a grid of letters, one of which is half as wide as it is high.

local canvas = require "steelyard.draw.canvas"
local text_width = require "steelyard.print.width"

local terminal = {}

local function new_grid(c)
  local step = canvas.letter(c.width)
  return {columns = math.floor(c.width / step + 0.5), step = step, rows = {}, written = {}}
end

-- A letter must not depend on the last bits of a coordinate, which the file's axes and zeros have a hand in: places are taken to a
-- thousandth of a millimetre, and what lies on the edge of a cell to that belongs to the one behind it.
local GRAIN = 1e-3

local function grained(p) return {math.floor(p[1] / GRAIN + 0.5) * GRAIN, math.floor(p[2] / GRAIN + 0.5) * GRAIN} end

local function column_of(grid, x) return math.floor((x + GRAIN) / grid.step) + 1 end
local function row_of(grid, y) return math.floor((y + GRAIN) / (2 * grid.step)) + 1 end

local function set(grid, column, row, letter)
  if column < 1 or column > grid.columns or row < 1 then return end
  grid.rows[row] = grid.rows[row] or {}
  grid.rows[row][column] = letter
end

-- The letter that a line looks like on its way.
local function letter_of(dx, dy, item)
  if item.dash then return item.dash == "centre" and "." or ":" end
  if math.abs(dy) < 0.4 * math.abs(dx) then return item.weight and item.weight >= canvas.weights.ground and "=" or "-" end
  if math.abs(dx) < 0.4 * math.abs(dy) then return "|" end
  return (dx > 0) == (dy > 0) and "\\" or "/"
end

local function draw_line(grid, p, q, item)
  p, q = grained(p), grained(q)
  local dx, dy = q[1] - p[1], q[2] - p[2]
  local steps = math.max(1, math.ceil(math.max(math.abs(dx) / grid.step, math.abs(dy) / (2 * grid.step)) * 2))
  local letter = letter_of(dx, dy, item)
  for i = 0, steps do
    set(grid, column_of(grid, p[1] + dx * i / steps), row_of(grid, p[2] + dy * i / steps), letter)
  end
end

local SIDES = 24

local function draw_ellipse(grid, item)
  if item.long < grid.step then return set(grid, column_of(grid, item.x), row_of(grid, item.y), item.mark or "o") end
  local c, s, before = math.cos(math.rad(item.turn)), math.sin(math.rad(item.turn)), nil
  for i = 0, SIDES do
    local a = 2 * math.pi * i / SIDES
    local u, v = item.long * math.cos(a), item.short * math.sin(a)
    local p = {item.x + u * c + v * s, item.y - u * s + v * c}
    if before then draw_line(grid, before, p, item) end
    before = p
  end
end

local ASIDE, UP = 6, 2 -- letters and rows: how far a text goes out of the way of others

local function is_free(grid, row, at, columns)
  local written = grid.written[row]
  if not written then return true end
  for i = at - 1, at + columns do
    if written[i] then return false end
  end
  return true
end

-- The free place nearest to where a text belongs, in its own row if there is one; there where there is none.
local function place_of(grid, row, at, columns)
  local last = grid.columns - columns + 1
  for away = 0, UP do
    for _, other in ipairs(away == 0 and {row} or {row - away, row + away}) do
      for aside = 0, ASIDE do
        for _, start in ipairs{at + aside, at - aside} do
          if start >= 1 and start <= math.max(1, last) and other >= 1 and is_free(grid, other, start, columns) then return other, start end
        end
      end
    end
  end
  return row, at
end

local function draw_text(grid, item)
  local columns = text_width.of(item.words)
  local at = column_of(grid, item.x)
  if item.anchor == "end" then at = column_of(grid, item.x) - columns
  elseif item.anchor == "middle" then at = column_of(grid, item.x) - columns // 2 end
  local row
  row, at = place_of(grid, row_of(grid, item.y - 0.35 * item.size), math.max(1, math.min(at, grid.columns - columns + 1)), columns)
  grid.written[row] = grid.written[row] or {}
  local written = grid.written[row]
  for i = at, at + columns - 1 do written[i] = true end
  if not utf8.len(item.words) then return end
  for _, code in utf8.codes(item.words) do
    local letter = utf8.char(code)
    local wide = text_width.of(letter)
    if wide == 0 then -- a mark that belongs to the letter before
      local line = grid.rows[row]
      if line and line[at - 1] then line[at - 1] = line[at - 1] .. letter end
    else
      set(grid, at, row, letter)
      if wide == 2 then set(grid, at + 1, row, "") end
      at = at + wide
    end
  end
end

--- The drawing as lines, without blanks at their ends.
function terminal.of(c)
  local grid, last = new_grid(c), 0
  for _, item in ipairs(c.items) do
    if item.kind == "path" and item.weight and not item.only_on_paper then
      for _, loop in ipairs(item.loops) do
        for i = 1, #loop - 1 do draw_line(grid, loop[i], loop[i + 1], item) end
        if item.closed then draw_line(grid, loop[#loop], loop[1], item) end
      end
    elseif item.kind == "ellipse" and not item.only_on_paper then
      draw_ellipse(grid, item)
    end
  end
  for _, item in ipairs(c.items) do
    if item.kind == "text" then draw_text(grid, item) end
  end
  local first = math.huge
  for row in pairs(grid.rows) do first, last = math.min(first, row), math.max(last, row) end
  local lines = {}
  for row = first, last do
    local line = {}
    for column = 1, grid.columns do line[column] = grid.rows[row] and grid.rows[row][column] or " " end
    lines[#lines + 1] = table.concat(line):gsub(" +$", "")
  end
  return table.concat(lines, "\n")
end

return terminal
