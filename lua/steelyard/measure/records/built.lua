--- car:as_built(names?): the car as its records leave it (measure/as_built.lua), and what it was made from as a page.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local measured = require "steelyard.measure.records.measured"
local measurement = require "steelyard.measure.measurement"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local reconcile_print = require "steelyard.measure.reconcile.print"
local records = require "steelyard.measure.records"
local stood = require "steelyard.measure.records.stood"
local text = require "steelyard.print.text"

local built = {}
local Built = require("steelyard.reference.results").kind "built"

-- ---- which records ----------------------------------------------------------------------------------------------------------

-- Those that a script names.
local function named(c, names)
  if type(names) == "string" then names = {names} end
  if type(names) ~= "table" or #names == 0 then
    core.fail{code = "type", message = ("car:as_built takes names of records, not %s"):format(text.named(names)),
      hint = 'as in car:as_built{"first scales"}; without any it takes all of this file'}
  end
  local entries, seen = {}, {}
  for i, name in ipairs(names) do
    local record = records.find(c, name)
    if seen[name] then core.fail{code = "clash", file = c.shared.file, message = ("record %q is named twice"):format(name)} end
    seen[name] = true
    local why
    entries[i], why = measured.of(c, record)
    if not entries[i] then stood.refuse(c, record, "kind", "unavailable", why) end
  end
  return entries, {}
end

