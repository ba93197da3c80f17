--- Files that a command writes, and how their names stand in a file and in a shell. The writer is core.write_file.

local core = require "steelyard.core"

local new_file = {}

--- Write a file that is not there yet.
function new_file.write(path, words) core.write_file(path, words) end

--- May --to FILE write there? Raises when it may not; `replace` for --replace. What was read stays as it is: a table printed from a car
-- holds less than the files of the car do. in_lua: the hint for a script's author, where that is not --replace.
function new_file.check_to(path, replace, in_lua)
  if core.was_read(path) or arg and arg[0] and core.same_file(path, arg[0]) then
    core.fail{code = "clash", file = path, message = "is what this command reads and is not written over",
      hint = "write another file, look at it, and rename it then"}
  end
  if not replace and core.is_there(path) and not core.is_folder(path) then
    local hint = "--replace writes over it"
    core.fail{code = "clash", file = path, message = "is already there and stays as it is", hint = in_lua and {in_lua, hint} or hint}
  end
  core.check_write(path, replace)
end

--- What a command's --to FILE does.
function new_file.save(path, words, replace)
  new_file.check_to(path, replace)
  core.write_file(path, words, replace)
end

--- Refuses a folder where the name of a vehicle file belongs. usual: that of a file in it.
function new_file.check_folder(path, usual)
  if not core.is_folder(path) then return end
  core.fail{code = "io", file = path, message = "is a folder",
    hint = ("give the name of a file in it, such as %s"):format((path .. "/" .. usual):gsub("//+", "/"))}
end

--- Does something lie there already, whether it may be read or not?
function new_file.is_there(path) return core.is_there(path) end

--- A text as Lua writes it in quotes.
function new_file.quoted(words) return '"' .. words:gsub('[\\"]', "\\%0") .. '"' end

--- A path as a shell takes it.
function new_file.for_shell(path) return path:find "[^%w_./-]" and "'" .. path:gsub("'", "'\\''") .. "'" or path end

return new_file
