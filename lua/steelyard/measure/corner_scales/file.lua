--- Readings of corner scales from a file, as fields for sy.corner_scales: see vehicles/readings/README.md.

local core = require "steelyard.core"
local readings = require "steelyard.measure.readings"

local corner_scales_file = {}

local spec = {settings = {title = "text", state = "text", step = "number", gain = "number", ["sd.reading"] = "number",
                          ["sd.offset"] = "number", ["plank.ratio"] = "number", ["plank.tare"] = "number"},
              columns = {run = "number", wheel = "text", pad = "text", reading = "number", zero_before = "number",
                         zero_after = "number", facing = "text", others = "text", step = "number"}}

local wheels = {"lf", "rf", "lr", "rr", "fl", "fr", "rl", "f", "r", "front", "rear", "total"}

local function bad(r, row, field, code, message, hint)
  core.fail{code = code, file = r.file, line = row.line, kind = "", field = field, message = message, hint = hint}
end

local function run_of(r, t, row)
  local number = row.run or math.max(#t.runs, 1)
  if number < 1 or number ~= #t.runs and number ~= #t.runs + 1 then
    bad(r, row, "run", "content", "must count 1, 2, 3, each with its rows together")
  end
  if number > #t.runs then
    t.runs[number] = {}
    r.lines["run " .. #t.runs] = row.line
  end
  return t.runs[#t.runs], "run " .. #t.runs
end

-- What is said once of a run may stand on any of its rows.
local function set_once(r, row, run, key)
  if row[key] == nil then return end
  if run[key] ~= nil and run[key] ~= row[key] then bad(r, row, key, "clash", "says something else than the rows above of this run") end
  run[key] = row[key]
end

local function add_row(r, t, row)
  local run, where = run_of(r, t, row)
  local wheel = row.wheel
  if not wheel then bad(r, row, "wheel", "missing", "is missing: lf rf lr rr, front rear, or total") end
  local known = false
  for _, name in ipairs(wheels) do known = known or name == wheel end
  if not known then
    local near = core.nearest(wheel, wheels)
    bad(r, row, "wheel", "unknown", ("%q is not a wheel, axle or total"):format(wheel), near and ("did you mean %s?"):format(near))
  end
  if run[wheel] ~= nil then bad(r, row, "wheel", "clash", ("%q stands twice in this run"):format(wheel)) end
  if row.reading == nil then bad(r, row, "reading", "missing", "is missing") end
  run[wheel] = row.reading
  r.lines[("%s.%s"):format(where, wheel)] = row.line
  if row.pad then
    run.pads = run.pads or {}
    run.pads[wheel] = row.pad
    r.lines[("%s.pads.%s"):format(where, wheel)] = row.line
  end
  for _, key in ipairs{"zero_before", "zero_after"} do
    if row[key] ~= nil then
      run[key] = run[key] or {}
      run[key][row.pad or wheel] = row[key]
    end
  end
  for _, key in ipairs{"facing", "others", "step"} do set_once(r, row, run, key) end
end

--- Fields for sy.corner_scales of a file, what was read, and the line that an error is about.
function corner_scales_file.read(path)
  local r = readings.read(path, spec)
  local t = readings.nested(r)
  t.runs = {}
  for _, row in ipairs(r.rows) do add_row(r, t, row) end
  if #t.runs == 0 then t.runs = nil end
  local function line(err)
    local field = err.field or ""
    return r.lines[("%s.%s"):format(err.part, field)] or r.lines[err.part] or r.lines[field]
  end
  return t, r, line
end

--- sy.corner_scales of a file.
function corner_scales_file.of(path)
  local t, r, line = corner_scales_file.read(path)
  return readings.located(r, line, require("steelyard.measure.corner_scales").of, t)
end

return corner_scales_file
