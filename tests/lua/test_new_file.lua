--- Files that commands write: whole or not at all, and what the user had stays. The writer itself: tests/test_write_file.c.
-- Under the command alone: what it looks at are the command's own processes.
-- With one compiler: the writer itself has tests/test_write_file.c.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local new_file = require "steelyard.command.new_file"
local sy = require "steelyard"
local test = check.test

local function folder_of_ours()
  local path = os.tmpname()
  os.remove(path)
  os.execute("mkdir " .. path)
  return path
end

local function put(path, words)
  local file <close> = assert(io.open(path, "wb"))
  file:write(words)
end

local function contents(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

local function with_folder(body)
  local folder = folder_of_ours()
  local fine, why = pcall(body, folder)
  os.execute("rm -rf " .. folder)
  if not fine then error(why, 0) end
end

local CAR = [[vehicle { title = "Sorrel (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -120, centre = 30,
  axles = {{name = "front", at = 900, track = 1400, loaded_radius = 290}, {name = "rear", at = -1500, track = 1420, loaded_radius = 300}},
  parts = { from_csv "parts.csv" } }]]
local TABLE = "part,mass kg,x,y,z\ntub,300,-200,30,180\nengine,120,-1000,30,210\n"

test("links_are_seen_as_such_and_folders_are_made_once", function()
  with_folder(function(folder)
    put(folder .. "/file", "x")
    os.execute(("ln -s file %s/link; ln -s nothing %s/loose"):format(folder, folder))
    check.equal({core.is_link(folder .. "/link"), core.is_link(folder .. "/loose"), core.is_link(folder .. "/file"),
                 core.is_link(folder .. "/none")}, {true, true, false, false})
    for _ = 1, 2 do core.make_folder(folder .. "/new") end
    check.ok(core.is_folder(folder .. "/new"))
    check.raises(function() core.make_folder(folder .. "/file") end,
      {code = "io", message = "is a file, and a folder of that name is needed"})
    check.raises(function() core.make_folder(folder .. "/none/new") end, {code = "io", message = "its folder is not there"})
  end)
end)

test("book_to_a_file_writes_the_table_and_says_so", function()
  with_folder(function(folder)
    local to = folder .. "/out.csv"
    local done = check.command(check.steelyard .. " book vehicles/first_guess.lua --to " .. to)
    check.equal({done.out, done.err, done.code}, {"", to .. " is written.\n", 0})
    check.equal(contents(to), check.command(check.steelyard .. " book vehicles/first_guess.lua --csv").out)
  end)
end)

test("book_never_empties_the_table_that_its_car_reads", function()
  with_folder(function(folder)
    put(folder .. "/car.lua", CAR)
    put(folder .. "/parts.csv", TABLE)
    os.execute("ln -s parts.csv " .. folder .. "/also.csv")
    for _, name in ipairs{"parts.csv", "also.csv", "car.lua"} do
      for _, replace in ipairs{"", " --replace"} do
        local done = check.command(("%s book %s/car.lua --to %s/%s%s"):format(check.steelyard, folder, folder, name, replace))
        check.equal({done.out, done.code}, {"", 3})
        check.contains(done.err, "is what this command reads and is not written over")
      end
    end
    check.equal(contents(folder .. "/parts.csv"), TABLE)
    check.equal(contents(folder .. "/car.lua"), CAR)
  end)
end)

test("book_to_a_file_that_is_there_needs_replace", function()
  with_folder(function(folder)
    local to = folder .. "/out.csv"
    put(to, "mine\n")
    local words = check.steelyard .. " book vehicles/first_guess.lua --to " .. to
    local done = check.command(words)
    check.equal(done.code, 3)
    check.contains(done.err, "is already there and stays as it is (--replace writes over it)")
    check.equal(contents(to), "mine\n")
    check.equal(check.command(words .. " --replace").code, 0)
    check.ok(#contents(to) > 100)
  end)
end)

test("book_says_which_options_do_not_go_together", function()
  check.contains(check.command(check.steelyard .. " book vehicles/first_guess.lua --replace").err, "--replace goes with --to FILE")
  local both = check.command(check.steelyard .. " book vehicles/first_guess.lua --json --csv")
  check.equal(both.code, 2)
  check.contains(both.err, "--csv and --json do not go together")
end)

test("a_folder_as_the_file_is_called_that", function()
  with_folder(function(folder)
    for _, more in ipairs{"", " --replace", " --json"} do
      local done = check.command(("%s balance vehicles/first_guess.lua --to %s%s"):format(check.steelyard, folder, more))
      check.equal(done.code, 3)
      check.contains(done.err, folder .. ": is a folder (give the name of a file in it)")
    end
    os.execute(("ln -s . %s/link"):format(folder))
    check.raises(function() core.write_file(folder .. "/link", "a", true) end, {code = "io", message = "is a folder"})
  end)
end)

test("a_script_is_never_written_over_by_its_own_output", function()
  with_folder(function(folder)
    local script = folder .. "/own.lua"
    local body = 'local sy = require "steelyard" sy.out(sy.options{prints = "text"}, "new")'
    put(script, body)
    local done = check.command(("%s %s --to %s --replace"):format(check.steelyard, script, script))
    check.equal(done.code, 3)
    check.contains(done.err, "is what this command reads")
    check.equal(contents(script), body)
  end)
end)

test("a_script_that_prints_twice_writes_both", function()
  with_folder(function(folder)
    local script, to = folder .. "/own.lua", folder .. "/out"
    put(script, 'local sy = require "steelyard" local o = sy.options{prints = "text"} sy.out(o, "one") sy.out(o, "two")')
    check.equal(check.command(("%s %s --to %s"):format(check.steelyard, script, to)), {out = "", err = to .. " is written.\n", code = 0})
    check.equal(contents(to), "one\ntwo\n")
    check.equal(check.command(("%s %s --to %s --replace --json"):format(check.steelyard, script, to)).code, 0)
    local made = require("steelyard.print.json").decode(contents(to))
    check.equal({made[1].text, made[2].text}, {"one", "two"})
  end)
end)

test("a_folder_that_is_not_there_is_named", function()
  check.raises(function() core.write_file("/no/such/folder/x.csv", "a") end,
    {code = "io", file = "/no/such/folder/x.csv", message = "its folder is not there"})
  check.raises(function() new_file.save("/no/such/folder/x.csv", "a", {}) end, {code = "io", message = "its folder is not there"})
end)

-- without the right to read it a file was taken for missing and replaced
test("start_and_take_parts_keep_a_file_that_may_not_be_read", function()
  with_folder(function(folder)
    local path, list = folder .. "/car.lua", folder .. "/car.csv"
    put(path, CAR)
    put(list, TABLE)
    os.execute("chmod 000 " .. path)
    -- without root's rights, where this runs as root; from ".", since the way here may lead through a folder of root alone
    local plain = io.open(path, "rb") and "STEELYARD_HOME=. setpriv --reuid=65534 --clear-groups " or ""
    os.execute("chmod 777 " .. folder .. " && chmod 644 " .. list)
    local started = check.command(plain .. check.steelyard .. " start " .. path)
    local taken = check.command(plain .. check.steelyard .. " take_parts " .. list .. " --wheelbase 2400 --track 1400")
    os.execute("chmod 600 " .. path)
    check.contains(started.err, "is already there and stays as it is")
    check.ok(started.code ~= 0 and taken.code ~= 0, "refused")
    check.equal(contents(path), CAR)
  end)
end)

test("what_a_killed_run_left_beside_blocks_nothing", function()
  with_folder(function(folder)
    put(folder .. "/car.lua.new", "remains")
    check.equal(check.command(check.steelyard .. " start " .. folder .. "/car.lua").code, 0)
    check.equal(contents(folder .. "/car.lua.new"), "remains")
    check.ok(sy.load(folder .. "/car.lua"))
  end)
end)

test("start_and_take_parts_say_that_a_folder_is_one", function()
  with_folder(function(folder)
    os.execute("mkdir " .. folder .. "/car.lua")
    put(folder .. "/car.csv", "name,mass,x,y,z\na,5,1,2,3\n")
    for line, want in pairs{
      ["start " .. folder] = folder .. ": is a folder (give the name of a file in it, such as " .. folder .. "/mycar.lua)",
      ["start " .. folder .. "/car.lua"] = "/car.lua: is a folder (",
      ["take_parts " .. folder .. "/car.csv"] = "/car.lua: is a folder (",
    } do
      local ran = check.command(check.steelyard .. " " .. line)
      check.equal({ran.code, ran.out}, {3, ""}, line)
      check.contains(ran.err, want)
    end
  end)
end)

-- One line of the tests' own for every command that prints a page or a document.
test("every_command_writes_to_a_file_and_to_no_folder", function()
  local lines, seen = {}, 0
  local list <close> = assert(io.popen "ls tests/scripts/*.cmd")
  for path in list:lines() do
    local name, rest = contents(path):match "^steelyard ([%w_]+) ([^\n]*)\n?$"
    local there = io.open((path:gsub("cmd$", "exit")))
    if there then there:close() end
    if name and not there and not rest:find "[;|&>]" and not rest:find "%-%-to" and not rest:find "%-%-help" then
      lines[name] = lines[name] or rest
    end
  end
  lines.apply, lines.start, lines.take_parts = nil, nil, nil -- what they write is named by an argument
  if not check.can_seek then lines.seek, lines.meet_target = nil, nil end
  lines.draw, lines.report, lines.sheets = nil, nil, nil -- write a picture, a page, paper, by the end of the file's name
  lines.window, lines.engine_driver_map, lines.pareto, lines.spread = nil, nil, nil, nil -- --to is where the study goes, not its page
  with_folder(function(folder)
    for name, rest in pairs(lines) do
      local function run(more) return check.command(("%s %s %s %s"):format(check.steelyard, name, rest, more)) end
      local plain, to = run "", folder .. "/" .. name
      check.equal({run("--quiet --to " .. to).code, contents(to) == plain.out}, {plain.code, true}, name)
      check.contains(run("--to " .. to).err, "is already there and stays as it is (--replace writes over it)")
      for more, code in pairs{["--to " .. to] = 3, ["--to " .. to .. " --replace"] = plain.code, ["--to " .. folder] = 3,
                              ["--replace"] = 2, ["--no-such-option"] = 2} do
        check.equal(run(more).code, code, name .. " " .. more)
      end
      check.contains(run("--replace --to " .. folder).err, folder .. ": is a folder (give the name of a file in it)")
      seen = seen + 1
    end
  end)
  check.ok(seen > 28, seen)
end)

check.done()
