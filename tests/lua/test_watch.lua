--- Running a study block by block: order, what is taken, how far it came. What a terminal shows of it and what a signal does:
--- tests/reference/watching.py.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local progress = require "steelyard.study.progress"
local watch = require "steelyard.study.watch"
local test = check.test

test("run_works_the_blocks_out_in_order_and_gives_what_is_taken", function()
  local worked, taken = {}, {}
  local done, status = watch.run{label = "7 variants", blocks = 3,
    work = function(block) worked[#worked + 1] = block; return ("answers %d"):format(block) end,
    take = function(block, bytes) taken[block] = bytes end}
  check.equal({done, status, worked, taken}, {3, "done", {1, 2, 3}, {"answers 1", "answers 2", "answers 3"}})
end)

test("run_takes_nothing_from_a_block_that_gives_nothing", function()
  local done = watch.run{label = "7 variants", blocks = 2, work = function() end, take = function() error "taken" end}
  check.equal(done, 2)
end)

test("run_leaves_an_error_of_a_block_as_it_is", function()
  local problem = {}
  local fine, err = pcall(watch.run, {label = "", blocks = 2, work = function() error(problem) end, take = print})
  check.equal(fine, false)
  check.ok(rawequal(err, problem))
end)

test("duration_is_rounded_up_to_what_such_an_estimate_holds", function()
  for seconds, words in pairs{[0] = "1 s", [0.2] = "1 s", [7.1] = "8 s", [89] = "89 s", [91] = "2 min", [3599] = "60 min",
                              [5400] = "1 h 30 min", [36000] = "10 h 0 min"} do
    check.equal(progress.duration(seconds), words)
  end
end)

test("interrupts_that_did_not_come_have_not_arrived", function()
  local outer <close> = core.interrupts()
  do
    local inner <close> = core.interrupts()
    check.equal(inner:arrived(), false)
  end
  outer:close()
  outer:close()
  check.equal(outer:arrived(), false)
end)

test("seconds_go_forward", function()
  local first = core.seconds()
  for _ = 1, 1000 do check.ok(core.seconds() >= first) end
end)

check.done()
