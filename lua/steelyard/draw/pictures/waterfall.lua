--- The picture of what changed: a bar for each line from where the one before left off, in order of size, and the whole change below.

local bars = require "steelyard.draw.bars"
local figures = require "steelyard.print.figures"
local isolated = require("steelyard.draw.svg").isolated
local quantities = require "steelyard.reference.quantities"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local waterfall = {}

local MOST, NARROW_MOST = 14, 10 -- lines that have a bar of their own
local usual = {"mass", "front_share", "height", "left_share", "yaw_inertia"}

-- What the picture is of: what the lines were sorted by, else the first quantity that changed.
local function quantity_of(r)
  if rawget(r, "by") then return r.by end
  for _, name in ipairs(usual) do
    for _, row in ipairs(r.rows) do if row["d_" .. name] ~= 0 then return name end end
  end
  return usual[1]
end

-- Lines by size, what is printed as nothing or has no room together: rows {words, under, change}.
local function lines_of(r, key, decimals, most)
  local sorted, rows, rest, count, rest_moved = {}, {}, 0, 0, false
  for i, row in ipairs(r.rows) do sorted[i] = {row = row, size = math.abs(row[key]), order = i} end
  table.sort(sorted, function(a, b)
    if a.size ~= b.size then return a.size > b.size end
    return a.order < b.order
  end)
  for _, entry in ipairs(sorted) do
    local row = entry.row
    if #rows < most and entry.size * 10 ^ decimals >= 0.5 then
      rows[#rows + 1] = {words = isolated(row.part), under = words.sentence(row.happened), change = row[key]}
    else
      rest, count, rest_moved = rest + row[key], count + 1, rest_moved or row[key] ~= 0
    end
  end
  if rest_moved then
    rows[#rows + 1] = {words = ("+ %s"):format(text.count(count, "smaller line")), under = "together", change = rest}
  end
  return rows
end

-- Bars from where the one before left off: solid up, open down.
local function bars_of(rows, decimals, total, sd)
  local at, low, high = 0, 0, 0
  for i, row in ipairs(rows) do
    row.from, row.to = at, at + row.change
    row.bars = {{from = row.from, to = row.to, fill = row.change >= 0 and "ink" or "white", what = "line " .. i}}
    row.value = words.set(text.signed(row.change, decimals))
    at = row.to
    low, high = math.min(low, at), math.max(high, at)
  end
  local known = sd and sd > 0 and ("±\u{A0}%s"):format(text.fixed(text.K95 * sd, decimals))
  rows[#rows + 1] = {words = "all changes", under = known or "the sum",
    value = words.set(text.signed(total, decimals)), bold = true, bars = {{from = 0, to = total, fill = "accent", what = "sum"}}}
  return math.min(low, total), math.max(high, total)
end

-- Where a line leaves off the next one begins.
local function join(c, b, rows)
  for i = 1, #rows - 1 do
    local x = b.x(rows[i].to)
    c:line(x, b.rows[i] + 1.5, x, b.rows[i + 1] - 1.5, {weight = "hair", colour = "grey", what = "joint", only_on_paper = true})
  end
end

-- Of two files their names; of cars of one file what was done to each.
local function state_of(r)
  local heading = r.heading:gsub("[^ ]*[/\\]", "")
  local _, last = heading:find(r.state .. ": ", 1, true)
  if not last then return heading end
  local car, old, new = heading:sub(1, last - 2), heading:sub(last + 1):match "^(.-), then (.*)$"
  local function own(label)
    if label == car then return "as booked" end
    return label:sub(1, #car + 2) == car .. ", " and label:sub(#car + 3) or label
  end
  if not old then return heading end
  return ("%s: %s, then %s"):format(car, own(old), own(new))
end

function waterfall.draw(page, r)
  local name = quantity_of(r)
  local key, q, c = "d_" .. name, quantities.by_name[name], page.canvas
  local decimals, change = figures.decimals(r, q.unit, q.decimals), figures.decimals(r, q.unit, q.change)
  local title = ("What changed %s"):format(words.nouns{name})
  local function with_unit(shown) return words.set(shown, q.unit ~= "" and q.unit or nil) end
  local total = words.value(r.total[key], r.sd[key], change, q.unit ~= "" and q.unit or nil)
  local y = sheet.heading(page, {title = title, state = state_of(r),
    lines = {"Each line begins where the one before left off. Solid: more; open: less.", "The lines add up to the change."},
    answer = {{"before", with_unit(text.fixed(r.before[name], decimals))}, {"after", with_unit(text.fixed(r.after[name], decimals))},
              {"change", r.total[key] > 0 and "+" .. total or total}}}) + 2
  local notes = table.move(r.questions, 1, #r.questions, 1, {})
  notes = studied.notes(r, notes)
  if #r.rows == 0 then
    c:text(page.left, y + 4, "Nothing has changed.")
    return y + 8, {notes = notes, words = title}
  end
  local rows = lines_of(r, key, change, page.narrow and NARROW_MOST or MOST)
  local low, high = bars_of(rows, change, r.total[key], r.sd[key])
  local b, lower = bars.draw(c, {left = page.left, right = page.right, top = y, rows = rows, share = 0.5, name = "line",
    value = q.unit ~= "" and q.unit or "change",
    axis = {from = low, to = high, least = 4 * 10.0 ^ -change,
            name = quantities.heading{label = "change of " .. words.nouns{name}, unit = q.unit}}})
  join(c, b, rows)
  return lower, {notes = notes, words = title}
end

return waterfall
