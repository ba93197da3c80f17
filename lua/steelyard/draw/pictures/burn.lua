--- The picture of a stint: each quantity as the fuel burns and drivers change, its mean, and the car to set up. Of the rows of a burn
-- alone, which have neither, what there is.

local axis = require "steelyard.draw.axis"
local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local isolated = require("steelyard.draw.svg").isolated
local quantities = require "steelyard.reference.quantities"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local burn = {}

local SIZES = canvas.sizes
local TALL = {92, 62, 48} -- mm of a panel: of one, of two, of more
local MOST_PANELS = 6
local RING = 1.9

-- Of a row of a burn: {field, name of the quantity}.
local fields = {{"front_share", "front_share"}, {"left_share", "left_share"}, {"height", "height"}, {"mass", "mass"},
                {"cross_share", "corners.cross_share"}}

-- What is drawn, of either kind: {rows = list of {litres, driver, values by name}, names, lowest and highest by name, mean and reached by
-- name or nil, tank, from, to}.
local function burnt_of(r)
  if rawget(r, "names") then
    local lowest, highest = {}, {}
    for _, name in ipairs(r.names) do lowest[name], highest[name] = r.lowest[name].value, r.highest[name].value end
    return {rows = r.rows, names = r.names, lowest = lowest, highest = highest, mean = r.mean, reached = r.reached, tank = r.tank,
            from = r.from, to = r.to}
  end
  local b = {rows = {}, names = {}, lowest = {}, highest = {}, tank = r.tank, from = r.stint[1].litres, to = r.stint[#r.stint].litres}
  for i, line in ipairs(r.stint) do b.rows[i] = {litres = line.litres, values = {}} end
  for _, pair in ipairs(fields) do
    local field, name = pair[1], pair[2]
    if r.stint[1][field] then
      b.names[#b.names + 1], b.lowest[name], b.highest[name] = name, math.huge, -math.huge
      for i, line in ipairs(r.stint) do
        b.rows[i].values[name] = line[field]
        b.lowest[name], b.highest[name] = math.min(b.lowest[name], line[field]), math.max(b.highest[name], line[field])
      end
    end
  end
  return b
end

-- Rows of each driver in turn: list of {driver, rows}.
local function turns_of(rows)
  local list = {}
  for _, row in ipairs(rows) do
    local last = list[#list]
    if not last or last.driver ~= row.driver then
      last = {driver = row.driver, rows = {}}
      list[#list + 1] = last
    end
    table.insert(last.rows, row)
  end
  return list
end

-- From the litres at the start down to those at the end.
local function litres_axis(b)
  local scale, ticks = axis.scale(b.to, b.from, {exact = true}), {}
  for i = #scale.ticks, 1, -1 do ticks[#ticks + 1] = {scale.ticks[i], text.fixed(scale.ticks[i], scale.decimals)} end
  return {from = b.from, to = b.to, ticks = ticks, named = true, name = ("litres in %s, as it burns"):format(isolated(b.tank))}
end

-- Who drives, above the first panel, and a line where they change.
local function draw_turns(p, turns, named, y)
  local c = p.canvas
  for i, turn in ipairs(turns) do
    local x1, x2 = p:x(turn.rows[1].litres), p:x(turn.rows[#turn.rows].litres)
    if named and turn.driver then
      c:text((x1 + x2) / 2, y, canvas.cut(isolated(turn.driver), x2 - x1 - 2, SIZES.text), {anchor = "middle", label = true})
    end
    if i > 1 then c:line(x1, p.top, x1, p.bottom, {weight = "fine", colour = "grey", dash = "centre", what = "change of drivers"}) end
  end
end

-- What a panel needs, before it has a place; a sentence instead of one where nothing can be seen.
local function plan_of(page, r, b, name)
  local q = quantities.limited(name)
  local out = {name = name, label = words.noun(name), unit = q.unit, decimals = figures.decimals(r, q.unit, q.decimals)}
  local low, high = b.lowest[name], b.highest[name]
  local y, shown = studied.axis_with(low, high, out.decimals, studied.limits(r.limits, name))
  if #shown == 0 and #b.names > 1 and studied.same(out, low, high) then
    return {says = ("%s: %s throughout"):format(out.label, studied.value(out, low)), left = page.left}
  end
  y.name = studied.heading(out)
  local ends, names = {}, {}
  if b.mean then
    local mean = words.set(text.fixed(b.mean[name], figures.decimals(r, q.unit, q.change or q.decimals)))
    ends[1] = {y = b.mean[name], words = "mean " .. mean, colour = "accent"}
  end
  for _, limit in ipairs(shown) do ends[#ends + 1] = {y = limit.value, words = limit.words, colour = "grey"} end
  for i, one in ipairs(ends) do names[i] = one.words end
  return {left = page.left, right = page.right, x = litres_axis(b), y = y, ends = names, ends_of = ends, limits = shown, name = name}
end

local function panel(c, r, work, o, y)
  if o.says then
    c:text(o.left, y + 3, o.says)
    return y + 5
  end
  local b, named = work.burnt, not work.drawn and work.turns[2]
  local rows, name = named and sheet.LINE or 0, o.name
  o.top, o.bottom, work.drawn = y, y + work.tall + rows, true
  local p = chart.plan(c, o)
  p.top = p.top + rows
  p:axes{grid = true}
  draw_turns(p, work.turns, named, p.top - 1)
  for _, limit in ipairs(o.limits) do p:limit{y = limit.value, bad = limit.bad, what = "limit"} end
  if b.mean then p:level(b.mean[name], {weight = "fine", colour = "accent", what = "mean"}) end
  for _, turn in ipairs(work.turns) do
    local points = {}
    for i, row in ipairs(turn.rows) do points[i] = {row.litres, row.values[name]} end
    p:line(points, {weight = "wheel", what = "line"})
    for _, point in ipairs(points) do p:dot(point[1], point[2], {r = 0.7, what = "row"}) end
  end
  if b.reached then c:circle(p:x(r.at), p:y(b.reached[name]), RING, {weight = "wheel", colour = "accent", what = "to set up"}) end
  p:ends(o.ends_of)
  return y + work.tall + rows + 2
end

local function litres(volume) return text.plain(core.number(text.fixed(volume, 1)) or volume) end

-- The three values that count most: means, or what they are at both ends.
local function answer_of(r, b)
  local answer, first, last = {}, b.rows[1].values, b.rows[#b.rows].values
  for i = 1, math.min(3, #b.names) do
    local name = b.names[i]
    local q = quantities.limited(name)
    local decimals, unit = figures.decimals(r, q.unit, q.decimals), q.unit ~= "" and q.unit or nil
    answer[i] = b.mean and {"mean " .. words.noun(name), words.value(b.mean[name], r.sd[name], decimals, unit)}
      or {words.noun(name), ("%s to %s"):format(words.set(text.fixed(first[name], decimals)),
                                                words.set(text.fixed(last[name], decimals), unit))}
  end
  return answer
end

function burn.draw(page, r)
  local b, labels = burnt_of(r), {}
  local shown = math.min(#b.names, MOST_PANELS)
  for i, name in ipairs(b.names) do labels[i] = words.noun(name) end
  local title = ("%s as the fuel burns"):format(studied.title(studied.some(labels, 4)))
  local says
  if b.reached then
    says = ("Ring: the car to set up, with %s\u{A0}litres%s."):format(litres(r.at),
      r.at_driver and " and " .. isolated(r.at_driver) or "")
  else
    says = ("From %s\u{A0}litres down to %s. Each dot is a line of the table."):format(litres(b.from), litres(b.to))
  end
  local y = sheet.heading(page, {title = title, state = r.heading, lines = {says}, answer = answer_of(r, b)})
  local work = {burnt = b, turns = turns_of(b.rows), tall = TALL[math.min(#TALL, #b.names)]}
  local plans, drawn = {}, {}
  for i = 1, shown do
    plans[i] = plan_of(page, r, b, b.names[i])
    if not plans[i].says then drawn[#drawn + 1] = plans[i] end
  end
  chart.align(drawn)
  for _, o in ipairs(plans) do y = panel(page.canvas, r, work, o, y + 1) end
  return y, {notes = studied.notes(r, studied.left_out(shown, #b.names)), words = title}
end

return burn
