--- What is in a tank of a car as it is loaded.

local core = require "steelyard.core"
local build = require "steelyard.build"
local resolve = require "steelyard.resolve"
local text = require "steelyard.text"

local liquids = {}

local function tank_item(c, what)
  local found = resolve.parts(c, what)
  local item = c.now:item(found.routes[1])
  local node = c.shared.records[item.record]
  if #found.routes ~= 1 or not node or node.kind ~= "tank" then
    core.fail{code = "type", message = ("%q is no single tank"):format(tostring(what))}
  end
  return item, node
end
liquids.item = tank_item

--- Litres in a tank as the car is loaded, and whether they lie as deep in it as that (its file gives a shape) or at its own place.
function liquids.litres(self, what)
  local c = require("steelyard.car").inside(self)
  local item, node = tank_item(c, what)
  local piece = item.form == "pair" and c.now:item(item.route .. string.pack("=I4", 0)) or item
  return build.litres(node, piece.mass), build.has_level(node)
end

-- The direction against gravity and inertia, file axes, while the car brakes and corners to the right, in g.
local function leaning(c, braking, right_turn)
  local x, y, z = c.geometry:vector_out(-braking, -right_turn, 1)
  return {x, y, z}
end
liquids.leaning = leaning

--- How far the car's CG moves when the liquid of a tank lies as it does under steady `braking` and `right_turn` (g): mm forward, left, up;
-- nil where it has no level, is shared out, or hangs in a turned group.
function liquids.shift(self, what, braking, right_turn)
  local c = require("steelyard.car").inside(self)
  local item, node = tank_item(c, what)
  local alone = c.turned and c.turned[item.route]
  if not build.has_level(node) or item.form == "pair" or node.count or node.up or alone then return nil end
  local liquid = build.liquid(c.shared.spec, node, build.litres(node, item.mass))
  local level = core.tank_offset(liquid, c.geometry)
  liquid.up = leaning(c, braking, right_turn)
  local runs = core.tank_offset(liquid, c.geometry)
  local share = item.mass / self:balance().mass
  return {share * (runs[1] - level[1]), share * (runs[2] - level[2]), share * (runs[3] - level[3])}
end

--- How far the car's CG moves at 1 g with `litres` in a tank: {litres, braking = mm forward, right_turn = mm left} and a sentence; nil
-- where liquids.shift gives nothing.
function liquids.run_off(self, what, litres)
  local filled = self:fill{[what] = litres}
  local braking, turn = liquids.shift(filled, what, 1, 0), liquids.shift(filled, what, 0, 1)
  if not braking then return nil end
  return {litres = litres, braking = braking[1], right_turn = turn[2]},
    ("with %s litres the car's CG moves %s in braking and %s in a right turn, each steady at 1 g: "
      .. "liquid at rest, no waves, no baffles"):format(
      core.fixed(litres, 1), text.worded(braking[1], 1, "mm forward", "mm back"), text.worded(turn[2], 1, "mm left", "mm right"))
end

return liquids
