--- car:move: parts, groups, tags and axles elsewhere.

local core = require "steelyard.core"
local build = require "steelyard.car.build"
local contents = require "steelyard.car.contents"
local directions = require "steelyard.file.directions"
local loading = require "steelyard.car.loading"
local resolve = require "steelyard.car.resolve"

local moves = {}
local edit_both, inside, single = contents.edit_both, contents.inside, directions.single

local function joint_cg(c, routes)
  local mass, x, y, z = 0, 0, 0, 0
  for _, route in ipairs(routes) do
    local t = core.item_totals(c.now, c.geometry, route)
    if t.cg then
      mass = mass + t.mass
      x, y, z = x + t.mass * t.cg.x, y + t.mass * t.cg.y, z + t.mass * t.cg.z
    end
  end
  if mass <= 0 then core.fail{code = "geometry", message = "things without mass have no CG to turn about", field = "about"} end
  return c.geometry:point_in(x / mass, y / mass, z / mass)
end

-- An item's own place in the vehicle's frame: a tank's is its middle, a pair's the middle between its pieces.
local function own_place(c, route)
  local x, y, z = 0, 0, 0
  local pieces = loading.pieces(c.now, c.now:item(route))
  for _, piece in ipairs(pieces) do
    local px, py, pz = c.now:origin(piece.route, c.geometry, loading.liquid_in(c, c.now, piece, c.shared.nodes[piece.number]))
    x, y, z = x + px / #pieces, y + py / #pieces, z + pz / #pieces
  end
  return x, y, z
end

-- The fixed point of a turn, in the vehicle's frame.
local function turning_point(c, found, about)
  about = about or (found.several and "cg" or "origin")
  if about == "cg" then return joint_cg(c, found.routes) end
  if about == "origin" then return own_place(c, found.routes[1]) end
  if type(about) ~= "table" then
    core.fail{code = "type", message = 'is "origin", "cg" or a point {x, y, z}', field = "about"}
  end
  local p = {about.x or about[1], about.y or about[2], about.z or about[3]}
  for i = 1, 3 do
    if type(p[i]) ~= "number" then core.fail{code = "type", message = "is a point of three numbers", field = "about"} end
  end
  return c.geometry:point_in(p[1], p[2], p[3])
end

-- Pieces of a pair, or a part off the centre plane, move away from it.
local function spread(ledger, route, distance)
  local item = ledger:item(route)
  if item.form == "pair" then
    for k = 0, 1 do
      local side = route .. string.pack("=I4", k)
      if ledger:item(side).origin[2] == 0 then ledger = ledger:shift(side, 0, k == 0 and distance or -distance, 0)
      else ledger = spread(ledger, side, distance) end
    end
    return ledger
  end
  local y = item.origin[2]
  if y == 0 then
    core.fail{code = "geometry", message = "lies on the centre plane, so out has no direction", part = item.name, field = "out",
              hint = "write left or right"}
  end
  return ledger:shift(route, 0, y > 0 and distance or -distance, 0)
end

local function shift(ledger, route, forward, left, up) return ledger:shift(route, forward, left, up) end

local function turn_routes(d, found, way)
  local x, y, z = turning_point(d, found, way.about)
  local function turn(ledger, route) return ledger:turn(route, way.turn, x, y, z) end
  for _, route in ipairs(found.routes) do
    local item = d.now:item(route)
    if item.form ~= "group" then
      for _, piece in ipairs(loading.pieces(d.now, item)) do
        contents.note_turn(d, piece.route, core.turn_alone(d.now, piece.route, way.turn, d.turned and d.turned[piece.route]))
      end
    end
    edit_both(d, turn, route)
  end
end

local function shift_routes(d, routes, forward, left, up)
  if forward == 0 and left == 0 and up == 0 then return end
  for i = 1, #routes do edit_both(d, shift, routes[i], forward, left, up) end
end

local function move_routes(d, found, way)
  local routes = found.routes
  if #routes == 0 then return end
  if way.turn then turn_routes(d, found, way) end
  if way.out ~= 0 then
    for i = 1, #routes do edit_both(d, spread, routes[i], way.out) end
  end
  shift_routes(d, routes, way.forward, way.left, way.up)
end

-- How much of a part an axle's wheels carry.
local function carried_by(d, node, index)
  local share = 0
  for _, entry in ipairs(node.unsprung or {}) do
    local key = entry.carrier
    if key == d.axles[index].name then share = share + entry.fraction end
    for _, wheel in ipairs(d.geometry:wheels()) do
      if wheel.key == key and wheel.axle == index then share = share + entry.fraction end
    end
  end
  return share
end

