--- Readings of a part on scales from a file, as fields for sy.part_cg: see vehicles/readings/README.md.

local readings = require "steelyard.measure.readings"

local part_cg_file = {}

local spec = {settings = {title = "text", state = "text", step = "number", tare = "number", feet = "text", kind = "text"},
              columns = {pose = "number", support = "text", x = "number", y = "number", z = "number", reading = "number", tare = "number",
                         nose_up = "number", nose_down = "number", left_up = "number", right_up = "number"}}
for _, name in ipairs{"sd.reading", "sd.place", "sd.tilt", "crank.x", "crank.y", "crank.z", "edge.known_mass", "edge.at",
                      "edge.balance_at"} do
  spec.settings[name] = "number"
end
for _, name in ipairs{"axes.x", "axes.y", "axes.z", "edge.along"} do spec.settings[name] = "text" end

local tilts = {"nose_up", "nose_down", "left_up", "right_up"}

local function bad(r, row, field, code, message) -- a row the file should not have
  require("steelyard.core").fail{code = code, file = r.file, line = row.line, kind = "", field = field, message = message}
end

local function pose_of(r, t, row)
  local number = row.pose or math.max(#t.poses, 1)
  if number < 1 or number ~= #t.poses and number ~= #t.poses + 1 then
    bad(r, row, "pose", "content", "must count 1, 2, 3, each with its rows together")
  end
  if number > #t.poses then
    t.poses[number] = {readings = {}, tare = t.tare}
    r.lines["pose " .. #t.poses] = row.line
  end
  return t.poses[#t.poses], "pose " .. #t.poses
end

local function add_row(r, t, row)
  local pose, where = pose_of(r, t, row)
  local name = row.support
  if not name then bad(r, row, "support", "missing", "has no name") end
  pose.readings[name] = row.reading -- none: it stood there and nobody read it
  r.lines[where .. ".readings." .. name] = row.line
  if row.tare ~= nil then
    if type(pose.tare) ~= "table" or getmetatable(pose.tare) then pose.tare = {} end
    pose.tare[name] = row.tare
  end
  if row.x ~= nil or row.y ~= nil or row.z ~= nil then
    r.place[name] = {row.x, row.y, row.z}
    r.lines["supports." .. name] = row.line
  elseif not r.place[name] then
    bad(r, row, "x", "missing", ("the place of %q is missing: x, y and z in the first pose it stands in"):format(name))
  end
  if pose.supports and pose.supports[name] then bad(r, row, "support", "clash", ("%q stands twice in this pose"):format(name)) end
  pose.supports = pose.supports or {}
  pose.supports[name] = r.place[name]
  for _, word in ipairs(tilts) do
    if row[word] ~= nil then pose[word] = row[word] end
  end
end

-- Supports of the pose before that have no row stood there all the same and were not read. A pose that names a new support lists its own.
local function carry_over(t)
  for k = 2, #t.poses do
    local before, now = t.poses[k - 1].supports, t.poses[k].supports
    local own = false
    for name in pairs(now) do own = own or before[name] == nil end
    for name, place in pairs(own and {} or before) do now[name] = now[name] or place end
  end
end

--- sy.part_cg of a file; more: fields that the script adds.
function part_cg_file.of(path, more)
  local r = readings.read(path, spec)
  local t = readings.nested(r)
  local tare = t.tare
  t.poses, r.place = {}, {}
  for _, row in ipairs(r.rows) do add_row(r, t, row) end
  carry_over(t)
  t.tare = nil
  for _, pose in ipairs(t.poses) do pose.tare = pose.tare or tare end
  if #t.poses == 0 then t.poses = nil end
  for key, value in pairs(more or {}) do t[key] = t[key] == nil and value or t[key] end
  local function line(err)
    local field = err.field or ""
    local support = field:match "^supports%.[^.]+"
    return r.lines[("%s.%s"):format(err.part, field)] or support and r.lines[support] or r.lines[err.part] or r.lines[field]
      or r.lines[("%s.%s"):format(err.part, field:match "[^.]*$")]
  end
  return readings.located(r, line, require("steelyard.measure.part_cg").of, t)
end

return part_cg_file
