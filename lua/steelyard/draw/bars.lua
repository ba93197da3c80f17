--- Rows of level bars on one axis, each with its name and its number.

local axis = require "steelyard.draw.axis"
local canvas = require "steelyard.draw.canvas"
local hatching = require "steelyard.draw.hatching"

local bars = {}

local SIZES = canvas.sizes
local PITCH, THICK = 5.2, 3 -- mm from row to row, of a bar
local SECOND = 3.4          -- more, where rows have a second line
local FINE_HATCH = 1        -- in a bar, mm
local NAMES = 0.42          -- of the width: the most that names take
local EDGE = 0.2            -- mm: half the line round a bar, and a little

-- Widths of the columns of names and numbers.
local function columns_of(o)
  local names, values = math.max(o.names or 0, canvas.width_of(o.name or "", SIZES.text)), canvas.width_of(o.value or "", SIZES.text)
  for _, row in ipairs(o.rows) do
    names = math.max(names, canvas.width_of(row.words, SIZES.text, row.bold), canvas.width_of(row.under or "", SIZES.small))
    values = math.max(values, row.value and canvas.width_of(row.value, SIZES.text, row.bold) or 0)
  end
  return math.min((o.share or NAMES) * (o.right - o.left), names * axis.ROUNDING), values
end

--- How wide the names of such rows are, mm.
function bars.name_width(o) return (columns_of(o)) end

local function draw_row(c, b, row, y)
  for _, bar in ipairs(row.bars) do
    local x1, x2, half = b.x(math.min(bar.from, bar.to)), b.x(math.max(bar.from, bar.to)), (bar.thick or THICK) / 2
    local fill = bar.fill or "ink"
    c:box(x1, y - half, x2, y + half, {fill = fill, weight = bar.weight or "fine", colour = bar.colour, dash = bar.dash,
                                       what = bar.what or "bar " .. row.words, only_on_paper = true})
    if x2 > x1 then -- in its own colour, clear of its edges: what a terminal shows, = solid and - open
      local clear = math.min(EDGE, (x2 - x1) / 3)
      c:line(x1 + clear, y, x2 - clear, y, {weight = fill ~= "white" and "ground" or "fine", colour = fill, what = "inside"})
    end
    if bar.hatch then
      hatching.loops(c, {{{x1, y - half}, {x2, y - half}, {x2, y + half}, {x1, y + half}}},
                  {colour = bar.colour or "ink", apart = FINE_HATCH, only_on_paper = true})
    end
  end
end

--- Level bars on one axis, a row each, with their names left and their numbers right-aligned in a column of their own:
-- o = {left, right, top, rows = list of {words =, under = a second line or nil, value = "12.3" or nil, bars = list of {from =, to =,
--      look...}, bold =}, axis = axis, name = heading of the names, value = heading of the numbers,
--      share = of the width: the most that names take, names = mm: the least}
-- Gives {x = function(value), rows = list of y of the middles, left, right, top, bottom}, and the y of the lower end, below the axis.
-- The axis holds what its from and to say and zero, unless o.axis.zero is false.
function bars.draw(c, o)
  local a, pitch = o.axis, PITCH
  for _, row in ipairs(o.rows) do pitch = row.under and PITCH + SECOND or pitch end
  if a.zero == nil then a.zero = true end
  axis.set(a)
  local name_width, value_width = columns_of(o)
  local b = {left = o.left + name_width + 3, right = o.right - (value_width > 0 and value_width + 3 or 4), top = o.top, rows = {}}
  function b.x(value) return b.left + (value - a.low) / (a.high - a.low) * (b.right - b.left) end
  if o.name or o.value then
    if o.name then c:text(o.left, b.top + axis.UP, canvas.cut(o.name, name_width, SIZES.text), {colour = "grey"}) end
    if o.value then c:text(o.right, b.top + axis.UP, o.value, {anchor = "end", colour = "grey"}) end
    b.top = b.top + axis.ROW + 0.6
  end
  b.bottom = b.top + #o.rows * pitch
  for _, mark in ipairs(a.marks) do
    local x = b.x(mark[1])
    if mark[1] ~= 0 then c:line(x, b.top, x, b.bottom, {weight = "hair", colour = "pale", what = "grid", only_on_paper = true}) end
  end
  for i, row in ipairs(o.rows) do
    local y = b.top + (i - 0.5) * pitch
    b.rows[i] = y
    draw_row(c, b, row, y)
    local base = y + axis.MIDDLE - (row.under and SECOND / 2 or 0)
    c:text(o.left, base, canvas.cut(row.words, name_width, SIZES.text, row.bold), {bold = row.bold, colour = row.colour})
    if row.under then
      c:text(o.left, base + SECOND, canvas.cut(row.under, name_width, SIZES.small), {size = SIZES.small, colour = "grey"})
    end
    if row.value then c:text(o.right, y + axis.MIDDLE, row.value, {anchor = "end", bold = row.bold, colour = row.colour}) end
  end
  if a.low <= 0 and a.high >= 0 then c:line(b.x(0), b.top, b.x(0), b.bottom, {weight = "body", what = "zero"}) end
  return b, axis.draw_level(c, a, b.x, {left = o.left, right = b.right, y = b.bottom, most = o.right - o.left})
end

return bars
