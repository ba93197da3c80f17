--- From what a vehicle file says (see file/vehicle_file.lua) to a ledger and a geometry.
--
-- Everything here is in the file's own units and axes; steelyard.core turns it into SI and the library's frame.

local core = require "steelyard.core"
local axle_places = require "steelyard.car.axle_places"
local held_liquid = require "steelyard.file.held_liquid"

local build = {}

local ROOT_3 = core.constants.root_3 -- limits +-a of a rectangular distribution are a standard uncertainty a / sqrt 3 (GUM 4.3.7)
local AXLE_CARRIER, WHEEL_CARRIER = 0, 8 -- plus 1-based index: ledger.h's numbers of carriers

-- What the core takes of a place: where it is as far as records know, how far that is from what was stated, and the number of its error.
local function put_place(entry, book, field, stated, moved)
  local number, by = axle_places.known(book, stated and stated[field])
  entry[field .. "_error"], entry[field .. "_shifted"] = number, by + moved
  return by
end

local function put_side(entry, book, stated, sign, moved)
  if not entry then return end
  if entry.forward then entry.forward = entry.forward + put_place(entry, book, "at", stated, moved) end
  if entry.half_track then -- its error counts to the left
    entry.half_track = entry.half_track + sign * put_place(entry, book, "half_track", stated, 0)
  end
end

-- The axles as geometry has them.
local function entries_of(spec, axles, forward_of, book)
  local list, stated = {}, book and axle_places.of(spec, axles)
  for i, axle in ipairs(axles) do
    local entry, moved = {}, axle.moved or 0
    for key, value in pairs(axle) do entry[key] = value end
    local mine = stated and stated[i]
    local function forward(at) return forward_of * (at - spec.axles[1].at) + moved end
    entry.forward = forward(axle.at) + put_place(entry, book, "at", mine, moved)
    if axle.track then entry.track = axle.track + put_place(entry, book, "track", mine, 0) end
    if axle.left or axle.right then
      local side_entry = require("steelyard.file.sides").entry
      entry.left, entry.right = side_entry(axle.left, forward), side_entry(axle.right, forward)
      put_side(entry.left, book, mine and mine.left, 1, moved)
      put_side(entry.right, book, mine and mine.right, -1, moved)
    end
    entry.wheels = axle.wheels == "one" and 1 or axle.wheels == 1 and 1 or 2
    list[i] = entry
  end
  return list
end

--- The geometry for a set of axles. cross: a cross weight as records read it, {share =, sd =}, else that of the file. measured: of a car
-- that records correct (contents.lua): they know where axles stand, too.
function build.geometry(spec, axles, cross, measured)
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
  return core.geometry{axes = {spec.axes.x, spec.axes.y, spec.axes.z}, origin = origin,
    axles = entries_of(spec, axles, forward_of, measured and measured.places),
    torsion = spec.chassis and spec.chassis.torsion, torsion_sd = spec.chassis and spec.chassis.torsion_sd,
    cross_share = cross and cross.share or spec.cross_share, cross_share_sd = cross and cross.sd or spec.cross_share_sd,
    cross_measured = cross and true or nil}
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
    build.book_list(context, builder, node.children)
    builder:close()
    context.gaps = context.gaps or node.unaccounted
    return
  end
  builder:node(node, number, not_aboard, context, build.liquid(context, node, node.fill))
end

--- Book the nodes of a list (file/node_list.lua).
function build.book_list(context, builder, list, not_aboard)
  if not list.runs then
    for _, node in ipairs(list) do build.book(context, builder, node, not_aboard) end
    return
  end
  local node_list, first = require "steelyard.file.node_list", 1
  for last, run, node in node_list.pieces(list) do
    if node then
      build.book(context, builder, node, not_aboard)
    else
      local count, nodes = last - first + 1, context.nodes
      builder:lines(run.lines, run.row, count, #nodes + 1, not_aboard, context)
      node_list.add_run(nodes, list, first, run.lines, run.row, count)
    end
    first = last + 1
  end
end

--- What nodes are booked with (lua/bind/mass/node.h). nodes: takes them as they are numbered. scales: name -> number.
function build.context(spec, nodes, carriers, scales)
  return {spec = spec, nodes = nodes, carriers = carriers, scales = scales, assume = spec.assume,
          otherwise = uncertainty_otherwise(spec)}
end

return build
