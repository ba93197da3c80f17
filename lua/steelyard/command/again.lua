--- The command line that runs the running script again, as one would type it.

local new_file = require "steelyard.command.new_file"

local again = {}

-- Under the command a script of its own has home's path, and home's modules come first on package.path.
local function command_name(script)
  local home, name = script:match "^(.*)/scripts/([%w_]+)%.lua$"
  return home and package.path:sub(1, #home + 5) == home .. "/lua/" and name or nil
end

-- What stands in front of the script's arguments. A plain interpreter puts its own name and options below 0.
local function front()
  if not arg[-1] then return {"steelyard", command_name(arg[0]) or arg[0]} end
  local first = -1
  while arg[first - 1] do first = first - 1 end
  return table.move(arg, first, 0, 1, {})
end

--- "steelyard window mycar.lua --to window.json"; nil where there is no script with a command line.
function again.line()
  if not arg or not arg[0] then return nil end
  local words = front()
  table.move(arg, 1, #arg, #words + 1, words)
  for i, word in ipairs(words) do words[i] = new_file.for_shell(word) end
  return table.concat(words, " ")
end

return again
