--- The command itself: which script it runs, what it says when something is wrong, and its exit codes.
-- Under the command alone: what it looks at are the command's own processes.

local check = dofile "tests/lua/check.lua"

local folder = os.tmpname()
os.remove(folder)
os.execute("mkdir -p " .. folder .. "/lua/steelyard " .. folder .. "/scripts")

local function write(name, body)
  local file = assert(io.open(folder .. "/" .. name, "w"))
  file:write(body)
  file:close()
  return folder .. "/" .. name
end

-- The command with a home of its own, so that the outcome does not depend on the scripts there are.
write("lua/steelyard/init.lua", "return {name = 'home of the test'}")
write("lua/steelyard/faulty.lua", "return function() local x = nil; return x.y end")
write("lua/steelyard/refuses.lua", "return function(t) require('steelyard.core').fail(t) end")
write("scripts/balance.lua", "--- Where does the car stand?\n-- more\nprint('balanced', ...)")
write("scripts/what_if.lua", "-- no line with three dashes\nprint(arg[0]:match '[^/]*$', #arg, arg[1], arg[2])")
write("scripts/empty.lua", "")
write("scripts/notes.txt", "no script")

local function run(words) return check.command("STEELYARD_HOME=" .. folder .. " " .. check.steelyard .. " " .. words) end

local function script(body) return write("own.lua", body) end

check.test("version_is_a_name_and_three_numbers", function()
  local result = run "--version"
  check.ok(result.out:find "^steelyard %d+%.%d+%.%d+\n$", result.out)
  check.equal({result.code, result.err}, {0, ""})
end)

check.test("alone_lists_the_scripts_with_their_first_line", function()
  local result = run ""
  check.equal({result.code, result.err}, {0, ""})
  check.contains(result.out, "\n  balance  Where does the car stand?\n  empty\n  what_if\n")
  check.equal(result.out:find("notes", 1, true), nil)
end)

check.test("alone_lists_by_step_of_the_work_and_says_first_and_last_what_to_type_first", function()
  write("scripts/aero.lua", "#!/usr/bin/env steelyard\n-- Copyright nobody\n--- Does it fly?\n-- Step: prove\nprint(1)\n-- Step: weigh")
  write("scripts/dip.lua", "-- Step:  weigh\t\n--- How much is in it?\r\nlocal x --- not this")
  write("scripts/odd.lua", "--- What else?\n-- Step: sideways\n")
  local result = run ""
  for _, name in ipairs{"aero", "dip", "odd"} do os.remove(folder .. "/scripts/" .. name .. ".lua") end
  check.contains(result.out, [[

weigh
  dip      How much is in it?
prove
  aero     Does it fly?
other
  balance  Where does the car stand?
  empty
  odd      What else?
  what_if
]])
  local first, last = result.out:match "^([^\n]*\n[^\n]*\n)", result.out:match "([^\n]*)\n$"
  check.contains(first, "steelyard start mycar.lua")
  check.contains(last, "steelyard start mycar.lua, balance mycar.lua, what_if mycar.lua")
end)

check.test("help_starts_with_two_examples_and_names_the_exit_codes", function()
  local result = run "--help"
  check.ok(result.out:find "^steelyard balance [^\n]*\nsteelyard what_if [^\n]*\n\n", result.out)
  check.contains(result.out, "4 a limit is broken")
  check.equal(result.code, 0)
end)

check.test("a_name_runs_its_script_with_arguments", function()
  check.equal(run "balance a 'b c'", {out = "balanced\ta\tb c\n", err = "", code = 0})
  check.equal(run "what_if a --json", {out = "what_if.lua\t2\ta\t--json\n", err = "", code = 0})
end)

check.test("a_path_runs_that_script", function()
  check.equal(run(script "print(require 'steelyard'.name, arg[1])" .. " x"),
    {out = "home of the test\tx\n", err = "", code = 0})
end)

check.test("a_wrong_name_suggests_the_nearest", function()
  check.equal(run "balence", {out = "", code = 2, err =
    'steelyard: there is no script "balence" (did you mean "balance"?)\n'})
  check.equal(run "quite_other", {out = "", code = 2, err =
    'steelyard: there is no script "quite_other" (`steelyard` alone lists them; a path ends in .lua)\n'})
  check.equal(run "../scripts/balance", {out = "", code = 2, err =
    'steelyard: there is no script "../scripts/balance" (`steelyard` alone lists them; a path ends in .lua)\n'})
end)

check.test("a_missing_path_or_unknown_option_ends_with_2", function()
  local result = run "no/such.lua"
  check.equal({result.code, result.out}, {2, ""})
  check.contains(result.err, "steelyard: cannot read the script no/such.lua: ")
  check.equal(run "--jsn balance", {out = "", code = 2, err =
    "steelyard: --jsn stands before the script's name (steelyard itself takes --help and --version)\n"})
end)

check.test("error_objects_decide_the_exit_code", function()
  local codes = {usage = 2, unavailable = 5}
  for code in ("read syntax run limit content range missing unknown type clash geometry io"):gmatch "%a+" do
    codes[code] = 3
  end
  for code, exit in pairs(codes) do
    local result = run(script(
      ("require 'steelyard.refuses'{code = %q, message = 'is wrong', file = 'car.lua', line = 7}"):format(code)))
    local help = code == "usage" and ("; `steelyard %s/own.lua --help` shows examples"):format(folder) or ""
    check.equal(result, {out = "", err = ("steelyard: car.lua:7: is wrong%s\n"):format(help), code = exit}, code)
  end
end)

