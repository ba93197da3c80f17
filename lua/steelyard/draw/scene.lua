--- car:scene{state =, pose =}: everything that a drawing of the car needs, as plain data: mm and kg along the file's axes.
--
-- A drawing is made from this and from results, and never asks the car. Outlines are closed loops of {a, b}: the file's coordinates along
-- the two axes that the view keeps, side {fore-aft, upright}, plan {fore-aft, across}, front {across, upright}; `axes` says which letters
-- these are. Geometry by core/shop/outline.h and cg_ellipse.h.

local axle_means = require "steelyard.car.axle_means"
local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local envelopes = require "steelyard.car.envelopes"
local held_liquid = require "steelyard.file.held_liquid"
local loading = require "steelyard.car.loading"
local named_places = require "steelyard.car.named_places"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local places = require "steelyard.car.shaft_places"
local poses = require "steelyard.shop.clearances.poses"
local sides = require "steelyard.file.sides"
local text = require "steelyard.print.text"

local scene = {}

local Scene = require("steelyard.reference.results").kind "scene"

scene.views = {"side", "plan", "front"}

--- Poses with one place for everything; those that go two ways are for clearances.
scene.poses = {"design", "as loaded", "bump", "front bump", "rear bump", "droop", "lift"}

local CHANCE = 0.95 -- of the ellipse
local LEVEL = 1e-6   -- of a turn: less has not leaned the tank

-- ---- places -----------------------------------------------------------------------------------------------------------------

local function out(c, p) return named_places.out(c, p) end

local function spread_out(c, sd)
  local x, y, z = c.geometry:vector_out(sd[1], sd[2], sd[3])
  return {x = math.abs(x), y = math.abs(y), z = math.abs(z)}
end

-- Where the pose takes an envelope: a frame. What the pose does not know stays as drawn.
local function frame_of(look, envelope)
  local ways = look.pose.road(envelope)
  return ways and ways[1] or poses.STILL
end

local function widen(range, value)
  if value < range.from then range.from = value end
  if value > range.to then range.to = value end
end

local function grow(extent, p)
  widen(extent.x, p.x)
  widen(extent.y, p.y)
  widen(extent.z, p.z)
end

-- ---- bodies -----------------------------------------------------------------------------------------------------------------

local function group_of(path) return path:match "^(.-)/" end

-- The level of what is in a tank, upright or leaning with the car: the surface from the tank's middle, which is where the frame takes its
-- own zero.
local function liquid_of(look, item, node, frame)
  local c = look.c
  local litres = held_liquid.litres(node, item.mass)
  local liquid = {litres = litres, capacity = node.capacity}
  local held = held_liquid.liquid(c.shared.spec, node, litres)
  if not held or litres <= 0 or not frame then return liquid end
  local leans = (math.abs(frame[9] - 1) > LEVEL and look.pose_name ~= "lift") or node.turned or node.up
  local up = look.pose_name == "lift" and {frame[7], frame[8], frame[9]} or {0, 0, 1}
  local rests = not leans and core.tank_liquid(held.shape, held.litres, up, c.geometry)
  local s = rests and rests.surface
  if s then
    local level = up[1] * s[1] + up[2] * s[2] + up[3] * s[3]
    liquid.level = out(c, {frame[10], frame[11], frame[12] + level})[look.letters.front[2]]
  end
  return liquid
end

local function outlines_of(look, part, body)
  local c = look.c
  body.outlines = {}
  for _, view in ipairs(look.views) do
    local loops, a_from, a_to, b_from, b_to = core.outline(part, c.geometry, view)
    body.outlines[view] = loops
    local a, b = look.extent[look.letters[view][1]], look.extent[look.letters[view][2]]
    widen(a, a_from)
    widen(a, a_to)
    widen(b, b_from)
    widen(b, b_to)
  end
end

-- "front corner/left": the path of what is around an item is known before it is.
local function path_of(look, item)
  local outer = look.paths[item.route:sub(1, -5)]
  return outer and outer .. "/" .. item.name or item.name
end

-- The axle whose wheels carry the whole of a part, false for any other.
local function carrier_of(look, node)
  local axle = look.carriers[node]
  if axle == nil then
    axle = places.carried_by(look.c, node) or false
    look.carriers[node] = axle
  end
  return axle
end

-- A round body with its axis across, carried whole by a wheel or by the axle of a single one, may be its tyre: diameter and width.
local function note_tyre(look, part, axle, wheel)
  if part.axis ~= 1 or part.kind ~= "cylinder" and part.kind ~= "tube" then return end
  local key = wheel or axle
  look.tyres[key] = look.tyres[key] or {}
  table.insert(look.tyres[key], {part[1], part.kind == "tube" and part[3] or part[2]})
