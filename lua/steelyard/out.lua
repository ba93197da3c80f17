--- sy.out(o, result, status?): prints a result and ends the script with the right exit code.
--
-- o       what sy.options gave: with o.json one JSON document is printed instead of text, see document.lua
-- result  anything with tostring. A plain table's `text` is what is printed, its other fields are the document; a text
--         makes the document {"text": ...}
-- status  "pass", "near", "fail" or "unknown"; result.status unless given. "fail", a broken limit, ends the process
--         with code 4, so sy.out is the script's last call
--
-- Output that cannot be written (a full disk, a closed pipe) ends the process with code 1.

local out = {}

local FAILED, LIMIT_BROKEN = 1, 4

local function stop(why)
  io.stderr:write("steelyard: the output could not be written: ", tostring(why), "\n")
  os.exit(FAILED, true)
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
  local made = require("steelyard.document").of(only_text and {text = tostring(result)} or result)
  if not (only_text or has_text(result)) then made.text = nil end
  return require("steelyard.json").encode(made)
end

local function shown(result)
  if type(result) == "table" and not has_text(result) and result.text ~= nil then return tostring(result.text) end
  return tostring(result)
end

--- sy.out.
function out.print(o, result, status)
  out.text(o.json and document(result) or shown(result))
  if status == nil and type(result) == "table" then status = rawget(result, "status") end
  if status == "fail" then os.exit(LIMIT_BROKEN, true) end
end

--- A remark or progress on stderr, unless --quiet was given.
function out.remark(o, words)
  if not o.quiet then io.stderr:write(words, "\n") end
end

return out
