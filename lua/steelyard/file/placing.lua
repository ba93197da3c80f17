--- Where a part of nested, turned groups lies in the file's own coordinates. Turn first, then shift.

local placing = {}

local ways = {
  forward = {1, 0, 0}, back = {-1, 0, 0}, left = {0, 1, 0}, right = {0, -1, 0}, up = {0, 0, 1}, down = {0, 0, -1},
}

--- Columns: the file's x, y, z in the library's frame (ISO 8855:2011: x forward, y left, z up).
function placing.matrix(axes)
  local columns = {ways[axes.x], ways[axes.y], ways[axes.z]}
  local m = {}
  for row = 1, 3 do m[row] = {columns[1][row], columns[2][row], columns[3][row]} end
  return m
end

--- Below 0 when the axes are left-handed.
function placing.determinant(m)
  return m[1][1] * (m[2][2] * m[3][3] - m[2][3] * m[3][2]) - m[1][2] * (m[2][1] * m[3][3] - m[2][3] * m[3][1])
    + m[1][3] * (m[2][1] * m[3][2] - m[2][2] * m[3][1])
end

local function multiply(a, b)
  local c = {}
  for i = 1, 3 do
    c[i] = {}
    for j = 1, 3 do c[i][j] = a[i][1] * b[1][j] + a[i][2] * b[2][j] + a[i][3] * b[3][j] end
  end
  return c
end

local function transpose(a)
  return {{a[1][1], a[2][1], a[3][1]}, {a[1][2], a[2][2], a[3][2]}, {a[1][3], a[2][3], a[3][3]}}
end

-- Rz(yaw) Ry(pitch) Rx(roll): roll lifts the left side, pitch puts the nose down, yaw turns it left (core/base/frame.h)
local function rotation(turned)
  local roll, pitch = math.rad(turned.left_up or 0), -math.rad(turned.nose_up or 0)
  local yaw = math.rad(turned.nose_left or 0)
  local cr, sr, cp, sp = math.cos(roll), math.sin(roll), math.cos(pitch), math.sin(pitch)
  local cy, sy = math.cos(yaw), math.sin(yaw)
  return multiply({{cy, -sy, 0}, {sy, cy, 0}, {0, 0, 1}},
    multiply({{cp, 0, sp}, {0, 1, 0}, {-sp, 0, cp}}, {{1, 0, 0}, {0, cr, -sr}, {0, sr, cr}}))
end

--- The placement of the file itself.
placing.top = {at = {0, 0, 0}}

--- Where `point` of a placement lies in the file's coordinates.
function placing.point(frame, point)
  local t, at = frame.turn, frame.at
  if not t then return {at[1] + point[1], at[2] + point[2], at[3] + point[3]} end
  local p = {}
  for i = 1, 3 do p[i] = at[i] + t[i][1] * point[1] + t[i][2] * point[2] + t[i][3] * point[3] end
  return p
end

--- The direction up as it is in a placement, along the file's axes; nil where the placement is not turned.
function placing.up(frame, axes)
  local t, up = frame.turn, {}
  if not t then return nil end
  for i, letter in ipairs {"x", "y", "z"} do
    local way = axes[letter]
    if way == "up" or way == "down" then
      for k = 1, 3 do up[k] = way == "up" and t[i][k] or -t[i][k] end
    end
  end
  return up
end

--- A direction in the file's coordinates as it is in something turned so; `turn` nil: not turned.
function placing.turned_back(turn, v)
  if not turn then return v end
  local w = {}
  for k = 1, 3 do w[k] = turn[1][k] * v[1] + turn[2][k] * v[2] + turn[3][k] * v[3] end
  return w
end

--- The placement of a group inside another. axes: the file's.
function placing.inside(frame, axes, at, turned)
  local turn = frame.turn
  if turned then
    local a = placing.matrix(axes)
    local own = multiply(transpose(a), multiply(rotation(turned), a)) -- the rotation in file coordinates
    turn = turn and multiply(turn, own) or own
  end
  return {at = placing.point(frame, at), turn = turn}
end

return placing
