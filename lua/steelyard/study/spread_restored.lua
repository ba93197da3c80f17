--- A simulation put together of the draws in files: what sy.merge asks of a kind of study (study/merge.lua).

local core = require "steelyard.core"
local result = require "steelyard.study.spread_result"

local restored = {}

--- heading: as the simulation gave it to watch.run.
function restored.restored(heading)
  local a, first = heading.about, {}
  for i, of in ipairs(a.answers) do first[i] = {value = of.value, sd = of.sd, from = of.from, to = of.to, inputs = #of.inputs} end
  local totals = core.spread_restored(first)
  return function(_, bytes) core.spread_take(totals, bytes) end, function() return result.new(a, totals) end
end

return restored
