--- From what a vehicle file says (see file/vehicle_file.lua) to a ledger and a geometry.
--
-- Everything here is in the file's own units and axes; steelyard.core turns it into SI and the library's frame.

local core = require "steelyard.core"
local held_liquid = require "steelyard.file.held_liquid"

local build = {}

local ROOT_3 = core.constants.root_3 -- limits +-a of a rectangular distribution are a standard uncertainty a / sqrt 3 (GUM 4.3.7)
local AXLE_CARRIER, WHEEL_CARRIER = 0, 8 -- plus 1-based index: ledger.h's numbers of carriers

--- The geometry for a set of axles.
function build.geometry(spec, axles)
  local origin, forward_of = {}, nil
  for i, letter in ipairs{"x", "y", "z"} do
    local way = spec.axes[letter]
    if way == "forward" or way == "back" then
      origin[i] = spec.axles[1].at -- the file's front axle, wherever a changed one stands
      forward_of = way == "forward" and 1 or -1
    else
      origin[i] = (way == "up" or way == "down") and (spec.ground or 0) or (spec.centre or 0)
    end
  end
  local list = {}
  for i, axle in ipairs(axles) do
    local entry = {}
    for key, value in pairs(axle) do entry[key] = value end
    entry.forward = forward_of * (axle.at - spec.axles[1].at) + (axle.moved or 0)
    entry.wheels = axle.wheels == "one" and 1 or axle.wheels == 1 and 1 or 2
    list[i] = entry
  end
  return core.geometry{axes = {spec.axes.x, spec.axes.y, spec.axes.z}, origin = origin, axles = list,
    torsion = spec.chassis and spec.chassis.torsion, torsion_sd = spec.chassis and spec.chassis.torsion_sd,
    cross_share = spec.cross_share, cross_share_sd = spec.cross_share_sd}
end

--- Axle names and wheel keys to the ledger's carriers.
function build.carriers(geometry, axles)
  local carriers = {}
  for i, axle in ipairs(axles) do carriers[axle.name] = AXLE_CARRIER + i end
  for i, wheel in ipairs(geometry:wheels()) do carriers[wheel.key] = WHEEL_CARRIER + i end
  return carriers
end

-- The uncertainty of a coordinate that states none, mm.
local function uncertainty_otherwise(spec)
  local within = spec.assume and spec.assume.within_mm
  return within and within / ROOT_3 or 0
end

--- The uncertainties of a node's coordinates, mm.
function build.place_sd(context, node)
  local sd = {}
  for i = 1, 3 do sd[i] = node.at_sd and node.at_sd[i] or context.otherwise end
  return sd
end

--- What a tank with a level holds, nil for any other node. Notes in context.remainders that a tank says what cannot be drawn from it.
function build.liquid(context, node, litres, alone)
  if node.kind ~= "tank" then return nil end
  context.remainders = context.remainders or node.unusable ~= nil or node.pick_up ~= nil
  return held_liquid.liquid(context.spec, node, litres, alone)
end

local function tags_of(node) return node.tags and #node.tags > 0 and table.concat(node.tags, "\n") or nil end

--- Book one node and what lies in it; nodes are numbered as they come.
function build.book(context, builder, node, not_aboard)
  local nodes = context.nodes
  nodes[#nodes + 1] = node
  local number = #nodes
  if node.kind == "group" then
    builder:open(node.name, tags_of(node), {at = node.at, turned = node.turned, number = number, not_aboard = not_aboard})
    for _, child in ipairs(node.children) do build.book(context, builder, child) end
    builder:close()
    context.gaps = context.gaps or node.unaccounted
    return
  end
  builder:node(node, number, not_aboard, context, build.liquid(context, node, node.fill))
end

--- What nodes are booked with (lua/bind/mass/node.h). nodes: takes them as they are numbered. scales: name -> number.
function build.context(spec, nodes, carriers, scales)
  return {spec = spec, nodes = nodes, carriers = carriers, scales = scales, assume = spec.assume,
          otherwise = uncertainty_otherwise(spec)}
end

return build
