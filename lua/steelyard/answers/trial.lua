--- car:trial(what, direction): the answers for any distance, at the price of a few additions.

local core = require "steelyard.core"
local directions = require "steelyard.file.directions"
local resolve = require "steelyard.car.resolve"

local trial = {}

--- function(mm) -> mass, cg, yaw_inertia, front, rear, then the wheel loads in their order (lf rf lr rr)
function trial.of(c, _, what, direction)
  local found = resolve.parts(c, what)
  local forward, left, up = directions.unit(direction)
  return core.trial(c.now, c.geometry, found.routes, forward, left, up)
end

return trial
