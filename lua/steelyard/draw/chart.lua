--- Charts: axes with ticks at 1-2-5 steps, lines and dots in them, names at the ends of lines, limits with the bad side hatched, and rows
-- of bars from zero.
--
--   local p = chart.plan(c, {left =, right =, top =, bottom =, x = axis, y = axis, ends = words})
--   p:axes(), p:line(points, look), p:dot(x, y, look), p:band(points), p:level(y, look), p:limit(limit), p:ends(list)
-- Places of the box are mm of paper, all else is in the units of the axes; p.left, p.top, p.right, p.bottom is what they enclose, and
-- p:x(value), p:y(value) are places on the paper. What lies below is put down first: bands and fills, then axes, then lines.
--
-- An axis is {from =, to =, name = "front, %"} with
--   zero    true: it starts at zero
--   exact   true: it ends at from and to, not at the next ticks
--   least   the least it spans, so that what differs by less than can be printed is drawn level
--   ticks   list of {value, words} instead of steps
--   named   true: nobody expects it to start at zero, as of dates: it does not say that it does not

local canvas = require "steelyard.draw.canvas"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local chart = {}
local Plot = {}
Plot.__index = Plot

local SIZES = canvas.sizes
local ROW = 4.2
local UP, MIDDLE = 0.75 * SIZES.text, 0.36 * SIZES.text -- from the top of a line of text, from its middle, to its base line
local TICK, GAP = 1.2, 1      -- mm: of a tick mark, from it to its name
local AWAY = 2                -- mm from a plot to the names right of it
local DOT = 1.1               -- radius, mm
local EDGE = 0.2              -- mm: half the line round a bar, and a little
local HATCH, DEEP = 1.6, 2    -- mm: between lines of hatching, how deep it goes at a limit
local ROUNDING = 1 + 1e-9      -- of a width: words stand in as much as they take
local MOST = 6                -- ticks
local LEAST_STEPS = 3         -- between them
local LEAST_SHARE = 1e-3      -- of a value: the least an axis spans where nothing else is asked
local SLACK = 1e-9            -- of a step: a value that is a tick but for its last bits is one

-- ---- ticks ----------------------------------------------------------------------------------------------------------------------

-- Steps are whole numbers over or times powers of ten, so that ticks are the numbers that they are printed as.
local function each_step()
  local exponent, power = 12, 1e12
  local i, mantissas = 0, {1, 2, 5}
  return function()
    i = i + 1
    if i > 3 then
      i, exponent = 1, exponent - 1
      power = exponent >= 0 and power / 10 or power * 10
    end
    if exponent < -22 then return nil end
    local mantissa, e, p = mantissas[i], exponent, power
    return function(k) return e >= 0 and k * mantissa / p or k * mantissa * p end, e
  end
end

