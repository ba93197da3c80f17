--- The page that --help prints: examples first, then what the script answers, then its arguments and options.

local core = require "steelyard.core"
local text = require "steelyard.print.text"

local options_help = {}

local WIDTH = 100

local function argument(rule)
  local label = rule[1]:upper() .. (rule.many and " ..." or "")
  return (rule.optional or rule.default ~= nil) and "[" .. label .. "]" or label
end

-- A text behind a label, its further lines below its beginning. What stands in brackets is not broken.
local function wrapped(label, words)
  local kept = words:gsub("%b[]", function(option) return (option:gsub(" ", "\1")) end)
  local list = text.wrap(kept, WIDTH - text.width(label)):gsub("\1", " ")
  return label .. list:gsub("\n", "\n" .. (" "):rep(text.width(label)))
end

-- "steelyard balance CAR [--state NAME]", as the script writes it or put together.
local function usage(spec, options)
  if spec.usage then return "steelyard " .. spec.usage end
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
  if rule.default ~= nil then pieces[#pieces + 1] = "default " .. shown(rule.default) end
  return table.concat(pieces, "; ")
end

--- The whole page.
function options_help.page(spec, options)
  local lines = {}
  for i, example in ipairs(spec.examples or {}) do lines[i] = example end
  if #lines > 0 then lines[#lines + 1] = "" end
  if spec.about then
    lines[#lines + 1] = text.wrap(spec.about, WIDTH)
    lines[#lines + 1] = ""
  end
  lines[#lines + 1] = wrapped("Usage: ",
    usage(spec, options) .. ((spec.prints or spec.study) and " [--to FILE [--replace]]" or "") .. (spec.plots and " [--plot FILE]" or "")
      .. " [--json] [--quiet]")
  lines[#lines + 1] = ""
  local rows = {}
  for _, rule in ipairs(spec.args or {}) do
    rows[#rows + 1] = {"  " .. rule[1]:upper() .. (rule.many and " ..." or ""), meaning(rule)}
  end
  for _, name in ipairs(options.names(spec)) do
    local rule = spec.options and spec.options[name] or options.common_of(spec)[name]
    rows[#rows + 1] = {"  " .. options.spelled(name) .. (rule[1] and " " .. rule[1] or ""), meaning(rule)}
  end
  local longest = 0
  for _, row in ipairs(rows) do longest = math.max(longest, text.width(row[1])) end
  for _, row in ipairs(rows) do
    lines[#lines + 1] = wrapped(row[1] .. (" "):rep(longest + 2 - text.width(row[1])), row[2])
  end
  return table.concat(lines, "\n")
end

return options_help
