--- The picture of a trend: steps from file to file, their 95 %, limits of the latest file, and of the mass what it may still grow by.

local chart = require "steelyard.draw.chart"
local quantities = require "steelyard.reference.quantities"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local history = {}

local TALL = {96, 68} -- mm of a panel: of one, of two
local PAST = 0.06     -- of the time: the last step goes on
local BAR = 1.5       -- half the width of a bar, mm

-- Days since a fixed one, of a date as files are named by; of a month alone its first. Nil of other words.
local function days(date)
  local year, month, day = (date or ""):match "^(%d%d%d%d)%-(%d%d)%-?(%d*)$"
  if not year then return nil end
  local y, m, d = math.tointeger(year), math.tointeger(month), math.tointeger(day) or 1
  if m <= 2 then y, m = y - 1, m + 12 end -- years from March on have their odd day at the end
  return 365 * y + y // 4 - y // 100 + y // 400 + (153 * (m - 3) + 2) // 5 + d
end

-- Place of each row in time, and the axis: by date where all have one and time goes on, else one after the other.
local function times_of(r)
  local places, ticks, dated = {}, {}, true
  for i, row in ipairs(r.rows) do
    places[i] = days(row.date)
    dated = dated and places[i] ~= nil and (i == 1 or places[i] > places[i - 1])
  end
  for i, row in ipairs(r.rows) do
    if not dated then places[i] = i end
    ticks[i] = {places[i], row.date or row.file:match "[^/\\]*$"}
  end
  local first, last = places[1], places[#places]
  local axis = {from = first - PAST * (last - first), to = last + 2 * PAST * (last - first), ticks = ticks, named = true,
                name = not dated and "one after the other, not by date" or nil}
  return places, axis
end

-- Corners of steps: each holds until the next.
local function steps(places, axis, value)
  local points = {}
  for i, x in ipairs(places) do
    points[#points + 1] = {x, value(i)}
    points[#points + 1] = {places[i + 1] or axis.to, value(i)}
  end
  return points
end

local function limits_of(r, name)
  local last, list = r.rows[#r.rows], {}
  for _, rule in ipairs(r.limits or {}) do
    if rule.column == (last.date or last.file) or rule.column == last.file then list[#list + 1] = rule end
  end
  return studied.limits(list, name)
end

-- Least and greatest of what is drawn of a quantity, and whether the parts may still grow.
local function range_of(rows, name)
  local low, high, growing = math.huge, -math.huge, false
  for _, row in ipairs(rows) do
    local wide = text.K95 * (row.sd[name] or 0)
    low, high = math.min(low, row[name] - wide), math.max(high, row[name] + wide)
    if name == "mass" then
      high = math.max(high, row.mass_with_growth)
      growing = growing or row.mass_with_growth > row.mass
    end
  end
  return low, high, growing
end

local function plan_of(page, r, name, times)
  local q, last = quantities.by_name[name], r.rows[#r.rows]
  local low, high, growing = range_of(r.rows, name)
  local axis, shown = studied.axis_with(low, high, q.decimals, limits_of(r, name))
  axis.name = quantities.heading{label = words.noun(name), unit = q.unit}
  local ends, names = {{y = last[name], words = text.fixed(last[name], q.decimals), bold = true}}, {}
  if growing and last.mass_with_growth > last.mass then
    ends[2] = {y = last.mass_with_growth, words = ("%s with growth"):format(text.fixed(last.mass_with_growth, q.decimals))}
  end
  for _, limit in ipairs(shown) do ends[#ends + 1] = {y = limit.value, words = limit.words, colour = "grey"} end
  for i, one in ipairs(ends) do names[i] = one.words end
  return {left = page.left, right = page.right, x = times, y = axis, ends = names, ends_of = ends, limits = shown, name = name,
          growing = growing}
end

local function draw_band(p, rows, name, places, past)
  local points = {}
  for i, x in ipairs(places) do
    if not rows[i].sd[name] then return end
    local low, high = rows[i][name] - text.K95 * rows[i].sd[name], rows[i][name] + text.K95 * rows[i].sd[name]
    points[#points + 1] = {x, low, high}
    points[#points + 1] = {places[i + 1] or past, low, high}
  end
  p:band(points, "95 %")
end

local function panel(c, r, o, places, times, tall, y)
  o.top, o.bottom = y, y + tall
  local p, name, rows = chart.plan(c, o), o.name, r.rows
  draw_band(p, rows, name, places, times.to)
  p:axes{grid = true}
  for _, limit in ipairs(o.limits) do p:limit{y = limit.value, bad = limit.bad, what = "limit"} end
  p:line(steps(places, times, function(i) return rows[i][name] end), {weight = "wheel", what = "steps"})
  for i, x in ipairs(places) do
    if o.growing and rows[i].mass_with_growth > rows[i].mass then
      local at = p:x(x)
      c:box(at - BAR, p:y(rows[i].mass_with_growth), at + BAR, p:y(rows[i].mass), {weight = "body", fill = "white", what = "growth"})
    end
    p:dot(x, rows[i][name], {what = "file"})
  end
  p:ends(o.ends_of)
  return y + tall + 3
end

function history.draw(page, r)
  local places, times = times_of(r)
  local shown = r.by == "mass" and {"mass"} or {"mass", r.by}
  local labels, answer, first, last = {}, {}, r.rows[1], r.rows[#r.rows]
  for i, name in ipairs(shown) do
    local q = quantities.by_name[name]
    labels[i] = words.noun(name)
    answer[i] = {words.noun(name), words.value(last[name], last.sd[name], q.decimals, q.unit ~= "" and q.unit or nil)}
  end
  local title = ("%s from file to file"):format(studied.title(text.join(labels)))
  local lines = {"Tinted: 95\u{A0}%. Open bars: what unfinished parts may still grow by."}
  if last.most then
    lines[2] = ("Since %s: %s, mostly %s, %s."):format(r.rows[#r.rows - 1].date or "the file before", text.count(last.changed, "line"),
      last.most.part, words.sentence(last.most.happened))
  end
  local y = sheet.heading(page, {title = title, state = r.heading or first.title, lines = lines, answer = answer})
  local plans = {}
  for i, name in ipairs(shown) do plans[i] = plan_of(page, r, name, times) end
  chart.align(plans)
  for _, o in ipairs(plans) do y = panel(page.canvas, r, o, places, times, TALL[#shown], y + 1) end
  return y - 2, {notes = studied.notes(r), words = title}
end

return history