end

local function body_of(look, item, node)
  local c, at = look.c, item.origin
  local path = path_of(look, item)
  local axle = node.unsprung and carrier_of(look, node)
  local wheel = axle and places.wheel_of(c, node, item.route) or nil
  local part = envelopes.piece_now(c, look.ledger, item)
  if axle and part then note_tyre(look, part, axle, wheel) end
  local function posed_frame(envelope)
    return frame_of(look, {part = envelope, axle = axle or nil, wheel = wheel, left = at[2], route = item.route})
  end
  local posed = look.pose_name == "design" and poses.STILL or posed_frame{kind = "points", points = {at}, frames = {}}
  local body = {path = path, name = node.name, group = group_of(path), kind = node.kind, basis = node.basis, mass = item.mass * item.count,
                pieces = item.count, at = out(c, posed == poses.STILL and at or places.went(posed, at)),
                sd_at = look.whole and spread_out(c, envelopes.uncertainties_of(c, node)) or nil,
                wheel = wheel, carried = axle and c.axles[axle].name or nil, pair = item.side, shape = node.shape and node.shape.kind}
  if part then
    if look.pose_name ~= "design" then part = envelopes.moved({part = part}, posed_frame(part)).part end
    outlines_of(look, part, body)
  end
  grow(look.extent, body.at)
  if node.kind == "tank" then
    local whole = part and part.frames[1]
    for i = 2, part and #part.frames or 1 do whole = places.composed(part.frames[i], whole) end
    body.liquid = liquid_of(look, item, node, whole)
  end
  return body
end

local function bodies_of(look)
  local list = {}
  for i, item in ipairs(look.items) do list[i] = body_of(look, item, look.c.shared.nodes[item.number]) end
  return list
end

-- ---- wheels, points, shafts, gaps ---------------------------------------------------------------------------------------------

-- The widest round body about a wheel that is larger than its rim can be: its tyre. nil without one.
local function width_of(look, wheel, radius)
  local widest
  local single = wheel.side == 0 and look.tyres[wheel.axle]
  for _, round in ipairs(look.tyres[wheel.key] or single or {}) do
    if round[1] > radius then widest = math.max(widest or 0, round[2]) end
  end
  return widest
end

local function wheels_of(look)
  local c, list = look.c, {}
  for _, wheel in ipairs(c.geometry:wheels()) do
    local radius = sides.number(c.axles[wheel.axle], wheel.side, "loaded_radius")
    local at = {wheel.forward, wheel.left, radius}
    local posed = frame_of(look, {part = {kind = "points", points = {at}, frames = {}}, axle = wheel.axle, wheel = wheel.key,
                                  left = wheel.left})
    local entry = {at = out(c, places.went(posed, at)), radius = radius, width = width_of(look, wheel, radius),
                   axle = c.axles[wheel.axle].name,
                   side = wheel.side > 0 and "left" or wheel.side < 0 and "right" or "middle"}
    list[wheel.key] = entry
    local half = (entry.width or 0) / 2
    for _, sign in ipairs{1, -1} do
      local by = {c.geometry:vector_out(sign * radius, sign * half, sign * radius)}
      grow(look.extent, {x = entry.at.x + by[1], y = entry.at.y + by[2], z = entry.at.z + by[3]})
    end
  end
  return list
end

local function axles_of(look, balance)
  local c, list = look.c, {}
  for i, ahead in ipairs(c.geometry:axle_lines()) do
    local name = c.axles[i].name
    list[i] = {name = name, at = out(c, {ahead, 0, 0})[look.letters.side[1]], load = balance.axle[name], sd = balance.sd.axle[name]}
  end
  return list
end

