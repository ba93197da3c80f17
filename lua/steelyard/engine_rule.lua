--- A rule of thumb beside the measured CG of an engine.

local text = require "steelyard.text"

local engine_rule = {}

local rule = "rule of thumb (common practice, no source): the CG of a flat engine lies close to the crankshaft centreline"

--- Adds to a result's notes the rule, and where crank = {y =, z =} says where that line is how far the CG lies from it.
function engine_rule.add(result, crank)
  if not (crank and crank.z and result.cg.z) then
    table.insert(result.notes, 1, rule .. "; crank.y and crank.z in the readings compare it")
    return
  end
  local shown = text.worded(result.cg.z - crank.z, 0, "mm above", "mm below")
  local place = shown:find " " and shown .. " the crankshaft centreline" or "at the height of the crankshaft centreline"
  if crank.y and result.cg.y then
    place = ("%s and %s mm beside it"):format(place, text.fixed(math.abs(result.cg.y - crank.y), 0))
  end
  table.insert(result.notes, 1, ("the CG lies %s; %s"):format(place, rule))
end

return engine_rule
