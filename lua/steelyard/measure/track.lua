--- sy.track(paths, options?): one car over its build: its dated files as one history, what changed from each to the next, and what scales
-- said in between.

local changes = require "steelyard.answers.changes"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local files = require "steelyard.measure.track.files"
local growth = require "steelyard.answers.growth"
local loading = require "steelyard.car.loading"
local named_places = require "steelyard.car.named_places"
local notes = require "steelyard.answers.notes"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local placed = require "steelyard.measure.track.placed"
local shares = require "steelyard.answers.changes.shares"
local text = require "steelyard.print.text"
local trend = require "steelyard.answers.changes.trend"

local track = {}

local LINES = 3 -- of a step that are named, unless asked otherwise

local Track = require("steelyard.reference.results").kind("track", nil, trend.late_fields)

-- ---- what was asked --------------------------------------------------------------------------------------------------------------

local function names_of(value)
  if value == nil then return nil end
  local list = type(value) == "string" and {value} or value
  if type(list) ~= "table" or #list == 0 then
    core.fail{code = "type", field = "car", message = ("must be the title of a car, or a list of them, is %s"):format(text.named(value))}
  end
  for _, name in ipairs(list) do
    if type(name) ~= "string" or name == "" then
      core.fail{code = "type", field = "car", message = ("must be the title of a car, is %s"):format(text.named(name))}
    end
  end
  return list
end

local function lines_of(value)
  if value == nil then return LINES end
  local lines = named_places.number(value, "", "lines")
  if lines < 0 or lines % 1 ~= 0 then
    core.fail{code = "range", field = "lines", message = ("is %s, must be a whole number, 0 or more"):format(text.plain(lines))}
  end
  return math.tointeger(lines)
end

local function by_of(value)
  if value == nil then return "front_share" end
  for _, name in ipairs(shares.quantities) do
    if value == name then return value end
  end
  local near = type(value) == "string" and core.nearest(value, shares.quantities)
  core.fail{code = "unknown", field = "by", message = ("changes are not sorted by %s"):format(text.named(value)),
    hint = near and ("did you mean %q?"):format(near) or "by is one of " .. text.join(shares.quantities, "or")}
end

local function asked_of(given)
  local o = named_places.check_fields(given, "sy.track", options.known("whole", "track"))
  if o.state ~= nil and type(o.state) ~= "string" then
    core.fail{code = "type", field = "state", message = ("must be the name of a load state, is %s"):format(text.named(o.state))}
  end
  if o.dates ~= nil and type(o.dates) ~= "table" then
    core.fail{code = "type", field = "dates", message = ("must be a table of dates by file, is %s"):format(text.named(o.dates)),
      hint = 'as in dates = {["mycar.lua"] = "2026-03-14"}'}
  end
  return {state = o.state, car = names_of(o.car), dates = o.dates or {}, skip = named_places.switch(o.skip, "skip") or false,
          by = by_of(o.by), lines = lines_of(o.lines)}
end

-- ---- from file to file -----------------------------------------------------------------------------------------------------------

local function d_of(row)
  local list = {}
  for _, name in ipairs(shares.quantities) do list["d_" .. name] = row["d_" .. name] end
  return list
end

