--- start.write(path, title): the first file of a new car, whole or not at all, and never over another file.

local core = require "steelyard.core"
local template = require "steelyard.start_text"
local text = require "steelyard.text"

local start = {}
local Start = {__name = "start"}

local function refuse(code, message, path, hint) core.fail{code = code, message = message, file = path, hint = hint} end

local function is_there(path)
  local file = io.open(path, "rb")
  if file then file:close() end
  return file ~= nil
end

--- The text of the file.
function start.text(title)
  if not utf8.len(title) then refuse("content", "the title is not UTF-8") end
  if title:find "%c" then refuse("content", "the title has a line break or another control character in it") end
  local quoted = '"' .. title:gsub('[\\"]', "\\%0") .. '"'
  return (template:gsub("TITLE", function() return quoted end))
end

-- "cars/my-first_car.lua" -> "my-first_car"
local function title_of(path) return path:match "([^/]*)%.lua$" end

local function write(path, words)
  local beside = path .. ".new"
  if is_there(beside) then refuse("clash", "is in the way: files are written there first and then renamed", beside, "move it") end
  local file, why = io.open(beside, "wb")
  if not file then refuse("io", "cannot be written: " .. tostring(why), path) end
  local fine
  fine, why = file:write(words)
  local closed, why_not_closed = file:close()
  if fine and closed then
    if is_there(path) then fine, why = nil, "another file has come there meanwhile" else fine, why = os.rename(beside, path) end
  else
    fine, why = nil, why or why_not_closed
  end
  if not fine then
    os.remove(beside)
    refuse("io", "cannot be written: " .. tostring(why), path)
  end
end

--- Write the file and balance it: {path, title, lines, balance, next = list of commands}.
function start.write(path, title)
  if type(path) ~= "string" then refuse("type", "start needs the path of the file to write") end
  title = title or title_of(path)
  if not title or title == "" then refuse("content", "a vehicle file is called NAME.lua", path, ("is %s.lua meant?"):format(path)) end
  if is_there(path) then refuse("clash", "is already there and stays as it is", path, "choose another name") end
  write(path, start.text(title))
  local car = require("steelyard").load(path):state "race start"
  local quoted = path:find "[^%w_./-]" and "'" .. path:gsub("'", "'\\''") .. "'" or path
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
  lines[#lines + 1] = "Keep a copy by date (mycar-2026-03-14.lua) when something has changed: what_changed tells what it did."
  return table.concat(lines, "\n")
end

return start
