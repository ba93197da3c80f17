--- What --vary says: varied.of{"battery back -300 900 13"} -> list of what sy.vary gives.

local core = require "steelyard.core"
local vary = require "steelyard.study.vary"

local varied = {}

--- See above; nil for nil.
function varied.of(list)
  if list == nil then return nil end
  local inputs = {}
  for i, words in ipairs(list) do
    local what, way, from, to, n = words:match "^%s*(.-)%s+(%S+)%s+(%S+)%s+(%S+)%s+(%S+)%s*$"
    from, to, n = from and core.number(from), to and core.number(to), n and core.number(n)
    if not (from and to and n) then
      core.fail{code = "usage", message = ("--vary takes PART WAY FROM TO N, not %q"):format(words),
        hint = 'as in --vary "battery back -300 900 13"'}
    end
    inputs[i] = vary.of(what, way, from, to, n)
  end
  return inputs
end

return varied
