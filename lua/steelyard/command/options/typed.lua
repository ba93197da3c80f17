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

-- How the error calls what it is about: in full, "measured.nose" of the field "nose" in a table "measured", and the field alone.
local function names_of(err)
  local field = type(err.field) == "string" and err.field or nil
  if not (field and err.kind == "" and type(err.part) == "string") then return {field} end
  return {("%s.%s"):format((err.part:gsub(", ", ".")), field), field}
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
  end
  -- The option or argument that has the field, or of those with a field below it the one that says most.
  local function find(field)
    local best
    local function look(rule, name, label)
      local known = rule.field or name
      local below = field:sub(1, #known) == known and field:sub(#known + 1)
      if below and (below == "" or below:find "^[.%[]") and not (best and #best.below <= #below) then
        best = {rule = rule, label = label, below = below}
      end
    end
    for _, rule in ipairs(spec.args or {}) do look(rule, rule[1], rule[1]:upper()) end
    for _, name in ipairs(options.names(spec)) do
      local rule = spec.options and spec.options[name] or (spec.study or spec.plots) and options.common_of(spec)[name]
      if rule then look(rule, name, options.spelled(name)) end
    end
    return best
  end
  for _, field in ipairs(names_of(err)) do
    local best = find(field)
    if best then return found(best.rule, best.label, best.below) end
  end
end

return typed
