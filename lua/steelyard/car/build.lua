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

--- A tank's mass with `fill` litres in it: dry mass + density x fill, kg.
function build.tank_mass(node, fill) return (node.dry_mass or 0) + node.density * fill end

local function carriers_of(context, unsprung)
  if not unsprung then return nil end
  local list = {}
  for i, share in ipairs(unsprung) do list[i] = {context.carriers[share.carrier], share.fraction} end
  return list
end

-- What a tank's mass is made of: each of its errors is the same at every fill, but for that of the fill itself.
local function fill_of(spec, node)
  local fill_sd = node.fill_sd or nil
  local stated = node.dry_mass_sd or node.density_sd or fill_sd
  return {dry = node.dry_mass or 0, dry_sd = node.dry_mass_sd or 0, density = node.density, density_sd = node.density_sd or 0,
          litres = node.fill, litres_sd = fill_sd or 0,
          share_sd = not stated and spec.assume and spec.assume[node.basis or "estimate"] or 0}, stated ~= nil
end

--- A tank's line with so many litres in it, stated to `sd` or not at all: a fill without an uncertainty of its own has none.
function build.filled(node, litres, sd) return setmetatable({fill = litres, fill_sd = sd or false}, {__index = node}) end

-- Mass, its uncertainty and what is said about it, for a node holding `mass` (kg) stated to `sd` or not at all.
local function put_mass(booking, spec, node, mass, sd)
  if node.unknown or mass == nil then
    booking.mass, booking.mass_sd, booking.unknown, booking.unstated = 0, 0, true, false
    return
  end
  -- people weigh what they say: nobody is an estimate for want of a basis
  local basis = node.basis or node.kind ~= "person" and "estimate"
  local assumed = sd == nil and spec.assume and spec.assume[basis]
  if assumed then sd = assumed * mass end
  booking.mass, booking.mass_sd, booking.unknown, booking.unstated = mass, sd or 0, false, sd == nil
end

-- The uncertainty of a coordinate that states none, mm.
local function uncertainty_otherwise(spec)
  local within = spec.assume and spec.assume.within_mm
  return within and within / ROOT_3 or 0
end

local function put_place(booking, spec, node)
  local otherwise, stated, sd = uncertainty_otherwise(spec), node.at_sd, booking.at_sd
  for i = 1, 3 do sd[i] = stated and stated[i] or otherwise end
  booking.at = node.at
end

--- What the ledger books for a part, tank or person. `context` = {spec, carriers, scales; remainders is set when a
-- tank says what cannot be drawn from it}. With `booking` that table is filled anew, so
-- that building a large car leaves no garbage.
function build.booking(context, node, number, booking)
  local spec, mass, sd = context.spec, node.mass, node.mass_sd
  booking = booking or {at_sd = {}}
  if node.kind == "tank" then
    local stated
    mass, sd = build.tank_mass(node, node.fill), 0
    booking.fill, stated = fill_of(spec, node)
    context.remainders = context.remainders or node.unusable ~= nil or node.pick_up ~= nil
    put_mass(booking, spec, node, mass, sd)
    booking.unstated = not (stated or booking.fill.share_sd > 0)
  else
    booking.fill = nil
    put_mass(booking, spec, node, mass, sd)
  end
  booking.number = number
  put_place(booking, spec, node)
  booking.count = node.count
  booking.growth = node.growth or 0
  booking.inertia = node.inertia or node.per_kg
  booking.per_kg = node.per_kg and true or nil -- the inertia of a person put together from segments goes with the mass
  booking.liquid = node.kind == "tank" and held_liquid.liquid(spec, node, node.fill) or nil
  booking.shape = not booking.inertia and mass and not booking.liquid and held_liquid.shape(spec, node.shape) or nil
  booking.turned = node.turned
  booking.point = not (booking.inertia or node.shape)
  booking.unsprung = carriers_of(context, node.unsprung)
  booking.instrument = node.scale and context.scales[node.scale] or 0
  booking.bias_share, booking.gain_mass = node.bias_share or 0, node.gain_mass or 0
  return booking
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
  if builder:node(node, number, not_aboard, context) then return end
  local booking = build.booking(context, node, number, context.booking)
  booking.not_aboard = not_aboard
  if node.pair then
    builder:pair(node.name, tags_of(node), booking)
  else
    builder:part(node.name, tags_of(node), booking)
  end
end

--- What nodes are booked with. nodes: takes them as they are numbered. scales: name -> number.
function build.context(spec, nodes, carriers, scales)
  return {spec = spec, nodes = nodes, carriers = carriers, scales = scales, booking = {at_sd = {}},
          assume = spec.assume, otherwise = uncertainty_otherwise(spec)} -- these two for the plain nodes: bind/mass/plain_part.h
end

return build