-- What changed since the file before: all of it, its greatest lines, and the others together.
local function step_of(before, car, o, found)
  local step = changes.of(before, car, {by = o.by})
  local change = {lines = #step.rows, total = step.total, sd = step.sd, greatest = {}}
  local named = #step.rows == o.lines + 1 and o.lines + 1 or o.lines -- "+ 1 smaller line" would take its room
  for i = 1, math.min(named, #step.rows) do
    local row = step.rows[i]
    change.greatest[i] = d_of(row)
    change.greatest[i].part, change.greatest[i].happened, change.greatest[i].kinds = row.part, row.happened, row.kinds
  end
  if #step.rows > named then
    change.rest = {lines = #step.rows - named}
    for _, name in ipairs(shares.quantities) do
      local sum = 0
      for i = named + 1, #step.rows do sum = sum + step.rows[i]["d_" .. name] end
      change.rest["d_" .. name] = sum
    end
  end
  for _, question in ipairs(step.questions) do found[#found + 1] = question end
  return change
end

-- A file as a row: the car in it.
local function row_of(entry)
  local c, names = entry.c, table.move(shares.quantities, 1, #shares.quantities, 1, {})
  names[#names + 1] = "cross_share"
  local values, sds = core.ask("balance", {now = c.now, geometry = c.geometry}, names, true)
  local row = {file = entry.path, date = entry.date, dated_by = entry.dated_by, title = c.shared.spec.title, sd = {}}
  for i, name in ipairs(names) do
    if values[i] == values[i] then row[name], row.sd[name] = values[i], sds[i] end -- of three wheels no cross weight
  end
  if row.cross_share then row.cross_assumed = contents.is_cross_assumed(c) end
  row.mass_with_growth = growth.total(c, row.mass)
  return row
end

local function base_name(path) return path:match "[^/\\]*$" end

-- What is said of several files alike is said once, with their names.
local function add_notes(result, entries, questions)
  local order, names = {}, {}
  local function add(note, entry)
    if not names[note] then order[#order + 1], names[note] = note, {} end
    table.insert(names[note], base_name(entry.path))
  end
  for i, entry in ipairs(entries) do
    for _, question in ipairs(questions[i]) do add(question, entry) end
    local c = entry.c
    for _, note in ipairs(notes.gaps_and_height(c, core.balance(c.now, c.geometry))) do add(note, entry) end
  end
  for _, note in ipairs(order) do
    local where = #names[note] == #entries and #entries > 1 and "all files" or text.join_names(names[note])
    result.notes[#result.notes + 1] = ("in %s, %s"):format(where, note)
  end
end

-- Files that are left out for one reason are said together.
local function add_left_out(result)
  local order, names = {}, {}
  for _, one in ipairs(result.left_out) do
    if not names[one.why] then order[#order + 1], names[one.why] = one.why, {} end
    table.insert(names[one.why], base_name(one.file))
  end
  for _, why in ipairs(order) do
    result.notes[#result.notes + 1] = ("left out: %s: %s"):format(text.join_names(names[why]), why)
  end
end

local function add_record_notes(result)
  local carried = false
  for _, record in ipairs(result.records) do
    carried = carried or record.carried
    if not record.placed then
      result.notes[#result.notes + 1] = ("record %s is not placed: %s"):format(record.name, record.why or "nothing was read of the mass")
    end
  end
  if carried then
    table.insert(result.notes, 1, "what was read in another load state is brought to this one by what the ledger of that day has between "
      .. "the two; the cross weight stays as read")
  end
end

--- See reference/calls: rows (a file each), records, left_out.
function track.of(paths, given)
  local o = asked_of(given)
  local entries, left_out, said = files.of(paths, o)
  local last = entries[#entries]
  local result = setmetatable({rows = {}, records = placed.of(entries, o.state), left_out = left_out, by = o.by, notes = {},
    other_files = {}, state = loading.title(last.c)}, Track)
  local cars, questions = {}, {}
  for i, entry in ipairs(entries) do
    result.rows[i], cars[i], questions[i] = row_of(entry), entry.c, {}
    if i > 1 then result.rows[i].change = step_of(entries[i - 1].car, entry.car, o, questions[i]) end
    if i < #entries then result.other_files[i] = origin.file_of(entry.c) end
  end
  add_notes(result, entries, questions)
  table.move(said, 1, #said, #result.notes + 1, result.notes)
  add_left_out(result)
  add_record_notes(result)
  result.heading = ("%s, %s: %s, %s to %s"):format(result.rows[#entries].title, result.state, text.count(#entries, "file"),
    entries[1].date, last.date)
  if #entries == 1 then result.heading = ("%s, %s: 1 file, %s"):format(result.rows[1].title, result.state, last.date) end
  trend.follow(result, cars)
  return origin.of_car(figures.keep(result, last.c), last.c)
end

function Track.__tostring(r) return require("steelyard.measure.track.print").page(r) end

return track
