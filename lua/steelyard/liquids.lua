--- What is in a tank of a car as it is loaded.

local core = require "steelyard.core"
local build = require "steelyard.build"
local resolve = require "steelyard.resolve"

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

--- Litres in a tank as the car is loaded, and whether they lie as deep in it as that (its file gives a shape) or at its own place.
function liquids.litres(self, what)
  local c = require("steelyard.car").inside(self)
  local item, node = tank_item(c, what)
  local piece = item.form == "pair" and c.now:item(item.route .. string.pack("=I4", 0)) or item
  return build.litres(node, piece.mass), build.has_level(node)
end

return liquids
