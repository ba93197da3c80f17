--- Errors in the words of a command line.

local typed = {}

-- Codes of values that no vehicle would make right.
local mistakes = {range = true, type = true, missing = true, clash = true}

-- Is the place of an error the script itself, or a module of ours? A long path is shown shortened, as Lua does.
local function of_the_script(err)
  if type(err.file) ~= "string" or not (arg and arg[0]) then return false end
  local tail = err.file:match "^%.%.%.(.+)$"
  return err.file == arg[0] or err.file:find "%f[%w]steelyard/[%w_/]+%.lua$" or tail ~= nil and arg[0]:sub(-#tail) == tail
end

--- An error of what was typed says so: the library names an option's value by its field, and its hints are for a script. Changes the
-- error object that ended a script whose spec this is. options: the module that reads them.
function typed.say(spec, err, options)
  if type(err.typed) == "string" then err.hint = err.typed end
  if of_the_script(err) then -- made from what was typed, and lines of a command say nothing to its user
    err.code, err.file, err.line = "usage", nil, nil
  elseif err.file and err.line or err.part and err.kind ~= "" then
    return -- of a file
  end
  local function found(rule, label, below)
    local rest = below:gsub("%[(%d+)%]", ", number %1"):gsub("%.", ", ")
    if mistakes[err.code] or rule.words and err.code == "unknown" then err.code = "usage" end
    err.kind, err.part, err.field = "", nil, label .. rest
    return true
  end
  local function fits(rule, name, label)
    local known = rule.field or name
    if type(err.field) ~= "string" then return false end
    if err.field == known then return found(rule, label, "") end
    local below = err.field:sub(#known + 1)
    if err.field:sub(1, #known) == known and below:find "^[.%[]" then return found(rule, label, below) end
  end
  for _, rule in ipairs(spec.args or {}) do
    if fits(rule, rule[1], rule[1]:upper()) then return end
  end
  for _, name in ipairs(options.names(spec)) do
    local rule = spec.options and spec.options[name]
    if rule and fits(rule, name, options.spelled(name)) then return end
  end
end

return typed
