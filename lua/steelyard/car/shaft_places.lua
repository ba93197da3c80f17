--- Where the two joints of a shaft are in a car: what its parts and axles did since the file was drawn.

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local text = require "steelyard.print.text"

local places = {}

-- ---- vectors along forward, left, up --------------------------------------------------------------------------------

local function turned(frame, v)
  local r = {}
  for i = 1, 3 do r[i] = frame[3 * i - 2] * v[1] + frame[3 * i - 1] * v[2] + frame[3 * i] * v[3] end
  return r
end

--- A point as drawn, where the frame took it.
function places.went(frame, p)
  local q = turned(frame, p)
  for i = 1, 3 do q[i] = q[i] + frame[9 + i] end
  return q
end

--- What goes by the frame `b` and then by `a`.
function places.composed(a, b)
  local f, at = {}, places.went(a, {b[10], b[11], b[12]})
  for i = 0, 2 do
    for j = 1, 3 do
      f[3 * i + j] = a[3 * i + 1] * b[j] + a[3 * i + 2] * b[3 + j] + a[3 * i + 3] * b[6 + j]
    end
    f[10 + i] = at[i + 1]
  end
  return f
end

local function point(c, p) return {c.geometry:point_in(p[1], p[2], p[3])} end
local function vector(c, v) return {c.geometry:vector_in(v[1], v[2], v[3])} end

local STILL = {1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0}

-- ---- who carries a joint ----------------------------------------------------------------------------------------------

local WHOLE = 1 - 1e-9 -- fractions are decimal texts
--- The axle whose wheels carry the whole of a part, or nil; then whether they carry some of it.
function places.carried_by(c, node)
  local share, axle = 0, nil
  for _, entry in ipairs(node.unsprung or {}) do
    local index
    for i, a in ipairs(c.axles) do if a.name == entry.carrier then index = i end end
    for _, wheel in ipairs(c.geometry:wheels()) do if wheel.key == entry.carrier then index = wheel.axle end end
    if axle and axle ~= index then return nil, true end
    axle, share = index, share + entry.fraction
  end
  if share >= WHOLE then return axle, true end
  return nil, share > 0
end

local function side_of_piece(c, route)
  if #route <= 4 or c.shared.filed:item(route:sub(1, -5)).form ~= "pair" then return nil end
  return string.unpack("=I4", route, -4) == 0 and 1 or -1
end

--- The key of the wheel that carries the whole of a part: the one its line names, or of a pair that of the piece's side; nil of what the
-- wheels of an axle carry together.
function places.wheel_of(c, node, route)
  local axle, side = places.carried_by(c, node), side_of_piece(c, route)
  if not axle then return nil end
  for _, wheel in ipairs(c.geometry:wheels()) do
    if #node.unsprung == 1 and wheel.key == node.unsprung[1].carrier or wheel.axle == axle and wheel.side == side then return wheel.key end
  end
end

--- The piece of a pair on the side of a joint or point: each piece may have been moved alone. Its route and item as filed.
function places.own_piece(c, route, left)
  local item = c.shared.filed:item(route)
  if item.form ~= "pair" then return route, item end
  route = route .. string.pack("=I4", left >= 0 and 0 or 1)
  return route, c.shared.filed:item(route)
end

local function name_of(c, item) return item.name ~= "left" and item.name ~= "right" and item.name or c.shared.nodes[item.number].name end

--- Is the part that a point of the file is fixed to aboard? Yes for a point of the car itself. left: where the point lies, for a pair.
function places.point_is_aboard(c, named, left)
  local route = named.part and c.shared.filed:find(named.part)[1]
  if not route then return true end
  return c.now:item((places.own_piece(c, route, left))).aboard
end

-- Where the line of a tank places it, in a ledger: its middle, whatever it holds.
local function tank_place(c, ledger, route)
  local item = ledger:item(route)
  return {ledger:origin(route, c.geometry, loading.liquid_in(c, ledger, item, c.shared.nodes[item.number]))}
end

-- A ledger knows the CG of tank and liquid. What is fixed to a tank that holds another amount than filed stays with the tank.
local function with_tank(c, frame, route)
  local was, is = tank_place(c, c.shared.filed, route), tank_place(c, c.base, route)
  local went = turned(frame, was)
  for i = 1, 3 do frame[9 + i] = is[i] - went[i] end
  return frame
end

-- Where the edits took what is fixed to an item: the frame.
local function followed(c, route, item)
  local now = c.base:item(route)
  local filed_turn, now_turn = c.shared.nodes[item.number].turned, c.shared.nodes[now.number].turned
  if now.form ~= "part" or filed_turn == now_turn then filed_turn, now_turn = nil, nil end
  local frame = core.follow(c.shared.filed, c.base, route, c.turned and c.turned[route], filed_turn, now_turn)
  local tank = c.shared.nodes[item.number].kind == "tank" and item.number ~= now.number
  return tank and with_tank(c, frame, route) or frame
end

--- The same for what is fixed to a part at p (forward, left, up) as drawn, whatever state and heights, and the route of its piece; nil for
-- a part that is not there.
function places.drawn_frame(c, part, p)
  local route = c.shared.filed:find(part)[1]
  if not route then return nil end
  local item
  route, item = places.own_piece(c, route, p[2])
  return followed(c, route, item), route
end

