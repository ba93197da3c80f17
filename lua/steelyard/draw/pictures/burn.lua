--- The picture of a stint: each quantity as the fuel burns and drivers change, its mean, and the car to set up.

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

-- Rows of each driver in turn: list of {driver, rows}.
local function turns_of(r)
  local list = {}
  for _, row in ipairs(r.rows) do
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
local function litres_axis(r)
  local scale, ticks = chart.scale(r.to, r.from, {exact = true}), {}
  for i = #scale.ticks, 1, -1 do ticks[#ticks + 1] = {scale.ticks[i], text.fixed(scale.ticks[i], scale.decimals)} end
  return {from = r.from, to = r.to, ticks = ticks, named = true, name = ("litres in %s, as it burns"):format(r.tank)}
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
local function plan_of(page, r, name)
  local q = quantities.find(name)
  local out = {name = name, label = q.label, unit = q.unit, decimals = figures.decimals(r, q.unit, q.decimals)}
  local low, high = r.lowest[name].value, r.highest[name].value
  local axis, shown = studied.axis_with(low, high, out.decimals, studied.limits(r.limits, name))
  if #shown == 0 and #r.names > 1 and studied.same(out, low, high) then
    return {says = ("%s: %s throughout"):format(out.label, studied.value(out, low)), left = page.left}
  end
  axis.name = studied.heading(out)
  local mean = words.set(text.fixed(r.mean[name], figures.decimals(r, q.unit, q.change or q.decimals)))
  local ends, names = {{y = r.mean[name], words = "mean " .. mean, colour = "accent"}}, {}
  for _, limit in ipairs(shown) do ends[#ends + 1] = {y = limit.value, words = limit.words, colour = "grey"} end
  for i, one in ipairs(ends) do names[i] = one.words end
  return {left = page.left, right = page.right, x = litres_axis(r), y = axis, ends = names, ends_of = ends, limits = shown, name = name}
end

local function panel(c, r, work, o, y)
  if o.says then
    c:text(o.left, y + 3, o.says)
    return y + 5
  end
  local named = not work.drawn and work.turns[2]
  local rows, name = named and sheet.LINE or 0, o.name
  o.top, o.bottom, work.drawn = y, y + work.tall + rows, true
  local p = chart.plan(c, o)
  p.top = p.top + rows
  p:axes{grid = true}
  draw_turns(p, work.turns, named, p.top - 1)
  for _, limit in ipairs(o.limits) do p:limit{y = limit.value, bad = limit.bad, what = "limit"} end
  p:level(r.mean[name], {weight = "fine", colour = "accent", what = "mean"})
  for _, turn in ipairs(work.turns) do
    local points = {}
    for i, row in ipairs(turn.rows) do points[i] = {row.litres, row.values[name]} end
    p:line(points, {weight = "wheel", what = "line"})
    for _, point in ipairs(points) do p:dot(point[1], point[2], {r = 0.7, what = "row"}) end
  end
  c:circle(p:x(r.at), p:y(r.reached[name]), RING, {weight = "wheel", colour = "accent", what = "to set up"})
  p:ends(o.ends_of)
  return y + work.tall + rows + 2
end

function burn.draw(page, r)
  local labels, answer, shown = {}, {}, math.min(#r.names, MOST_PANELS)
  for i, name in ipairs(r.names) do
    local q = quantities.find(name)
    labels[i] = q.label
    if i <= 3 then
      answer[i] = {"mean " .. q.label, words.value(r.mean[name], r.sd[name], figures.decimals(r, q.unit, q.decimals),
                                                   q.unit ~= "" and q.unit or nil)}
    end
  end
  local title = ("%s as the fuel burns"):format(text.sentence(text.join(labels)):gsub("%.$", ""))
  local there = ("Ring: the car to set up, with %s\u{A0}litres%s."):format(text.plain(core.number(text.fixed(r.at, 1))),
    r.at_driver and " and " .. isolated(r.at_driver) or "")
  local y = sheet.heading(page, {title = title, state = r.heading, lines = {there}, answer = answer})
  local work = {turns = turns_of(r), tall = TALL[math.min(#TALL, #r.names)]}
  local plans, drawn = {}, {}
  for i = 1, shown do
    plans[i] = plan_of(page, r, r.names[i])
    if not plans[i].says then drawn[#drawn + 1] = plans[i] end
  end
  chart.align(drawn)
  for _, o in ipairs(plans) do y = panel(page.canvas, r, work, o, y + 1) end
  return y, {notes = studied.notes(r, studied.left_out(shown, #r.names)), words = title}
end

return burn
