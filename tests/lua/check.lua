--- check.lua - a small harness: a test is a claim with its evidence.
--
--   local check = dofile "tests/lua/check.lua"        -- tests run from the top of the tree
--   check.test("balance_three_wheels_is_determinate", function()
--     check.near(b.lf, 209.35, 0.005, "lf")           -- tolerance: half the last printed digit
--     check.raises(function() car:move("engin", {back = 5}) end, {code = "unknown", message = "engine"})
--   end)
--   check.done()                                      -- last line of the file: prints the count, sets the exit code
--
-- A test that checks nothing fails. After each test the garbage is collected twice, so that a finaliser with a
-- bug shows up in the test that caused it.
-- os.tmpname names files in a folder of the test's own, in TMPDIR, which check.done takes away with all that is in it.
-- CHECK_LOCALE in the environment names a locale to run under; no result may depend on it.

local check = {passed = 0, failed = 0}
local made = 0 -- checks made in the running test

--- The command under test; a build in another folder is named by STEELYARD.
check.steelyard = os.getenv "STEELYARD" or "build/steelyard"

--- Is the solver of sy.seek built in? Without it the call says so, and only that is tested.
check.can_seek = pcall(require, "steelyard.seek_nlopt")

--- Is the module that writes PNG and PDF built in?
check.can_paper = pcall(require, "steelyard.canvas_cairo")

-- As Lua has it, the name is in /tmp whatever TMPDIR says, and the empty file stays there of which a test took only the name. Helpers of a
-- test have the same folder, also where they load this file again.
local own = package.loaded["tests/lua/check.lua"] or {count = 0}
package.loaded["tests/lua/check.lua"] = own

local function own_folder()
  -- some tests are another user there; short, since sentences that name a file are broken into lines
  local said <close> = assert(io.popen 'folder=$(mktemp -d "${TMPDIR:-/tmp}/s.XXXXXX") && chmod 711 "$folder" && echo "$folder"')
  return assert(said:read "l", "no temporary folder")
end

function os.tmpname() -- luacheck: ignore 122
  own.folder, own.count = own.folder or own_folder(), own.count + 1
  local name = ("%s/%d"):format(own.folder, own.count)
  assert(io.open(name, "w")):close()
  return name
end

local wanted_locale = os.getenv "CHECK_LOCALE"
if wanted_locale and not os.setlocale(wanted_locale) then error("no such locale: " .. wanted_locale) end

