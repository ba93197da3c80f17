--- A script under a plain lua5.4 ends by an error as it does under the command: the same line on stderr, the same exit code, and a
-- document with --json.
--
-- Of an error that nobody catches, only the interpreter's message handler hears, which asks the error object for its text while the
-- script is still running. It is not a function of any library, and that tells its question from all others.

local core = require "steelyard.core"

local plain_lua = {}

local function of_a_library(f)
  for _, library in pairs(package.loaded) do
    if type(library) == "table" then
      for _, known in next, library do
        if rawequal(known, f) then return true end
      end
    end
  end
  return false
end

-- "balance" for scripts/balance.lua, which is what the command is asked by; else the path
local function script_name() return arg[0]:match "scripts/([%w_]+)%.lua$" or arg[0] end

local function asks_for_json()
  for _, word in ipairs(arg) do
    if word == "--" then return false end
    if word == "--json" then return true end
  end
  return false
end

--- From now on; once is enough. typed(err) puts hints as they are typed, failed(err) prints the document of an error.
function plain_lua.watch(typed, failed)
  if plain_lua.watching then return end
  plain_lua.watching = true
  local line = core.error_metatable.__tostring
  function core.error_metatable.__tostring(err)
    local asks = debug.getinfo(2, "Sf")
    if asks and asks.what == "C" and not of_a_library(asks.func) then
      core.error_metatable.__tostring = line
      typed(err)
      local code = core.complain(err, script_name())
      if asks_for_json() then failed(err) end
      os.exit(code)
    end
    return line(err)
  end
end

return plain_lua
