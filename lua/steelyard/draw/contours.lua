--- Lines of one value over a grid of numbers, and what lies above it, by marching squares.
--
-- A grid is {xs =, ys =, rows = by number of y a list by number of x, false where it is not known}, places in order. Cells of which a
-- corner is not known have no lines, and what is not known lies above nothing.

local contours = {}

local BELOW = -math.huge

-- Where between two corners the level is met: the middle where one is not known.
local function share(a, b, level)
  if a == BELOW or b == BELOW then return a == BELOW and 1 or 0 end
  return (level - a) / (b - a)
end

-- Links pieces by the edges at their ends into lines; closed ones end where they begin.
local function link(pieces)
  local at, lines, used = {}, {}, {}
  for k, piece in ipairs(pieces) do
    for side = 1, 2 do
      local key = piece[side][3]
      at[key] = at[key] or {}
      table.insert(at[key], {k, side})
    end
  end
  local function follow(k, side, line) -- on from that end of a piece
    while true do
      local key, further = pieces[k][side][3], nil
      for _, entry in ipairs(at[key]) do if not used[entry[1]] then further = entry end end
      if not further then return line end
      k, side = further[1], 3 - further[2]
      used[k] = true
      line[#line + 1] = pieces[k][side]
    end
  end
  for k, piece in ipairs(pieces) do
    if not used[k] then
      used[k] = true
      local line = follow(k, 2, {piece[1], piece[2]})
      if line[#line][3] ~= line[1][3] then -- open: from its other end, too
        local back = follow(k, 1, {})
        for i = 1, #back // 2 do back[i], back[#back + 1 - i] = back[#back + 1 - i], back[i] end
        table.move(line, 1, #line, #back + 1, back)
        line = back
      end
      lines[#lines + 1] = line
    end
  end
  return lines
end

-- By which edges the level passes, bottom 1, right 2, top 3, left 4, by the corners that lie above: bottom left 1, bottom right 2, top
-- right 4, top left 8.
local passes = {[0] = {}, {{4, 1}}, {{1, 2}}, {{4, 2}}, {{2, 3}}, {{4, 1}, {2, 3}}, {{1, 3}}, {{4, 3}}, {{3, 4}}, {{3, 1}},
                {{1, 2}, {3, 4}}, {{3, 2}}, {{2, 4}}, {{2, 1}}, {{1, 4}}, {}}
local saddles = {[5] = {{4, 3}, {2, 1}}, [10] = {{1, 4}, {3, 2}}} -- where the middle lies above

-- Where the level passes an edge of the cell i, j whose corners are a, b, c, d, and a number that only this edge has.
local function crossing(xs, ys, i, j, corners, edge, level)
  local a, b, c, d = corners[1], corners[2], corners[3], corners[4]
  if edge == 1 or edge == 3 then
    local row = edge == 1 and j or j + 1
    local t = edge == 1 and share(a, b, level) or share(d, c, level)
    return {xs[i] + t * (xs[i + 1] - xs[i]), ys[row], 2 * (row * #xs + i)}
  end
  local column = edge == 4 and i or i + 1
  local t = edge == 4 and share(a, d, level) or share(b, c, level)
  return {xs[column], ys[j] + t * (ys[j + 1] - ys[j]), 2 * (j * #xs + column) + 1}
end

-- How many of the levels, in order, lie at or below each number of a row; false where it is not known.
local function levels_below(row, n, levels)
  local list = {}
  for i = 1, n do
    local value, count = row[i], 0
    while value and levels[count + 1] and levels[count + 1] <= value do count = count + 1 end
    list[i] = value and count
  end
  return list
end

-- Pieces of lines in one cell at one level.
local function pieces_of(grid, i, j, corners, level, pieces)
  local a, b, c, d = corners[1], corners[2], corners[3], corners[4]
  local kind = (a >= level and 1 or 0) + (b >= level and 2 or 0) + (c >= level and 4 or 0) + (d >= level and 8 or 0)
  local list = passes[kind]
  if saddles[kind] and (a + b + c + d) / 4 >= level then list = saddles[kind] end
  for _, pair in ipairs(list) do
    pieces[#pieces + 1] = {crossing(grid.xs, grid.ys, i, j, corners, pair[1], level),
                           crossing(grid.xs, grid.ys, i, j, corners, pair[2], level)}
  end
end

-- By level the lines of all of them, from one pass over the cells: few levels pass through any one.
local function march(grid, levels)
  local by_level, rows = {}, grid.rows
  for k in ipairs(levels) do by_level[k] = {} end
  local m = #grid.xs
  local below = levels_below(rows[1], m, levels)
  for j = 1, #grid.ys - 1 do
    local above = levels_below(rows[j + 1], m, levels)
    local n_a, n_d = below[1], above[1]
    for i = 1, m - 1 do
      local n_b, n_c = below[i + 1], above[i + 1]
      if (n_a ~= n_b or n_a ~= n_c or n_a ~= n_d) and n_a and n_b and n_c and n_d then
        local corners = {rows[j][i], rows[j][i + 1], rows[j + 1][i + 1], rows[j + 1][i]}
        for k = math.min(n_a, n_b, n_c, n_d) + 1, math.max(n_a, n_b, n_c, n_d) do
          pieces_of(grid, i, j, corners, levels[k], by_level[k])
        end
      end
      n_a, n_d = n_b, n_c
    end
    below = above
  end
  for k, pieces in ipairs(by_level) do by_level[k] = link(pieces) end
  return by_level
end

--- The lines of levels in rising order: by level, lists of points {x, y}.
function contours.lines(grid, levels) return march(grid, levels) end

-- A closed loop without points that stand on the one before, nor on the straight line between their neighbours.
local function straightened(loop)
  local apart, list = {}, {}
  for i = 1, #loop - 1 do -- the last is the first
    local before = apart[#apart]
    if not (before and before[1] == loop[i][1] and before[2] == loop[i][2]) then apart[#apart + 1] = loop[i] end
  end
  local n = #apart
  if n > 1 and apart[n][1] == apart[1][1] and apart[n][2] == apart[1][2] then n = n - 1 end
  for i = 1, n do
    local p, before, after = apart[i], apart[(i - 2) % n + 1], apart[i % n + 1]
    local cross = (p[1] - before[1]) * (after[2] - before[2]) - (p[2] - before[2]) * (after[1] - before[1])
    if cross ~= 0 then list[#list + 1] = p end
  end
  return list
end

-- The grid with a ring round it, without width, that lies below all; what is not known lies there too.
local function ringed(grid)
  local m, n = #grid.xs, #grid.ys
  local xs, ys, rows, outer = {grid.xs[1]}, {grid.ys[1]}, {}, {}
  table.move(grid.xs, 1, m, 2, xs)
  table.move(grid.ys, 1, n, 2, ys)
  xs[m + 2], ys[n + 2] = grid.xs[m], grid.ys[n]
  for i = 1, m + 2 do outer[i] = BELOW end
  for j = 1, n do
    local row = {BELOW}
    for i = 1, m do row[i + 1] = grid.rows[j][i] or BELOW end
    row[m + 2] = BELOW
    rows[j + 1] = row
  end
  rows[1], rows[n + 2] = outer, outer
  return {xs = xs, ys = ys, rows = rows}
end

-- ---- closed along the edge of the grid ---------------------------------------------------------------------------------------------

local SAME = 1e-9 -- of a side: places on the edge nearer than that are one

-- How far round the edge a point on it lies, 0 to 4, clockwise from the least x and y: the left side, the top, the right side, the bottom.
local function round_edge(grid, p)
  local x1, x2, y1, y2 = grid.xs[1], grid.xs[#grid.xs], grid.ys[1], grid.ys[#grid.ys]
  if p[1] == x1 then return (p[2] - y1) / (y2 - y1) end
  if p[2] == y2 then return 1 + (p[1] - x1) / (x2 - x1) end
  if p[1] == x2 then return 2 + (y2 - p[2]) / (y2 - y1) end
  return 3 + (x2 - p[1]) / (x2 - x1)
end

local function corner_of(grid, k)
  local x1, x2, y1, y2 = grid.xs[1], grid.xs[#grid.xs], grid.ys[1], grid.ys[#grid.ys]
  local list = {{x1, y1}, {x1, y2}, {x2, y2}, {x2, y1}}
  return list[k % 4 + 1]
end

-- How far it is from one place on the edge to another, clockwise.
local function ahead(from, to)
  local far = (to - from) % 4
  return far > 4 - SAME and 0 or far
end

-- The open line that begins next on the edge after a place, and how far on.
local function next_start(starts, from)
  local best, least
  for k, start in ipairs(starts) do
    local far = ahead(from, start)
    if not least or far < least then best, least = k, far end
  end
  return best, least
end

-- Lines have what lies above on their right. So has the edge, clockwise: open ones are closed along it, from the end of each to where the
-- next one begins.
local function closed_along_edge(grid, lines, level)
  local loops, open, starts, used = {}, {}, {}, {}
  for _, line in ipairs(lines) do
    if line[1][3] == line[#line][3] then loops[#loops + 1] = line
    else open[#open + 1], starts[#starts + 1] = line, round_edge(grid, line[1]) end
  end
  for first in ipairs(open) do
    local loop, k = {}, first
    while not used[k] do
      used[k] = true
      table.move(open[k], 1, #open[k], #loop + 1, loop)
      local from = round_edge(grid, open[k][#open[k]])
      local far
      k, far = next_start(starts, from)
      for corner = math.floor(from) + 1, math.ceil(from + far) - 1 do loop[#loop + 1] = corner_of(grid, corner) end
    end
    if #loop > 0 then
      loop[#loop + 1] = loop[1]
      loops[#loops + 1] = loop
    end
  end
  if #open == 0 and grid.rows[1][1] >= level then
    loops[#loops + 1] = {corner_of(grid, 0), corner_of(grid, 1), corner_of(grid, 2), corner_of(grid, 3), corner_of(grid, 0)}
  end
  return loops
end

local function all_known(grid)
  for _, row in ipairs(grid.rows) do
    for i = 1, #grid.xs do if not row[i] then return false end end
  end
  return true
end

--- What lies at or above each of some levels in rising order, by level, as closed loops within the grid. lines: those of the same levels,
-- where they are at hand.
function contours.above(grid, levels, lines)
  local whole, list = all_known(grid), {}
  lines = whole and (lines or march(grid, levels)) or march(ringed(grid), levels)
  for k, level in ipairs(levels) do
    list[k] = {}
    for _, line in ipairs(whole and closed_along_edge(grid, lines[k], level) or lines[k]) do
      local loop = straightened(line)
      if #loop >= 3 then table.insert(list[k], loop) end
    end
  end
  return list
end

return contours
