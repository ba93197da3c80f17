--- Shapes of parts and tanks as the core wants them, and the liquid that a tank of such a shape holds.

local held_liquid = {}

local axis_of_way = {forward = 0, back = 0, left = 1, right = 1, up = 2, down = 2}

-- The core wants {kind, a, b, c, axis} with the axis as 0 fore-aft, 1 across, 2 upright; a mesh along the file's axes.
function held_liquid.shape(spec, s)
  if not s then return nil end
  local entry = {kind = s.kind, axis = s.axis and axis_of_way[spec.axes[s.axis]] or nil, mesh = s.mesh, per_kg = s.per_kg}
  for i, size in ipairs(s) do entry[i] = size end
  return entry
end

-- Shapes in which the level of a liquid is worked out; in others it counts as lying at `at`.
local holding = {box = true, cylinder = true, sphere = true, ellipsoid = true, mesh = true}

--- Does the liquid in this tank lie where its fill says?
function held_liquid.has_level(node) return node.kind == "tank" and node.shape ~= nil and holding[node.shape.kind] == true end

--- What the core needs to know of a tank with `litres` in it (lua/bind/mass/booking.h); nil for one without a level. The liquid is level as
-- filed; `alone`: the turns of the tank by itself since then, which take it along as it lies.
function held_liquid.liquid(spec, node, litres, alone)
  if not held_liquid.has_level(node) then return nil end
  litres = math.max(0, math.min(litres, node.capacity))
  local held = held_liquid.shape(spec, node.shape)
  held.capacity = node.capacity
  return {shape = held, litres = litres, mass = node.density * litres, dry = node.dry_mass or 0, turned = node.turned,
          up = node.up, alone = alone}
end

--- Litres in a tank whose piece weighs `mass`.
function held_liquid.litres(node, mass) return (mass - (node.dry_mass or 0)) / node.density end

return held_liquid
