--- The invented vehicles that come with the command: vehicles/first_guess.lua, as the examples of --help write it, is read from any folder.
-- A file of the user's own of that name always wins.

local core = require "steelyard.core"

local examples = {}

-- The folder with vehicles/ in it: that of a tree or of PREFIX/share/steelyard, where the command finds its Lua files as well; a plain Lua
-- finds them in PREFIX/share/lua/5.4.
local function home()
  local path = package.searchpath("steelyard", package.path) or ""
  return path:match "^(.*)/lua/steelyard/init%.lua$" or path:match "^(.*)/lua/5%.4/steelyard/init%.lua$" and
    path:gsub("/lua/5%.4/steelyard/init%.lua$", "/steelyard")
end

--- Where the example lies that `word` names, or nil: it names none, or a file of the user's own.
function examples.find(word)
  if not word:find "^vehicles/" or core.is_there(word) then return nil end
  local folder = home()
  local path = folder and folder .. "/" .. word
  return path and core.is_there(path) and path or nil
end

--- The same for all arguments of a script that are read (see options.lua).
function examples.take(spec, o, remark)
  local function taken(word)
    local path = type(word) == "string" and examples.find(word)
    if not path then return word end
    remark(o, ("%s is not in this folder; the example %s is read."):format(word, path))
    return path
  end
  for _, rule in ipairs(spec.args or {}) do
    local given = o[rule[1]]
    if rule.new then given = nil end -- is written
    if type(given) == "table" then
      for i, word in ipairs(given) do given[i] = taken(word) end
    elseif given then
      o[rule[1]] = taken(given)
    end
  end
end

return examples
