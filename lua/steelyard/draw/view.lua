--- From a scene to the plane of a picture: u to the right and v up, mm on the car.
--
-- side   u behind the front axle, v above the ground: front to the left
-- plan   u behind the front axle, v to the right of the centre plane: the car as the side view has it, from above
-- front  u to the left of the centre plane, v above the ground: as somebody sees it who stands before the car
-- floor  u to the right of the centre plane, v ahead of the front axle: the plan for who stands behind the car, its left on the left
-- rear   u to the right of the centre plane, v above the ground: as seen from behind

local view = {}

local ways = {
  side = {u = {"forward", -1}, v = {"up", 1}},
  plan = {u = {"forward", -1}, v = {"left", -1}},
  front = {u = {"left", 1}, v = {"up", 1}},
  floor = {u = {"left", -1}, v = {"forward", 1}, outlines = "plan", swapped = true},
  rear = {u = {"left", -1}, v = {"up", 1}, outlines = "front"},
}

-- The file's coordinate along one of its axes, as forward, left or up.
local function inward(axis, value) return axis.sign * (value - axis.zero) end

local Look = {}
Look.__index = Look

--- What a point {x, y, z} of the scene is in the picture.
function Look:point(p)
  local u, v = self.u_axis, self.v_axis
  return self.u_sign * inward(u, p[u.axis]), self.v_sign * inward(v, p[v.axis])
end

--- The same of a list of loops of the outline `look.outlines`; `first` of a pair {a, b} lies along the axis that
-- runs fore-aft, or across in the front view.
function Look:loops(loops)
  local list = {}
  local u_by, u_zero = self.u_sign * self.u_axis.sign, self.u_axis.zero
  local v_by, v_zero = self.v_sign * self.v_axis.sign, self.v_axis.zero
  for i, loop in ipairs(loops) do
    local points = {}
    if self.swapped then
      for k, p in ipairs(loop) do points[k] = {u_by * (p[2] - u_zero), v_by * (p[1] - v_zero)} end
    else
      for k, p in ipairs(loop) do points[k] = {u_by * (p[1] - u_zero), v_by * (p[2] - v_zero)} end
    end
    list[i] = points
  end
  return list
end

--- Degrees counter-clockwise in the picture, of an angle from the first axis of the file towards the second.
function Look:turn(deg)
  local flipped = self.u_sign * self.u_axis.sign * self.v_sign * self.v_axis.sign < 0
  if self.swapped then return flipped and 90 + deg or 90 - deg end
  return flipped and -deg or deg
end

function view.of(scene, name)
  local way = ways[name]
  return setmetatable({name = name, u_axis = scene.axes[way.u[1]], u_sign = way.u[2], v_axis = scene.axes[way.v[1]],
                       v_sign = way.v[2],
                       outlines = way.outlines or name, swapped = way.swapped}, Look)
end

--- How far the picture reaches: {u1, v1, u2, v2} round outlines, masses and wheels.
function view.range(scene, look)
  local r = {u1 = math.huge, v1 = math.huge, u2 = -math.huge, v2 = -math.huge}
  local function grow(u, v)
    r.u1, r.v1, r.u2, r.v2 = math.min(r.u1, u), math.min(r.v1, v), math.max(r.u2, u), math.max(r.v2, v)
  end
  local from, to = {}, {}
  for letter, range in pairs(scene.extent) do from[letter], to[letter] = range.from, range.to end
  grow(look:point(from))
  grow(look:point(to))
  return r
end

return view
