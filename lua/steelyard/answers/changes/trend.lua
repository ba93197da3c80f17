--- From file to file: how a car has developed, and what changed most each time. Dates come from the file names
-- ("mycar-2026-03-14.lua", "mycar-2026-03.lua") or from the caller; there is no clock.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local changes = require "steelyard.answers.changes"
local growth = require "steelyard.answers.growth"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local quantities = require "steelyard.reference.quantities"
local shares = require "steelyard.answers.changes.shares"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local function limits() return require "steelyard.answers.limits" end -- only what is printed has them

local trend = {}
local followed = setmetatable({}, {__mode = "k"}) -- result -> insides of the cars

local function name_of(row) return row.date or row.file end

--- Of results with a row a file: the limits of all files, the latest first, whose verdicts the others are compared with; the status is that
-- of the latest.
trend.late_fields = {
  limits = function(result)
    local list, cars, named = {}, followed[result], {}
    for i = #cars, 1, -1 do
      local row = result.rows[i]
      list[#list + 1] = {named[name_of(row)] and row.file or name_of(row), cars[i]}
      named[name_of(row)] = true
    end
    local rows = limits().several(list)
    return rows[1] and rows
  end,
  status = function(result) return result.limits and limits().status(result.limits, name_of(result.rows[#result.rows])) end,
}

--- Notes the insides of the cars of a result's rows, in their order.
function trend.follow(result, cars) followed[result] = cars end

local Trend = require("steelyard.reference.results").kind("trend", nil, trend.late_fields)

local function is_date(year, month, day)
  month, day = tonumber(month), day and tonumber(day) or 1
  return year and month >= 1 and month <= 12 and day >= 1 and day <= 31
end

--- "2026-03-14" from "old/mycar-2026-03-14.lua", "2026-03" from "mycar_2026-03.lua", nil when there is none. A number with more
-- digits than a date has is none.
function trend.date(path)
  local name = "/" .. path:match "[^/]*$" .. "/"
  local year, month, day = name:match "%D(%d%d%d%d)%-(%d%d)%-(%d%d)%D"
  if not year then year, month = name:match "%D(%d%d%d%d)%-(%d%d)%D" end
  if not is_date(year, month, day) then return nil end
  return day and ("%s-%s-%s"):format(year, month, day) or ("%s-%s"):format(year, month)
end

local function dates_of(files, dates)
  if dates and #dates ~= #files then
    core.fail{code = "type", field = "dates", message = ("%s for %s"):format(text.count(#dates, "date"), text.count(#files, "file"))}
  end
  local list, all = {}, true
  for i, path in ipairs(files) do
    list[i] = dates and dates[i] or trend.date(path) or false
    all = all and list[i]
  end
  return list, all
end

local function row_of(car, path, date)
  local c = contents.inside(car)
  local row = {file = path, date = date or nil, title = c.shared.spec.title, sd = {}}
  local values, uncertainties = core.ask("balance", {now = c.now, geometry = c.geometry}, shares.quantities, true)
  for i, name in ipairs(shares.quantities) do row[name], row.sd[name] = values[i], uncertainties[i] end
  row.mass_with_growth = growth.total(c, row.mass)
  return row, c
end

--- files: paths, in order of time. options: state; by, the quantity that decides what changed most (front_share unless given);
-- dates, a list as long as the files'. Gives rows (file, date, the quantities, sd, mass_with_growth, most: the largest line of the change
-- from the file before, changed: how many lines it has).
function trend.of(files, options)
  options = options or {}
  local by = options.by or "front_share"
  local dates, all = dates_of(files, options.dates)
  local result = {rows = {}, by = by, notes = {}, sd = {}, other_files = {}}
  local before, points, cars = nil, 0, {}
  for i, path in ipairs(files) do
    local car = changes.car(path, options.state)
    local row, c = row_of(car, path, dates[i])
    if before then
      local step = changes.of(before, car, {by = by})
      local most = step.rows[1]
      row.most, row.changed = most, #step.rows
      for _, question in ipairs(step.questions) do result.notes[#result.notes + 1] = ("in %s, %s"):format(path, question) end
    end
    local b = core.balance(c.now, c.geometry)
    points = points + b.points
    for _, note in ipairs(notes.gaps_and_height(c, b)) do
      result.notes[#result.notes + 1] = ("in %s, %s"):format(path, note)
    end
    if all and i > 1 and dates[i] < dates[i - 1] then
      result.notes[#result.notes + 1] = ("%s is dated before the file in front of it"):format(path)
    end
    if before then table.insert(result.other_files, origin.file_of(contents.inside(before))) end
    result.rows[i], cars[i], result.state, before = row, c, loading.title(c), car
  end
  if points > 0 then result.notes[#result.notes + 1] = "inertia is \"at least\": parts without a shape count as points" end
  result.heading = ("%s, %s"):format(result.rows[#files].title, result.state)
  trend.follow(result, cars)
  return origin.of_car(setmetatable(result, Trend), contents.inside(before))
end

local function most_text(row, by)
  if not row.changed then return "" end
  if row.changed == 0 then return "nothing" end
  local q, most = quantities.by_name[by], row.most
  local unit = q.unit ~= "" and " " .. q.unit or ""
  return ("%s, %s: %s%s"):format(most.part, most.happened, text.signed(most["d_" .. by], q.change), unit)
end

function Trend.__tostring(result)
  local by = quantities.by_name[result.by]
  local headings, rows = {{"date", "%s"}}, {}
  for _, name in ipairs(shares.quantities) do headings[#headings + 1] = {quantities.heading(quantities.by_name[name]), "%s"} end
  headings[#headings + 1] = {"lines", "%s"}
  headings[#headings + 1] = {("moved %s most"):format(by.label), "%s"}
  for i, row in ipairs(result.rows) do
    local cells = {name_of(row)}
    for _, name in ipairs(shares.quantities) do
      cells[#cells + 1] = text.plus_minus(row[name], row.sd[name], quantities.by_name[name].decimals)
    end
    cells[#cells + 1] = row.changed and text.plain(row.changed) or ""
    cells[#cells + 1] = most_text(row, result.by)
    rows[i] = cells
  end
  local lines = {page.heading(result.heading), text.table(headings, rows)}
  return page.of(result, lines)
end

return trend