-- Points of a lifted car turn with it; in other poses they stay as drawn, as what carries them may be body or wheel.
local function points_of(c, lifted)
  local list = {}
  local frame = lifted and lifted.road()[1] or poses.STILL
  for _, point in ipairs(c.shared.spec.points or {}) do
    local fine, spot = pcall(named_places.find, c, point.name, "points")
    if fine then list[#list + 1] = {name = point.name, at = out(c, places.went(frame, spot.at))}
    elseif type(spot) ~= "table" or spot.code ~= "geometry" then error(spot, 0) end
  end
  return list
end

local function shafts_of(c)
  local list = {}
  for _, shaft in ipairs(c.shared.spec.shafts or {}) do
    local found = places.find(c, shaft)
    if found then list[#list + 1] = {name = shaft.name, inner = out(c, found.inner.at), outer = out(c, found.outer.at)} end
  end
  return list
end

local function gaps_of(c, self, pose)
  local list = {}
  if not c.shared.spec.clearances then return list end
  for i, row in ipairs(self:clearances{at = pose}) do
    list[i] = {name = row.name, a = row.a, b = row.b, gap = row.gap, asked = row.asked, status = row.status,
               at_a = row.nearest and row.nearest.a, at_b = row.nearest and row.nearest.b}
  end
  return list
end

-- ---- the CG -------------------------------------------------------------------------------------------------------------------

-- How far a pose carries the CG, by what each body weighs.
local function carried(look, bodies)
  local by, mass = {x = 0, y = 0, z = 0}, 0
  for i, body in ipairs(bodies) do
    local drawn = out(look.c, look.items[i].origin)
    mass = mass + body.mass
    for letter in pairs(by) do by[letter] = by[letter] + body.mass * (body.at[letter] - drawn[letter]) end
  end
  for letter in pairs(by) do by[letter] = by[letter] / mass end
  return by
end

local function cg_of(look, balance, bodies)
  local c = look.c
  local cg = {at = {x = balance.cg.x, y = balance.cg.y, z = balance.cg.z}, ellipses = {},
              sd = {x = balance.sd.cg.x, y = balance.sd.cg.y, z = balance.sd.cg.z}}
  if look.pose_name ~= "design" then
    for letter, shift in pairs(carried(look, bodies)) do cg.at[letter] = cg.at[letter] + shift end
  end
  for _, view in ipairs(look.views) do
    local long, short, turn = core.cg_ellipse(c.now, c.geometry, view, CHANCE)
    cg.ellipses[view] = {long = long, short = short, turn = turn}
  end
  return cg
end

-- ---- the whole ------------------------------------------------------------------------------------------------------------------

-- {letter, sign, zero} of forward, left and up in the file.
local function axes_of(c)
  local axes = {}
  for i, word in ipairs{"forward", "left", "up"} do
    local letter, sign, zero = core.file_axis(c.geometry, i - 1)
    axes[word] = {axis = letter, sign = sign, zero = zero}
  end
  return axes
end

local function letters_of(axes)
  local f, l, u = axes.forward.axis, axes.left.axis, axes.up.axis
  return {side = {f, u}, plan = {f, l}, front = {l, u}}
end

local function pose_of(name)
  if name == nil then return "design" end
  for _, known in ipairs(scene.poses) do if name == known then return name end end
  local near = type(name) == "string" and core.nearest(name, scene.poses)
  core.fail{code = "unknown", field = "pose", message = ("there is no %s for a scene"):format(text.named(name)),
            hint = near and ("did you mean %q?"):format(near) or table.concat(scene.poses, ", ") .. " are possible"}
end

-- Parts, and of pairs both pieces; and the paths of what is around them.
local function pieces_aboard(c)
  local list, paths = {}, {}
  for _, item in ipairs(c.now:items(true)) do
    if item.form ~= "part" then
      local outer = paths[item.route:sub(1, -5)]
      paths[item.route] = outer and outer .. "/" .. item.name or item.name
    elseif item.aboard then
      list[#list + 1] = item
    end
  end
  return list, paths
end

local function range() return {from = math.huge, to = -math.huge} end

-- What a pose needs may be missing: then it is refused, not drawn as if it were the design.
local function check_pose(look)
  for _, wheel in ipairs(look.c.geometry:wheels()) do
    local ways, why = look.pose.road{part = {kind = "points", points = {{0, wheel.left, 0}}, frames = {}}, left = wheel.left}
    if not ways then core.fail{code = "missing", field = "pose", message = why, file = look.c.shared.file} end
  end
end

-- Where the lifted car turned, in the file's axes, and how far.
local function lift_of(c, lift)
  return {lifted = lift.lifted, angle = lift.angle, lift = lift.lift, pivot = out(c, lift.pivot)}
end

--- The scene of a car as it is, in some views and the pose asked for. A lifted one has its pose as poses.lifted takes it. whole: with the
-- file's gaps worked out and the uncertainties of where things are, which most drawings do without.
function scene.make(c, self, pose, views, whole)
  loading.need_mass(c)
  local lift = type(pose) == "table" and pose or nil
  pose = lift and "lift" or pose
  local axes, balance = axes_of(c), self:balance()
  local items, paths = pieces_aboard(c)
  local look = {c = c, views = views, letters = letters_of(axes), ledger = envelopes.ledger_now(c), pose_name = pose,
                whole = whole, pose = lift and poses.lifted(c, lift) or poses.of(c, pose, {}), paths = paths, items = items,
                extent = {x = range(), y = range(), z = range()}, carriers = {}, tyres = {}}
  check_pose(look)
  local result = {title = c.shared.spec.title, state = loading.title(c), heading = self:heading(), pose = pose, axes = axes,
                  changes = contents.changes(c), named = c.label or nil, sd = {}}
  result.bodies = bodies_of(look)
  result.wheels, result.axles = wheels_of(look), axles_of(look, balance)
  result.points, result.shafts = points_of(c, lift and look.pose), shafts_of(c)
  result.gaps = whole and not lift and gaps_of(c, self, pose) or {}
  result.cg = cg_of(look, balance, result.bodies)
  result.ground = {z = axes.up.zero, slope = lift and lift.plane and lift.angle or 0}
  result.lift = lift and lift_of(c, lift) or nil
  result.extent, result.loads = look.extent, {}
  for key in pairs(result.wheels) do result.loads[key] = balance[key] end
  result.lifted = balance.lifted
  for _, name in ipairs{"mass", "front_share", "height", "cg_behind", "cg_left", "wheelbase"} do
    result[name], result.sd[name] = balance[name], balance.sd[name]
  end
  result.notes = {}
  if lift then result.notes[1] = poses.lifted_note(lift)
  elseif pose ~= "design" then result.notes[1] = poses.note(c, pose, {}) end
  return origin.of_car(setmetatable(result, Scene), c)
end

--- The car in the state asked for, and its inside.
function scene.car(self, state)
  local car = state ~= nil and self:state(state) or self
  return car, contents.inside(car)
end

local STEEPEST = 45 -- deg: no car is lifted farther

-- The tilt of a lift under the wheels, deg; of a side by the mean track and square tyres.
local function tilt_of(c, lifted, mm)
  local across = lifted == "left" or lifted == "right"
  local base, radius = 0, {0, 0}
  if across then
    for _, wheel in ipairs(c.geometry:wheels()) do base = base + wheel.side * wheel.left * 2 / #c.geometry:wheels() end
  else
    base = axle_means.forward(c, 1) - axle_means.forward(c, #c.axles)
    for i, number in ipairs{1, #c.axles} do radius[i] = axle_means.number(c, number, "loaded_radius") end
  end
  local first = lifted == "front" or lifted == "left"
  local tilt, why = core.lift_tilt({wheelbase = base, radius = radius, lifted = first and "front" or "rear"}, mm)
  if not tilt then core.fail{code = "geometry", field = "lift", message = why} end
  return tilt
end

-- lifted =, lift = or angle = of the options as a pose; nil for any other pose, which takes none of them.
local function lifted_of(c, o)
  if o.pose ~= "lift" then
    for _, field in ipairs{"lifted", "lift", "angle"} do
      if o[field] ~= nil then core.fail{code = "clash", field = field, message = 'goes with pose = "lift" alone'} end
    end
    return nil
  end
  if (o.lift == nil) == (o.angle == nil) then
    core.fail{code = o.lift and "clash" or "missing", field = o.lift and "angle" or "lift", message = o.lift and "is given beside lift"
      or "is missing: how far up", hint = not o.lift and 'as in pose = "lift", lifted = "rear", lift = 600' or nil}
  end
  local pose = {lifted = o.lifted == nil and "rear" or o.lifted, angle = 0}
  poses.lifted(c, pose)
  pose.lift = o.lift ~= nil and named_places.number(o.lift, "mm", "lift") or nil
  if pose.lift and not (pose.lift >= 0) then
    core.fail{code = "range", field = "lift", message = ("is %s mm, must be 0 or above"):format(text.plain(pose.lift))}
  end
  pose.angle = pose.lift and (pose.lift == 0 and 0 or tilt_of(c, pose.lifted, pose.lift)) or named_places.number(o.angle, "deg", "angle")
  if not (pose.angle >= 0 and pose.angle <= STEEPEST) then
    core.fail{code = "range", field = pose.lift and "lift" or "angle", message = ("tilts it by %s degrees, must be 0 to %d"):format(
      text.plain(pose.angle), STEEPEST)}
  end
  return pose
end

--- The result of car:scene.
function scene.of(_, self, given)
  local o = named_places.check_fields(given, "car:scene", options.known("draw", "scene"))
  local car, c = scene.car(self, o.state)
  return scene.make(c, car, lifted_of(c, o) or pose_of(o.pose), scene.views, true)
end

function Scene.__tostring(s)
  local rows = {}
  for i, body in ipairs(s.bodies) do
    rows[i] = {body.path, text.fixed(body.mass, 2), text.fixed(body.at.x, 0), text.fixed(body.at.y, 0), text.fixed(body.at.z, 0),
               body.shape or "no shape"}
  end
  local page = require "steelyard.print.page"
  return page.of(s, {page.heading(s.heading),
    text.table({{"body", "%s"}, {"mass, kg", "%s"}, {"x", "%s"}, {"y", "%s"}, {"z, mm", "%s"}, {"shape", "%s"}}, rows)})
end

return scene
