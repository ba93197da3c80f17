--- A rule of thumb beside the measured CG of an engine.

local text = require "steelyard.text"

local engine_rule = {}

--- Adds to a result's notes how far its CG lies from the crankshaft centreline, where crank = {y =, z =} says where that is.
function engine_rule.add(result, crank)
  if not (crank and crank.z and result.cg.z) then return end
  local shown = text.worded(result.cg.z - crank.z, 0, "mm above", "mm below")
  local place = shown:find " " and shown .. " the crankshaft centreline" or "at the height of the crankshaft centreline"
  if crank.y and result.cg.y then
    place = ("%s and %s mm beside it"):format(place, text.fixed(math.abs(result.cg.y - crank.y), 0))
  end
  table.insert(result.notes, 1, ("the CG lies %s; rule of thumb (common practice, no source): that of a flat engine is close to it")
    :format(place))
end

return engine_rule