local function show(value)
  if type(value) == "string" then return string.format("%q", value) end
  if math.type(value) == "float" then return (string.format("%.17g", value):gsub(",", ".")) end
  local meta = debug.getmetatable(value)
  if type(value) ~= "table" or (type(meta) == "table" and meta.__tostring) then return tostring(value) end
  local keys = {}
  for key in pairs(value) do keys[#keys + 1] = key end
  table.sort(keys, function(a, b) return tostring(a) < tostring(b) end)
  for i, key in ipairs(keys) do
    keys[i] = tostring(key) .. " = " .. (type(value[key]) == "table" and "{...}" or show(value[key]))
  end
  return "{" .. table.concat(keys, ", ") .. "}"
end

-- what a check that does not hold raises: text alone, since the place it names says enough
local Failure = {__tostring = function(failure) return failure.text end}

local function fail(message)
  local at = debug.getinfo(3, "Sl") -- the line that called the check
  error(setmetatable({text = string.format("%s:%d: %s", at.short_src, at.currentline, message)}, Failure))
end

local function count() made = made + 1 end

--- The value is neither nil nor false; gives it back.
function check.ok(value, what)
  count()
  if not value then fail((what or "value") .. " is " .. tostring(value)) end
  return value
end

--- |got - want| <= tolerance, which a NaN never fulfils.
function check.near(got, want, tolerance, what)
  count()
  what = what or "value"
  if type(got) ~= "number" then fail(what .. ": a number expected, got " .. show(got)) end
  if type(tolerance) ~= "number" then fail(what .. ": no tolerance given") end
  if got == want then return end
  if not (math.abs(got - want) <= tolerance) then
    fail(string.format("%s: got %s, want %s, allowed +- %s", what, show(got), show(want), show(tolerance)))
  end
end

-- the path and the two values of the first difference, or nil
local function difference(got, want, path)
  if got == want then return nil end
  if type(got) ~= "table" or type(want) ~= "table" then return path, got, want end
  local keys = {}
  for key in pairs(want) do keys[#keys + 1] = key end
  for key in pairs(got) do if want[key] == nil then keys[#keys + 1] = key end end
  table.sort(keys, function(a, b) return tostring(a) < tostring(b) end)
  for _, key in ipairs(keys) do
    local where, a, b = difference(got[key], want[key], path .. "." .. tostring(key))
    if where then return where, a, b end
  end
end

--- Equal values; tables are compared by content, all the way down.
function check.equal(got, want, what)
  count()
  local path, a, b = difference(got, want, what or "value")
  if path then fail(string.format("%s:\n  got  %s\n  want %s", path, show(a), show(b))) end
end

--- `text` holds `piece`, letter by letter.
--- A page goes on in the next line, two blanks in, where a sentence is long: the piece may lie on both.
function check.contains(text, piece, what)
  count()
  if type(text) ~= "string" or not (text:find(piece, 1, true) or text:gsub("\n  +", " "):find(piece, 1, true)) then
    fail(string.format("%s: %s does not contain %s", what or "text", show(text), show(piece)))
  end
end

local pieces = {message = true, hint = true}

--- Calling `f` raises an error, which is given back.
-- want  a text that tostring(err) must contain, or a table: message and hint must contain the text given
--       (or every one of a list of texts), all other fields (code, file, line, part, field) must be equal
function check.raises(f, want)
  count()
  local fine, err = pcall(f)
  if fine then fail("no error raised; want " .. show(want)) end
  if type(want) == "string" then
    if not tostring(err):find(want, 1, true) then
      fail(string.format("the error is %s, which does not contain %s", show(tostring(err)), show(want)))
    end
    return err
  end
  if type(err) ~= "table" then fail("want an error object, got " .. show(err)) end
  for key, value in pairs(want or {}) do
    if pieces[key] then
      for _, piece in ipairs(type(value) == "table" and value or {value}) do
        if not tostring(err[key]):find(piece, 1, true) then
          fail(string.format("err.%s is %s, which does not contain %s", key, show(err[key]), show(piece)))
        end
      end
    elseif err[key] ~= value then
      fail(string.format("err.%s is %s, want %s (%s)", key, show(err[key]), show(value), tostring(err)))
    end
  end
  return err
end

local function contents(path)
  local file = assert(io.open(path, "rb"))
  local text = file:read "a"
  file:close()
  os.remove(path)
  return text
end

--- Run a shell command: {out, err, code}. Begin it with check.steelyard to run the command under test.
function check.command(line)
  local out, err = os.tmpname(), os.tmpname()
  local _, how, code = os.execute(string.format("{ %s\n} >%s 2>%s </dev/null", line, out, err))
  return {out = contents(out), err = contents(err), code = how == "exit" and code or 128 + code}
end

-- any other error comes with the trail that led to it
local function with_trail(err)
  if getmetatable(err) == Failure then return tostring(err) end
  return debug.traceback(type(err) == "string" and err or show(err), 2)
end

--- Run one test; its name is the claim.
function check.test(name, body)
  made = 0
  local fine, trail = xpcall(body, with_trail)
  if fine and made == 0 then fine, trail = false, "it checked nothing" end
  for _ = 1, 2 do collectgarbage() end
  if fine then
    check.passed = check.passed + 1
  else
    check.failed = check.failed + 1
    io.stdout:write("FAILED ", name, "\n  ", (trail:gsub("\n", "\n  ")), "\n")
  end
end

--- Print the count and end the process: code 0 when every test passed and there was one.
function check.done()
  if own.folder then os.execute(("rm -rf '%s'"):format(own.folder)) end
  io.stdout:write(check.passed, " passed, ", check.failed, " failed\n")
  os.exit(check.failed == 0 and check.passed > 0, true)
end

return check
