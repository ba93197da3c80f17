--- A car that a scene has lifted or tilted, in the plane that shows the tilt: its outline, its wheels leaning with it, and places turned
-- back to where they stood level.

local figure = require "steelyard.draw.figure"
local view = require "steelyard.draw.view"

local turned = {}

local SIDES = 32    -- of a wheel as part of the car's outline

-- Places as they are lifted, turned back to where they stood level: about the pivot, clockwise as seen where the right end went up.
local function turner(f, lift, back)
  local pu, pv = f.look:point(lift.pivot)
  local up_on_right = lift.lifted == "rear" or lift.lifted == "right"
  local a = math.rad(lift.angle) * (up_on_right and 1 or -1) * (back and -1 or 1)
  local c, s = math.cos(a), math.sin(a)
  return function(u, v) return pu + (u - pu) * c - (v - pv) * s, pv + (u - pu) * s + (v - pv) * c end
end

local function cross(o, a, b) return (a[1] - o[1]) * (b[2] - o[2]) - (a[2] - o[2]) * (b[1] - o[1]) end

-- The convex hull of points, counter-clockwise (the monotone chain of Andrew).
local function hull_of(points)
  table.sort(points, function(a, b) return a[1] < b[1] or a[1] == b[1] and a[2] < b[2] end)
  local hull = {}
  local function half(first, last, step)
    local floor = #hull + 1
    for i = first, last, step do
      while #hull > floor and cross(hull[#hull - 1], hull[#hull], points[i]) <= 0 do hull[#hull] = nil end
      hull[#hull + 1] = points[i]
    end
    hull[#hull] = nil
  end
  half(1, #points, 1)
  half(#points, 1, -1)
  return hull
end

-- Corners of a wheel as seen along or across the car; one seen from behind leans with it.
function turned.wheel_corners(f, wheel)
  local u, v = f.look:point(wheel.at)
  local points = {}
  if f.name == "side" then
    for i = 1, SIDES do
      local a = 2 * math.pi * i / SIDES
      points[i] = {u + wheel.radius * math.cos(a), v + wheel.radius * math.sin(a)}
    end
    return points
  end
  local lu, lv = f.level(u, v)
  local _, crown = f.look:point(f.scene.lift.pivot)
  local half = figure.tyre_width(wheel) / 2
  local reach, list = math.min(half, crown), {{half, wheel.radius}, {-half, wheel.radius}}
  if crown == 0 then reach = half end
  for i = 0, crown > 0 and SIDES / 2 or 1 do -- the tread, rounded by its crown
    local across = reach * (2 * i / (crown > 0 and SIDES / 2 or 1) - 1)
    list[#list + 1] = {across, -wheel.radius + crown - math.sqrt(math.max(0, crown ^ 2 - across ^ 2))}
  end
  list[1][1], list[2][1] = reach, -reach
  for i, corner in ipairs(list) do points[i] = {f.lifted(lu + corner[1], lv + corner[2])} end
  return points
end

function turned.levelled(f, points)
  local list = {}
  for i, p in ipairs(points) do list[i] = {f.level(p[1], p[2])} end
  return list
end

-- The outline round all that has a shape, without the wheels, as it is lifted; of a car without shapes the line from wheel to wheel.
-- And the wheels, each once.
local function add_outline(f, scene)
  local points, seen = {}, {}
  f.only_wheel = figure.only_wheels(scene)
  for _, body in ipairs(scene.bodies) do
    local loops = body.outlines and not figure.is_wheel(f, body) and body.outlines[f.look.outlines]
    for _, loop in ipairs(loops and f.look:loops(loops) or {}) do table.move(loop, 1, #loop, #points + 1, points) end
  end
  f.wheels = {}
  for _, key in ipairs(figure.sorted_keys(scene.wheels)) do
    local u, v = f.look:point(scene.wheels[key].at)
    local spot = ("%.0f %.0f"):format(u, v)
    if not seen[spot] then f.wheels[#f.wheels + 1] = {middle = {u, v}, corners = turned.wheel_corners(f, scene.wheels[key])} end
    seen[spot] = true
  end
  f.shaped = #points > 2
  if not f.shaped then
    for i, wheel in ipairs(f.wheels) do points[i] = wheel.middle end
  end
  f.hull = #points > 2 and hull_of(points) or points
end

local function reach(f)
  local r = {u1 = math.huge, u2 = -math.huge, v1 = 0, v2 = -math.huge}
  local function grow(points)
    for _, p in ipairs(points) do
      r.u1, r.u2, r.v1, r.v2 = math.min(r.u1, p[1]), math.max(r.u2, p[1]), math.min(r.v1, p[2]), math.max(r.v2, p[2])
    end
  end
  local others = {}
  for _, body in ipairs(f.scene.bodies) do others[#others + 1] = not body.outlines and {f.look:point(body.at)} or nil end
  for _, point in ipairs(f.scene.points) do others[#others + 1] = {f.look:point(point.at)} end
  for _, points in ipairs{f.hull, turned.levelled(f, f.hull), others} do grow(points) end
  for _, wheel in ipairs(f.wheels) do
    grow(wheel.corners)
    grow(turned.levelled(f, wheel.corners))
  end
  return r
end

--- {scene, name, look, left, right, range, hull, wheels = {{middle, corners}}, level(u, v), lifted(u, v)}; name: "side", or "rear" from
-- behind.
function turned.plan(scene, name, o)
  local f = {scene = scene, name = name, look = view.of(scene, name), left = o.left, right = o.right}
  f.level, f.lifted = turner(f, scene.lift, true), turner(f, scene.lift)
  add_outline(f, scene)
  f.range = reach(f)
  return f
end

--- Chooses the scale for the room there is, mm, with `air` at both sides.
function turned.fit(f, air, tall)
  local r = f.range
  f.scale = figure.scale_for(r.u2 - r.u1, r.v2 - r.v1, f.right - f.left - 2 * air, tall)
  f.x0 = (f.left + f.right) / 2 - (r.u1 + r.u2) / 2 / f.scale
  f.height = (r.v2 - r.v1) / f.scale
end

--- Points of the figure on the paper.
function turned.paper(f, points)
  local loop = {}
  for i, p in ipairs(points) do loop[i] = {figure.x(f, p[1]), figure.y(f, p[2])} end
  return loop
end

--- What of a closed loop lies below a level; nil where nothing does.
function turned.below(points, level)
  local low = {}
  for i, p in ipairs(points) do
    local q = points[i % #points + 1]
    if p[2] <= level then low[#low + 1] = p end
    if (p[2] <= level) ~= (q[2] <= level) then
      local t = (p[2] - level) / (p[2] - q[2])
      low[#low + 1] = {p[1] + t * (q[1] - p[1]), level}
    end
  end
  return #low >= 3 and low or nil
end

return turned
