--- Weighings with and without a part from a file, as fields for sy.subtract: settings only, whole.mass, whole.x ... and the same for
-- without; instead of mass and CG the loads whole.front, whole.rear or whole.lf ..., with wheelbase, track.front and track.rear
-- or their halves, track.front.left ...

local readings = require "steelyard.measure.readings"

local subtract_file = {}

local spec = {settings = {title = "text", state = "text", wheelbase = "number", ["track.front"] = "number", ["track.rear"] = "number"}}
for _, name in ipairs{"front.left", "front.right", "rear.left", "rear.right"} do spec.settings["track." .. name] = "number" end
local places, entries = {x = "cg", y = "cg", z = "cg"}, {}
for _, name in ipairs{"xx", "yy", "zz", "xy", "xz", "yz"} do entries[name] = "inertia" end
for _, end_name in ipairs{"whole", "without"} do
  for _, name in ipairs{"mass", "x", "y", "z", "xx", "yy", "zz", "xy", "xz", "yz", "front", "rear", "lf", "rf", "lr", "rr"} do
    spec.settings[end_name .. "." .. name] = "number"
  end
end

-- {x = 3, xx = 4, mass = 5} as {cg = {x = 3}, inertia = {xx = 4}, mass = 5}
local function body_of(flat)
  local body = {}
  for name, value in pairs(flat or {}) do
    local inside = places[name] or entries[name]
    if inside then
      body[inside] = body[inside] or {}
      body[inside][name] = value
    else
      body[name] = value
    end
  end
  return body
end

--- sy.subtract of a file.
function subtract_file.of(path)
  local r = readings.read(path, spec)
  local t = readings.nested(r)
  local function line(err)
    local name = (err.field or ""):match "[^.]*$"
    return r.lines[("%s.%s"):format(err.part, name)] or r.lines[err.field]
  end
  return readings.located(r, line, require("steelyard.measure.subtract").of, {title = t.title, state = t.state, wheelbase = t.wheelbase,
    tracks = t.track, whole = body_of(t.whole), without = body_of(t.without)})
end

return subtract_file
