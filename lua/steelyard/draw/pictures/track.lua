--- The picture of a history: mass, front share, CG height and cross weight under one another on one axis of dates, file by file, with what
-- scales said in between; each change is numbered above them and listed beneath.

local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local figures = require "steelyard.print.figures"
local isolated = require("steelyard.draw.svg").isolated
local quantities = require "steelyard.reference.quantities"
local rows = require "steelyard.draw.rows"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local timeline = require "steelyard.draw.timeline"
local track_print = require "steelyard.measure.track.print"
local words = require "steelyard.draw.words"

local track = {}

local SIZES = canvas.sizes
local PANELS = {"mass", "front_share", "height", "cross_share"}
local TALL, DATES = 40, 4.6  -- mm of a panel, and more for the dates below the last one
local MOST_NUMBERS = {wide = 12, narrow = 4} -- of changes: labels of a view, which has some besides
local NUMBERS = 5.4          -- mm: of the row of numbers above the first
local APART = 4.4            -- mm between numbers
local WHISKER = 0.9          -- half the width of the end of a 95 % line, mm
local MOST_STEPS = 24        -- listed beneath
local NAME = 0.3             -- of the width: the most that the name of a record takes
local FEW_STEPS = 8          -- of more, only the greatest line of each

-- ---- the axis of dates ------------------------------------------------------------------------------------------------------------

-- Places of files and of records, and the axis that has both; ticks at the files.
local function times_of(r)
  local files, records, ticks, low, high = {}, {}, {}, math.huge, -math.huge
  local function put(list, i, date)
    list[i] = timeline.days(date) or timeline.days(("%s-01"):format(date)) -- of a year alone its first day
    low, high = math.min(low, list[i]), math.max(high, list[i])
  end
  for i, row in ipairs(r.rows) do
    put(files, i, row.date)
    ticks[i] = {files[i], row.date:match "^[^T]*"}
  end
  for i, record in ipairs(r.records) do
    if record.placed then put(records, i, record.date) end
  end
  return files, records, timeline.axis(low, high, ticks)
end

-- ---- panels ---------------------------------------------------------------------------------------------------------------------------

-- Least and greatest of what records say of a quantity, with their 95 %.
local function read_range(r, name)
  local low, high = math.huge, -math.huge
  for _, record in ipairs(r.records) do
    if record[name] then
      local wide = text.K95 * (record.sd[name] or 0)
      low, high = math.min(low, record[name] - wide), math.max(high, record[name] + wide)
    end
  end
  return low <= high and {low, high} or nil
end

local function draw_records(p, r, name, places)
  local c = p.canvas
  for i, record in ipairs(r.records) do
    if places[i] and record[name] then
      local x, wide = p:x(places[i]), text.K95 * (record.sd[name] or 0)
      if wide > 0 then
        local up, down = p:y(record[name] + wide), p:y(record[name] - wide)
        c:line(x, up, x, down, {weight = "body", what = "95 % read"})
        for _, y in ipairs{up, down} do
          c:line(x - WHISKER, y, x + WHISKER, y, {weight = "body", what = "95 % read", only_on_paper = true})
        end
      end
      p:dot(places[i], record[name], {what = "record"})
    end
  end
end

-- Upright lines where files begin, through a panel.
local function draw_begins(p, places)
  for i = 2, #places do
    local x = p:x(places[i])
    p.canvas:line(x, p.top, x, p.bottom, {weight = "hair", colour = "pale", what = "begins", only_on_paper = true})
  end
end