-- An axle takes along what its wheels carry; a link that is half carried moves half as far. What was named beside it (`routes`) moves as
-- a whole with the others, and not here as well.
local function take_along(d, index, forward, routes)
  for _, item in ipairs(d.base:items(false)) do
    for _, piece in ipairs(item.form ~= "group" and loading.pieces(d.base, item) or {}) do
      local share = carried_by(d, d.shared.nodes[piece.number], index)
      if share > 0 and not resolve.within(piece.route, routes) then edit_both(d, shift, piece.route, share * forward, 0, 0) end
    end
  end
end

--- What goes along when an axle moves: names of the parts that its wheels carry, "a (half of the way)" of one that they carry in part,
-- and of the
-- shafts whose outer joints are at its wheels.
function moves.along(c, index)
  local parts, seen, shafts, at_wheel = {}, {}, {}, {}
  for _, item in ipairs(c.base:items(false)) do
    local node = c.shared.nodes[item.number]
    local share = item.form ~= "group" and node and carried_by(c, node, index) or 0
    if share > 0 and not seen[node.name] then
      seen[node.name] = true
      parts[#parts + 1] = share < 1 and ("%s (%s %% of the way)"):format(node.name, core.fixed(100 * share, 0)) or node.name
    end
  end
  for _, wheel in ipairs(c.geometry:wheels()) do at_wheel[wheel.key] = wheel.axle == index end
  for _, shaft in ipairs(c.shared.spec.shafts or {}) do
    if at_wheel[shaft.outer.wheel] then shafts[#shafts + 1] = shaft.name end
  end
  return parts, shafts
end

-- Axles keep their order from the front.
local function check_order(d, index, forward)
  local at = d.geometry:axle_lines()
  for _, other in ipairs{index - 1, index + 1} do
    local beyond = at[other] and (other < index and 1 or -1) * (at[index] + forward - at[other])
    if beyond and beyond >= 0 then
      core.fail{code = "geometry", part = d.axles[index].name .. " axle",
        message = ("would stand %s mm %s the %s axle"):format(core.fixed(beyond, 1), other < index and "ahead of" or "behind",
          d.axles[other].name), hint = "axles keep their order from the front"}
    end
  end
end

local function move_axle(d, index, way, routes)
  if way.left ~= 0 or way.up ~= 0 or way.out ~= 0 or way.turn then
    core.fail{code = "geometry", message = "an axle moves forward or back only", part = d.axles[index].name .. " axle",
              hint = {"its track and radius are changed with car:set", "its track and loaded_radius are changed in the file"}}
  end
  check_order(d, index, way.forward)
  local axles = {}
  for i, axle in ipairs(d.axles) do axles[i] = axle end
  axles[index] = setmetatable({moved = axles[index].moved + way.forward}, {__index = axles[index]})
  local plain = {}
  for i, axle in ipairs(axles) do
    local entry = {}
    for _, source in ipairs{d.shared.spec.axles[i], d.axles[i]} do
      for key, value in pairs(source) do entry[key] = value end
    end
    entry.moved = axle.moved
    plain[i] = entry
  end
  d.axles, d.geometry = plain, build.geometry(d.shared.spec, plain, nil, d.measured)
  contents.forget_cross(d)
  take_along(d, index, way.forward, routes)
end

--- Move and turn something: car:move("powertrain", {back = 50}). Turn first, then shift; the vehicle's own directions.
function moves.move(self, what, words)
  local c = inside(self)
  local kin = c.kin or c
  local found = kin.structure.found[what] or resolve.what(c, what)
  local forward, left, up, distance, word = single(words)
  if forward and not (found.axle or found.axles or kin.heights_set) then -- nearly always
    local d = contents.shifted(c, found, distance, word)
    if distance ~= 0 then
      local routes = found.routes
      for i = 1, #routes do edit_both(d, shift, routes[i], forward, left, up) end
    end
    return contents.wrap(d)
  end
  local way = directions.read(words)
  local d = contents.from(c, found.label .. " " .. way.text)
  contents.touch(d, found)
  if d.heights_set then d.now = require("steelyard.car.states").apply(d) end -- edits go by the drawn places
  if found.axle then move_axle(d, found.axle, way, {}) end
  local together = table.move(found.axles or {}, 1, found.axles and #found.axles or 0, 1, {})
  table.sort(together, function(a, b) return (a < b) == (way.forward > 0) and a ~= b end) -- none passes another on its way
  for _, index in ipairs(together) do move_axle(d, index, way, found.routes) end
  move_routes(d, found, way)
  return d.heights_set and contents.reload(d) or contents.wrap(d)
end

return moves
