--- What pictures of a car over its files share: dates as places, steps that hold until the next file, their 95 %, limits of the latest
-- file, and of the mass what it may still grow by.
--
-- r is a result with rows {date =, file =, [quantity] =, sd =, mass_with_growth =} in order of time and limits with the `column` of each.

local chart = require "steelyard.draw.chart"
local quantities = require "steelyard.reference.quantities"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"

local timeline = {}

local BAR = 1.5       -- half the width of a bar, mm
timeline.PAST = 0.06  -- of the time: the last step goes on

--- Days since a fixed one, of a date as files are named by; of a month alone its first. Nil of other words.
function timeline.days(date)
  local year, month, day = (date or ""):match "^(%d%d%d%d)%-(%d%d)%-?(%d*)"
  if not year then return nil end
  local y, m, d = math.tointeger(year), math.tointeger(month), math.tointeger(day) or 1
  if m <= 2 then y, m = y - 1, m + 12 end -- years from March on have their odd day at the end
  return 365 * y + y // 4 - y // 100 + y // 400 + (153 * (m - 3) + 2) // 5 + d
end

--- The axis of time from one place to another with a tick at each row.
function timeline.axis(from, to, ticks)
  local span = to > from and to - from or 1
  return {from = from - timeline.PAST * span, to = to + 2 * timeline.PAST * span, ticks = ticks, named = true}
end

--- Corners of steps: each holds until the next.
function timeline.steps(places, axis, value)
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

--- What a panel of a quantity needs, before it has a place. also: {low, high}, what else is to be on it.
function timeline.plan(page, r, name, times, also)
  local q, last = quantities.by_name[name], r.rows[#r.rows]
  local low, high, growing = range_of(r.rows, name)
  if also then low, high = math.min(low, also[1]), math.max(high, also[2]) end
  local axis, shown = studied.axis_with(low, high, q.decimals, limits_of(r, name))
  axis.name = quantities.heading(q)
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

--- Draws a planned panel from y down, `tall` mm, and gives its plot. look.hollow: dots are open; look.above: mm that stay free between the
-- name of its axis and the plot.
function timeline.panel(c, r, o, places, tall, y, look)
  look = look or {}
  o.top, o.bottom = y, y + tall + (look.above or 0)
  local p, name, rows = chart.plan(c, o), o.name, r.rows
  p.top = p.top + (look.above or 0)
  draw_band(p, rows, name, places, o.x.to)
  p:axes{grid = true}
  for _, limit in ipairs(o.limits) do p:limit{y = limit.value, bad = limit.bad, what = "limit"} end
  p:line(timeline.steps(places, o.x, function(i) return rows[i][name] end), {weight = "wheel", what = "steps"})
  for i, x in ipairs(places) do
    if o.growing and rows[i].mass_with_growth > rows[i].mass then
      local at = p:x(x)
      c:box(at - BAR, p:y(rows[i].mass_with_growth), at + BAR, p:y(rows[i].mass), {weight = "body", fill = "white", what = "growth"})
    end
    p:dot(x, rows[i][name], {what = "file", hollow = look.hollow})
  end
  p:ends(o.ends_of)
  return p
end

return timeline
