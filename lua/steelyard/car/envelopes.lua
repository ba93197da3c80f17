--- What a part, a group or a place takes up: its shape where its part went, as core.gap wants it.
--
-- An envelope is {label =, route = of its part or nil, axle = index when its wheels carry it, wheel = key when one of them
-- does, left = its place across the car, part =
-- what core.gap takes, uncertainties = standard uncertainties of its place along forward, left, up, stated = its place as the file states
-- it, key = whose place that is}.

local core = require "steelyard.core"
local held_liquid = require "steelyard.file.held_liquid"
local places = require "steelyard.car.shaft_places"
local resolve = require "steelyard.car.resolve"

local envelopes = {}

local ROOT_3 = core.constants.root_3 -- limits +-a, all between equally likely: u = a / sqrt 3 (JCGM 100:2008, 4.3.7)

-- The pieces under a route of the drawn ledger: a part, both of a pair, all in a group.
local function pieces(c, route)
  local list = {}
  for _, item in ipairs(c.shared.filed:items(true)) do
    if item.form == "part" and item.route:sub(1, #route) == route then list[#list + 1] = item end
  end
  return list
end

--- Standard uncertainties of a part's place along forward, left, up, mm.
function envelopes.uncertainties_of(c, node)
  local within = c.shared.spec.assume and c.shared.spec.assume.within_mm
  local sd, stated = {}, node.at_sd or {}
  for i = 1, 3 do sd[i] = stated[i] or within and within / ROOT_3 or 0 end
  local x, y, z = c.geometry:vector_in(sd[1], sd[2], sd[3])
  return {math.abs(x), math.abs(y), math.abs(z)}
end

-- "front corner/left" of a piece, by which places.part_frame finds it
local function path_of(c, item) return resolve.path(c.shared.filed, item.route) end

-- How far the cg of a tank and its liquid lies from its middle, as filed.
local function liquid_offset(c, item, node)
  local liquid = held_liquid.has_level(node) and held_liquid.liquid(c.shared.spec, node, held_liquid.litres(node, item.mass))
  return liquid and core.tank_offset(liquid, c.geometry) or nil
end

local function of_piece(c, item)
  local node, path = c.shared.nodes[item.number], path_of(c, item)
  if not (node and node.shape) then return nil, ("%s has no shape"):format(path) end
  local drawn = core.pose(c.shared.filed, item.route, node.turned, liquid_offset(c, item, node))
  local frame, axle, some, wheel = places.part_frame(c, path, item.origin)
  if not frame then return nil, axle end
  if some and not axle then return nil, ("%s is carried by the wheels in part: how it moves is not known"):format(path) end
  local part = held_liquid.shape(c.shared.spec, node.shape)
  part.frames = {drawn, frame}
  return {label = path, route = item.route, axle = axle, wheel = wheel, left = item.origin[2], part = part,
          uncertainties = envelopes.uncertainties_of(c, node), stated = node.at, key = path}
end

--- What core.reach and core.gap take of a piece of the car as it is now, edits and state and all; nil when it has no shape. item: of
-- `ledger`, the car's with its state but without its set heights. What the wheels carry in part goes with the body.
function envelopes.piece_now(c, ledger, item)
  local node = c.shared.nodes[item.number]
  if not (node and node.shape) then return nil end
  local pose = core.pose(ledger, item.route, node.turned, liquid_offset(c, item, node), c.turned and c.turned[item.route])
  local part = held_liquid.shape(c.shared.spec, node.shape)
  part.frames = {pose, c.heights_set and not places.carried_by(c, node) and require("steelyard.car.ride_height").frame(c) or nil}
  return part
end

--- The ledger that envelopes.piece_now goes by.
function envelopes.ledger_now(c) return c.heights_set and require("steelyard.car.states").apply(c) or c.now end

local function of_name(c, name)
  local list, missing, outside = {}, {}, nil
  local found = c.shared.filed:find(name)
  if #found ~= 1 then return list, {("no single part is called %q"):format(name)} end
  local all = pieces(c, found[1])
  for _, item in ipairs(all) do
    local envelope, why = of_piece(c, item)
    if envelope then list[#list + 1] = envelope
    elseif why:find "not aboard" and #all > 1 then outside = why -- the rest of a group is asked all the same
    else missing[#missing + 1] = why end
  end
  if #list == 0 and #missing == 0 then missing[1] = outside or ("%s has no parts"):format(name) end
  return list, missing
end

local function wheel_axle(c, key)
  for _, wheel in ipairs(c.geometry:wheels()) do
    if wheel.key == key then return wheel.axle end
  end
end

local function of_place(c, place)
  local points = {}
  for i, at in ipairs {place.at, place.to} do points[i] = {c.geometry:point_in(at[1], at[2], at[3])} end
  local frame, axle, some, label, route, wheel
  if place.part then
    frame, axle, some, wheel = places.part_frame(c, place.part, points[1])
    if not frame then return {}, {axle} end
    if some and not axle then return {}, {("%s is carried by the wheels in part: how it moves is not known"):format(place.part)} end
    label, route = place.part, c.shared.filed:find(place.part)[1]
  elseif place.wheel then
    axle, label, wheel = wheel_axle(c, place.wheel), place.wheel, place.wheel
    frame = {1, 0, 0, 0, 1, 0, 0, 0, 1, c.axles[axle].moved or 0, 0, 0}
  elseif c.heights_set then -- lowered or raised with the body
    for i, p in ipairs(points) do points[i] = require("steelyard.car.ride_height").point(c, p) end
  end
  local uncertainties, stated = {0, 0, 0}, place.at_sd
  if stated then
    uncertainties = {c.geometry:vector_in(stated[1] or 0, stated[2] or 0, stated[3] or 0)}
    for i = 1, 3 do uncertainties[i] = math.abs(uncertainties[i]) end
  end
  return {{label = label or "place", route = route, axle = axle, wheel = wheel, left = points[1][2], uncertainties = uncertainties,
    stated = place.at, key = label, mark = not place.to and not place.radius and points[1] or nil,
           part = {kind = "points", points = points, radius = place.radius, frames = frame and {frame} or {}}}}, {}
end

--- The envelopes of a place of the file, and sentences about what of it has none.
function envelopes.of(c, place)
  if place.at then return of_place(c, place) end
  return of_name(c, place.part)
end

--- The same envelope after one more placement (12 numbers).
function envelopes.moved(envelope, frame)
  local part = setmetatable({}, {__index = envelope.part})
  part.frames = table.move(envelope.part.frames, 1, #envelope.part.frames, 1, {})
  part.frames[#part.frames + 1] = frame
  for key, value in pairs(envelope.part) do if key ~= "frames" then part[key] = value end end
  return setmetatable({part = setmetatable(part, nil)}, {__index = envelope})
end

return envelopes
