--- sy.out(o, result, status?): prints a result and ends the script with the right exit code.
--
-- o       what sy.options gave: with o.json one JSON document is printed instead of text, see document.lua
-- result  anything with tostring. A plain table's `text` is what is printed, its other fields are the document; a text
--         makes the document {"text": ...}
-- status  "pass", "near", "fail" or "unknown"; result.status unless given. "fail", a broken limit, ends the process
--         with code 4, so sy.out is the script's last call; "refused", for a script that was to write a file and has not, with 3;
--         "stopped", for a study that Ctrl-C ended before its end, with 130 as of a command that it ends
--
-- With --to (see options.lua, prints) the text or the document goes to that file instead, in one piece.
--
-- With --plot (see options.lua, plots) the picture of the result is written first, so that one that cannot be drawn or written ends the
-- script before it prints.
--
-- With o.json what is printed is one document: it waits until the script ends, and of a script that calls sy.out more than once it is
-- the list of the documents.
--
-- Output that cannot be written (a full disk) ends the process with code 1. A reader that stops reading (`| head -n 1`) has what it
-- wanted: the script goes on and ends with its own code.

local core = require "steelyard.core"

local out = {}

local FAILED = 1
local ends = {fail = 4, refused = 3, stopped = 130} -- by status

local exit = os.exit -- not the one below, which prints first
local closing = false -- Lua's end: another close would be one inside the first

local function stop(why)
  if core.reader_is_gone() then return end
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
  local made = require("steelyard.reference.document").of(only_text and {text = tostring(result)} or result)
  if not (only_text or has_text(result)) then made.text = nil end
  return require("steelyard.print.json").encode(made)
end

local function shown(result)
  if type(result) == "table" and not has_text(result) and result.text ~= nil then return tostring(result.text) end
  return tostring(result)
end

local function in_one(list) return list[2] and "[" .. table.concat(list, ",\n") .. "]" or list[1] end

local waiting -- documents, until the script ends

local function print_waiting()
  local list = waiting
  waiting = nil
  if list and #list > 0 then out.text(in_one(list)) end
end

--- The end of a command, which does not close its Lua state.
out.finish = print_waiting

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

local written = {} -- what went to the file of --to so far

-- The file is whole after each call, so that a script which fails between two leaves the first.
local function write_to(output, made, o)
  written[#written + 1] = made
  local all = o.json and in_one(written) or table.concat(written, "\n")
  require("steelyard.command.new_file").save(output.path, all .. "\n", output.replace or #written > 1)
  if #written == 1 then out.remark(o, ("%s is written."):format(output.path)) end
end

-- The status of a result, which some work out when they are asked for it. A study that was stopped has the number of variants it did.
local function status_of(result)
  if rawget(result, "n_done") then return "stopped" end
  local status = rawget(result, "status")
  if status == nil and require("steelyard.reference.results").late(result, "status") then status = result.status end
  return status
end

-- The picture of --plot. A script that calls sy.out several times draws the first result that has one.
local function draw_picture(o, result)
  local meta = getmetatable(result)
  if o.picture.drawn or not (type(meta) == "table" and require("steelyard.reference.pictures").of[rawget(meta, "__name")]) then return end
  o.picture.drawn = true
  require("steelyard.command.new_file").check_to(o.picture.path, o.picture.replace)
  result:plot(o.picture.path, {replace = o.picture.replace})
  out.remark(o, ("%s is written."):format(o.picture.path))
end

--- sy.out.
function out.print(o, result, status)
  if type(o) ~= "table" or result == nil then
    core.fail{code = "type",
      message = type(o) == "table" and "sy.out has no result to print" or "sy.out has no options in front of its result",
      hint = "write sy.out(o, car:balance()), with what sy.options gave as o"}
  end
  if o.picture then draw_picture(o, result) end
  local made = o.json and document(result) or shown(result)
  if o.output then write_to(o.output, made, o) elseif o.json then wait(made) else out.text(made) end
  if status == nil and type(result) == "table" then status = status_of(result) end
  if ends[status] then os.exit(ends[status], true) end
end

local shown_fields = {"code", "message", "file", "line", "part", "field", "hint"}

local function record_of(problem)
  local record = {}
  for _, field in ipairs(shown_fields) do record[field] = problem[field] end
  return record
end

--- What --json prints of an error that ends a script: {"error": {code, message, file, line, part, field, hint, more}}, without the fields
-- that say nothing. `more` lists further problems of the same file. An error of the script itself has the code "run".
function out.failed(err)
  local record
  if type(err) == "table" and getmetatable(err) == core.error_metatable then
    record = record_of(err)
    for i, problem in ipairs(err.more or {}) do
      record.more = record.more or {}
      record.more[i] = record_of(problem)
    end
  else
    record = {code = "run", message = tostring(err)}
  end
  wait(require("steelyard.print.json").encode{error = record})
end

--- A remark or progress on stderr, unless --quiet was given.
function out.remark(o, words)
  if not o.quiet then io.stderr:write(words, "\n") end
end

return out
