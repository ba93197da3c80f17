--- The car as it stood when a record was made: the file that the record names, or this one as it is written, loaded as the record says.

local as_written = require "steelyard.car.as_written"
local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local match = require "steelyard.answers.changes.match"

local stood = {}

--- Raises an error about a field of a record of the car inside c.
function stood.refuse(c, record, field, code, message, hint)
  core.fail{code = code, file = c.shared.file, line = record.line, kind = "record", part = record.name, field = field, message = message,
            hint = hint}
end

local function is_error(x) return getmetatable(x) == core.error_metatable end

local function read_beside(c, name)
  if c.shared.file then return core.read_beside(c.shared.file, name) end
  return core.read_file(name), name
end

--- The path of a file that a record names in `field`, and its bytes.
function stood.beside(c, record, field)
  local name = record[field]
  local fine, bytes, path = pcall(read_beside, c, name)
  if fine then return path, bytes end
  if not is_error(bytes) then error(bytes, 0) end
  stood.refuse(c, record, field, bytes.code, ("%s: %s"):format(name, bytes.message), bytes.hint)
end

-- "corners.lf" of run 1, "corners[2].lf" where there are several.
local function field_of(record, err)
  local run = (err.part or ""):match "^run (%d+)$"
  if not run then return record.runs and err.field and ("%s.%s"):format(record.kind, err.field) or err.field or record.kind end
  local which = #(record.runs or {}) > 1 and ("[%s]"):format(run) or ""
  return err.field and ("%s%s.%s"):format(record.kind, which, err.field) or record.kind .. which
end

--- Why a record cannot be worked out, said where its name stands already.
function stood.why(c, record, err)
  if err.file ~= c.shared.file or err.part ~= record.name then return tostring(err) end
  return (err.field and err.field .. ": " or "") .. err.message .. (type(err.hint) == "string" and (" (%s)"):format(err.hint) or "")
end

--- What f(...) gives; what it refuses without naming a file is in the record.
function stood.located(c, record, f, ...)
  local answers = table.pack(pcall(f, ...))
  if answers[1] then return table.unpack(answers, 2, answers.n) end
  local err = answers[2]
  if not is_error(err) or err.file or err.kind == "record" then error(err, 0) end
  stood.refuse(c, record, field_of(record, err), err.code, err.message, err.hint)
end

-- The cars of files that records name, by name: read when first asked for.
local function file_car(c, record)
  local shared = c.shared
  shared.stood = shared.stood or {}
  if not shared.stood[record.file] then
    local path, bytes = stood.beside(c, record, "file")
    local spec, lent = shared.spec, {}
    for _, some in ipairs{spec.instruments or {}, spec.more_instruments or {}} do table.move(some, 1, #some, #lent + 1, lent) end
    shared.stood[record.file] = require("steelyard.car.load").without_records(path, bytes, lent)
  end
  return shared.stood[record.file]
end

local function state_of(c, record, car, name)
  for _, state in ipairs(car:states()) do
    if state == name then return car:state(name) end
  end
  local near = core.nearest(name, car:states())
  stood.refuse(c, record, "state", "unknown", ("no state of %s is called %q"):format(record.file or "this file", name),
    near and ("did you mean %q?"):format(near) or nil)
end

-- What came aboard beside the state: a state of its own that brings it.
local function with_aboard(car, names)
  local d = contents.from(contents.inside(car))
  local state = {}
  for key, value in pairs(d.state or {name = "everything in the file"}) do state[key] = value end
  state.with = table.move(names, 1, #names, #(state.with or {}) + 1, table.move(state.with or {}, 1, #(state.with or {}), 1, {}))
  state.name = ("%s, with %s"):format(state.name, table.concat(names, " and "))
  d.state = state
  return contents.reload(d)
end

-- The place of an assembly is stated as drawn, however low the body stands.
local function at_drawn_heights(car)
  local d = contents.from(contents.inside(car))
  require("steelyard.car.ride_height").set(d, {front = 0, rear = 0})
  return contents.reload(d)
end

local function loaded(car, record)
  if record.kind == "assembly" and contents.inside(car).heights_set then car = at_drawn_heights(car) end
  if record.with then car = with_aboard(car, record.with) end
  if record.without then car = car:without(record.without) end
  if not record.fill then return car end
  local d = contents.from(contents.inside(car))
  d.fills = record.fill
  return contents.reload(d)
end

--- The load states of the file that says how the car then stood: a list, and a set of their names.
function stood.states(c, record)
  local states = (record.file and file_car(c, record) or as_written.car(c)):states()
  for i = 1, #states do states[states[i]] = true end
  return states
end

--- The car as it then stood. state: of a table of readings, where the record states none.
function stood.car(c, record, state)
  local car = record.file and file_car(c, record) or as_written.car(c)
  local name = record.state or state
  if name then car = state_of(c, record, car, name) end
  local fine, made = pcall(loaded, car, record)
  if fine then return made end
  if not is_error(made) then error(made, 0) end
  stood.refuse(c, record, made.field, made.code, made.message, made.hint)
end

local PAIRED = 0.5 -- of the mass aboard: of another car less has the same names; common practice, no source

--- Does the car as it then stood share its lines with this one?
function stood.is_of(c, car)
  local then_c = contents.inside(car)
  if then_c.shared == c.shared then return true end
  local work = match.of(then_c, c, {})
  local paired, all = 0, 0
  for _, was in ipairs(work.old_list) do
    if was.form ~= "group" and was.aboard then
      local is, mass = work.new_by_path[was.path], core.item_totals(then_c.now, then_c.geometry, was.route).mass
      all = all + mass
      paired = paired + (is and is.form == was.form and mass or 0)
    end
  end
  return all > 0 and paired >= PAIRED * all
end

return stood
