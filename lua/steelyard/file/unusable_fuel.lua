--- What cannot be drawn from a tank: litres that its line states, or what stands below its pick-up.
--
-- A pick-up is measured from the tank's own place along the file's axes and turns with the tank, as a child of a group does.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local held_liquid = require "steelyard.file.held_liquid"
local placing = require "steelyard.file.placing"
local entries = require "steelyard.file.entries"
local text = require "steelyard.print.text"

local unusable_fuel = {}
local wrong = entries.wrong

local letters = {"x", "y", "z"}

-- What the core calls forward, left and up; a mesh is measured along the file's axes.
local function to_core(axes, shape, v)
  if shape.kind == "mesh" then return v end
  local m, w = placing.matrix(axes), {}
  for i = 1, 3 do w[i] = m[i][1] * v[1] + m[i][2] * v[2] + m[i][3] * v[3] end
  return w
end

local function held(axes, shape, capacity)
  local entry = held_liquid.shape({axes = axes}, shape)
  entry.capacity = capacity
  return entry
end

-- ---- reading ----------------------------------------------------------------------------------------------------------

-- A change may give one coordinate alone.
local function completed(ctx, owner, given, before)
  local point = {}
  for i = 1, 3 do
    point[i] = given[i] or before and before[i]
    if not point[i] and ctx.partial then wrong(ctx, owner, "pick_up", "missing", ("has no %s"):format(letters[i])) end
  end
  return #point == 3 and point or nil
end

-- In the tank, if the point was measured from where the tank is: what people write first.
local function meant_from_elsewhere(ctx, entry, shape, point, at)
  if not at or #at ~= 3 then return nil end
  local p = {point[1] - at[1], point[2] - at[2], point[3] - at[3]}
  if not core.tank_holds(entry, to_core(ctx.axes, shape, p)) then return nil end
  return ("did you mean {%s, %s, %s}?"):format(text.plain(p[1]), text.plain(p[2]), text.plain(p[3]))
end

local function check_pick_up(ctx, owner, shape, capacity, point, at)
  if not shape then
    return wrong(ctx, owner, "pick_up", "missing", "needs the tank's shape: what stands below it depends on that",
      "state unusable in litres instead")
  end
  if not held_liquid.has_level{kind = "tank", shape = shape} then
    return wrong(ctx, owner, "pick_up", "geometry", ("is in a %s, in which the level of a liquid is not worked out"):format(shape.kind),
      "state unusable in litres instead")
  end
  local entry = held(ctx.axes, shape, capacity)
  if core.tank_holds(entry, to_core(ctx.axes, shape, point)) then return end
  wrong(ctx, owner, "pick_up", "geometry", "lies outside the tank's shape; it is measured from the tank's own place",
    meant_from_elsewhere(ctx, entry, shape, point, at))
end

--- Check what a tank's line, or a change of it, says of what cannot be drawn. capacity: litres, nil after another problem.
function unusable_fuel.finish(ctx, owner, node, capacity)
  local before = ctx.node or {}
  if node.unusable and node.pick_up then
    return wrong(ctx, owner, "pick_up", "clash", "stands beside unusable, one of the two is enough")
  end
  if node.unusable and before.pick_up then return wrong(ctx, owner, "unusable", "clash", "the tank has a pick-up already") end
  if node.pick_up and before.unusable then
    return wrong(ctx, owner, "pick_up", "clash", "the tank has an unusable remainder in litres already")
  end
  local litres = node.unusable or before.unusable
  if litres and not user_values.held(litres, capacity) then
    wrong(ctx, owner, "unusable", "range",
      ("is %s litres, the tank holds %s"):format(text.plain(litres), user_values.litres_text(capacity)))
  end
  if node.pick_up then node.pick_up = completed(ctx, owner, node.pick_up, before.pick_up) end
  local point = node.pick_up or before.pick_up
  if point and #point == 3 then check_pick_up(ctx, owner, node.shape or before.shape, capacity, point, node.at) end
end

-- ---- answers ----------------------------------------------------------------------------------------------------------

-- Against gravity, file axes.
local function upward(axes)
  local up = {0, 0, 0}
  for i, letter in ipairs(letters) do
    if axes[letter] == "up" then up[i] = 1 elseif axes[letter] == "down" then up[i] = -1 end
  end
  return up
end

-- The pick-up's uncertain coordinates, as core.unusable takes them.
local function errors_of(spec, node)
  local list = {}
  for i = 1, 3 do
    local sd = node.pick_up_sd and node.pick_up_sd[i] or 0
    if sd > 0 then
      local way = {0, 0, 0}
      way[i] = sd
      list[#list + 1] = {key = ("%s pick_up %d"):format(node.name, i), value = node.pick_up[i], sd = sd,
                         move = to_core(spec.axes, node.shape, way)}
    end
  end
  return list
end

-- A direction of the file in the tank as it is filed, as the core takes it.
local function in_tank(spec, node, up)
  local own = node.turned and placing.inside(placing.top, spec.axes, {0, 0, 0}, node.turned).turn
  return to_core(spec.axes, node.shape, placing.turned_back(own, placing.turned_back(node.group_turn, up)))
end

--- Two functions of a tank with a level that stands with `up` (file axes) against gravity: litres up to a height in mm above its lowest
-- point, and the height of so many litres.
function unusable_fuel.heights(spec, node, up)
  local shape, v = held(spec.axes, node.shape, node.capacity), in_tank(spec, node, up)
  return function(height) return core.tank_to_height(shape, height, v) end,
    function(litres) return core.tank_liquid(shape, litres, v).depth end
end

-- node -> {litres, sd, found} on level ground: asked by every balance, and a node never changes
local level = setmetatable({}, {__mode = "k"})

--- Litres that cannot be drawn from a tank (of a pair, from the one that is written) as it is filed, and their standard uncertainty; nil
-- when its line says nothing. up: the direction against gravity and inertia along the file's axes, level ground unless given; then nil
-- also where only litres are stated.
function unusable_fuel.litres(spec, node, up)
  if node.unusable then
    if up then return nil end
    return node.unusable, node.unusable_sd or 0
  end
  if not node.pick_up then return nil end
  local kept = not up and level[node]
  if kept then return kept[1], kept[2] end
  local shape, v = node.shape, in_tank(spec, node, up or upward(spec.axes))
  local litres, sd, found = core.unusable(held(spec.axes, shape, node.capacity), to_core(spec.axes, shape, node.pick_up),
                                          v, errors_of(spec, node))
  if not up then level[node] = {litres, sd, found} end
  return litres, sd
end

--- What was found of them on level ground, for core.usable; nil when its line says nothing.
function unusable_fuel.found(spec, node)
  local litres, sd = unusable_fuel.litres(spec, node)
  if not litres then return nil end
  return level[node] and level[node][3] or select(3, core.litres_found(node.name .. " unusable", litres, sd))
end

return unusable_fuel
