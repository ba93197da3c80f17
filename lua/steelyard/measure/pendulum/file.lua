--- Readings of a pendulum from a file, as fields for sy.pendulum.
--
-- Settings: title, kind, mass, arm, arms.r1, arms.r2, radius, wire, g, swing, stiffness, swings, mirror, rod.mass, rod.length,
-- rod.diameter, rod.swings, rod.on_platform, platform.mass, platform.swings. The table has a timing a row, in seconds: what
-- (part, rod, platform; part unless there is such a column) and time, and for several axes hang (1, 2, ...) and its direction
-- x, y, z on the first row of each.

local readings = require "steelyard.measure.readings"
local measurement = require "steelyard.measure.measurement"

local pendulum_file = {}

local spec = {settings = {}, columns = {what = "text", time = "number", hang = "number", x = "number", y = "number", z = "number"}}
for _, name in ipairs{"mass", "arm", "arms.r1", "arms.r2", "radius", "wire", "g", "swing", "stiffness", "swings", "rod.mass", "rod.length",
                      "rod.diameter", "rod.swings", "platform.mass", "platform.swings"} do
  spec.settings[name] = "number"
end
for _, name in ipairs{"title", "kind", "state"} do spec.settings[name] = "text" end
for _, name in ipairs{"mirror", "rod.on_platform"} do spec.settings[name] = "flag" end

-- Where the timings of a row go: a table with times and axis.
local function owner_of(t, r, row)
  local what = row.what or "part"
  if what == "rod" or what == "platform" then
    t[what] = t[what] or {}
    return t[what], what
  end
  if what ~= "part" then
    measurement.refuse("a timing", "what", "unknown", ("must be part, rod or platform, is %q"):format(what))
  end
  if not row.hang then return t, "part" end
  local hangs = t.hangs or {}
  t.hangs = hangs
  if row.hang < 1 or row.hang ~= #hangs and row.hang ~= #hangs + 1 then
    measurement.refuse("a timing", "hang", "content", "must count 1, 2, 3, each with its rows together")
  end
  if row.hang > #hangs then
    hangs[#hangs + 1] = {swings = t.swings}
    r.lines[("hang %d.axis"):format(#hangs)] = row.line
  end
  return hangs[#hangs], "hang " .. #hangs
end

local function add_axis(owner, row)
  if not (row.x or row.y or row.z) then return end
  owner.axis = {row.x or 0, row.y or 0, row.z or 0}
end

--- Fields for sy.pendulum, and the file's lines by what they say.
function pendulum_file.read(path)
  local r = readings.read(path, spec)
  local t = readings.nested(r)
  for _, row in ipairs(r.rows) do
    local owner, name = readings.located(r, function() return row.line end, owner_of, t, r, row)
    if row.time then
      owner.times = owner.times or {}
      owner.times[#owner.times + 1] = row.time
      r.lines[("%s.times[%d]"):format(name, #owner.times)] = row.line
    end
    add_axis(owner, row)
  end
  if t.hangs then t.swings = nil end
  return t, r
end

--- The line an error of sy.pendulum is about.
function pendulum_file.line(r)
  return function(err)
    local part = (err.part or ""):match "^pendulum, (.*)$" or err.part
    local name = part == "pendulum" and "part" or part
    return r.lines[("%s.%s"):format(name, err.field)] or r.lines[("%s.%s"):format(part, err.field)] or r.lines[err.field]
  end
end

--- sy.pendulum of a file.
function pendulum_file.of(path)
  local t, r = pendulum_file.read(path)
  return readings.located(r, pendulum_file.line(r), require("steelyard.measure.pendulum").of, t)
end

return pendulum_file
