--- A study without a car, for the tests of watching: block b comes to b * b, the result to the sum. As a script it takes --blocks N, --ms N
-- (a block's time), --bytes N (as many more a block), --seed N and what every study takes, and prints how many blocks are done, the
-- status, the sum of what was taken, and how many blocks were worked out in this run.

local core = require "steelyard.core"
local watch = require "steelyard.study.watch"

local fake = {}

local function wait(seconds)
  local till = core.seconds() + seconds
  repeat until core.seconds() >= till
end

--- Fields for watch.run.
function fake.study(o)
  local s = {sum = 0, worked = 0, taken = {}, label = o.label or ("%d numbers"):format(o.blocks), blocks = o.blocks, to = o.to,
    shard = o.shard, quiet = o.quiet, replace = o.replace}
  s.heading = {kind = "fake", hash = watch.hash({blocks = o.blocks, seed = o.seed or 1}, "0"), seed = o.seed or 1,
    file = o.file or {name = "fake.lua", sha256 = "0"}, about = {answer = "sum"}}
  function s.work(block)
    if block == o.fails then error "the block fails" end
    wait((o.ms or 0) / 1000)
    s.worked = s.worked + 1
    return ("<i8"):pack(block * block) .. ("."):rep(o.bytes or 0)
  end
  function s.take(block, bytes)
    s.sum = s.sum + ("<i8"):unpack(bytes)
    s.taken[#s.taken + 1] = block
  end
  function s.finish() return ("sum %d\n"):format(s.sum) end
  return s
end

--- What sy.merge makes of its shards.
function fake.restored(heading)
  local sum = 0
  return function(_, bytes) sum = sum + ("<i8"):unpack(bytes) end,
    function() return {sum = sum, blocks = heading.blocks, answer = heading.about.answer} end
end

local function whole(meaning, default) return {"N", meaning, number = true, whole = true, default = default} end

if arg and arg[0]:find "fake_study%.lua$" then
  local o = require("steelyard").options{
    about = "Squares, one a block.", usage = "fake", examples = {"steelyard fake", "steelyard fake --blocks 4"}, study = true,
    options = {blocks = whole("how many", 40), ms = whole("time of a block", 0), bytes = whole("more bytes a block", 0),
               seed = whole("any", 1)},
  }
  local s = fake.study(o)
  local done, status = watch.run(s)
  print(done, status, s.sum, s.worked)
end

return fake