--- Where things fixed to a part went, for one that lies at p (forward, left, up) as drawn: the frame, the axle that carries the whole
-- of it, whether wheels carry some of it, and the wheel if one carries the whole; nil and why not.
function places.part_frame(c, part, p)
  local route = c.shared.filed:find(part)[1]
  if not route then return nil, ("no part is called %q"):format(part) end
  local item
  route, item = places.own_piece(c, route, p[2])
  if not c.now:item(route).aboard then return nil, ("%s is not aboard in this state"):format(name_of(c, item)) end
  local frame = followed(c, route, item)
  local node = c.shared.nodes[item.number]
  local axle, some = places.carried_by(c, node)
  if c.heights_set and not axle then frame = places.composed(require("steelyard.car.ride_height").frame(c), frame) end
  return frame, axle, some, places.wheel_of(c, node, route)
end

--- The same of a wheel, by `wheel` of a joint or a place; then its axle.
function places.wheel_frame(c, joint)
  for _, wheel in ipairs(c.geometry:wheels()) do
    if wheel.key == joint.wheel then
      return {1, 0, 0, 0, 1, 0, 0, 0, 1, c.axles[wheel.axle].moved or 0, 0, 0}, wheel.axle
    end
  end
end

-- ---- joints -------------------------------------------------------------------------------------------------------------

-- Stated coordinates of the joint's place that are uncertain, as core.shaft takes them: each with the move of the joint by one standard
-- uncertainty.
local function errors_of(c, shaft, which, joint, frame)
  local list = {}
  for i = 1, 3 do
    local sd = joint.at_sd and joint.at_sd[i]
    if sd and sd > 0 then
      local way = {0, 0, 0}
      way[i] = sd
      list[#list + 1] = {key = ("%s %s %d"):format(shaft.name, which, i), value = joint.at[i], sd = sd,
                         move = turned(frame, vector(c, way)), outer = which == "outer"}
    end
  end
  return list
end

--- The axis of a joint along forward, left, up, where the frame took it.
function places.axis_of(c, shaft, joint, frame)
  local axis = joint.axis or shaft.axis
  if axis then axis = vector(c, axis)
  else axis = shaft.outer and shaft.outer.wheel and {0, 1, 0} or {1, 0, 0} end
  return turned(frame, axis)
end

local function find_joint(c, shaft, which)
  local joint = shaft[which]
  if not (joint and joint.at) then return nil, ("the place of the %s joint is not given"):format(which) end
  local filed = point(c, joint.at)
  local frame, axle, some = STILL
  if joint.part then
    frame, axle, some = places.part_frame(c, joint.part, filed)
    if not frame then return nil, axle end
    if some and (which == "inner" or not axle) then
      return nil, ("%s is carried by the wheels%s: %s"):format(joint.part, axle and "" or " in part",
        which == "inner" and "the inner joint is the one that stays with the body" or "how it moves with them is not known")
    end
  elseif joint.wheel then
    frame, axle = places.wheel_frame(c, joint)
  end
  return {at = places.went(frame, filed), filed = filed, axis = places.axis_of(c, shaft, joint, frame), axle = axle,
          errors = errors_of(c, shaft, which, joint, frame)}
end

-- How the outer joint goes with its wheel, as core.shaft wants it.
local function path_of(c, shaft, outer)
  local joint = shaft.outer
  if joint.path then
    local points = {}
    for i, line in ipairs(joint.path) do
      local p = point(c, {line[2], line[3], line[4]})
      points[i] = {line[1], p[1], p[2], p[3]}
    end
    return {points = points}
  elseif joint.pivot then
    return {at = outer.filed, pivot = point(c, joint.pivot), hinge = joint.hinge and vector(c, joint.hinge) or {1, 0, 0}}
  end
  return "vertical"
end

--- {inner = {at, axis, errors}, outer = the same, axle = index or nil, path}; nil and why when a joint is not known.
function places.find(c, shaft)
  local inner, why = find_joint(c, shaft, "inner")
  if not inner then return nil, why end
  local outer
  outer, why = find_joint(c, shaft, "outer")
  if not outer then return nil, why end
  return {inner = inner, outer = outer, axle = outer.axle, path = path_of(c, shaft, outer)}
end

--- "left", "right", or nil for a shaft along the middle.
function places.side(c, shaft)
  local joint = shaft.outer or shaft.inner
  if not (joint and joint.at) then return nil end
  for _, wheel in ipairs(c.geometry:wheels()) do
    if wheel.key == joint.wheel then return wheel.side > 0 and "left" or wheel.side < 0 and "right" or nil end
  end
  return nil
end

--- Where the outer joint lies from the inner one, across the shaft's own run: "20 behind, 5 up".
function places.offset(place)
  local d, words = {}, {{"ahead", "behind"}, {"left", "right"}, {"up", "down"}}
  for i = 1, 3 do d[i] = place.outer.at[i] - place.inner.at[i] end
  local run = 1
  for i = 2, 3 do if math.abs(d[i]) > math.abs(d[run]) then run = i end end
  local list = {}
  for i = 1, 3 do
    if i ~= run then
      local shown = text.worded(d[i], 0, words[i][1], words[i][2])
      if shown ~= "0" then list[#list + 1] = shown end
    end
  end
  return #list > 0 and table.concat(list, ", ") or "in line"
end

return places
