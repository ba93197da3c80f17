--- start.write(path, title): the first file of a new car, whole or not at all, and never over another file.

local core = require "steelyard.core"
local new_file = require "steelyard.command.new_file"
local template = require "steelyard.command.start.text"
local text = require "steelyard.print.text"

local start = {}
local Start = {__name = "start"}

local function refuse(code, message, path, hint) core.fail{code = code, message = message, file = path, hint = hint} end

--- The text of the file.
function start.text(title)
  if not utf8.len(title) then refuse("content", "the title is not UTF-8") end
  if title:find "%c" then refuse("content", "the title has a line break or another control character in it") end
  return (template:gsub("TITLE", function() return new_file.quoted(title) end))
end

-- "cars/my-first_car.lua" -> "my-first_car"
local function title_of(path) return path:match "([^/]*)%.lua$" end

--- Write the file and balance it: {path, title, lines, balance, next = list of commands}.
function start.write(path, title)
  if type(path) ~= "string" then refuse("type", "start needs the path of the file to write") end
  new_file.check_folder(path, "mycar.lua")
  title = title or title_of(path)
  if not title or title == "" then refuse("usage", "a vehicle file is called NAME.lua", path, ("is %s.lua meant?"):format(path)) end
  if new_file.is_there(path) then refuse("clash", "is already there and stays as it is", path, "choose another name") end
  new_file.write(path, start.text(title))
  local car = require("steelyard").load(path):state "race start"
  local quoted = new_file.for_shell(path)
  local b = car:balance()
  return setmetatable({
    path = path, title = title, lines = b.parts, state = b.state, notes = b.notes, sd = {mass = b.sd.mass, front_share = b.sd.front_share},
    mass = b.mass, front_share = b.front_share,
    next = {("steelyard balance %s --state \"race start\""):format(quoted), ("steelyard what_if %s \"powertrain 50 back\""):format(quoted),
            ("steelyard forgotten %s"):format(quoted)},
  }, Start)
end

function Start.__tostring(result)
  local lines = {
    ("%s is written: %d lines, every mass a guess between limits, none of them yours yet."):format(result.path, result.lines),
    ("As it stands: %s kg, front %s %%   (%s)"):format(text.plus_minus(result.mass, result.sd.mass, 1),
      text.plus_minus(result.front_share, result.sd.front_share, 2), text.coverage),
    "Next: put in your axles and the lines you know with an editor, then",
  }
  for _, command in ipairs(result.next) do lines[#lines + 1] = "  " .. command end
  lines[#lines + 1] = "Keep a copy by date (mycar-2026-03-14.lua) when something changes: what_changed says what it did."
  return table.concat(lines, "\n")
end

return start