-- The number of each change above the first panel, spread where they would touch, with a leader to its date.
local function draw_numbers(p, places, most)
  local c, wanted, y = p.canvas, {}, p.top - NUMBERS + 1.6
  local changes = #places - 1
  local every = math.max(1, math.ceil(changes * APART / (p.right - p.left)), math.ceil(changes / most)) -- every second, third ...
  for i = (changes - 1) % every + 1, changes, every do wanted[#wanted + 1] = p:x(places[i + 1]) end
  local at = chart.spread(wanted, APART, p.left, p.right)
  for i, x in ipairs(at) do
    c:text(x, y, text.plain(changes - (#at - i) * every), {anchor = "middle", bold = true, label = true, size = SIZES.small})
    c:path({{x, y + 0.9}, {wanted[i], p.top}}, {weight = "hair", colour = "grey", what = "leader", only_on_paper = true})
  end
end

local function draw_panels(page, r, names, y)
  local files, records, times = times_of(r)
  local plans, silent = {}, {}
  for key, value in pairs(times) do silent[key] = value end
  silent.silent = true
  for i, name in ipairs(names) do
    plans[i] = timeline.plan(page, r, name, i == #names and times or silent, read_range(r, name))
  end
  chart.align(plans)
  for i, o in ipairs(plans) do
    local numbered = i == 1 and #files > 1
    local p = timeline.panel(page.canvas, r, o, files, TALL + (i == #plans and DATES or 0), y + 1,
                             {hollow = true, above = numbered and NUMBERS or 0})
    draw_begins(p, files)
    draw_records(p, r, o.name, records)
    if numbered then draw_numbers(p, files, page.narrow and MOST_NUMBERS.narrow or MOST_NUMBERS.wide) end
    y = o.bottom + 2
  end
  return y
end

-- ---- what is listed beneath ------------------------------------------------------------------------------------------------------------

local COLUMNS = {"mass", "front_share", "height"}
local SHORT = {mass = "kg", front_share = "front, %", height = "CG, mm"}

local function heading(page, name) return page.narrow and SHORT[name] or quantities.heading(quantities.by_name[name]) end

local function happened(cells)
  if cells[2] == "" then return cells[1] end
  return ("%s, %s"):format(isolated(cells[1]), words.sentence(cells[2]))
end

local function list_changes(page, r, y)
  local columns, list, steps = {{""}, {"since", left = true}, {"what changed", left = true, gives = true}}, {}, #r.rows - 1
  for _, name in ipairs(COLUMNS) do columns[#columns + 1] = {heading(page, name)} end
  for i = math.max(2, #r.rows - MOST_STEPS + 1), #r.rows do
    local row = r.rows[i]
    local cells = track_print.step(r, row.change)
    local function add(first, second, of, bold)
      local line = {{first, bold = bold}, second, {happened(of), bold = bold}}
      for k = 3, #of do line[#line + 1] = {words.set((of[k]:gsub(" %+%-.*", ""))), bold = bold} end
      list[#list + 1] = line
    end
    local last = cells[#cells]
    add(text.plain(i - 1), row.date:match "^[^T]*", {text.count(row.change.lines, "line"), "", table.unpack(last, 3)}, true)
    for k = 1, math.min(#cells - 1, steps > FEW_STEPS and 1 or #cells) do add("", "", cells[k]) end
  end
  return rows.draw(page.canvas, y, columns, list, {left = page.left, right = page.right})
end

local function list_records(page, r, y)
  local columns = {{"read on", left = true}, {"record", left = true}, {"read", left = true, gives = true}, {"sigmas"}}
  local most = NAME * (page.right - page.left)
  local list = {}
  for i, record in ipairs(r.records) do
    list[i] = {record.date and record.date:match "^[^T]*" or "-",
               canvas.cut(isolated(record.state and not page.narrow and ("%s, %s"):format(record.name, record.state) or record.name), most,
                          SIZES.small),
               words.sentence(record.headline or "cannot be worked out"), track_print.off(record)}
  end
  return rows.draw(page.canvas, y, columns, list, {left = page.left, right = page.right})
end

-- ---- the page -----------------------------------------------------------------------------------------------------------------------

local function answer_of(r, names)
  local last, answer = r.rows[#r.rows], {}
  for i, name in ipairs(names) do
    local q = quantities.by_name[name]
    if i <= 3 then answer[i] = {q.label, words.value(last[name], last.sd[name], figures.decimals(r, q.unit, q.decimals), q.unit)} end
  end
  return answer
end

local function lines_of(r)
  local placed, assumed = false, false
  for _, record in ipairs(r.records) do placed = placed or record.placed end
  for _, row in ipairs(r.rows) do assumed = assumed or row.cross_assumed end
  local lines = {"Steps and open dots: the ledger, file by file; tinted: its 95\u{A0}%. Open bars: what parts may still grow by."}
  if placed then lines[2] = "Solid dots: what scales said, with their 95\u{A0}%. Sigmas: how far that is off the ledger of its day." end
  if assumed then lines[#lines + 1] = "A cross weight that nobody measured is assumed: its steps are what the files ask for." end
  return lines
end

function track.draw(page, r)
  local names = {}
  for _, name in ipairs(PANELS) do
    local all = true
    for _, row in ipairs(r.rows) do all = all and row[name] ~= nil end
    if all then names[#names + 1] = name end
  end
  local title = "The car from file to file"
  local y = sheet.heading(page, {title = title, state = r.heading, lines = lines_of(r), answer = answer_of(r, names)})
  y = draw_panels(page, r, names, y)
  local first = {}
  if #r.rows > 1 then y = list_changes(page, r, y + 1) + 2 end
  if #r.rows - 1 > MOST_STEPS then first[1] = ("the last %d of %d changes are listed"):format(MOST_STEPS, #r.rows - 1) end
  if #r.records > 0 then y = list_records(page, r, y + 1) + 2 end
  return y, {notes = studied.notes(r, first), words = title}
end

return track
