--- Plumb lines of a hung part from a file, as fields for sy.hang_cg: settings title, state, sd, kind, crank.x, crank.y, crank.z, axes.x,
-- axes.y, axes.z; columns name (of a line), from.x from.y from.z to.x to.y to.z.

local readings = require "steelyard.measure.readings"

local hang_file = {}

local spec = {settings = {title = "text", state = "text", sd = "number", kind = "text"},
              columns = {name = "text"}}
for _, name in ipairs{"from.x", "from.y", "from.z", "to.x", "to.y", "to.z"} do spec.columns[name] = "number" end

for _, letter in ipairs{"x", "y", "z"} do spec.settings["crank." .. letter], spec.settings["axes." .. letter] = "number", "text" end

--- sy.hang_cg of a file.
function hang_file.of(path)
  local r = readings.read(path, spec)
  local t = readings.nested(r)
  t.lines = {}
  for i, row in ipairs(r.rows) do
    local points = readings.nested{settings = row}
    t.lines[i] = {name = row.name, from = points.from or {}, to = points.to or {}}
  end
  local function line(err)
    local number = tonumber((err.part or ""):match "^line (%d+)$")
    return number and r.rows[number] and r.rows[number].line or r.lines[err.field]
  end
  if #t.lines == 0 then t.lines = nil end
  return readings.located(r, line, require("steelyard.measure.hang_cg").of, t)
end

return hang_file
