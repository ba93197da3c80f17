--- The page that --help prints: examples first, then what the script answers, then its arguments and options.

local core = require "steelyard.core"
local options = require "steelyard.command.options"
local text = require "steelyard.print.text"

local options_help = {}

local WIDTH = 110

local function argument(rule)
  local label = rule[1]:upper() .. (rule.many and " ..." or "")
  return (rule.optional or rule.default ~= nil) and "[" .. label .. "]" or label
end

-- "balance CAR [--state NAME]" for a script that does not write it itself
local function usage(spec)
  local pieces = {options.program(spec)}
  for _, rule in ipairs(spec.args or {}) do pieces[#pieces + 1] = argument(rule) end
  for _, name in ipairs(options.names(spec)) do
    local rule = spec.options and spec.options[name]
    if rule then pieces[#pieces + 1] = "[" .. options.spelled(name) .. (rule[1] and " " .. rule[1] or "") .. "]" end
  end
  return table.concat(pieces, " ")
end

local function shown(value)
  if type(value) == "number" then return core.shortest(value) end
  if type(value) ~= "table" then return tostring(value) end
  local pieces = {}
  for i, item in ipairs(value) do pieces[i] = shown(item) end
  return table.concat(pieces, ",")
end

local function meaning(rule)
  local pieces = {rule[2]}
  if rule.choices then pieces[#pieces + 1] = text.join(rule.choices, "or") end
  if rule.min and rule.max then
    pieces[#pieces + 1] = ("%s to %s"):format(core.shortest(rule.min), core.shortest(rule.max))
  elseif rule.min or rule.max then
    pieces[#pieces + 1] = core.shortest(rule.min or rule.max) .. (rule.min and " or more" or " or less")
  end
  if rule.default ~= nil then pieces[#pieces + 1] = shown(rule.default) .. " unless given" end
  return table.concat(pieces, "; ")
end

--- The whole page.
function options_help.page(spec)
  local lines = {}
  for i, example in ipairs(spec.examples or {}) do lines[i] = example end
  if #lines > 0 then lines[#lines + 1] = "" end
  if spec.about then
    lines[#lines + 1] = text.wrap(spec.about, WIDTH)
    lines[#lines + 1] = ""
  end
  lines[#lines + 1] = "Usage: " .. (spec.usage and "steelyard " .. spec.usage or usage(spec))
    .. (spec.prints and " [--to FILE [--replace]]" or "")
    .. " [--json] [--quiet]"
  lines[#lines + 1] = ""
  local rows = {}
  for _, rule in ipairs(spec.args or {}) do
    rows[#rows + 1] = {"  " .. rule[1]:upper() .. (rule.many and " ..." or ""), meaning(rule)}
  end
  for _, name in ipairs(options.names(spec)) do
    local rule = spec.options and spec.options[name] or options.common_of(spec)[name]
    rows[#rows + 1] = {"  " .. options.spelled(name) .. (rule[1] and " " .. rule[1] or ""), meaning(rule)}
  end
  lines[#lines + 1] = text.table({{"", "%s"}, {"", "%s"}}, rows)
  return table.concat(lines, "\n")
end

return options_help
