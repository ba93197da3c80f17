--- Readings of a lift from a file, as fields for sy.cg_height; see vehicles/readings/README.md for the settings and columns.

local readings = require "steelyard.measure.readings"

local cg_height_file = {}

local spec = {settings = {}, families = {blocks = "number"}, columns = {run = "text", going = "text", up = "text", note = "text"}}
for _, name in ipairs{"wheelbase", "wheelbase.left", "wheelbase.right", "radii.front", "radii.rear", "tracks.front", "tracks.rear",
                      "tracks.front.left", "tracks.front.right", "tracks.rear.left", "tracks.rear.right", "jack.back", "jack.height",
                      "suspension.front", "suspension.rear", "tyre_rate", "unsprung.front", "unsprung.rear", "crown_radius",
                      "mass", "roof", "sd.pad", "sd.step", "sd.lift", "sd.angle", "sd.radius", "sd.wheelbase", "sd.zero",
                      "at_ride.front", "at_ride.rear"} do
  spec.settings[name] = "number"
end
for _, name in ipairs{"title", "state", "lifted", "by", "on", "suspension", "tanks", "with_driver", "without_driver"} do
  spec.settings[name] = "text"
end
spec.columns.lift = "amount" -- mm, or the blocks it stands on: a+b
for _, name in ipairs{"angle", "front", "rear", "left", "right", "lf", "rf", "lr", "rr"} do spec.columns[name] = "number" end

-- 300, or {"a", "b"} of "a+b"
local function lift_of(cell)
  if type(cell) ~= "string" then return cell end
  local names = {}
  for name in cell:gmatch "[^+]+" do names[#names + 1] = name:match "^%s*(.-)%s*$" end
  return names
end

-- An empty cell under `run` or `going` goes on with what stands above it, as on a sheet of paper.
local function rows_of(r)
  local list, run, going = {}, nil, nil
  for i, row in ipairs(r.rows) do
    run, going = row.run or run, row.going or going
    list[i] = {run = run, going = not run and going or nil, lifted = row.up, lift = lift_of(row.lift), angle = row.angle,
               front = row.front, rear = row.rear, left = row.left, right = row.right, lf = row.lf, rf = row.rf, lr = row.lr, rr = row.rr}
  end
  return list
end

--- Fields for sy.cg_height and the file's lines by what they say.
function cg_height_file.read(path)
  local r = readings.read(path, spec)
  local t = readings.nested(r, spec.families)
  t.readings = rows_of(r)
  return t, r
end

--- The line an error is about.
function cg_height_file.line(r)
  return function(err)
    local i = tonumber((err.part or ""):match "^reading (%d+)")
    if i then return r.rows[i] and r.rows[i].line end
    return r.lines[err.field]
  end
end

--- The measurement of a file: of a car, in the load state that the file names if it names one, or by itself.
function cg_height_file.of(path, car)
  local t, r = cg_height_file.read(path)
  if not car then return readings.located(r, cg_height_file.line(r), require("steelyard.measure.cg_height").of, t) end
  if t.state then car, t.state = car:state(t.state), nil end
  return readings.located(r, cg_height_file.line(r), car.cg_height, car, t)
end

return cg_height_file
