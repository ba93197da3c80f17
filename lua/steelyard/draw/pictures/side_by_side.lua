--- The picture of cars or drivers side by side: for each quantity what it is with the first one, and how far it changes with the others.

local bars = require "steelyard.draw.bars"
local canvas = require "steelyard.draw.canvas"
local figures = require "steelyard.print.figures"
local isolated = require("steelyard.draw.svg").isolated
local quantities = require "steelyard.reference.quantities"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local side_by_side = {}

local SIZES = canvas.sizes
local MOST, NARROW_MOST = 12, 6 -- quantities that have a panel
local BETWEEN = 8               -- mm between two panels
local LETTERS = 26
local CARS, NARROW_CARS = 12, 8 -- or drivers: the most that have a row
local NAMES = 0.36              -- of a panel: the most that a name takes before it is a letter

-- ---- what is shown ------------------------------------------------------------------------------------------------------------------

-- Of a driver: {field, name of the quantity}.
local driven = {{"car_mass", "mass"}, {"front_share", "front_share"}, {"left_share", "left_share"}, {"height", "height"},
                {"cross_share", "corners.cross_share"}}

local function of_drivers(r)
  local shown = {columns = {}, rows = {}, what = "drivers", first = r.drivers[1].name}
  for i, who in ipairs(r.drivers) do
    shown.columns[i] = ("%s, %s\u{A0}kg"):format(isolated(who.name), text.plain(who.mass))
  end
  for _, pair in ipairs(driven) do
    local q = quantities.find(pair[2])
    local row = {name = pair[2], unit = q.unit, values = {}, changes = {}, sd = {}, decimals = figures.decimals(r, q.unit, q.decimals),
                 change_decimals = figures.decimals(r, q.unit, q.change)}
    for i, who in ipairs(r.drivers) do
      local value, base = who[pair[1]], r.drivers[1][pair[1]]
      row.values[i], row.changes[i] = value or "unknown", value and base and value - base or "unknown"
    end
    if r.drivers[1][pair[1]] then shown.rows[#shown.rows + 1] = row end
  end
  return shown
end

local function of_cars(r)
  local shown = {columns = {}, rows = {}, what = "cars", first = isolated(r.columns[1])}
  for i, name in ipairs(r.columns) do shown.columns[i] = isolated(name) end
  for _, row in ipairs(r.rows) do
    if not row.words then shown.rows[#shown.rows + 1] = row end
  end
  return shown
end

-- Of a column and a quantity: FAIL where a limit is broken.
local function failing(r, shown)
  local fails = {}
  for _, row in ipairs(r.limits or {}) do
    if row.status == "fail" then
      for i, name in ipairs(shown.what == "cars" and r.columns or {}) do
        if row.column == name and not row.state then fails[row.quantity .. "\0" .. i] = true end
      end
      for i, who in ipairs(rawget(r, "drivers") or {}) do
        if row.column == who.name and not row.state then fails[row.quantity .. "\0" .. i] = true end
      end
    end
  end
  for _, row in ipairs(shown.rows) do
    for i, verdict in ipairs(row.verdicts or {}) do
      if verdict:find "^FAIL" then fails[row.name .. "\0" .. i] = true end
    end
  end
  return fails
end

local function is_number(x) return type(x) == "number" and x == x and x - x == 0 end

-- Does a car differ in what is printed?
local function differs(row, i)
  local change = row.changes[i]
  return i > 1 and is_number(change) and text.fixed(change, row.change_decimals):find "[1-9]" ~= nil
end

-- Is a row printed the same in all columns, or known in none?
local function level(row)
  for i = 1, #row.values do
    if differs(row, i) or type(row.values[i]) ~= type(row.values[1]) then return false end
  end
  return true
end

local function value_of(row, i)
  local value = row.values[i]
  return is_number(value) and words.set(text.fixed(value, row.decimals), row.unit ~= "" and row.unit or nil) or "unknown"
end

local function change_of(row, i)
  local change, sd = row.changes[i], row.sd[i]
  if i == 1 then return "" end
  if not is_number(change) then return "unknown" end
  if not differs(row, i) then return "same" end
  local shown = text.signed(change, row.change_decimals)
  return words.set(sd and sd > 0 and shown .. text.plus_minus(0, sd, row.change_decimals):match " .*" or shown)
end

-- ---- on the paper -----------------------------------------------------------------------------------------------------------------

-- Names of the columns as rows of a panel so wide have them, and a sentence for letters where one is too long.
local function names_of(shown, wide)
  local short = true
  for _, name in ipairs(shown.columns) do short = short and canvas.width_of(name, SIZES.text) <= NAMES * wide end
  if short then return shown.columns end
  local names, list = {shown.columns[1]}, {}
  for i = 2, #shown.columns do
    names[i] = i <= LETTERS + 1 and string.char(63 + i) or text.plain(i)
    list[#list + 1] = ("%s: %s"):format(names[i], shown.columns[i])
  end
  return names, text.sentence(table.concat(list, "; "))
end

local function panel(c, work, row, box)
  local low, high, list = 0, 0, {}
  for i = 1, #work.names do
    local change, bad = row.changes[i], work.fails[row.name .. "\0" .. i]
    if is_number(change) then low, high = math.min(low, change), math.max(high, change) end
    list[i] = {words = bad and work.names[i] .. " FAIL" or work.names[i], under = value_of(row, i), value = change_of(row, i),
               colour = bad and "fail" or nil,
               bars = differs(row, i) and {{from = 0, to = change, fill = change >= 0 and "ink" or "white",
                                                        what = ("change %d of %s"):format(i, row.name)}} or {}}
  end
  local noun = words.noun(row.name, row.label)
  c:text(box.left, box.top + 3, canvas.cut(studied.title(noun), box.right - box.left, SIZES.text, true), {bold = true})
  local unit = row.unit ~= "" and ", " .. row.unit or ""
  local _, lower = bars.draw(c, {left = box.left, right = box.right, top = box.top + 4.5, rows = list, share = 0.45,
    value = "change" .. unit, axis = {from = low, to = high, least = 4 * 10.0 ^ -row.change_decimals}})
  return lower
end

local function heading_of(r, shown, says)
  local lines = {("Bars: change from the first, %s; solid: more, open: less. Each has a scale of its own."):format(shown.first)}
  if says then lines[2] = says end
  local broken = 0
  for _ in pairs(shown.fails) do broken = broken + 1 end
  local answer = broken > 0 and {{"limits broken", text.plain(broken), colour = "fail"}} or {}
  return {title = ("%d %s side by side"):format(shown.all, shown.what), state = r.heading, lines = lines, answer = answer}
end

function side_by_side.draw(page, r)
  local shown = rawget(r, "drivers") and of_drivers(r) or of_cars(r)
  shown.fails = failing(r, shown)
  local says, drawn, left_out = {}, {}, 0
  for _, row in ipairs(shown.rows) do
    if level(row) then
      says[#says + 1] = ("%s: %s"):format(words.noun(row.name, row.label),
                                         is_number(row.values[1]) and value_of(row, 1) .. " in all" or "unknown")
    elseif #drawn < (page.narrow and NARROW_MOST or MOST) then drawn[#drawn + 1] = row
    else left_out = left_out + 1 end
  end
  local beside = page.narrow and 1 or 2
  local wide = (page.right - page.left - (beside - 1) * BETWEEN) / beside
  local most = page.narrow and NARROW_CARS or CARS
  shown.all = #shown.columns
  shown.columns = table.move(shown.columns, 1, math.min(shown.all, most), 1, {})
  local names, letters = names_of(shown, wide)
  local work = {names = names, fails = shown.fails}
  local y = sheet.heading(page, heading_of(r, shown, letters)) + 1
  local lower = y
  for i, row in ipairs(drawn) do
    local left = page.left + (i - 1) % beside * (wide + BETWEEN)
    lower = math.max(lower, panel(page.canvas, work, row, {left = left, right = left + wide, top = y}))
    if i % beside == 0 or i == #drawn then y = lower + 3 end
  end
  for i, one in ipairs(says) do says[i] = text.sentence(one) end
  y = sheet.sentences(page, y - 2, says) + 2
  local few = shown.all > most and {("the first %d of %d %s are drawn"):format(most, shown.all, shown.what)} or {}
  local notes = left_out > 0 and {("%s not drawn"):format(text.count(left_out, "quantity is", "quantities are"))} or {}
  table.move(few, 1, #few, #notes + 1, notes)
  return y, {notes = studied.notes(r, notes), words = ("%s side by side"):format(shown.what)}
end

return side_by_side
