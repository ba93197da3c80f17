--- Lines cut at a window of the paper: a list of points {x, y} in, a list of such lists out.

local clip = {}

-- The part of a straight line inside a window, as two shares of it; nil outside (the way of Liang and Barsky).
local function inside(p, q, w)
  local dx, dy = q[1] - p[1], q[2] - p[2]
  local t1, t2 = 0, 1
  for _, edge in ipairs{{-dx, p[1] - w[1]}, {dx, w[3] - p[1]}, {-dy, p[2] - w[2]}, {dy, w[4] - p[2]}} do
    if edge[1] == 0 then
      if edge[2] < 0 then return nil end
    else
      local t = edge[2] / edge[1]
      if edge[1] < 0 then t1 = math.max(t1, t) else t2 = math.min(t2, t) end
    end
  end
  if t1 < t2 then return t1, t2 end
end

--- The pieces of a line that lie in the window {x1, y1, x2, y2}. closed: its ends are joined.
function clip.line(points, closed, window)
  local list, piece = {}, nil
  for i = 1, closed and #points or #points - 1 do
    local p, q = points[i], points[i % #points + 1]
    local t1, t2 = inside(p, q, window)
    if t1 then
      local dx, dy = q[1] - p[1], q[2] - p[2]
      if not (piece and t1 == 0) then
        piece = {{p[1] + t1 * dx, p[2] + t1 * dy}}
        list[#list + 1] = piece
      end
      piece[#piece + 1] = {p[1] + t2 * dx, p[2] + t2 * dy}
      if t2 < 1 then piece = nil end
    else
      piece = nil
    end
  end
  return list
end

return clip
