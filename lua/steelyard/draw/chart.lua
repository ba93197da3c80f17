--- Charts: plots with two axes, lines and dots in them, names at the ends of lines, limits with the bad side hatched.
--
--   local p = chart.plan(c, {left =, right =, top =, bottom =, x = axis, y = axis, ends = words})
--   p:axes(), p:line(points, look), p:dot(x, y, look), p:band(points), p:level(y, look), p:limit(limit), p:ends(list)
-- Places of the box are mm of paper, all else is in the units of the axes (draw/axis.lua); p.left, p.top, p.right, p.bottom is what they
-- enclose, and p:x(value), p:y(value) are places on the paper. What lies below is put down first: bands and fills, then axes, then lines.

local axis = require "steelyard.draw.axis"
local canvas = require "steelyard.draw.canvas"
local hatching = require "steelyard.draw.hatching"

local chart = {scale = axis.scale, hatch = hatching.loops} -- what a picture with plots needs besides
local Plot = {}
Plot.__index = Plot

local SIZES = canvas.sizes
local ROW, UP, MIDDLE, TICK, GAP = axis.ROW, axis.UP, axis.MIDDLE, axis.TICK, axis.GAP
local AWAY = 2  -- mm from a plot to the names right of it
local TICK_NAME = 0.25 -- of the width: the most that a word under a tick takes
local DOT = 1.1 -- radius, mm
local DEEP = 2  -- mm: how deep hatching goes at a limit

local function widest(list, size)
  local most = 0
  for _, one in ipairs(list or {}) do most = math.max(most, canvas.width_of(one, size or SIZES.text)) end
  return most
end

-- ---- the plot ---------------------------------------------------------------------------------------------------------------------

-- Widths that the ticks of y and the words right of a plot need; of the words at most a third of the box.
local function needed(o)
  local column = {}
  axis.set(o.y)
  for i, mark in ipairs(o.y.marks) do column[i] = mark[2] end
  local third = (o.right - o.left) / 3
  return widest(column), o.ends and #o.ends > 0 and math.min(third, widest(o.ends) * axis.ROUNDING) or 0
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
  axis.set(o.x)
  for _, mark in ipairs(o.x.ticks or {}) do mark[2] = canvas.cut(mark[2], (o.right - o.left) * TICK_NAME, SIZES.text) end
  local column, beside = needed(o)
  column, p.beside = math.max(column, o.column or 0), math.max(beside, o.beside or 0)
  local first, last = o.x.marks[1], o.x.marks[#o.x.marks]
  local half_first = first and canvas.width_of(first[2], SIZES.text) / 2 or 0
  local half_last = last and canvas.width_of(last[2], SIZES.text) / 2 or 0
  p.left = o.left + math.max(column + TICK + GAP, half_first)
  p.right = o.right - math.max(p.beside > 0 and p.beside + AWAY or 0, half_last)
  p.top = o.top + (o.y.name and ROW + 1.4 or 1.5)
  p.bottom = o.bottom - (o.x.silent and 0 or TICK + GAP + (o.x.name and 2 or 1) * ROW)
  return p
end

function Plot:x(value)
  local a = self.axis.x
  return self.left + (value - a.low) / (a.high - a.low) * (self.right - self.left)
end

function Plot:y(value)
  local a = self.axis.y
  return self.bottom - (value - a.low) / (a.high - a.low) * (self.bottom - self.top)
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
  if y.name then c:text(self.box.left, self.box.top + UP, axis.name_of(c, y, room), {colour = "grey"}) end
  if x.silent then return end
  axis.draw_level(c, x, function(value) return self:x(value) end, {left = self.box.left, right = self.right, y = self.bottom, most = room})
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

--- A limit as a line with its bad side hatched: {x = or y = value, bad = "above" or "below", what =, top = mm on the paper, where one that
-- is upright ends}; x is upright. Nothing where it is not on the axis, which gives false.
function Plot:limit(limit)
  local c, above = self.canvas, limit.bad == "above"
  local upright = limit.x ~= nil
  local a = self.axis[upright and "x" or "y"]
  local value = upright and limit.x or limit.y
  if value < a.low or value > a.high then return false end
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
    hatching.loops(c, {{{x1, y1}, {x2, y1}, {x2, y2}, {x1, y2}}}, {colour = "ink", what = "hatch", only_on_paper = true})
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

return chart
