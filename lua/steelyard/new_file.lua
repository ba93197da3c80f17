--- Files that a command writes: whole or not at all, and never over another file.

local core = require "steelyard.core"

local new_file = {}

local function refuse(code, message, path, hint) core.fail{code = code, message = message, file = path, hint = hint} end

--- Does something lie there already?
function new_file.is_there(path)
  local file = io.open(path, "rb")
  if file then file:close() end
  return file ~= nil
end

--- Write a file that is not there yet: first beside it, then renamed.
function new_file.write(path, words)
  local beside = path .. ".new"
  if new_file.is_there(beside) then
    refuse("clash", "is in the way: files are written there first and then renamed", beside, "move it")
  end
  local file, why = io.open(beside, "wb")
  if not file then refuse("io", "cannot be written: " .. tostring(why), path) end
  local fine
  fine, why = file:write(words)
  local closed, why_not_closed = file:close()
  if fine and closed then
    if new_file.is_there(path) then fine, why = nil, "another file has come there meanwhile" else fine, why = os.rename(beside, path) end
  else
    fine, why = nil, why or why_not_closed
  end
  if not fine then
    os.remove(beside)
    refuse("io", "cannot be written: " .. tostring(why), path)
  end
end

--- A text as Lua writes it in quotes.
function new_file.quoted(words) return '"' .. words:gsub('[\\"]', "\\%0") .. '"' end

--- A path as a shell takes it.
function new_file.for_shell(path) return path:find "[^%w_./-]" and "'" .. path:gsub("'", "'\\''") .. "'" or path end

return new_file
