--- The car behind a picture: pale outlines and its wheels to scale, without masses and names, whole or in a window of the paper.
--
-- backdrop.plan(scene, look, o) -> f with scale, x0 (of u = 0) and height; backdrop.put sets f.y0 (of v = 0). figure.x and
-- figure.y give places on the paper. look: a name of draw/view.lua.
--   o.left, o.right, o.tall   room on the paper, mm
--   o.air                     mm left free at both sides
--   o.also                    points {x, y, z} that must be seen, too
--   o.least                   the least figure of the scale: 5 for 1:5

local clip = require "steelyard.draw.clip"
local figure = require "steelyard.draw.figure"
local view = require "steelyard.draw.view"

local backdrop = {}

-- Tyres are as wide as the figure draws them.
local function reach_of_wheels(f)
  local r = f.range
  if f.name == "side" then return end
  for _, wheel in pairs(f.scene.wheels) do
    local u, v = f.look:point(wheel.at)
    local half = figure.tyre_width(wheel) / 2
    if f.name == "plan" then r.v1, r.v2 = math.min(r.v1, v - half), math.max(r.v2, v + half)
    else r.u1, r.u2 = math.min(r.u1, u - half), math.max(r.u2, u + half) end
  end
end

local function scale_from(least, span_u, span_v, wide, tall)
  local n = figure.scale_for(span_u, span_v, wide, tall)
  return math.max(n, least or 0)
end

--- See above.
function backdrop.plan(scene, name, o)
  local look = view.of(scene, name)
  local f = {scene = scene, name = name, look = look, left = o.left, right = o.right, range = view.range(scene, look)}
  reach_of_wheels(f)
  local r = f.range
  for _, p in ipairs(o.also or {}) do
    local u, v = look:point(p)
    r.u1, r.u2, r.v1, r.v2 = math.min(r.u1, u), math.max(r.u2, u), math.min(r.v1, v), math.max(r.v2, v)
  end
  if look.outlines ~= "plan" then r.v1 = math.min(r.v1, 0) end
  f.scale = scale_from(o.least, r.u2 - r.u1, r.v2 - r.v1, o.right - o.left - 2 * (o.air or 0), o.tall)
  f.x0 = (o.left + o.right) / 2 - (r.u1 + r.u2) / 2 / f.scale
  f.height = (r.v2 - r.v1) / f.scale
  return f
end

--- A look at the neighbourhood of points of the paper's plane: {u, v} in the middle of a window {x1, y1, x2, y2}.
function backdrop.window(scene, name, scale, middle, window)
  local f = {scene = scene, name = name, look = view.of(scene, name), scale = scale, window = window, left = window[1], right = window[3]}
  f.x0 = (window[1] + window[3]) / 2 - middle[1] / scale
  f.y0 = (window[2] + window[4]) / 2 + middle[2] / scale
  return f
end

--- Puts the car with its upper end at `top`; gives the y of its lower end.
function backdrop.put(f, top)
  f.y0 = top + f.range.v2 / f.scale
  return top + f.height
end

local function draw_loops(c, f, paper, o)
  if not f.window then return c:loops(paper, o) end
  local lines = {}
  for _, loop in ipairs(paper) do
    local pieces = clip.line(loop, true, f.window)
    table.move(pieces, 1, #pieces, #lines + 1, lines)
  end
  if #lines > 0 then c:lines(lines, o) end
end

--- Loops of the look, cut at the window if there is one.
function backdrop.outline(c, f, loops, o) draw_loops(c, f, figure.on_paper(f, loops), o) end

-- Do loops on the paper lie all on one side of the window?
local function beside(f, paper)
  local w, left, right, above, below = f.window, true, true, true, true
  for _, loop in ipairs(paper) do
    for _, p in ipairs(loop) do
      left, right = left and p[1] < w[1], right and p[1] > w[3]
      above, below = above and p[2] < w[2], below and p[2] > w[4]
      if not (left or right or above or below) then return false end
    end
  end
  return true
end

local SIDES = 72 -- of a wheel as a polygon

local function around(x, y, r)
  local points = {}
  for i = 1, SIDES do
    local a = 2 * math.pi * i / SIDES
    points[i] = {x + r * math.cos(a), y + r * math.sin(a)}
  end
  return points
end

local function draw_wheel(c, f, key, wheel, o)
  local u, v = f.look:point(wheel.at)
  local x, y, r = figure.x(f, u), figure.y(f, v), wheel.radius / f.scale
  local look = {weight = o.wheels or "wheel", colour = o.colour, what = "wheel " .. key}
  if f.name == "side" then
    if f.window then
      local lines = clip.line(around(x, y, r), true, f.window)
      if #lines > 0 then c:lines(lines, look) end
    else
      c:circle(x, y, r, look)
    end
    return
  end
  local half = figure.tyre_width(wheel) / 2 / f.scale
  local w, h = half, r
  if f.name == "plan" then w, h = r, half end
  local corners = {{x - w, y - h}, {x + w, y - h}, {x + w, y + h}, {x - w, y + h}}
  look.dash = not wheel.width and "dashed" or nil
  if f.window then
    local lines = clip.line(corners, true, f.window)
    if #lines > 0 then c:lines(lines, look) end
  else
    look.fill = "white"
    c:loops({corners}, look)
  end
end

--- Draws outlines and wheels. o.wheels: weight of the wheels' lines; o.colour: their colour; o.without: set of paths that are not drawn.
function backdrop.draw(c, f, o)
  o = o or {}
  local seen, spots = {}, {}
  f.only_wheel = figure.only_wheels(f.scene)
  for _, body in ipairs(f.scene.bodies) do
    local outline = body.outlines and body.outlines[f.look.outlines]
    local loops = outline and not (o.without and o.without[body.path]) and not figure.is_wheel(f, body) and f.look:loops(outline)
    local extent = loops and figure.extent_of(loops)
    local size = extent and extent.size / f.scale or 0
    local paper = size >= figure.LEAST and figure.on_paper(f, loops)
    if paper and not (f.window and beside(f, paper)) then
      local key = figure.key_of(f, extent, loops)
      if not seen[key] then
        draw_loops(c, f, paper, {weight = "fine", colour = "pale", what = "body " .. body.path, path = body.path,
                                       only_on_paper = size < 15})
      end
      seen[key] = true
    end
  end
  for _, key in ipairs(figure.sorted_keys(f.scene.wheels)) do
    local wheel = f.scene.wheels[key]
    local u, v = f.look:point(wheel.at)
    local spot = ("%.1f %.1f %.1f"):format(u, v, wheel.radius):gsub(",", ".")
    if not spots[spot] then draw_wheel(c, f, key, wheel, o) end
    spots[spot] = true
  end
end

return backdrop
