--- A study is run block by block, watched, and stopped when it must be. Nothing here knows what a block works out.
--
--   local n_done, status = watch.run{label = "36 variants", blocks = 40,
--     work = function(block, stored) return bytes end, take = function(block, bytes) end, quiet = o.quiet}
--
-- work    works block 1, 2, ... out; a block is at most about 50 ms, so that Ctrl-C is heard and progress moves. It gives the answers as
--         bytes, which go to `take`; a block that has already put them where they belong may give nothing while nothing is `stored`
-- take    puts the answers of a block where they belong; called in the order of the blocks
-- label   what the study is of, for the line of progress (progress.lua)
--
-- -> n_done  how many blocks are done; status "done", or "stopped" by Ctrl-C: then those are the first n_done of the blocks

local core = require "steelyard.core"
local progress = require "steelyard.study.progress"

local watch = {}

--- Run a study.
function watch.run(o)
  local ctrl_c <close> = core.interrupts()
  local shown <close> = progress.new{label = o.label, blocks = o.blocks, quiet = o.quiet}
  local done = 0
  for block = 1, o.blocks do
    if ctrl_c:arrived() then return done, "stopped" end
    local bytes = o.work(block, false)
    if bytes then o.take(block, bytes) end
    done = done + 1
    shown:step(done)
  end
  return done, "done"
end

return watch
