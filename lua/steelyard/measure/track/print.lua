--- A history as a page: the car file by file, what changed at each step, and what scales said.

local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local page = require "steelyard.print.page"
local quantities = require "steelyard.reference.quantities"
local text = require "steelyard.print.text"

local print = {}

local CHANGED = {"mass", "front_share", "height"} -- columns of what changed

local function base_name(path) return path:match "[^/\\]*$" end

local function decimals(r, name, changed)
  local q = quantities.by_name[name]
  return figures.decimals(r, q.unit, changed and q.change or q.decimals)
end

local function value(r, row, name)
  if not row[name] then return "" end
  local places = decimals(r, name)
  if name == "cross_share" and row.cross_assumed then return text.plain(core.number(text.fixed(row[name], places))) .. " assumed" end
  return text.plus_minus(row[name], row.sd[name], places)
end

-- The car file by file.
local function file_table(r)
  local headings, rows, cross = {{"", "%s"}, {"date", "%s"}}, {}, false
  for _, row in ipairs(r.rows) do cross = cross or row.cross_share ~= nil end
  local names = {"mass", "mass_with_growth", "front_share", "height"}
  if cross then names[5] = "cross_share" end
  for _, name in ipairs(names) do
    local q = quantities.by_name[name]
    headings[#headings + 1] = {name == "mass_with_growth" and "with growth" or quantities.heading(q), "%s"}
  end
  headings[#headings + 1] = {"file", "%s"}
  for i, row in ipairs(r.rows) do
    rows[i] = {i == 1 and "" or text.plain(i - 1), row.date}
    for _, name in ipairs(names) do
      rows[i][#rows[i] + 1] = name == "mass_with_growth" and text.fixed(row[name], decimals(r, "mass")) or value(r, row, name)
    end
    rows[i][#rows[i] + 1] = base_name(row.file)
  end
  return text.table(headings, rows)
end

local function change_cell(r, d, name)
  local places = decimals(r, name, true)
  return math.abs(d) * 10 ^ places < 0.5 and "0" or text.signed(d, places)
end

--- What changed at a step, as rows {words, what happened, cells of CHANGED}: its lines, those that are not named, then all with their 95 %.
function print.step(r, change)
  local list = {}
  local function add(part, happened, of)
    local row = {part, happened}
    for _, name in ipairs(CHANGED) do row[#row + 1] = change_cell(r, of["d_" .. name], name) end
    list[#list + 1] = row
  end
  for _, line in ipairs(change.greatest) do add(line.part, line.happened, line) end
  if change.rest then add(("+ %d smaller"):format(change.rest.lines), "", change.rest) end
  if change.lines == 0 then return {{"nothing", "", "", "", ""}} end
  local all = {"all", ""}
  for _, name in ipairs(CHANGED) do
    local sd, places = change.sd["d_" .. name], decimals(r, name, true)
    local shown = change_cell(r, change.total["d_" .. name], name)
    all[#all + 1] = sd and sd > 0 and shown .. text.plus_minus(0, sd, places):match " %+%-.*" or shown
  end
  list[#list + 1] = all
  return list
end

local function step_table(r)
  local headings, rows = {{"", "%s"}, {"changed", "%s"}, {"what happened", "%s"}}, {}
  for _, name in ipairs(CHANGED) do headings[#headings + 1] = {quantities.heading(quantities.by_name[name]), "%s"} end
  for i, row in ipairs(r.rows) do
    for k, cells in ipairs(row.change and print.step(r, row.change) or {}) do
      rows[#rows + 1] = {k == 1 and text.plain(i - 1) or "", table.unpack(cells)}
    end
  end
  return rows[1] and text.table(headings, rows)
end

--- How far a record is off the ledger of its day, in words.
function print.off(record) return record.sigmas and text.fixed(math.abs(record.sigmas), 1) or "-" end

local function record_table(r)
  local rows = {}
  for i, record in ipairs(r.records) do
    rows[i] = {record.date and record.date:match "^[^T]*" or "-", record.name, record.state or "-",
               record.headline or "cannot be worked out", print.off(record)}
  end
  return rows[1] and text.table({{"date", "%s"}, {"record", "%s"}, {"state", "%s"}, {"read", "%s"}, {"sigmas", "%s"}}, rows)
end

--- The page.
function print.page(r)
  local lines = {page.heading(r.heading), file_table(r)}
  local steps, records = step_table(r), record_table(r)
  if steps then
    lines[#lines + 1] = ("\nWhat changed at each step, the greatest lines by %s:"):format(quantities.by_name[r.by].label)
    lines[#lines + 1] = steps
  end
  if records then
    lines[#lines + 1] = "\nRecords, each beside the ledger of its day:"
    lines[#lines + 1] = records
  end
  return page.of(r, lines)
end

return print
