--- car:record(name) and car:records(): what was measured of a car, beside the ledger as it stood when it was measured.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local loading = require "steelyard.car.loading"
local measurement = require "steelyard.measure.measurement"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local read = require "steelyard.measure.records.read"
local results = require "steelyard.reference.results"
local stood = require "steelyard.measure.records.stood"
local text = require "steelyard.print.text"

local records = {}
local Recorded, Records = results.kind "recorded", results.kind "records"

--- The record of that name of the file of the car inside c; raises an error with the nearest one.
function records.find(c, name)
  local names = {}
  for i, record in ipairs(c.shared.spec.records or {}) do
    if record.name == name then return record end
    names[i] = record.name
  end
  local near = type(name) == "string" and core.nearest(name, names)
  core.fail{code = "unknown", file = c.shared.file, message = ("no record is called %s"):format(text.named(name)),
    hint = near and ("did you mean %q?"):format(near) or #names > 0 and "the records are " .. text.list_names(names)
      or "the file has none"}
end

-- ---- one record ---------------------------------------------------------------------------------------------------------------

-- The rows by name, for scripts: a document has them as rows, each with its unit.
local ByName = {__json = function() return nil end}

local function against(rows)
  local by = setmetatable({ledger = {}, sigmas = {}}, ByName)
  for _, row in ipairs(rows) do by.ledger[row.name], by.sigmas[row.name] = row.ledger, row.sigmas end
  return by
end

local function notes_of(says)
  local notes = {}
  if says.why then notes[1] = "no adjustment within its uncertainties brings the ledger to these readings: " .. says.why end
  for _, note in ipairs(says.notes or {}) do notes[#notes + 1] = note end
  for _, note in ipairs(says.reading.notes or {}) do notes[#notes + 1] = note end
  return notes
end

--- car:record.
function records.one(c, _, name)
  local record = records.find(c, name)
  local says = read.of(c, record)
  local result = {name = record.name, kind = record.kind, date = record.date, who = record.who, instrument = record.instrument,
    of = record.of, note = record.note, stood_in = record.file, reading = says.reading, rows = says.rows, against = against(says.rows),
    sigmas = says.sigmas, fits = says.fits, p = says.p, headline = says.headline, notes = notes_of(says), sd = {},
    state = loading.title(contents.inside(says.car)), heading = says.car:heading()}
  for _, key in ipairs{"mass", "height", "front_share", "left_share", "cross_share"} do
    result[key], result.sd[key] = rawget(says.reading, key), rawget(says.reading.sd, key) -- what it says in a word
  end
  return origin.of_car(setmetatable(result, Recorded), contents.inside(says.car))
end

local labels = {roll_inertia = "roll inertia, kg m2", pitch_inertia = "pitch inertia, kg m2", yaw_inertia = "yaw inertia, kg m2",
                mass = "mass, kg", cg_behind = "CG behind front axle, mm", cg_left = "CG left of centre, mm", height = "CG height, mm"}

local function shown(value, sd, unit)
  local decimals = unit == "mm" and 0 or unit == "kg" and 1 or 2
  if sd then decimals = math.min(decimals + 2, measurement.decimals(sd, decimals)) end
  return text.plus_minus(value, sd, decimals)
end

local function row_table(r)
  local rows = {}
  for i, row in ipairs(r.rows) do
    rows[i] = {labels[row.name] or ("%s, %s"):format(row.name, row.unit), shown(row.read, row.sd.read, row.unit),
               row.ledger and shown(row.ledger, row.sd.ledger, row.unit) or "-",
               row.gap and text.signed(row.gap, row.unit == "mm" and 0 or 1) or "-",
               row.sigmas and text.fixed(math.abs(row.sigmas), 1) or "-"}
  end
  return text.table({{"", "%s"}, {"read", "%s"}, {"ledger", "%s"}, {"gap", "%s"}, {"sigmas", "%s"}}, rows)
end

-- "corners, 2026-03-14, on pads, by J. B."
local function made_how(r)
  local parts = {r.kind}
  parts[#parts + 1] = r.date
  parts[#parts + 1] = r.instrument and "on " .. r.instrument
  parts[#parts + 1] = r.who and "by " .. r.who
  parts[#parts + 1] = r.stood_in and "the car as in " .. r.stood_in
  return ("Record %q: %s."):format(r.name, table.concat(parts, ", "))
end

function Recorded.__tostring(r)
  local lines = {page.heading(r.heading), made_how(r), row_table(r)}
  if r.cross_share then
    lines[#lines + 1] = ("Cross weight (RF + LR) %s %%."):format(measurement.shown(r.cross_share, r.sd.cross_share, 2))
  end
  if r.fits ~= nil then
    lines[#lines + 1] = r.fits and "The uncertainties explain the difference." or "The uncertainties do not explain the difference."
  end
  if r.note then lines[#lines + 1] = text.sentence(r.note) end
  return page.of(r, lines)
end

-- ---- the list --------------------------------------------------------------------------------------------------------------

-- A record as a row of the list. One that cannot be worked out says why and does not hide the others.
local function list_row(c, record)
  local row = {name = record.name, kind = record.kind, date = record.date, state = record.state, stood_in = record.file, placed = false}
  local fine, says = pcall(read.of, c, record)
  if fine then
    row.headline, row.sigmas, row.placed = says.headline, says.sigmas, stood.is_of(c, says.car)
    row.state = loading.title(contents.inside(says.car))
    if not row.placed then row.why = ("%s is another car"):format(record.file) end
  elseif getmetatable(says) == core.error_metatable then
    row.why = stood.why(c, record, says)
  else
    error(says, 0)
  end
  return row
end

--- car:records.
function records.list(c, car)
  local result = {state = loading.title(c), heading = car:heading(), notes = {}, sd = {}}
  for i, record in ipairs(c.shared.spec.records or {}) do
    result[i] = list_row(c, record)
    if result[i].why then result.notes[#result.notes + 1] = ("record %s: %s"):format(record.name, result[i].why) end
  end
  if #result == 0 then result.notes[1] = "the file has no records" end
  return origin.of_car(setmetatable(result, Records), c)
end

function Records.__tostring(r)
  local rows, everything = {}, loading.title{}
  for i, row in ipairs(r) do
    local day = row.date and row.date:match "^[^T]*"
    rows[i] = {row.name, row.kind, day or "-", row.state ~= everything and row.state or "-", row.headline or "cannot be worked out",
               row.sigmas and text.fixed(math.abs(row.sigmas), 1) or "-"}
  end
  local lines = {page.heading(("%s: records"):format(contents.wrap(origin.car_of(r)):heading()))}
  if #rows > 0 then
    lines[2] = page.table({{"record", "%s"}, {"kind", "%s"}, {"date", "%s"}, {"state", "%s"}, {"read", "%s"}, {"sigmas", "%s"}}, rows, 5)
  end
  return page.of(r, lines)
end

return records
