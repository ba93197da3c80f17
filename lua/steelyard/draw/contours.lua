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

local function march(xs, ys, rows, level)
  local pieces = {}
  for j = 1, #ys - 1 do
    local low, high = rows[j], rows[j + 1]
    local a, d = low[1], high[1]
    local over_a, over_d = a and a >= level, d and d >= level
    for i = 1, #xs - 1 do
      local b, c = low[i + 1], high[i + 1]
      local over_b, over_c = b and b >= level, c and c >= level
      -- most cells lie on one side of the level
      if (over_a ~= over_b or over_a ~= over_c or over_a ~= over_d) and a and b and c and d then
        local kind = (over_a and 1 or 0) + (over_b and 2 or 0) + (over_c and 4 or 0) + (over_d and 8 or 0)
        local list, corners = passes[kind], {a, b, c, d}
        if saddles[kind] and (a + b + c + d) / 4 >= level then list = saddles[kind] end
        for _, pair in ipairs(list) do
          pieces[#pieces + 1] = {crossing(xs, ys, i, j, corners, pair[1], level), crossing(xs, ys, i, j, corners, pair[2], level)}
        end
      end
      a, d, over_a, over_d = b, c, over_b, over_c
    end
  end
  return link(pieces)
end

--- The lines of a level: lists of points {x, y}.
function contours.lines(grid, level) return march(grid.xs, grid.ys, grid.rows, level) end

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

--- What lies at or above a level, as closed loops within the grid.
function contours.above(grid, level)
  grid.ringed = grid.ringed or ringed(grid)
  local loops = {}
  for _, line in ipairs(contours.lines(grid.ringed, level)) do
    local loop = straightened(line)
    if #loop >= 3 then loops[#loops + 1] = loop end
  end
  return loops
end

return contours