local function inside(low, high, value)
  local step, list = value(1), {}
  for k = math.ceil(low / step - SLACK), math.floor(high / step + SLACK) do list[#list + 1] = value(k) end
  return list
end

--- {from, to, ticks = 4 to 6 numbers, decimals}: an axis for numbers from low to high; o as an axis above. The ends are ticks, unless that
-- would leave three.
function chart.scale(low, high, o)
  o = o or {}
  if o.zero then low, high = math.min(low, 0), math.max(high, 0) end
  local least = o.least or math.max(math.abs(low), math.abs(high)) * LEAST_SHARE
  if least == 0 then least = 1 end
  if high - low < least then low, high = (low + high - least) / 2, (low + high + least) / 2 end
  local finer, finer_decimals -- the step before
  for value, exponent in each_step() do
    local step, decimals = value(1), math.max(0, exponent)
    local first, last = math.floor(low / step + SLACK), math.ceil(high / step - SLACK)
    if o.exact then first, last = math.ceil(low / step - SLACK), math.floor(high / step + SLACK) end
    if last - first < MOST then
      if last - first < (o.exact and 2 or LEAST_STEPS) and finer then
        return {from = low, to = high, ticks = inside(low, high, finer), decimals = finer_decimals}
      end
      local from, to = o.exact and low or value(first), o.exact and high or value(last)
      return {from = from, to = to, ticks = inside(from, to, value), decimals = decimals}
    end
    finer, finer_decimals = value, decimals
  end
end

local function ticks_of(axis)
  if axis.ticks then
    axis.low, axis.high, axis.marks = axis.from, axis.to, axis.ticks
    return
  end
  local scale = chart.scale(axis.from, axis.to, axis)
  axis.low, axis.high, axis.decimals, axis.marks = scale.from, scale.to, scale.decimals, {}
  for i, value in ipairs(scale.ticks) do axis.marks[i] = {value, words.set(text.fixed(value, scale.decimals))} end
end

-- In at most so many mm.
local function name_of(axis, most)
  local name = axis.name
  if not (axis.named or math.min(axis.low, axis.high) <= 0 and math.max(axis.low, axis.high) >= 0) then
    name = name .. ", scale does not start at 0"
    if canvas.width_of(name, SIZES.text) > most then name = axis.name .. ", not from 0" end
  end
  return canvas.cut(name, most, SIZES.text)
end

local function widest(list, size)
  local most = 0
  for _, one in ipairs(list or {}) do most = math.max(most, canvas.width_of(one, size or SIZES.text)) end
  return most
end

-- ---- the plot ---------------------------------------------------------------------------------------------------------------------

-- Widths that the ticks of y and the words right of a plot need; of the words at most a third of the box.
local function needed(o)
  local column = {}
  ticks_of(o.y)
  for i, mark in ipairs(o.y.marks) do column[i] = mark[2] end
  local third = (o.right - o.left) / 3
  return widest(column), o.ends and #o.ends > 0 and math.min(third, widest(o.ends) * ROUNDING) or 0
end

--- Plots that stand under one another get the same left and right ends: list of what chart.plan is given.
function chart.align(list)
  local column, beside = 0, 0
  for _, o in ipairs(list) do
    local one, other = needed(o)
    column, beside = math.max(column, one), math.max(beside, other)
  end
  for _, o in ipairs(list) do o.column, o.beside = column, beside end
end

--- See above. Of the words in o.ends (for p:ends) as much stands right of the plot as goes into a third of the box.
function chart.plan(c, o)
  local p = setmetatable({canvas = c, box = o, axis = {x = o.x, y = o.y}}, Plot)
  ticks_of(o.x)
  local column, beside = needed(o)
  column, p.beside = math.max(column, o.column or 0), math.max(beside, o.beside or 0)
  local first, last = o.x.marks[1], o.x.marks[#o.x.marks]
  local half_first = first and canvas.width_of(first[2], SIZES.text) / 2 or 0
  local half_last = last and canvas.width_of(last[2], SIZES.text) / 2 or 0
  p.left = o.left + math.max(column + TICK + GAP, half_first)
  p.right = o.right - math.max(p.beside > 0 and p.beside + AWAY or 0, half_last)
  p.top = o.top + (o.y.name and ROW + 1.4 or 1.5)
  p.bottom = o.bottom - TICK - GAP - (o.x.name and 2 or 1) * ROW
  return p
end

function Plot:x(value)
  local axis = self.axis.x
  return self.left + (value - axis.low) / (axis.high - axis.low) * (self.right - self.left)
end

function Plot:y(value)
  local axis = self.axis.y
  return self.bottom - (value - axis.low) / (axis.high - axis.low) * (self.bottom - self.top)
end

-- Names of ticks that would touch: every second, every third, the last among them.
local function every(place, marks)
  for n = 1, #marks do
    local clear, right_end = true, -math.huge
    for i = #marks - (#marks - 1) // n * n, #marks, n do
      local half = canvas.width_of(marks[i][2], SIZES.text) / 2
      local x = place(marks[i][1])
      clear = clear and x - half >= right_end + 1.5
      right_end = x + half
    end
    if clear then return n end
  end
  return math.max(1, #marks)
end

-- The ticks and names of a level axis below a line at o.y, with its own name; gives the y of its lower end. x: place of a value. o.left,
-- o.right: of what it belongs to, o.most: room for its name.
local function draw_scale(c, axis, x, o)
  local n, base = every(x, axis.marks), o.y + TICK + GAP + UP
  for i, mark in ipairs(axis.marks) do
    local at = x(mark[1])
    c:line(at, o.y, at, o.y + TICK, {weight = "fine", what = "tick x", only_on_paper = true})
    if (#axis.marks - i) % n == 0 then c:text(at, base, mark[2], {anchor = "middle"}) end
  end
  if axis.name then
    base = base + ROW
    local name = name_of(axis, o.most)
    c:text(math.max(o.right, o.left + canvas.width_of(name, SIZES.text)), base, name, {anchor = "end", colour = "grey"})
  end
  return base + SIZES.text - UP
end

--- Draws both axes; o.grid: pale lines at the ticks of y. The axis of y stands left, that of x at the bottom.
function Plot:axes(o)
  local c, x, y = self.canvas, self.axis.x, self.axis.y
  c:view()
  local line = {weight = "body", what = "axis"}
  for _, mark in ipairs(y.marks) do
    local at = self:y(mark[1])
    if o and o.grid and at < self.bottom - 0.1 then
      c:line(self.left, at, self.right, at, {weight = "hair", colour = "pale", what = "grid", only_on_paper = true})
    end
    c:line(self.left - TICK, at, self.left, at, {weight = "fine", what = "tick y", only_on_paper = true})
    c:text(self.left - TICK - GAP, at + MIDDLE, mark[2], {anchor = "end"})
  end
  c:line(self.left, self.top, self.left, self.bottom, line)
  c:line(self.left, self.bottom, self.right, self.bottom, line)
  local room = self.box.right - self.box.left
  if y.name then c:text(self.box.left, self.box.top + UP, name_of(y, room), {colour = "grey"}) end
  draw_scale(c, x, function(value) return self:x(value) end, {left = self.box.left, right = self.right, y = self.bottom, most = room})
end

-- ---- in it ------------------------------------------------------------------------------------------------------------------------

--- A line through points {x, y}; where y is nil or no number it has a gap.
function Plot:line(points, look)
  local run = {}
  local function close()
    if #run > 1 then self.canvas:path(run, look) end
    run = {}
  end
  for i = 1, #points do
    local point = points[i]
    if point[2] and point[2] == point[2] then run[#run + 1] = {self:x(point[1]), self:y(point[2])} else close() end
  end
  close()
end

--- A dot, solid: what is; o.hollow: what is predicted or another run. o.colour, o.r, o.what
function Plot:dot(x, y, o)
  o = o or {}
  self.canvas:circle(self:x(x), self:y(y), o.r or DOT, {weight = o.weight or "body", colour = o.colour,
    fill = o.hollow and "white" or o.colour or "ink", what = o.what or "dot", mark = o.hollow and "o" or "*"})
end

--- 95 % limits: points {x, low, high}, washed between dotted edges; edge: another look of these.
function Plot:band(points, what, edge)
  local loop, low, high = {}, {}, {}
  for i, point in ipairs(points) do
    low[i], high[i] = {self:x(point[1]), self:y(point[2])}, {self:x(point[1]), self:y(point[3])}
    loop[i] = low[i]
  end
  for i = #high, 1, -1 do loop[#loop + 1] = high[i] end
  self.canvas:loops({loop}, {fill = "wash", what = what or "band"})
  edge = edge or {weight = "fine", colour = "grey", dash = "dotted", only_on_paper = true}
  for _, path in ipairs{low, high} do self.canvas:path(path, edge).what = what or "band" end
end

--- A level line from axis to axis.
function Plot:level(y, look) self.canvas:line(self.left, self:y(y), self.right, self:y(y), look) end

-- ---- hatching ---------------------------------------------------------------------------------------------------------------------

-- The pieces of a straight line outside of boxes {left, top, right, bottom}.
local function outside(pieces, boxes)
  for _, box in ipairs(boxes or {}) do
    local kept = {}
    for _, piece in ipairs(pieces) do
      local p, q = piece[1], piece[2]
      local dx, dy, t1, t2 = q[1] - p[1], q[2] - p[2], 0, 1
      for _, edge in ipairs{{-dx, p[1] - box[1]}, {dx, box[3] - p[1]}, {-dy, p[2] - box[2]}, {dy, box[4] - p[2]}} do
        if edge[1] == 0 then
          if edge[2] <= 0 then t2 = -1 end
        elseif edge[1] < 0 then t1 = math.max(t1, edge[2] / edge[1])
        else t2 = math.min(t2, edge[2] / edge[1]) end
      end
      if t1 >= t2 then
        kept[#kept + 1] = piece
      else
        local function at(t) return {p[1] + t * dx, p[2] + t * dy} end
        if t1 > 0 then kept[#kept + 1] = {p, at(t1)} end
        if t2 < 1 then kept[#kept + 1] = {at(t2), q} end
      end
    end
    pieces = kept
  end
  return pieces
end

--- A line through points on the paper, left out in boxes, where words stand.
function chart.path_around(c, points, boxes, look)
  local run = {}
  local function close()
    if #run > 1 then c:path(run, look) end
    run = {}
  end
  for i = 1, #points - 1 do
    for _, piece in ipairs(outside({{points[i], points[i + 1]}}, boxes)) do
      if run[#run] ~= piece[1] then
        close()
        run = {piece[1]}
      end
      run[#run + 1] = piece[2]
    end
  end
  close()
end

--- Lines across closed loops on the paper, rising to the right; not in o.boxes. o.apart, mm; o.colour, o.what
function chart.hatch(c, loops, o)
  o = o or {}
  local apart, low, high = (o.apart or HATCH) * math.sqrt(2), math.huge, -math.huge
  for _, loop in ipairs(loops) do
    for _, p in ipairs(loop) do low, high = math.min(low, p[1] + p[2]), math.max(high, p[1] + p[2]) end
  end
  local pieces = {}
  for k = math.ceil(low / apart), math.floor(high / apart) do
    local sum, cuts = k * apart, {} -- on the line x + y = sum
    for _, loop in ipairs(loops) do
      for i, p in ipairs(loop) do
        local q = loop[i % #loop + 1]
        local a, b = p[1] + p[2] - sum, q[1] + q[2] - sum
        if (a < 0) ~= (b < 0) then cuts[#cuts + 1] = p[1] + a / (a - b) * (q[1] - p[1]) end
      end
    end
    table.sort(cuts)
    for i = 1, #cuts - 1, 2 do
      local whole = {{cuts[i], sum - cuts[i]}, {cuts[i + 1], sum - cuts[i + 1]}}
      for _, piece in ipairs(outside({whole}, o.boxes)) do pieces[#pieces + 1] = piece end
    end
  end
  if #pieces > 0 then
    c:loops(pieces, {closed = false, weight = "hair", colour = o.colour or "grey", what = o.what or "hatch",
                     only_on_paper = o.only_on_paper})
  end
end

--- A limit as a line with its bad side hatched: {x = or y = value, bad = "above" or "below", what =, top = mm on the paper, where one that
-- is upright ends}; x is upright. Nothing where it is not on the axis, which gives false.
function Plot:limit(limit)
  local c, above = self.canvas, limit.bad == "above"
  local upright = limit.x ~= nil
  local axis = self.axis[upright and "x" or "y"]
  local value = upright and limit.x or limit.y
  if value < axis.low or value > axis.high then return false end
  local x1, y1, x2, y2 = self.left, limit.top or self.top, self.right, self.bottom
  if upright then
    local x = self:x(value)
    c:line(x, y1, x, y2, {weight = "body", what = limit.what or "limit"})
    if above then x1, x2 = x, math.min(x2, x + DEEP) else x1, x2 = math.max(x1, x - DEEP), x end
  else
    local y = self:y(value)
    c:line(x1, y, x2, y, {weight = "body", what = limit.what or "limit"})
    if above then y1, y2 = math.max(y1, y - DEEP), y else y1, y2 = y, math.min(y2, y + DEEP) end
  end
  if x2 - x1 > 0.5 and y2 - y1 > 0.5 then
    chart.hatch(c, {{{x1, y1}, {x2, y1}, {x2, y2}, {x1, y2}}}, {colour = "ink", what = "hatch", only_on_paper = true})
  end
  return true
end

-- ---- names at the ends of lines ------------------------------------------------------------------------------------------------------

--- Places in one column, as near to what each wants as goes with `apart` between neighbours: runs that push one another stand about their
-- mean. wanted: numbers in order; low, high: where they may be.
function chart.spread(wanted, apart, low, high)
  local runs = {}
  for i, y in ipairs(wanted) do
    local run = {sum = y - (i - 1) * apart, n = 1}
    while runs[1] and runs[#runs].sum / runs[#runs].n > run.sum / run.n do
      local last = table.remove(runs)
      run = {sum = run.sum + last.sum, n = run.n + last.n}
    end
    runs[#runs + 1] = run
  end
  local places, i = {}, 0
  for _, run in ipairs(runs) do
    for _ = 1, run.n do
      i = i + 1
      local least, most = low + (i - 1) * apart, high - (#wanted - i) * apart
      places[i] = math.max(least, math.min(most, run.sum / run.n + (i - 1) * apart))
    end
  end
  return places
end

--- Names right of the plot, each at the height of what it names: list of {x =, y =, words =, bold =, colour =}. One that had to move, or
-- whose line ends earlier, has a leader.
function Plot:ends(list)
  local c, sorted, wanted = self.canvas, {}, {}
  for i, one in ipairs(list) do sorted[i] = {one = one, y = self:y(one.y), order = i} end
  table.sort(sorted, function(a, b)
    if a.y ~= b.y then return a.y < b.y end
    return a.order < b.order
  end)
  for i, entry in ipairs(sorted) do wanted[i] = entry.y end
  local places = chart.spread(wanted, ROW, self.top, math.max(self.bottom, self.top + (#list - 1) * ROW))
  for i, entry in ipairs(sorted) do
    local one, x = entry.one, entry.one.x and self:x(entry.one.x) or self.right
    local moved = math.abs(places[i] - entry.y) > 0.8
    if moved or x < self.right - 2 then
      c:path({{x + (moved and 0.4 or 1.6), entry.y}, {math.max(x, self.right) + AWAY - 0.5, places[i]}},
             {weight = "hair", colour = "grey", what = "leader", only_on_paper = true})
    end
    local shown = canvas.cut(one.words, self.box.right - self.right - AWAY, SIZES.text, one.bold)
    c:text(self.right + AWAY, places[i] + MIDDLE, shown, {bold = one.bold, colour = one.colour, label = true})
  end
end

-- ---- rows of bars ---------------------------------------------------------------------------------------------------------------------

local PITCH, THICK = 5.2, 3 -- mm from row to row, of a bar
local SECOND = 3.4          -- more, where rows have a second line
local FINE_HATCH = 1        -- in a bar, mm
local NAMES = 0.42          -- of the width: the most that names take

-- Widths of the columns of names and numbers.
local function columns_of(o)
  local names, values = math.max(o.names or 0, canvas.width_of(o.name or "", SIZES.text)), canvas.width_of(o.value or "", SIZES.text)
  for _, row in ipairs(o.rows) do
    names = math.max(names, canvas.width_of(row.words, SIZES.text, row.bold), canvas.width_of(row.under or "", SIZES.small))
    values = math.max(values, row.value and canvas.width_of(row.value, SIZES.text, row.bold) or 0)
  end
  return math.min((o.share or NAMES) * (o.right - o.left), names * ROUNDING), values
end

--- How wide the names of such rows are, mm.
function chart.name_width(o) return (columns_of(o)) end

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
      chart.hatch(c, {{{x1, y - half}, {x2, y - half}, {x2, y + half}, {x1, y + half}}},
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
function chart.bars(c, o)
  local axis, pitch = o.axis, PITCH
  for _, row in ipairs(o.rows) do pitch = row.under and PITCH + SECOND or pitch end
  if axis.zero == nil then axis.zero = true end
  ticks_of(axis)
  local name_width, value_width = columns_of(o)
  local b = {left = o.left + name_width + 3, right = o.right - (value_width > 0 and value_width + 3 or 4), top = o.top, rows = {}}
  function b.x(value) return b.left + (value - axis.low) / (axis.high - axis.low) * (b.right - b.left) end
  if o.name or o.value then
    if o.name then c:text(o.left, b.top + UP, canvas.cut(o.name, name_width, SIZES.text), {colour = "grey"}) end
    if o.value then c:text(o.right, b.top + UP, o.value, {anchor = "end", colour = "grey"}) end
    b.top = b.top + ROW + 0.6
  end
  b.bottom = b.top + #o.rows * pitch
  for _, mark in ipairs(axis.marks) do
    local x = b.x(mark[1])
    if mark[1] ~= 0 then c:line(x, b.top, x, b.bottom, {weight = "hair", colour = "pale", what = "grid", only_on_paper = true}) end
  end
  for i, row in ipairs(o.rows) do
    local y = b.top + (i - 0.5) * pitch
    b.rows[i] = y
    draw_row(c, b, row, y)
    local base = y + MIDDLE - (row.under and SECOND / 2 or 0)
    c:text(o.left, base, canvas.cut(row.words, name_width, SIZES.text, row.bold), {bold = row.bold, colour = row.colour})
    if row.under then
      c:text(o.left, base + SECOND, canvas.cut(row.under, name_width, SIZES.small), {size = SIZES.small, colour = "grey"})
    end
    if row.value then c:text(o.right, y + MIDDLE, row.value, {anchor = "end", bold = row.bold, colour = row.colour}) end
  end
  if axis.low <= 0 and axis.high >= 0 then c:line(b.x(0), b.top, b.x(0), b.bottom, {weight = "body", what = "zero"}) end
  return b, draw_scale(c, axis, b.x, {left = o.left, right = b.right, y = b.bottom, most = o.right - o.left})
end

return chart
