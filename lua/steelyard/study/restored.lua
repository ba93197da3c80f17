--- A study put together of the blocks in files: what sy.merge asks of a kind of study (study/merge.lua).

local about = require "steelyard.study.about"
local kept_of = require "steelyard.study.kept"
local result_of = require "steelyard.study.result"
local stores_of = require "steelyard.study.stores"
local text = require "steelyard.print.text"

local restored = {}

local function never() error("a study of files works nothing out", 0) end

-- Do the numbers of the heading go together? What is kept is as much as they say.
local function check(heading)
  local a = heading.about
  a.n, a.block = math.tointeger(a.n), math.tointeger(a.block)
  assert(a.n and a.block and a.n >= 0 and a.block >= 1 and (a.n + a.block - 1) // a.block == heading.blocks, "blocks")
  assert(a.shown >= 1 and a.shown <= #a.outputs, "outputs")
  assert(about.points(a).n == a.n, "points")
end

--- heading: as the study gave it to watch.run. Of more columns than are kept the tallies alone are joined, and a note says so.
function restored.restored(heading)
  check(heading)
  local a = heading.about
  local bytes = a.n * stores_of.bytes_each(#a.outputs, a.uncertainty, a.folds)
  local shared = not a.reduce and bytes > stores_of.MOST
  if shared then
    a.front = nil
    table.insert(a.notes, 1, ("counts and extremes alone are joined: the columns are %s GB, at most %s GB are kept"):format(
      text.grouped(math.ceil(bytes / 1e9)), text.grouped(stores_of.MOST / 1e9)))
  end
  local kept = kept_of.new(a, {size = a.block, work = never, shared = shared})
  return kept.take, function() return result_of.new(a, kept) end
end

return restored
