--- A simulation put together of the draws in files: what sy.merge asks of a kind of study (study/merge.lua).

local core = require "steelyard.core"
local about = require "steelyard.study.spread_about"
local result = require "steelyard.study.spread_result"

local restored = {}

-- Do the numbers of the heading go together?
local function check(heading)
  local a = heading.about
  a.draws, a.size = math.tointeger(a.draws), math.tointeger(a.size)
  assert(a.draws and a.size and a.draws >= 1 and a.size >= 1, "draws")
  assert(about.slices(a) == heading.blocks, "slices")
end

--- heading: as the simulation gave it to watch.run.
function restored.restored(heading)
  check(heading)
  local a, first = heading.about, {}
  for i, of in ipairs(a.answers) do first[i] = {value = of.value, sd = of.sd, from = of.from, to = of.to, inputs = #of.inputs} end
  local totals = core.spread_restored(first)
  return function(_, bytes) core.spread_take(totals, bytes) end, function() return result.new(a, totals) end
end

return restored
