--- Files that a command writes, and how their names stand in a file and in a shell. The writer is core.write_file.

local core = require "steelyard.core"

local new_file = {}

--- Write a file that is not there yet.
function new_file.write(path, words) core.write_file(path, words) end

-- the files that a car was read from: a table printed from it holds less than they do
local function refuse_what_it_reads(path, car)
  local shared = require("steelyard.car.contents").inside(car).shared
  if shared.file and core.same_file(path, shared.file) then
    core.fail{code = "clash", file = path, message = "is the vehicle file itself and is not written over", hint = "choose another name"}
  end
  for _, name in ipairs(shared.spec.tables or {}) do
    if core.same_file(path, name) then
      core.fail{code = "clash", file = path, message = "is a table that this car reads and is not written over",
        hint = "write another file, look at it, and rename it then"}
    end
  end
end

--- What a command's --to FILE does, with o.replace for its --replace. What o.car was read from stays as it is.
function new_file.save(path, words, o)
  if o.car then refuse_what_it_reads(path, o.car) end
  if not o.replace and core.is_there(path) then
    core.fail{code = "clash", file = path, message = "is already there and stays as it is", hint = "--replace writes over it"}
  end
  core.write_file(path, words, o.replace)
end

--- Does something lie there already, whether it may be read or not?
function new_file.is_there(path) return core.is_there(path) end

--- A text as Lua writes it in quotes.
function new_file.quoted(words) return '"' .. words:gsub('[\\"]', "\\%0") .. '"' end

--- A path as a shell takes it.
function new_file.for_shell(path) return path:find "[^%w_./-]" and "'" .. path:gsub("'", "'\\''") .. "'" or path end

return new_file
