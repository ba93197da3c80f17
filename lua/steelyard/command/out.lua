--- sy.out(o, result, status?): prints a result and ends the script with the right exit code.
--
-- o       what sy.options gave: with o.json one JSON document is printed instead of text, see document.lua
-- result  anything with tostring. A plain table's `text` is what is printed, its other fields are the document; a text
--         makes the document {"text": ...}
-- status  "pass", "near", "fail" or "unknown"; result.status unless given. "fail", a broken limit, ends the process
--         with code 4, so sy.out is the script's last call
--
-- With o.json what is printed is one document: it waits until the script ends, and of a script that calls sy.out more than once it is
-- the list of the documents.
--
-- Output that cannot be written (a full disk, a closed pipe) ends the process with code 1.

local out = {}

local FAILED, LIMIT_BROKEN = 1, 4

local exit = os.exit -- not the one below, which prints first
local closing = false -- Lua's end: another close would be one inside the first

local function stop(why)
  io.stderr:write("steelyard: the output could not be written: ", tostring(why), "\n")
  exit(FAILED, not closing)
end

--- Print text and a line end to stdout, at once and checked.
function out.text(shown)
  local fine, why = io.stdout:write(shown, "\n")
  if fine then fine, why = io.stdout:flush() end
  if not fine then stop(why) end
end

local function has_text(result)
  local meta = getmetatable(result)
  return type(meta) == "table" and meta.__tostring ~= nil
end

local function document(result)
  local only_text = type(result) ~= "table"
  local made = require("steelyard.print.document").of(only_text and {text = tostring(result)} or result)
  if not (only_text or has_text(result)) then made.text = nil end
  return require("steelyard.print.json").encode(made)
end

local function shown(result)
  if type(result) == "table" and not has_text(result) and result.text ~= nil then return tostring(result.text) end
  return tostring(result)
end

local waiting -- documents, until the script ends

local function print_waiting()
  local list = waiting
  waiting = nil
  if list and #list > 0 then out.text(list[2] and "[" .. table.concat(list, ",\n") .. "]" or list[1]) end
end

-- The end of a script is that of its Lua state, or a call of os.exit, which may skip that.
local function wait(made)
  if not waiting then
    waiting = setmetatable({}, {__gc = function()
      closing = true
      print_waiting()
    end})
    os.exit = function(...) -- luacheck: ignore 122
      print_waiting()
      return exit(...)
    end
  end
  waiting[#waiting + 1] = made
end

--- sy.out.
function out.print(o, result, status)
  if o.json then wait(document(result)) else out.text(shown(result)) end
  if status == nil and type(result) == "table" then status = rawget(result, "status") end
  if status == "fail" then os.exit(LIMIT_BROKEN, true) end
end

--- A remark or progress on stderr, unless --quiet was given.
function out.remark(o, words)
  if not o.quiet then io.stderr:write(words, "\n") end
end

return out