-- Those of this file's own parts; the others, and why they are left out.
local function all_of(c)
  local entries, left_out = {}, {}
  for _, record in ipairs(c.shared.spec.records or {}) do
    local fine, entry, why = pcall(measured.of, c, record)
    if not fine and getmetatable(entry) ~= core.error_metatable then error(entry, 0) end
    if fine and entry and not stood.is_of(c, entry.car) then entry, why = nil, ("%s is another car"):format(record.file) end
    if fine and entry then
      entries[#entries + 1] = entry
    else
      left_out[#left_out + 1] = {name = record.name, why = fine and why or stood.why(c, record, entry)}
    end
  end
  return entries, left_out
end

-- A record counts once.
local function check_new(c, entries)
  for _, old in ipairs(c.measured and c.measured.given or {}) do
    for _, entry in ipairs(entries) do
      if entry.name == old.name then
        core.fail{code = "clash", message = ("the car is as built by record %q already"):format(entry.name)}
      end
    end
  end
end

local SHOWN = 0.05 -- mm: the least that a tenth of a millimetre shows

-- What the records make of places of axles: the car as built stands there, and the file goes on saying what it says.
local function shifts(book)
  local list = {}
  for number, by in ipairs(book.mean) do
    local of = book.of[number]
    local plus, minus = "forward", "back"
    if of.field == "track" then plus, minus = "wider", "narrower" end
    if of.field == "half_track" then plus, minus = "to the left", "to the right" end
    if math.abs(by) >= SHOWN then
      list[#list + 1] = ("%s %s mm %s"):format(of.who, text.fixed(math.abs(by), 1), by > 0 and plus or minus)
    end
  end
  if #list == 0 then return nil end
  return ("by the records axles and wheels stand elsewhere than stated, and the car as built with them: %s"):format(text.list_names(list))
end

-- What several records have in common.
local function notes_on_all(c, entries, book)
  local notes, axles, files = {}, 0, {}
  for _, entry in ipairs(entries) do
    local then_c = contents.inside(entry.car)
    for _, axle in ipairs(not (entry.of or entry.body) and then_c.axles or {}) do
      if (axle.at_sd or 0) > 0 or (axle.track_sd or 0) > 0 then
        axles = axles + 1
        break
      end
    end
    if then_c.shared ~= c.shared and not files[then_c.shared] then
      files[then_c.shared], files[#files + 1] = true, entry.name
    end
  end
  if axles > 0 then
    notes[1] = "where the axles stand is uncertain, alike in all records that state it alike: the CG's place is as uncertain as that, "
      .. "shares and axle loads are as certain as they were read"
    notes[2] = shifts(book)
  end
  if #files > 1 then
    notes[#notes + 1] = ("a part that this file no longer has counts in each older file by itself (records %s)"):format(
      text.list_names(files))
  end
  return notes
end

--- car:as_built.
function built.car(c, car, names)
  local entries, left_out
  if names == nil then entries, left_out = all_of(c) else entries, left_out = named(c, names) end
  if #entries == 0 then
    core.fail{code = "missing", file = c.shared.file, message = #left_out == 0 and "the file has no records"
      or ("no record can be taken: %s: %s"):format(left_out[1].name, left_out[1].why)}
  end
  check_new(c, entries)
  local made, notes = require("steelyard.measure.as_built").of(car, entries), {}
  for _, entry in ipairs(entries) do table.move(entry.notes, 1, #entry.notes, #notes + 1, notes) end
  local common = notes_on_all(c, entries, contents.inside(made).measured.places)
  table.move(common, 1, #common, #notes + 1, notes)
  rawset(made, "left_out", left_out)
  rawset(made, "assumed", notes)
  return made
end

-- ---- as a page --------------------------------------------------------------------------------------------------------------------

--- What the records said, what the ledger, and what both come to: of a car that car:as_built gave.
function built.result(car)
  local c = contents.inside(car)
  local result = {state = require("steelyard.car.loading").title(c), heading = car:heading(), records = rawget(car, "measured"),
    fits = rawget(car, "fits"), chi2 = rawget(car, "chi2"), dof = rawget(car, "dof"), p = rawget(car, "p"),
    suspect = rawget(car, "suspect") or nil, left_out = rawget(car, "left_out"), notes = {}, sd = {}}
  table.move(rawget(car, "assumed"), 1, #rawget(car, "assumed"), 1, result.notes)
  for _, left in ipairs(result.left_out) do result.notes[#result.notes + 1] = ("left out: %s: %s"):format(left.name, left.why) end
  local b = car:balance()
  for _, name in ipairs{"mass", "front_share", "left_share", "cross_share", "height"} do
    result[name], result.sd[name] = rawget(b, name), b.sd[name]
  end
  return origin.of_car(setmetatable(result, Built), c)
end

local labels = {mass = "mass, kg", forward = "CG behind front axle, mm", left = "CG left of centre, mm", height = "CG height, mm",
                up = "CG height, mm"}

local function record_table(r)
  local rows = {}
  for _, record in ipairs(r.records) do
    for i, row in ipairs(record.rows) do
      local sign, decimals = row.what == "forward" and -1 or 1, row.unit == "kg" and 1 or 0
      local function shown(value) return text.fixed(sign * value, decimals) end
      rows[#rows + 1] = {i == 1 and record.name or "", labels[row.what] or row.what, shown(row.read), shown(row.booked),
                         shown(row.reconciled), text.fixed(math.abs(row.sigmas), 1)}
    end
  end
  return text.table({{"record", "%s"}, {"", "%s"}, {"read", "%s"}, {"ledger", "%s"}, {"reconciled", "%s"}, {"sigmas", "%s"}}, rows)
end

local function now_text(r)
  local parts = {}
  for _, entry in ipairs{{"mass", "mass %s kg", 1}, {"front_share", "front %s %%", 2}, {"cross_share", "cross weight %s %%", 2},
                         {"height", "CG height %s mm", 0}} do
    local value, sd = r[entry[1]], r.sd[entry[1]]
    if value then parts[#parts + 1] = entry[2]:format(measurement.shown(value, sd, entry[3])) end
  end
  return ("As built, %s: %s."):format(r.state, table.concat(parts, ", "))
end

function Built.__tostring(r)
  local lines = {page.heading(r.heading), record_table(r), reconcile_print.verdict(r)}
  if r.suspect then
    lines[#lines + 1] = ("Furthest off is record %q, by %s sigmas: look at its readings and at what the car was then first."):format(
      r.suspect.record, text.fixed(math.abs(r.suspect.sigmas), 1))
  end
  lines[#lines + 1] = now_text(r)
  return page.of(r, lines)
end

return built
