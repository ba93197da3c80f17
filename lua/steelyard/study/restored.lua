--- A study put together of the blocks in files: what sy.merge asks of a kind of study (study/merge.lua).

local kept_of = require "steelyard.study.kept"
local result_of = require "steelyard.study.result"

local restored = {}

local function never() error("a study of files works nothing out", 0) end

--- heading: as the study gave it to watch.run.
function restored.restored(heading)
  local a = heading.about
  local kept = kept_of.new(a, {size = a.block, work = never})
  return kept.take, function() return result_of.new(a, kept) end
end

return restored
