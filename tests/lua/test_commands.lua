--- All commands, each by the examples of its own --help: what they print, write and refuse.
-- Under the command alone: what it looks at are the command's own processes.
-- With one compiler: every command runs by its lines of tests/scripts as well.
-- Not under sanitizers: the same.

local check = dofile "tests/lua/check.lua"
local json = require "steelyard.print.json"
local test = check.test

local top = io.popen("pwd"):read "l"
local command = check.steelyard:find "^/" and check.steelyard or top .. "/" .. check.steelyard
local steps = {start = 1, book = 1, ["lay out"] = 1, build = 1, weigh = 1, ["set up"] = 1, prove = 1, keep = 1}
-- a file of their own, so --to does not take what they print
local writes = {apply = true, draw = true, record = true, report = true, sheets = true, start = true, take_parts = true}

local names = {}
for path in io.popen("ls scripts/*.lua"):lines() do
  local name = path:match "([%w_]+)%.lua$"
  local seeks = name == "seek" or name == "meet_target"
  if not seeks or check.can_seek then names[#names + 1] = name end -- test_seek.lua has what is said where it is not built in
end

local function quoted(s) return "'" .. s:gsub("'", "'\\''") .. "'" end

-- A folder without vehicles/, in which the examples are found all the same; with a table of the user's own, as the examples have it.
local folder = os.tmpname()
os.remove(folder)
os.execute("mkdir " .. folder)
check.command(("%s book vehicles/twayblade.lua --to %s/parts.csv"):format(check.steelyard, folder))
for k = 1, 2 do -- and of a study of the user's
  check.command(("%s window vehicles/first_guess.lua --shard %d/2 --to %s/window.%dof2"):format(check.steelyard, k, folder, k))
end

local plain = arg[-1] -- the interpreter that runs this test, if it is a plain one
local paths = ('LUA_PATH="%s/lua/?.lua;%s/lua/?/init.lua" LUA_CPATH="%s/lua/?.so" '):format(top, top, command:match "^(.*)/")

-- What runs "steelyard NAME WORDS": the command, or a plain Lua.
local function line_of(words)
  if not plain then return words:gsub("^steelyard", quoted(command)) end
  return (words:gsub("^steelyard ([%w_]+)", paths .. plain .. " " .. top .. "/scripts/%1.lua"))
end

local function run(words) return check.command(("cd %s && %s"):format(folder, line_of(words))) end

local helped = {} -- examples by name
local function examples(name)
  if helped[name] then return helped[name] end
  local list = {}
  helped[name] = list
  for line in (run("steelyard " .. name .. " --help").out .. "\n"):gmatch "([^\n]*)\n" do
    if line == "" then break end
    list[#list + 1] = line
  end
  return list
end

local first = {}
for _, name in ipairs(names) do first[name] = examples(name)[1]:gsub(" %-%-json", "") end

local printed = {} -- results by words
local function print_first(name, form)
  local words = first[name] .. form .. " --quiet"
  printed[words] = printed[words] or run(words)
  return printed[words]
end

test("each_begins_with_its_question_and_its_step", function()
  for _, name in ipairs(names) do
    local file <close> = assert(io.open("scripts/" .. name .. ".lua"))
    local question, step = file:read "l", file:read "l"
    check.ok(question:find "^%-%-%- .*%?$", name)
    check.ok(#question <= 4 + 78, name .. ": " .. #question) -- a line of the list has 100 columns
    check.ok(steps[step:match "^%-%- Step: (.*)$"], name)
  end
end)

test("each_has_two_examples_that_run_from_any_folder", function()
  for _, name in ipairs(names) do
    local list = examples(name)
    check.equal(#list, 2, name)
    for _, example in ipairs(list) do
      check.contains(example, "steelyard " .. name)
      local done = run(example)
      check.ok(done.code == 0 or done.code == 4, example .. ": " .. done.code .. " " .. done.err)
      check.ok(#done.out > 0, example)
      local drawn = example:match "%-%-plot ([^ ]+)"
      local file <close> = drawn and io.open(folder .. "/" .. drawn)
      check.ok(file or not drawn, example)
    end
  end
end)

test("each_that_draws_has_an_example_of_it", function()
  local found = 0
  for _, name in ipairs(names) do
    local draws = run("steelyard " .. name .. " --help").out:find "\n +%-%-plot " ~= nil
    check.equal(examples(name)[2]:find(" --plot ", 1, true) ~= nil, draws, name)
    found = found + (draws and 1 or 0)
  end
  check.ok(found >= 25, found)
end)

-- Of a study a file holds the study, not the page.
local function is_study(name) return run("steelyard " .. name .. " --help").out:find "\n +%-%-shard " ~= nil end

test("each_that_runs_a_study_takes_shards", function()
  local found = 0
  for _, name in ipairs(names) do
    local file <close> = assert(io.open("scripts/" .. name .. ".lua"))
    local source = file:read "a"
    local calls = select(2, source:gsub("sy%.study%s*[{(]", "")) + select(2, source:gsub("sy%.spread%s*[{(]", ""))
    check.equal(is_study(name), calls > 0, name)
    -- one that calls more than one lists them: see options.lua
    check.ok(calls <= 1 or source:find "study = {", name)
    found = found + calls
  end
  check.ok(found >= 4, found)
end)

test("each_study_comes_to_the_same_in_shards", function()
  for _, name in ipairs(names) do
    if is_study(name) then
      for k = 1, 2 do
        local done = run(("%s --quiet --shard %d/2 --to %s/%s.%d"):format(first[name], k, folder, name, k))
        check.equal({done.code == 0 or done.code == 4, done.err}, {true, ""}, name)
      end
      for _, form in ipairs{"", " --json"} do
        check.equal(run(("steelyard merge %s.2 %s.1%s"):format(name, name, form)), print_first(name, form), name .. form)
      end
      check.equal(run(("steelyard merge %s.1"):format(name)), {out = "", code = 3,
        err = "steelyard: shard 2 of 2 is missing (run it with --shard 2/2)\n"}, name)
    end
  end
end)

test("each_writes_what_it_prints_to_a_file", function()
  for _, name in ipairs(names) do
    if not writes[name] and not is_study(name) then
      for _, form in ipairs{"", " --json"} do
        local to = folder .. "/" .. name .. ".out"
        local result = print_first(name, form)
        local done = run(first[name] .. form .. " --quiet --to " .. to)
        check.equal(done, {out = "", err = "", code = result.code}, name .. form)
        local file <close> = assert(io.open(to))
        check.equal(file:read "a", result.out, name .. form)
        if form == "" then check.equal(run(first[name] .. " --to " .. to).code, 3, name) end -- it is there
        os.remove(to)
      end
    end
  end
end)

test("each_says_wrong_usage_in_a_line_a_document_and_code_2", function()
  for _, name in ipairs(names) do
    local done = run(("steelyard %s --no-such-option"):format(name))
    check.equal(done, {out = "", code = 2, err =
      ("steelyard: there is no option --no-such-option; `steelyard %s --help` shows examples\n"):format(name)}, name)
    done = run(("steelyard %s --json --no-such-option"):format(name))
    check.equal({done.code, json.decode(done.out).error.code}, {2, "usage"}, name)
  end
end)

test("each_says_bad_input_in_a_line_a_document_and_code_3", function()
  for _, name in ipairs(names) do
    if name ~= "start" then -- reads nothing
      local words = first[name]:gsub("vehicles/[%w_./-]+", "no/such.file")
      if words == first[name] then words = words .. " no/such.file" end
      local done = run(words .. " --json")
      local record = json.decode(done.out).error
      check.equal({done.code, record.code, record.file}, {3, "read", "no/such.file"}, name)
      check.equal(done.err:gsub("[^\n]", ""), "\n", name)
      check.contains(done.err, "steelyard: no/such.file: ", name)
    end
  end
end)

test("each_is_silent_when_nobody_reads_on", function()
  for _, name in ipairs(names) do
    if not writes[name] then
      for form, reader in pairs{[""] = "head -n 1 >/dev/null", [" --json"] = "true"} do
        local words = line_of(first[name] .. form .. " --quiet")
        local done = check.command(("cd %s && { sleep 0.01; %s; echo code $? >&2; } | %s"):format(folder, words, reader))
        check.equal({done.out, done.err}, {"", ("code %d\n"):format(print_first(name, form).code)}, name .. form .. " | " .. reader)
      end
    end
  end
end)

test("take_parts_that_was_to_write_a_file_and_has_not_ends_with_3", function()
  local bad = folder .. "/bad.csv"
  local file = assert(io.open(bad, "w"))
  file:write "part,mass kg,x,y,z\nengine,120,9000,0,300\ntub,100,8000,0,300\n"
  file:close()
  local asked = ("steelyard take_parts %s --wheelbase 2400 --track 1400"):format(bad)
  local done = run(asked)
  check.equal(done.code, 3)
  check.contains(done.out, "Nothing is written")
  local made = json.decode(run(asked .. " --json").out)
  check.equal(made.written, false)
  check.equal(run("steelyard take_parts " .. bad).code, 0) -- was not to
  check.equal(run(asked .. " --anyway").code, 0)
  check.equal(run(asked .. " --anyway").code, 0) -- is there and reads the table
  os.execute(("cp vehicles/first_guess.lua %s/bad.lua"):format(folder))
  check.equal(run(asked).code, 3) -- is there and does not
end)

test("mistakes_that_scripts_and_the_library_find_are_named_as_typed", function()
  for words, message in pairs{
    ["cg_height vehicles/twayblade.lua --plan 10 --pad -1"] = "--pad: must be 0 kg or more",
    ["cg_height vehicles/twayblade.lua"] = "READINGS or --plan MM is needed",
    ["load_transfer vehicles/twayblade.lua --left -1"] = "--left: is -1 g, must be 0 or more (--right is the other way)",
    ["load_transfer vehicles/twayblade.lua --left 1 --right 1"] = "--left and --right do not go together",
    ["set_cross vehicles/twayblade.lua 50 --front 500"] = "--front: is 500 mm",
    ["predict_corners vehicles/twayblade.lua --slope up=1"] = "--slope: ",
    ["mesh vehicles/shapes/saddle_tank.obj"] = "--unit mm makes it 260 x 480 x 235 mm",
    ["mesh vehicles/shapes/saddle_tank.obj --unit mm --mass -1"] = "--mass: must be above 0 kg",
    ["mockup vehicles/twayblade.lua --tapes 1,2,3"] = "--tapes, number 2: must be a number",
    ["stands vehicles/twayblade.lua lf rf"] = "STANDS: are 2",
    ["drivers vehicles/first_guess.lua --hip 1160,180,230 --torso 400 --knee 125"] = "--torso: must be 90 deg or less",
    ["tilt_table vehicles/twayblade.lua --brake_front 0.6"] = "--brake-front: is 0.6 %",
    ["what_if vehicles/twayblade.lua 'powertrain 50 sideways'"] = '"powertrain 50 sideways"',
    ["reconcile vehicles/twayblade.lua"] = "--corners or --axles is needed",
    ["start mycar"] = "mycar: a vehicle file is called NAME.lua",
    ["fuel_burn vehicles/twayblade.lua --to 4"] = "--down-to 4 is where the fuel ends",
  } do
    local done = run("steelyard " .. words)
    check.equal({done.code, done.out}, {2, ""}, words)
    check.contains(done.err, message, words)
  end
end)

test("hints_are_for_one_who_types_and_in_lua_for_a_script", function()
  local sy = require "steelyard"
  local twayblade = sy.load "vehicles/twayblade.lua"
  local table_path = folder .. "/marks.csv"
  local file = assert(io.open(table_path, "w"))
  file:write 'part,mass kg,x,y,z\ntub,"1,234",0,0,200\n'
  file:close()
  for words, pair in pairs{
    ["take_parts " .. table_path] = {"--decimal , or --decimal . says which", function()
      sy.car{axles = {}, parts = {sy.from_csv(table_path)}} end, 'from_csv "parts.csv" { decimal = "," }'},
    ["teardown " .. table_path] = {"--decimal , or --decimal . says which"},
    ["reconcile vehicles/first_guess.lua --state 'race start' --corners 353,375,490,513"] = {"multiply by 0.45359237", function()
      sy.load("vehicles/first_guess.lua"):state("race start"):reconcile{corners = {lf = 353, rf = 375, lr = 490, rr = 513}} end, "sy.lb"},
    ["what_if vehicles/twayblade.lua 'rear axle 20 up'"] = {"changed in the file", function()
      twayblade:move("rear axle", {up = 20}) end, "car:set"},
    ["set_cross vehicles/burnet.lua 50"] = {"ride_height --front MM", function()
      sy.load("vehicles/burnet.lua"):perches{cross_share = 50} end, "heights = {front = 0, rear = 0}"},
    ["driver_swap vehicles/twayblade.lua --for engine"] = {"choose a state without it", function()
      twayblade:swap("driver", "engine") end, "car:without"},
    ["mesh vehicles/shapes/saddle_tank.obj"] = {"--unit mm makes", function() sy.mesh "vehicles/shapes/saddle_tank.obj" end, 'unit = "mm"'},
  } do
    check.contains(run("steelyard " .. words).err, pair[1], words)
    if pair[2] then check.raises(pair[2], pair[3]) end
  end
end)

-- It read "needs spring rates in the file" of a file that states them: any error counted as that one.
test("what_springs_cannot_answer_is_said_with_its_reason", function()
  local path = folder .. "/lifted.lua"
  local file = assert(io.open("vehicles/twayblade.lua"))
  local words = file:read "a":gsub("cross_share = %d+", "cross_share = 2")
  file:close()
  local own = assert(io.open(path, "w"))
  own:write(words)
  own:close()
  local burnt = run("steelyard fuel_burn " .. path)
  check.equal(burnt.code, 0, burnt.err)
  check.contains(burnt.out, "No cross weight and ride heights: ")
  check.contains(burnt.out, "springs cannot be set for a wheel off the ground")
  local bare = run "steelyard fuel_burn vehicles/first_guess.lua"
  check.contains(bare.out, "No cross weight and ride heights: spring and tyre rates are not in the file.")
end)

test("a_file_of_the_users_own_wins_over_an_example", function()
  local home = folder .. "/mine"
  os.execute(("mkdir -p %s/vehicles && sed 's/First guess/My own/' vehicles/first_guess.lua >%s/vehicles/first_guess.lua"):format(home,
    home))
  local function balance(more) return check.command(("cd %s && %s"):format(home, line_of("steelyard balance " .. more))) end
  local own, example = balance "vehicles/first_guess.lua", balance "vehicles/teasel.lua"
  check.equal({own.code, own.err}, {0, ""})
  check.contains(own.out, "My own")
  check.contains(example.err, "vehicles/teasel.lua is not in this folder; the example ")
  check.equal(balance("vehicles/teasel.lua --quiet").err, "")
  check.equal(balance("elsewhere/teasel.lua").code, 3)
  -- what is written is never looked for among them
  local started = check.command(("cd %s && %s"):format(home, line_of "steelyard start vehicles/teasel.lua"))
  check.equal(started.code, 0, started.err)
  check.contains(balance("vehicles/teasel.lua").out, "teasel")
end)

os.execute("rm -r " .. folder)
check.done()
