--- A study is run block by block, watched, stopped when it must be, and gone on with. Nothing here knows what a block works out.
--
--   local n_done, status = watch.run{label = "36 variants", blocks = 40,
--     work = function(block, stored) return bytes end, take = function(block, bytes) end, quiet = o.quiet}
--
-- work     works one block out; a block is at most about 50 ms, so that Ctrl-C is heard and progress moves. It gives the answers as bytes,
--          which go to `take`; a block that has already put them where they belong may give nothing while nothing is `stored`
-- take     puts the answers of a block where they belong; called in the order of the blocks
-- label    what the study is of, for the line of progress (progress.lua)
-- quiet    no remark, no progress
-- -> n_done  how many blocks are done; status "done", or "stopped" by Ctrl-C: then those are the first n_done of the blocks
--
-- With to = PATH every block that is done goes to PATH.part (part_file.lua), so that a run that was stopped or killed goes on from there:
-- its blocks are then read back and only taken. In the end PATH is there and PATH.part is gone. More fields then:
--
-- heading  {kind, hash, seed, file, about}: whose blocks these are. kind: "study", "spread"; hash: of watch.hash; seed and file {name,
--          sha256} say in a message why another file is not of this study; about: what the kind needs to make its result of the blocks
-- finish   function() -> the bytes of PATH
-- shard    {k, n}: the k-th run of blocks of n; PATH then is that shard, for sy.merge, and finish is not called
-- replace  PATH may be there already
--
-- Ctrl-C, with `to`: what is done is kept, the line that goes on is said, and the process ends with 130, as a shell says that a
-- command was ended by Ctrl-C.

local core = require "steelyard.core"
local again = require "steelyard.command.again"
local new_file = require "steelyard.command.new_file"
local out = require "steelyard.command.out"
local part_file = require "steelyard.study.part_file"
local progress = require "steelyard.study.progress"
local shards = require "steelyard.study.shards"

local watch = {}

local STOPPED = 130 -- 128 + SIGINT, POSIX.1-2017, Shell Command Language 2.8.2

--- The hash of a study: of what it asks (any table that is JSON), the digest of the vehicle's files, and the version.
function watch.hash(asks, file_sha256)
  return core.sha256(require("steelyard.print.json").encode{asks = asks, file = file_sha256, version = core.version})
end

local function heading_of(o, shard)
  local h = o.heading
  return {kind = h.kind, hash = h.hash, version = core.version, seed = h.seed, file = h.file, about = h.about, label = o.label,
    blocks = o.blocks, shard = shard}
end

-- Open PATH.part and take what it holds.
local function open_part(o, shard)
  new_file.check_to(o.to, o.replace, "replace = true writes over it")
  local part = part_file.grow(o.to .. ".part", heading_of(o, shard))
  for block, bytes in part.block, part do
    if o.take then o.take(block, bytes) end
  end
  local done, all = part.done - part.first + 1, part.last - part.first + 1
  if part.damaged or done > 0 then
    out.remark(o, (part.damaged and "%s is damaged behind %d %% of the study, which is worked out again from there" or
      "%s holds %d %% of the study, which goes on from there"):format(part.path, shards.percent(done, all)))
  end
  return part
end

-- What is done becomes PATH.
local function close_part(o, part)
  if o.finish and not o.shard then
    core.write_file(o.to, o.finish(), o.replace)
    part.file:remove()
  else
    part.file:finish(o.to, o.replace)
  end
  out.remark(o, ("%s is written."):format(o.to))
end

local function stop(o, part, done, all)
  part.file:close()
  local line = again.line()
  out.remark(o, ("stopped: %d %% is done and kept in %s; %s"):format(shards.percent(done, all), part.path,
    line and "to go on:\n  " .. line or "the same call goes on from there"))
  os.exit(STOPPED, true)
end

--- Run a study.
function watch.run(o)
  local shard = shards.read(o.shard or {1, 1})
  if o.shard and not o.to then
    core.fail{code = "missing", field = "to", message = "a shard needs a file to be written to", hint = 'to = "shard.2of4", or --to FILE'}
  end
  local first, last = shards.range(o.blocks, shard)
  local all = last - first + 1
  local ctrl_c <close> = core.interrupts()
  local part <close> = o.to and open_part(o, shard)
  local done = part and part.done - first + 1 or 0
  local shown <close> = progress.new{label = o.label, blocks = all, before = done, quiet = o.quiet}
  for block = first + done, last do
    if ctrl_c:arrived() then
      shown:erase()
      if part then stop(o, part, done, all) end
      return done, "stopped"
    end
    local bytes = o.work(block, part ~= nil)
    if part then part:append(block, bytes) end
    if bytes and o.take then o.take(block, bytes) end
    done = done + 1
    shown:step(done)
  end
  shown:erase()
  if part then close_part(o, part) end
  return done, "done"
end

return watch
