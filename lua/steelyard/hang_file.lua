--- Plumb lines of a hung part from a file, as fields for sy.hang_cg: settings title, state, sd, crank.y, crank.z; columns name (of a line),
-- from.x from.y from.z to.x to.y to.z.

local readings = require "steelyard.readings"

local hang_file = {}

local spec = {settings = {title = "text", state = "text", sd = "number", ["crank.y"] = "number", ["crank.z"] = "number"},
              columns = {name = "text"}}
for _, name in ipairs{"from.x", "from.y", "from.z", "to.x", "to.y", "to.z"} do spec.columns[name] = "number" end

--- sy.hang_cg of a file.
function hang_file.of(path)
  local r = readings.read(path, spec)
  local t = readings.nested(r.settings)
  local crank = t.crank
  t.crank, t.lines = nil, {}
  for i, row in ipairs(r.rows) do
    local points = readings.nested(row)
    t.lines[i] = {name = row.name, from = points.from or {}, to = points.to or {}}
  end
  local function line(err)
    local number = tonumber((err.part or ""):match "^line (%d+)$")
    return number and r.rows[number] and r.rows[number].line or r.lines[err.field]
  end
  if #t.lines == 0 then t.lines = nil end
  local result = readings.located(r, line, require("steelyard.hang_cg").of, t)
  require("steelyard.engine_rule").add(result, crank)
  return result
end

return hang_file