check.test("an_error_object_without_a_place_gets_the_scripts_line", function()
  local path = script "local refuse = require 'steelyard.refuses'\n\nrefuse{code = 'unknown', message = 'no such part'}"
  check.equal(run(path), {out = "", err = ("steelyard: %s:3: no such part\n"):format(path), code = 3})
  write("scripts/refusing.lua", "require 'steelyard.refuses'{code = 'unknown', message = 'no such part'}")
  check.equal(run "refusing", {out = "", err = "steelyard: no such part\n", code = 3})
  os.remove(folder .. "/scripts/refusing.lua")
end)

check.test("a_plain_error_keeps_its_line_and_has_no_trail", function()
  local path = script "print 'before'\nlocal t = nil\nprint(t.x)"
  local result = run(path)
  check.equal({result.out, result.code}, {"before\n", 1})
  check.equal(result.err, ("steelyard: %s:3: attempt to index a nil value (local 't')\n"):format(path))
  check.equal(run(script "error({})").err, "steelyard: the script raised a table\n")
  check.equal(run(script "error(setmetatable({}, {__tostring = function() return 'said so' end}))").err,
    "steelyard: said so\n")
end)

check.test("a_script_that_is_no_lua_is_refused", function()
  local result = run(script "local = 1")
  check.equal({result.out, result.code}, {"", 1})
  check.contains(result.err, "own.lua:1: ")
  check.contains(run(script "\27Lua").err, "attempt to load a binary chunk")
end)

check.test("a_fault_of_our_own_comes_with_its_trail", function()
  local result = run(script "require 'steelyard.faulty'()")
  check.equal(result.code, 1)
  check.contains(result.err, "steelyard: internal error: ")
  check.contains(result.err, "faulty.lua:1: ")
  check.contains(result.err, "stack traceback:")
  check.contains(result.err, "own.lua:1")
end)

check.test("the_scripts_own_exit_code_counts", function()
  check.equal(run(script "io.write 'x' os.exit(4, true)"), {out = "x", err = "", code = 4})
end)

check.test("a_closed_pipe_is_silent_and_leaves_the_exit_code", function()
  local path = script "io.stdout:setvbuf 'no' for i = 1, 1e5 do if not io.write(i, '\\n') then break end end"
  local result = check.command(("{ STEELYARD_HOME=%s %s %s; echo code $? >&2; } | head -n 1"):format(folder,
    check.steelyard, path))
  check.equal(result.out, "1\n")
  check.equal(result.err, "code 0\n")
end)

check.test("a_wrong_home_is_said", function()
  check.equal(check.command("STEELYARD_HOME=/no/such " .. check.steelyard .. " balance"), {out = "", code = 1, err =
    "steelyard: STEELYARD_HOME is /no/such, where there is no lua/steelyard/init.lua\n"})
end)

check.test("home_is_found_from_where_the_command_lies", function()
  for _, place in ipairs{"/prefix/bin", "/tree/build"} do
    local home = folder .. (place == "/tree/build" and "/tree" or "/prefix/share/steelyard")
    os.execute(("mkdir -p %s%s %s && cp %s %s%s/steelyard && cp -R %s/lua %s/scripts %s"):format(folder, place, home,
      check.steelyard, folder, place, folder, folder, home))
    check.equal(check.command(("cd / && env -u STEELYARD_HOME %s%s/steelyard balance here"):format(folder, place)),
      {out = "balanced\there\n", err = "", code = 0}, place)
  end
end)

-- A module whose compiled form says "compiled" and whose source says "original", both of one size, tells them apart.
check.test("compiled_modules_are_used_until_their_source_changes", function()
  local tree = folder .. "/tree"
  local source, archive = tree .. "/lua/steelyard/which.lua", tree .. "/build/modules.luac"
  local function put(path, bytes)
    local file <close> = assert(io.open(path, "wb"))
    file:write(bytes)
  end
  local function answer(prepare)
    os.execute(prepare)
    local result = check.command(("env -u STEELYARD_HOME %s/build/steelyard %s/ask.lua"):format(tree, tree))
    check.equal({result.err, result.code}, {"", 0}, prepare)
    return result.out
  end
  put(tree .. "/ask.lua", "print((require 'steelyard.which'))")
  put(source, "return 'compiled'")
  os.execute(("home=$PWD && cd %s && STEELYARD_HOME=. build/steelyard $home/lua/steelyard/command/precompile.lua "
    .. "build/modules.luac lua/steelyard/which.lua"):format(tree))
  put(source, "return 'original'")
  check.equal(answer("touch -d 2001-01-01 " .. source), "compiled\n")
  check.equal(answer("touch " .. source), "original\n", "newer source")
  put(source, "return 'original' -- longer")
  check.equal(answer("touch -d 2001-01-01 " .. source), "original\n", "source of another size")
  put(source, "return 'original'")
  os.execute("touch -d 2001-01-01 " .. source)
  local file = assert(io.open(archive, "rb"))
  local bytes = file:read "a"
  file:close()
  for _, cut in ipairs{0, 3, 20, 31, #bytes - 1} do
    put(archive, bytes:sub(1, cut))
    check.equal(answer "true", "original\n", "archive cut after " .. cut)
  end
  put(archive, (bytes:gsub("\27Lua.", "\27Lua\x53")))
  check.equal(answer "true", "original\n", "code of another Lua")
  for at = 1, #bytes do -- one bit of each byte: bytecode that was not written as it stands is never run
    put(archive, bytes:sub(1, at - 1) .. string.char(bytes:byte(at) ~ 1 << at % 8) .. bytes:sub(at + 1))
    check.equal(answer "true", "original\n", "a flipped bit in byte " .. at)
  end
end)

os.execute("rm -r " .. folder)
check.done()
