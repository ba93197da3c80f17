--- Running a study block by block: order, what is taken, how far it came. What a terminal shows of it and what a signal does:
--- tests/reference/watching.py.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local progress = require "steelyard.study.progress"
local watch = require "steelyard.study.watch"
local fake = dofile "tests/lua/fake_study.lua"
local merge = require "steelyard.study.merge"
local shards = require "steelyard.study.shards"
local test = check.test

merge.kinds.fake = function() return fake end

local function with_folder(body)
  local folder = os.tmpname()
  os.remove(folder)
  os.execute("mkdir " .. folder)
  local fine, why = pcall(body, folder)
  os.execute("rm -rf " .. folder)
  if not fine then error(why, 0) end
end

local function contents(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

local function put(path, bytes)
  local file <close> = assert(io.open(path, "wb"))
  file:write(bytes)
end

local function run(o)
  o.quiet = true
  local s = fake.study(o)
  s.done, s.status = watch.run(s)
  return s
end

-- What a run leaves that stops at block `fails`.
local function broken(o, fails)
  o.fails = fails
  check.raises(function() run(o) end, "the block fails")
  o.fails = nil
  return contents(o.to .. ".part")
end

local SUM = 40 * 41 * 81 // 6 -- of the squares up to 40, n (n + 1) (2 n + 1) / 6

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

test("a_search_without_a_known_end_says_how_far_it_is_and_goes", function()
  local written, stderr = {}, io.stderr
  local shown = progress.new{label = "ballast in 3 slots"}
  shown.visible = true -- as on a terminal
  io.stderr = {write = function(_, ...) written[#written + 1] = table.concat{...} end, flush = function() end} -- luacheck: ignore 122
  shown:search(64, "boxes of masses searched")
  local soon = #written
  shown.next = 0 -- half a second later
  shown:search(12800, "boxes of masses searched")
  shown:erase()
  io.stderr = stderr -- luacheck: ignore 122
  check.equal(soon, 0, "a short one says nothing")
  check.equal(written[1], "\rballast in 3 slots: 12,800 boxes of masses searched so far")
  check.contains(written[2], (" "):rep(#written[1] - 1))
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

test("check_word_sees_each_changed_byte_where_a_text_ends_and_the_order", function()
  local words = ("a steelyard weighs by the arm"):rep(3)
  local whole, seen = core.check_word(words), {}
  for at = 1, #words do
    for _, bit in ipairs{1, 128} do
      local word = core.check_word(words:sub(1, at - 1) .. string.char(words:byte(at) ~ bit) .. words:sub(at + 1))
      check.ok(word ~= whole and not seen[word])
      seen[word] = true
    end
    check.ok(core.check_word(words:sub(1, at - 1), words:sub(at)) ~= whole)
  end
  check.ok(core.check_word("a", "b") ~= core.check_word("b", "a") and core.check_word "a" ~= core.check_word "a\0")
end)

-- ---- to a file ----------------------------------------------------------------------------------------------------

test("a_study_to_a_file_writes_what_finish_gives_and_leaves_no_part", function()
  with_folder(function(folder)
    local to = folder .. "/sum"
    local s = run{blocks = 40, to = to}
    check.equal({s.done, s.status, s.sum, s.worked}, {40, "done", SUM, 40})
    check.equal({contents(to), core.is_there(to .. ".part")}, {("sum %d\n"):format(SUM), false})
  end)
end)

test("a_study_that_broke_off_goes_on_from_its_part_to_the_same_bytes", function()
  with_folder(function(folder)
    for _, fails in ipairs{1, 2, 17, 40} do
      local o = {blocks = 40, to = folder .. "/sum" .. fails}
      broken(o, fails)
      local s = run(o)
      check.equal({s.done, s.sum, s.worked, #s.taken, contents(o.to)}, {40, SUM, 41 - fails, 40, ("sum %d\n"):format(SUM)})
      for block = 1, 40 do check.equal(s.taken[block], block) end
    end
  end)
end)

test("a_part_cut_off_at_any_byte_goes_on_from_its_last_whole_block", function()
  with_folder(function(folder)
    local o = {blocks = 3, to = folder .. "/sum"}
    local part = broken(o, 3)
    for size = 0, #part - 1 do
      put(o.to .. ".part", part:sub(1, size))
      local s = run(o)
      check.ok(s.sum == 14 and s.worked >= 2 and #s.taken == 3 and contents(o.to) == "sum 14\n", size)
      os.remove(o.to)
    end
  end)
end)

test("a_part_with_any_byte_changed_never_gives_another_result", function()
  with_folder(function(folder)
    local o = {blocks = 3, to = folder .. "/sum"}
    local part = broken(o, 3)
    local refused, mended = 0, 0
    for at = 1, #part do
      local changed = part:sub(1, at - 1) .. string.char(part:byte(at) ~ 4) .. part:sub(at + 1)
      put(o.to .. ".part", changed)
      local fine, err = pcall(run, o)
      if fine then
        mended = mended + 1
        check.equal(contents(o.to), "sum 14\n")
        os.remove(o.to)
      else
        refused = refused + 1
        check.ok(err.code == "clash" or err.code == "content", tostring(err))
        check.equal(contents(o.to .. ".part"), changed)
      end
    end
    check.equal(mended, 2 * (16 + 8 + 8)) -- the two blocks: number and size, what it holds, its check word
    check.equal(refused, #part - mended)
  end)
end)

test("blocks_of_another_study_do_not_pass_for_ones_of_this", function()
  with_folder(function(folder)
    local one, other = {blocks = 3, to = folder .. "/one"}, {blocks = 3, seed = 2, to = folder .. "/other"}
    local ours, theirs = broken(one, 3), broken(other, 3)
    local block = 16 + 8 + 8
    put(one.to .. ".part", ours:sub(1, -block - 1) .. theirs:sub(-block))
    check.equal(run(one).worked, 2)
  end)
end)

test("a_part_of_something_else_is_refused_by_what_differs_and_stays", function()
  with_folder(function(folder)
    local to = folder .. "/sum"
    local o = {blocks = 4, to = to, shard = {1, 2}}
    local part = broken(o, 2)
    local function refuses(changes, message, hint)
      local asked = {blocks = 4, to = to, shard = {1, 2}}
      for field, value in pairs(changes) do asked[field] = value end
      check.raises(function() run(asked) end, {code = "clash", file = to .. ".part", message = message, hint = hint})
      check.equal(contents(to .. ".part"), part)
    end
    refuses({seed = 7}, "is of another study (seed 1, not 7) and stays as it is", "remove it, or choose another name")
    refuses({blocks = 5}, "is of another study (other inputs, outputs or limits) and stays as it is")
    refuses({shard = {2, 2}}, "is shard 1 of 2, not shard 2 of 2", "give each shard a file of its own")
    put(to .. ".part", (part:gsub("^steelyard blocks 1", "steelyard blocks 2")))
    part = contents(to .. ".part")
    refuses({}, "was written by another version of steelyard and stays as it is")
    for _, bytes in ipairs{"title,mass\n", "s", ("x"):rep(5000)} do
      part = bytes
      put(to .. ".part", bytes)
      if bytes ~= "s" then refuses({}, "is not of a study and stays as it is", "choose another name") end
    end
  end)
end)

test("headings_differ_by_version_first_then_by_what_the_user_can_see", function()
  local part_file = require "steelyard.study.part_file"
  local function differs(changes)
    local a = {version = "0.1.0", hash = "a", kind = "spread", seed = 3, file = {name = "sedge.lua", sha256 = "1"}}
    local b = {hash = "b"}
    for field, value in pairs(a) do b[field] = changes[field] or b[field] or value end
    return part_file.differs(a, b)
  end
  check.equal(differs{hash = "a"}, nil)
  check.equal(differs{version = "0.2.0"}, "steelyard 0.1.0, not 0.2.0")
  check.equal(differs{kind = "study"}, "a spread, not a study")
  check.equal(differs{seed = 4}, "seed 3, not 4")
  check.equal(differs{file = {name = "sedge.lua", sha256 = "2"}}, "sedge.lua was changed in between")
  check.equal(differs{file = {name = "tansy.lua", sha256 = "2"}}, "of sedge.lua, not of tansy.lua")
  check.equal(differs{}, "other inputs, outputs or limits")
end)

test("a_file_that_is_there_a_missing_folder_and_a_folder_are_refused_before_any_work", function()
  with_folder(function(folder)
    local function refuses(to, want, changes)
      local o = {blocks = 2, to = to, quiet = true}
      for field, value in pairs(changes or {}) do o[field] = value end
      local s = fake.study(o)
      check.raises(function() watch.run(s) end, want)
      check.equal(s.worked, 0)
    end
    put(folder .. "/there", "kept")
    refuses(folder .. "/there", {code = "clash", file = folder .. "/there", message = "is already there and stays as it is",
                                 hint = "replace = true writes over it", typed = "--replace writes over it"})
    check.equal({contents(folder .. "/there"), core.is_there(folder .. "/there.part")}, {"kept", false})
    refuses(folder .. "/none/sum", {code = "io", file = folder .. "/none/sum.part", message = "cannot be written: its folder is not there",
                                    hint = "make the folder first"})
    refuses(folder, {code = "io", file = folder, message = "is a folder", hint = "give the name of a file in it"})
    refuses("/dev/full", {code = "io", file = "/dev/full", message = "is not a regular file and is not replaced"}, {replace = true})
    os.execute("mkdir " .. folder .. "/taken.part; ln -s nothing " .. folder .. "/link.part")
    refuses(folder .. "/taken", {code = "io", file = folder .. "/taken.part", message = "is a folder"})
    refuses(folder .. "/link", {code = "io", file = folder .. "/link.part", message = "is not a regular file and is not replaced"})
    if core.is_folder "/sys/kernel" then -- a folder that not even root may write to
      refuses("/sys/kernel/sum", {code = "io", message = "cannot be written: this folder may not be written to"})
    end
    refuses(nil, {code = "missing", field = "to", message = "a shard needs a file to be written to"}, {shard = {1, 2}})
    local s = run{blocks = 2, to = folder .. "/there", replace = true}
    check.equal({s.done, contents(folder .. "/there")}, {2, "sum 5\n"})
  end)
end)

test("a_study_of_what_it_reads_is_not_written_over_it", function()
  local sy = require "steelyard"
  sy.load "vehicles/first_guess.lua"
  check.raises(function() run{blocks = 2, to = "vehicles/first_guess.lua", replace = true} end,
    {code = "clash", message = "is what this command reads and is not written over"})
  check.equal(core.is_there "vehicles/first_guess.lua.part", false)
end)

-- ---- shards -------------------------------------------------------------------------------------------------------

test("shards_share_all_blocks_out_once_and_evenly", function()
  for _, blocks in ipairs{0, 1, 5, 36, 97} do
    for _, count in ipairs{1, 2, 3, 7, 40} do
      local next_block = 1
      for k = 1, count do
        local first, last = shards.range(blocks, {k, count})
        check.ok(first == next_block and last - first + 1 >= blocks // count and last - first <= blocks // count)
        next_block = last + 1
      end
      check.equal(next_block, blocks + 1)
    end
  end
end)

test("a_shard_is_two_numbers_or_k_n", function()
  check.equal({shards.read{2, 4}, shards.read "2/4", shards.read "1/1"}, {{2, 4}, {2, 4}, {1, 1}})
  for _, wrong in ipairs{"2", "2/", "/4", "a/b", "-1/4", "2/4/5", 2, {2}, {"2", "4"}, {1.5, 2}, true} do
    check.raises(function() shards.read(wrong) end,
      {code = "type", field = "shard", message = "is not a shard", hint = "the second of four"})
  end
  for _, wrong in ipairs{"0/4", "5/4", {0, 0}} do
    check.raises(function() shards.read(wrong) end, {code = "range", field = "shard", message = "is not a shard"})
  end
end)

local function shard_files(folder, count, o)
  local paths = {}
  for k = 1, count do
    local asked = {blocks = 40, to = ("%s/%d"):format(folder, k), shard = {k, count}}
    for field, value in pairs(o or {}) do asked[field] = value end
    run(asked)
    paths[k] = asked.to
  end
  return paths
end

test("merge_joins_shards_in_any_order_to_the_whole", function()
  local sy = require "steelyard"
  with_folder(function(folder)
    for _, count in ipairs{1, 2, 5, 50} do
      local paths = shard_files(folder, count)
      paths[1], paths[#paths] = paths[#paths], paths[1]
      check.equal(sy.merge(paths), {sum = SUM, blocks = 40, answer = "sum"})
      os.execute("rm -f " .. folder .. "/*")
    end
  end)
end)

test("merge_of_resumed_shards_is_that_of_whole_ones_to_the_byte", function()
  with_folder(function(folder)
    local whole = contents(shard_files(folder, 2)[2])
    local o = {blocks = 40, to = folder .. "/again", shard = "2/2"}
    broken(o, 30)
    run(o)
    check.equal(contents(folder .. "/again"), whole)
  end)
end)

test("merge_names_what_is_missing_there_twice_or_of_another_study", function()
  with_folder(function(folder)
    local p = shard_files(folder, 4)
    local function refuses(paths, want) check.raises(function() merge.of(paths) end, want) end
    refuses({p[1], p[3]}, {code = "missing", message = "shards 2 and 4 of 4 are missing", hint = "run it with --shard 2/4"})
    refuses({p[1], p[2], p[3]}, {code = "missing", message = "shard 4 of 4 is missing", hint = "run it with --shard 4/4"})
    refuses({p[1], p[2], p[2], p[3]}, {code = "clash", file = p[2], message = "is given twice", hint = "each shard counts once"})
    os.execute(("mkdir %s/o; cp %s %s/o/copy"):format(folder, p[3], folder))
    refuses({p[1], p[3], folder .. "/o/copy"},
      {code = "clash", file = folder .. "/o/copy", message = ("is shard 3 of 4, as %s is"):format(p[3])})
    local other = shard_files(folder .. "/o", 4, {seed = 9})
    refuses({p[1], p[2], other[3], p[4]}, {code = "type", file = other[3],
      message = ("is of another study than %s: seed 9, not 1"):format(p[1]), hint = "merge shards of one study"})
    local halves = folder .. "/o/half"
    run{blocks = 40, to = halves, shard = {1, 2}}
    refuses({p[1], halves}, {code = "type", file = halves, message = ("is one of 2 shards, %s one of 4"):format(p[1])})
  end)
end)

test("merge_refuses_shards_of_two_versions_and_of_another_than_its_own", function()
  with_folder(function(folder)
    local p, ours = shard_files(folder, 2), core.version
    os.execute("mkdir " .. folder .. "/o")
    core.version = "0.0.9" -- what a file says of its version comes from there
    local fine, older = pcall(shard_files, folder .. "/o", 2)
    core.version = ours
    check.ok(fine, older)
    check.raises(function() merge.of{p[1], older[2]} end, {code = "type", file = older[2],
      message = ("is of another study than %s: steelyard 0.0.9, not %s"):format(p[1], ours), hint = "merge shards of one study"})
    check.raises(function() merge.of(older) end, {code = "type", file = older[1],
      message = ("is of steelyard 0.0.9, and this is %s"):format(ours), hint = "merge the shards with the version that wrote them"})
    check.equal(merge.of(p).blocks, 40)
  end)
end)

test("merge_refuses_what_is_not_a_shard_unfinished_or_damaged", function()
  with_folder(function(folder)
    local p = shard_files(folder, 2)
    local function refuses(paths, want) check.raises(function() merge.of(paths) end, want) end
    local whole = contents(p[2])
    put(p[2], whole:sub(1, -200))
    refuses(p, {code = "content", file = p[2], message = "is damaged behind 65 % of shard 2 of 2",
                hint = "remove it and run that shard again"})
    put(p[2], whole .. "more")
    refuses(p, {code = "content", file = p[2], message = "is damaged behind 100 % of shard 2 of 2"})
    put(p[2], whole:sub(1, -(16 + 8 + 8) * 5 - 1))
    refuses(p, {code = "missing", file = p[2], message = "holds 75 % of shard 2 of 2", hint = "it goes on from there"})
    put(p[2], whole:sub(1, 60) .. "x" .. whole:sub(62))
    refuses(p, {code = "content", file = p[2], message = "is damaged at its beginning", hint = "run that shard again"})
    refuses({"vehicles/first_guess.lua"}, {code = "type", file = "vehicles/first_guess.lua", message = "is not a shard of a study"})
    put(folder .. "/empty", "")
    refuses({folder .. "/empty"}, {code = "type", message = "is empty, not a shard of a study"})
    put(folder .. "/newer", "steelyard blocks 7\nand more")
    refuses({folder .. "/newer"}, {code = "type", message = "was written by another version of steelyard"})
    local function none() merge.of{folder .. "/none"} end
    check.equal(check.raises(none, {code = "read", file = folder .. "/none", message = "is not there"}).hint, nil)
    put(folder .. "/none.part", whole:sub(1, -100))
    refuses({folder .. "/none"}, {code = "read", message = "is not there", hint = "none.part is: that shard is not done"})
    refuses({folder}, {code = "read", file = folder, message = "is not a regular file"})
    for _, wrong in ipairs{{}, 5, {5}, "x"} do
      refuses(wrong, {code = "type", message = "sy.merge needs the files of the shards", hint = "sy.merge{"})
    end
    refuses(nil, {code = "type"})
    -- two shards written one behind the other into one file, whole or not
    put(p[2], whole .. contents(p[1]))
    refuses(p, {code = "clash", file = p[2], message = "holds shard 2 of 2 and behind it another", hint = "a file of its own"})
    put(p[2], whole:sub(1, -(16 + 8 + 8) * 5 - 1) .. contents(p[1]))
    refuses(p, {code = "clash", file = p[2], message = "holds 75 % of shard 2 of 2 and behind it another"})
    merge.kinds.fake = nil
    put(p[2], whole)
    refuses(p, {code = "type", file = p[1], message = 'is a "fake", which this version does not know'})
    merge.kinds.fake = function() return fake end
  end)
end)

check.done()
