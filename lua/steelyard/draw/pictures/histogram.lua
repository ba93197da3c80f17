--- The picture of a simulation: how often each answer comes out, its 95 % as drawn, and first order beside it.

local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local marks = require "steelyard.draw.marks"
local quantities = require "steelyard.reference.quantities"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local histogram = {}

local SIZES = canvas.sizes
local OVER = 1.3         -- times the highest bar: room for the dimension over it
local BARS = 48          -- about so many
local WIDE = 3.6         -- standard deviations to both sides
local TALL = {84, 58, 48} -- mm of a panel: of one, of two, of more
local MOST_PANELS = 6
local CURVE = 60         -- points of the normal curve

-- Bars {from, to, share of draws in %}, each of some of the bins.
local function bars_of(q)
  local h, all = q.histogram, 0
  local n = #h.counts
  local width = (h.to - h.from) / n
  for i = 1, n do all = all + h.counts[i] end
  all = all + h.under + h.over
  local from, to = math.max(h.from, q.mean - WIDE * q.sd), math.min(h.to, q.mean + WIDE * q.sd)
  local each = math.max(1, math.floor((to - from) / width / BARS + 0.5))
  local first = math.max(0, math.floor((from - h.from) / width / each)) * each
  local list = {}
  for k = first, n - 1, each do
    if h.from + k * width >= to then break end
    local sum = 0
    for i = k + 1, math.min(n, k + each) do sum = sum + h.counts[i] end
    list[#list + 1] = {h.from + k * width, h.from + (k + each) * width, 100 * sum / all}
  end
  return list
end

-- The outline of all bars as one loop.
local function outline(p, bars)
  local loop = {{p:x(bars[1][1]), p:y(0)}}
  for _, bar in ipairs(bars) do
    loop[#loop + 1] = {p:x(bar[1]), p:y(bar[3])}
    loop[#loop + 1] = {p:x(bar[2]), p:y(bar[3])}
  end
  loop[#loop + 1] = {p:x(bars[#bars][2]), p:y(0)}
  return loop
end

-- The bars that lie in the 95 %.
local function inner(bars, low, high)
  local list = {}
  for _, bar in ipairs(bars) do
    local from, to = math.max(bar[1], low), math.min(bar[2], high)
    if from < to then list[#list + 1] = {from, to, bar[3]} end
  end
  return list
end

-- The normal curve of first order, in % of draws a bar.
local function curve(q, from, to, width)
  local points = {}
  for i = 0, CURVE do
    local x = from + (to - from) * i / CURVE
    local z = (x - q.first_order) / q.first_order_sd
    points[i + 1] = {x, 100 * width / q.first_order_sd / math.sqrt(2 * math.pi) * math.exp(-z * z / 2)}
  end
  return points
end

local function probability_words(q, one, decimals)
  local side, value = one.below and "below" or "above", one.below or one.above
  local p = one.at_most and "under " .. text.plain(100 * one.at_most) or text.fixed(100 * one.p, 1)
  return ("%s %s: %s\u{A0}%%"):format(side, words.set(text.fixed(value, decimals), q.unit ~= "" and q.unit or nil), p)
end

-- The 95 % of the draws as a dimension over the bars, between lines up from its ends.
local function draw_interval(p, page, q, level, decimals)
  local c, x1, x2, y = p.canvas, p:x(q.p2_5), p:x(q.p97_5), p:y(level)
  for _, x in ipairs{x1, x2} do
    c:line(x, p.bottom, x, y - 1, {weight = "fine", colour = "grey", dash = "dotted", what = "95 %", only_on_paper = true})
  end
  local shown = ("95\u{A0}%%: %s to %s"):format(words.set(text.fixed(q.p2_5, decimals)),
    words.set(text.fixed(q.p97_5, decimals), q.unit ~= "" and q.unit or nil))
  marks.dimension(c, x1, x2, y, shown, {left = page.left, right = page.right, bold = true, what = "interval"})
end

-- The name of the quantity with what is asked of it, and why first order differs; gives the y below.
local function draw_heading(page, q, known, decimals, y)
  local c, asked = page.canvas, {}
  for i, one in ipairs(q.probability or {}) do asked[i] = probability_words(q, one, decimals) end
  local value = words.value(q.mean, q.sd, decimals, q.unit ~= "" and q.unit or nil)
  local name = ("%s: %s"):format(studied.title(words.noun(known.name)), value)
  c:text(page.left, y + 3, name, {bold = true, size = SIZES.state})
  if #asked > 0 then
    local shown = table.concat(asked, ", ")
    local fits = canvas.width_of(name, SIZES.state, true) + canvas.width_of(shown, SIZES.state) + 4 <= page.right - page.left
    if not fits then y = y + sheet.LINE end
    c:text(page.right, y + 3, canvas.cut(shown, page.right - page.left, SIZES.state), {size = SIZES.state, anchor = "end"})
  end
  if q.agrees == false then
    for _, line in ipairs(canvas.wrap(text.sentence(q.why), page.right - page.left, SIZES.text, false, 2)) do
      y = y + sheet.LINE
      c:text(page.left, y + 3, line, {colour = "grey"})
    end
  end
  return y + 5
end

local function panel(page, r, name, tall, y)
  local q, known, c = r.quantities[name], quantities.limited(name), page.canvas
  local decimals = figures.decimals(r, q.unit, known.decimals)
  if not q.sd or q.sd == 0 then
    local why = q.mean and words.set(text.fixed(q.mean, decimals), q.unit) .. " in all draws" or "no draw has an answer"
    c:text(page.left, y + 3, ("%s: %s"):format(studied.title(words.noun(name)), why))
    return y + 6
  end
  local bars, most = bars_of(q), 0
  if #bars == 0 then
    core.fail{code = "unavailable", field = "show", message = ("the draws of %s have no width: there is no histogram"):format(name)}
  end
  local top = draw_heading(page, q, known, decimals, y)
  for _, bar in ipairs(bars) do most = math.max(most, bar[3]) end
  local width, from, to = bars[1][2] - bars[1][1], bars[1][1], bars[#bars][2]
  local first_order = q.first_order_sd and q.first_order_sd > 0 and curve(q, from, to, width)
  for _, point in ipairs(first_order or {}) do most = math.max(most, point[2]) end
  local p = chart.plan(c, {left = page.left, right = page.right, top = top, bottom = top + tall,
    x = {from = from, to = to, exact = true, name = quantities.heading{label = words.noun(name), unit = q.unit}},
    y = {from = 0, to = most * OVER, exact = true}})
  c:loops({outline(p, inner(bars, q.p2_5, q.p97_5))}, {fill = canvas.tints[2], what = "inner"})
  c:loops({outline(p, bars)}, {weight = "fine", what = "draws"})
  for _, one in ipairs(q.probability or {}) do
    p:limit{x = one.below or one.above, bad = one.below and "below" or "above", what = "asked",
            top = p:y(most * 1.05) + 1}
  end
  if first_order then p:line(first_order, {weight = "wheel", colour = "accent", dash = "dashed", what = "first order"}) end
  draw_interval(p, page, q, most * 1.05, decimals)
  p:axes()
  return top + tall
end

function histogram.draw(page, r)
  studied.check_whole(r)
  local shown = math.min(#r.names, MOST_PANELS)
  local title = ("How far off %s may be"):format(words.nouns(r.names))
  local n = rawget(r, "n_done") or r.draws
  local lines = {("%s draws of all stated errors%s. Upright: %% of them in a bar; tinted: the middle 95\u{A0}%%."):format(
    text.grouped(math.tointeger(n)), r.growth and " and growth allowances" or ""), "Dashed: first order, as every page has it."}
  local y = sheet.heading(page, {title = title, state = r.heading, lines = lines, answer = {}})
  for i = 1, shown do y = panel(page, r, r.names[i], TALL[math.min(#TALL, #r.names)], y + 1) + 3 end
  return y - 2, {notes = studied.notes(r, studied.left_out(shown, #r.names)), words = title}
end

return histogram
