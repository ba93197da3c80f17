--- The files of a history: which they are, the car in each, from when on it was so, and their order.
--
-- files.of(paths, o) -> list of {path =, car =, c = its inside, date =, dated_by = "given" "field" "name" or "record"}, in order of time;
-- second, what was left out, a list of {file =, why =}; third, notes.
--
-- A date is a text of ISO 8601: texts of one form sort as their times do, a month in front of its days. Zones are not taken into account.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local dates = require "steelyard.file.dates"
local frame = require "steelyard.answers.changes.frame"
local load = require "steelyard.car.load"
local text = require "steelyard.print.text"
local trend = require "steelyard.answers.changes.trend"

local files = {}

local function base_name(path) return path:match "[^/\\]*$" end

-- ---- which files ---------------------------------------------------------------------------------------------------------------

-- The vehicle files that lie in a folder, by name.
local function in_folder(path)
  local names, list = core.folder(path), {}
  table.sort(names, core.before)
  for _, name in ipairs(names) do
    local whole = path:gsub("/+$", "") .. "/" .. name
    if name:find "%.lua$" and not core.is_folder(whole) then list[#list + 1] = whole end
  end
  if #list == 0 then
    core.fail{code = "missing", file = path, message = "has no vehicle files in it", hint = "they are named NAME-2026-03-14.lua"}
  end
  return list
end

-- Paths as given, folders as what is in them, each file once.
local function listed(paths)
  if type(paths) == "string" then paths = {paths} end
  if type(paths) ~= "table" or #paths == 0 then
    core.fail{code = "type", message = ("sy.track needs a folder or a list of vehicle files, not %s"):format(text.named(paths))}
  end
  local list, seen = {}, {}
  for _, path in ipairs(paths) do
    if type(path) ~= "string" then
      core.fail{code = "type", message = ("sy.track takes paths, not %s"):format(text.named(path))}
    end
    if path:find("\0", 1, true) then
      core.fail{code = "type", message = "sy.track takes paths, and a path holds no zero byte"}
    end
    for _, one in ipairs(core.is_folder(path) and in_folder(path) or {path}) do
      if not seen[one] then
        list[#list + 1], seen[one] = one, true
      end
    end
  end
  return list
end

-- ---- one file ------------------------------------------------------------------------------------------------------------------

local function in_state(car, path, name)
  local states = car:states()
  for _, known in ipairs(states) do
    if known == name then return car:state(name) end
  end
  local near = core.nearest(name, states)
  core.fail{code = "unknown", file = path, field = "state", message = ("has no load state %q"):format(name),
    hint = near and ("did you mean %q?"):format(near) or #states > 0 and "its states are " .. text.list_names(states)
      or "it has no states"}
end

-- The last date of what was measured of the car as this file has it.
local function of_records(spec)
  local last
  for _, record in ipairs(spec.records or {}) do
    if record.date and not record.file and (not last or core.before(last, record.date)) then last = record.date end
  end
  return last
end

-- When a file is from, and what says so.
local function date_of(entry, given)
  local spec, named = entry.c.shared.spec, trend.date(entry.path)
  local stated = given[entry.path] or given[base_name(entry.path)]
  if stated then return stated, "given" end
  if spec.date then return spec.date, "field" end
  if named then return named, "name" end
  local measured = of_records(spec)
  if measured then return measured, "record" end
  core.fail{code = "missing", file = entry.path, message = "has no date",
    hint = {'name it NAME-2026-03-14.lua, write date = "2026-03-14" in it, or give dates = {["' .. base_name(entry.path)
      .. '"] = "2026-03-14"}',
      'name it NAME-2026-03-14.lua, write date = "2026-03-14" in it, or give --date ' .. base_name(entry.path) .. "=2026-03-14"}}
end

-- ---- all of them ---------------------------------------------------------------------------------------------------------------

-- What is wrong with a file that is named beside it.
local function why_of(err, path)
  local shown = tostring(err)
  if shown:sub(1, #path) ~= path then return err.message end
  return (shown:sub(#path + 1):gsub("^:(%d+)", "line %1"):gsub("^: ", ""))
end

-- What f(...) gives; with skip an error is a reason to leave the file out.
local function tried(entry, o, left_out, f, ...)
  if not o.skip then return f(...) end
  local answers = table.pack(pcall(f, ...))
  if answers[1] then return table.unpack(answers, 2, answers.n) end
  if getmetatable(answers[2]) ~= core.error_metatable then error(answers[2], 0) end
  left_out[#left_out + 1] = {file = entry.path, why = why_of(answers[2], entry.path)}
end

-- Titles of the files in their order, each once, and how many have it.
local function titles_of(list)
  local titles, count = {}, {}
  for _, entry in ipairs(list) do
    local title = entry.c.shared.spec.title
    if not count[title] then titles[#titles + 1] = title end
    count[title] = (count[title] or 0) + 1
  end
  return titles, count
end

-- Which of the titles a name means: its own, or the one that begins so.
local function meant(name, titles)
  local found = {}
  for _, title in ipairs(titles) do
    if title == name then return {title} end
    if title:sub(1, #name):lower() == name:lower() then found[#found + 1] = title end
  end
  if #found == 1 then return found end
  local near = core.nearest(name, titles)
  core.fail{code = #found == 0 and "unknown" or "clash", field = "car",
    message = #found == 0 and ("no file is of a car called %q"):format(name)
      or ("%q may be %s"):format(name, text.join_names(found, "or")),
    hint = near and ("did you mean %q?"):format(near) or "the cars are " .. text.list_names(titles)}
end

-- The files of the cars asked for; files of several cars are one history only where the caller says so.
local function of_one_car(list, o, left_out)
  local titles, count = titles_of(list)
  if not o.car then
    if #titles < 2 then return list end
    local said = {}
    for i, title in ipairs(titles) do said[i] = ("%q (%s)"):format(title, text.count(count[title], "file")) end
    core.fail{code = "clash", message = "the files are of several cars: " .. table.concat(said, ", "),
      hint = {'choose one by car = "NAME"; of one that has changed its name, list both', "choose one by --car NAME; of one that has "
        .. "changed its name, give it twice"}}
  end
  local wanted, kept = {}, {}
  for _, name in ipairs(o.car) do
    for _, title in ipairs(meant(name, titles)) do wanted[title] = true end
  end
  for _, entry in ipairs(list) do
    local title = entry.c.shared.spec.title
    if wanted[title] then kept[#kept + 1] = entry else left_out[#left_out + 1] = {file = entry.path, why = "of " .. title} end
  end
  return kept
end

local function in_time(a, b)
  if a.date ~= b.date then return core.before(a.date, b.date) end
  local first, second = base_name(a.path), base_name(b.path)
  if first ~= second then return core.before(first, second) end
  return core.before(a.path, b.path)
end

-- What is odd about a file and the one in front of it.
local function compared(a, b, notes)
  local from, to = base_name(a.path), base_name(b.path)
  if a.date == b.date then
    notes[#notes + 1] = ("%s and %s are both of %s: they stand in the order of their names"):format(from, to, a.date)
  end
  local was, is = a.c.shared.spec, b.c.shared.spec
  if not frame.same_axes(was.axes, is.axes) then
    notes[#notes + 1] = ("%s measures along other axes than %s: parts are compared on the vehicle"):format(to, from)
  elseif was.ground ~= is.ground or was.centre ~= is.centre or was.axles[1].at ~= is.axles[1].at then
    notes[#notes + 1] = ("%s measures from another zero than %s: parts are compared on the vehicle, or moved with the axle"):format(
      to, from)
  end
end

local function dated_otherwise(entry, notes)
  local named = trend.date(entry.path)
  if named and entry.dated_by == "field" and entry.date:sub(1, #named) ~= named then
    notes[#notes + 1] = ("%s is of %s, as it states; its name says %s"):format(base_name(entry.path), entry.date, named)
  elseif entry.dated_by == "record" then
    notes[#notes + 1] = ("no date stands in %s or in its name: it is of %s, its last record of the car as it is"):format(
      base_name(entry.path), entry.date)
  end
end

local function check_dates(given, paths)
  local known, names = {}, {}
  for _, path in ipairs(paths) do
    known[path], known[base_name(path)] = true, true
    names[#names + 1] = base_name(path)
  end
  for name, date in pairs(given) do
    if not known[name] then
      local near = type(name) == "string" and core.nearest(name, names)
      core.fail{code = "unknown", field = "dates", message = ("no file is called %s"):format(text.named(name)),
        hint = near and ("did you mean %q?"):format(near) or nil}
    end
    if type(date) ~= "string" or not dates.is_date(date) then
      core.fail{code = "content", field = "dates", message = ("%s of %s is not a date of ISO 8601"):format(text.named(date), name),
        hint = "year, month and day, as in 2026-03-14"}
    end
  end
end

--- See above. o: {state =, car = list of names, dates = {[name] = date}, skip =}, checked but for what the files must say.
function files.of(paths, o)
  local list, left_out, notes = {}, {}, {}
  paths = listed(paths)
  check_dates(o.dates, paths)
  for _, path in ipairs(paths) do
    local entry = {path = path}
    entry.car = tried(entry, o, left_out, load.file, path)
    if entry.car then
      entry.c = contents.inside(entry.car)
      list[#list + 1] = entry
    end
  end
  local kept = {}
  for _, entry in ipairs(of_one_car(list, o, left_out)) do
    local car = o.state and tried(entry, o, left_out, in_state, entry.car, entry.path, o.state) or not o.state and entry.car
    if car then
      entry.car, entry.c = car, contents.inside(car)
      entry.date, entry.dated_by = tried(entry, o, left_out, date_of, entry, o.dates)
      kept[#kept + 1] = entry.date and entry or nil
    end
  end
  if #kept == 0 then
    core.fail{code = "missing", message = ("no file is left: %s: %s"):format(left_out[1].file, left_out[1].why)}
  end
  table.sort(kept, in_time)
  for i, entry in ipairs(kept) do
    dated_otherwise(entry, notes)
    if i > 1 then compared(kept[i - 1], entry, notes) end
  end
  return kept, left_out, notes
end

return files
