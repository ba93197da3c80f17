--- The picture of a Pareto front: the first wish against each other one; variants of the front joined, their numbers as in the table below.

local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local core = require "steelyard.core"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local front = {}

local SIZES, known = canvas.sizes, studied.known
local TALL = {100, 76}      -- mm of a chart: of one, of several
local MOST_CHARTS = 3
local MOST_NAMED, NARROW_NAMED = 14, 6
local MOST_ROWS = 40
local MOST_TAKEN = 20000    -- variants that are looked at for dots; of more every second, third ...
local RING = 2.4            -- mm round the car as it is
local APART = 1.4           -- mm: dots nearer than that are one

-- The numbers a wish goes by: of what is folded the worst.
local function column_of(r, wish)
  local worst = rawget(r, wish.way == "most" and "lowest" or "highest")
  return worst and worst[wish.name] or r.columns[wish.name]
end

local function output_of(r, name)
  for _, out in ipairs(r.outputs) do if out.name == name then return out end end
end

local function wish_words(wish) return wish.way == "most" and "more is better" or "less is better" end

-- Is a small mark at that place within one of the boxes?
local function in_any(boxes, x, y)
  for _, box in ipairs(boxes) do
    if x > box[1] - 0.7 and x < box[3] + 0.7 and y > box[2] - 0.7 and y < box[4] + 0.7 then return true end
  end
  return false
end

-- Variants that are not in the front, one where several would touch: feasible ones hollow and pale, those that fail as small crosses.
local function draw_others(p, r, xs, ys, in_front, boxes)
  local n, verdict, seen = studied.count(r), rawget(r, "verdict"), {}
  local step = math.max(1, math.ceil(n / MOST_TAKEN))
  for _, fails in ipairs{false, true} do
    for k = 1, n, step do
      local x, y = known(xs[k]), known(ys[k])
      if x and y and not in_front[k] and (verdict and verdict[k] == "fail" or false) == fails then
        local at, up = p:x(x), p:y(y)
        local cell = math.floor(at / APART) * 4096 + math.floor(up / APART)
        if not seen[cell] and not in_any(boxes, at, up) then
          seen[cell] = true
          if fails then
            local look = {weight = "hair", colour = "fail", what = "fails", only_on_paper = true}
            p.canvas:line(at - 0.5, up - 0.5, at + 0.5, up + 0.5, look)
            p.canvas:line(at - 0.5, up + 0.5, at + 0.5, up - 0.5, look)
          else
            p.canvas:circle(at, up, 0.5, {weight = "hair", colour = "grey", fill = "white", what = "other", mark = "."})
          end
        end
      end
    end
  end
  return step
end

-- Places of numbers beside the dots of the front, where there is room: by dot {x, y, words, anchor, box}. o.ring: box of the car as it is.
local function draw_numbers(p, list, most, ring)
  local boxes, named = {ring}, 0
  for _, dot in ipairs(list) do boxes[#boxes + 1] = {dot.x - 1.3, dot.y - 1.3, dot.x + 1.3, dot.y + 1.3} end
  for i = 2, #list do -- pieces of the line between, in short boxes
    local a, b = list[i - 1], list[i]
    local steps = math.max(1, math.ceil(math.max(math.abs(b.x - a.x), math.abs(b.y - a.y)) / 2))
    for k = 0, steps - 1 do
      local x1, y1 = a.x + (b.x - a.x) * k / steps, a.y + (b.y - a.y) * k / steps
      local x2, y2 = a.x + (b.x - a.x) * (k + 1) / steps, a.y + (b.y - a.y) * (k + 1) / steps
      boxes[#boxes + 1] = {math.min(x1, x2) - 0.3, math.min(y1, y2) - 0.3, math.max(x1, x2) + 0.3, math.max(y1, y2) + 0.3}
    end
  end
  local clear = {}
  for i, dot in ipairs(list) do
    local shown = text.plain(dot.variant)
    local w = canvas.width_of(shown, SIZES.text)
    for _, place in ipairs{{1.8, 1.1, "start"}, {-1.8, 1.1, "end"}, {1.4, -1.6, "start"}, {1.4, 3.8, "start"}, {-1.4, -1.6, "end"},
                           {-1.4, 3.8, "end"}} do
      local left = place[3] == "start" and dot.x + place[1] or dot.x + place[1] - w
      local box = {left, dot.y + place[2] - 2.8, left + w, dot.y + place[2] + 0.8}
      local free = box[1] > p.left + 0.5 and box[3] < p.right and box[2] > p.top and box[4] < p.bottom - 0.5
      for _, other in ipairs(free and boxes or {}) do
        free = free and not (box[1] < other[3] and other[1] < box[3] and box[2] < other[4] and other[2] < box[4])
      end
      if free and named < most then
        boxes[#boxes + 1], named = box, named + 1
        clear[i] = {dot.x + place[1], dot.y + place[2], shown, place[3], box}
        break
      end
    end
  end
  return clear
end

local function one_chart(page, r, work, wish, y, tall)
  local c, first = page.canvas, r.wishes[1]
  local a, b = output_of(r, first.name), output_of(r, wish.name)
  local xs, ys = column_of(r, first), column_of(r, wish)
  local x1, x2 = studied.range(r, first.name)
  local y1, y2 = studied.range(r, wish.name)
  local p = chart.plan(c, {left = page.left, right = page.right, top = y, bottom = y + tall,
    x = {from = x1, to = x2, least = 4 * 10.0 ^ -a.decimals, name = ("%s, %s"):format(studied.heading(a), wish_words(first))},
    y = {from = y1, to = y2, least = 4 * 10.0 ^ -b.decimals, name = ("%s, %s"):format(studied.heading(b), wish_words(wish))}})
  p:axes()
  local dots, line, words_at = {}, {}, {}
  for i, k in ipairs(r.front) do
    line[i] = {xs[k], ys[k]}
    dots[i] = {x = p:x(xs[k]), y = p:y(ys[k]), variant = k}
  end
  local ax, ay = known(r.asked[first.name]), known(r.asked[wish.name])
  local there = ax and ay and ax >= p.axis.x.low and ax <= p.axis.x.high and ay >= p.axis.y.low and ay <= p.axis.y.high
  local ring = there and {p:x(ax) - RING, p:y(ay) - RING, p:x(ax) + RING, p:y(ay) + RING} or nil
  local names = draw_numbers(p, dots, page.narrow and NARROW_NAMED or MOST_NAMED, ring)
  for _, one in pairs(names) do words_at[#words_at + 1] = one[5] end
  work.step = draw_others(p, r, xs, ys, work.in_front, words_at)
  if #r.wishes == 2 then p:line(line, {weight = "wheel", colour = "accent", what = "front"}) end
  for i, k in ipairs(r.front) do
    p:dot(xs[k], ys[k], {colour = "accent", what = "in front"})
    local one = names[i]
    if one then c:text(one[1], one[2], one[3], {anchor = one[4], label = true}) end
  end
  if there then c:circle(p:x(ax), p:y(ay), RING - 0.4, {weight = "wheel", what = "as booked"}) end
  return y + tall + 2
end

-- The variants of the front by number: what they are and what they come to.
local function draw_table(page, r, y)
  local c, inputs, columns = page.canvas, studied.inputs(r), {}
  columns[1] = {name = "variant", at = function(k) return text.plain(k) end}
  for _, input in ipairs(inputs) do
    local unit = input.unit == "litre" and "L" or input.unit
    columns[#columns + 1] = {name = unit ~= "" and ("%s, %s"):format(input.label, unit) or input.label, at = function(k)
      local value = input.column[k]
      return value == nil and "as booked" or type(value) == "number" and words.set(text.plain(value)) or value
    end}
  end
  for _, wish in ipairs(r.wishes) do
    local out, column = output_of(r, wish.name), column_of(r, wish)
    columns[#columns + 1] = {name = studied.heading(out), bold = true,
                             at = function(k) return words.set(text.fixed(column[k], out.decimals)) end}
  end
  if rawget(r, "verdict") then columns[#columns + 1] = {name = "limits", at = function(k) return r.verdict[k] end} end
  local shown, needed, deepest = math.min(#r.front, MOST_ROWS), 0, 1
  for _, column in ipairs(columns) do -- as wide as its longest word or number
    column.wide = 0
    for word in column.name:gmatch "[^ ]+" do column.wide = math.max(column.wide, canvas.width_of(word, SIZES.text)) end
    for i = 1, shown do column.wide = math.max(column.wide, canvas.width_of(column.at(r.front[i]), SIZES.text, column.bold)) end
    needed = needed + column.wide
  end
  local left, spare = page.left, (page.right - page.left - needed) / #columns
  for _, column in ipairs(columns) do
    column.wide = math.max(8, column.wide + spare)
    left = left + column.wide
    column.x = math.min(page.right, left) - 0.5
    column.heading = canvas.wrap(column.name, column.wide - 1.5, SIZES.text, false, 4)
    deepest = math.max(deepest, #column.heading)
  end
  for _, column in ipairs(columns) do
    for i, line in ipairs(column.heading) do
      c:text(column.x, y + (deepest - #column.heading + i) * sheet.LINE, line, {anchor = "end", colour = "grey"})
    end
  end
  y = y + deepest * sheet.LINE + 1.2
  c:line(page.left, y, page.right, y, {weight = "hair", colour = "pale", what = "rule"})
  for i = 1, shown do
    y = y + sheet.LINE
    for _, column in ipairs(columns) do
      local shown_as = canvas.cut(column.at(r.front[i]), column.wide - 0.5, SIZES.text, column.bold)
      c:text(column.x, y, shown_as, {anchor = "end", bold = column.bold})
    end
  end
  return y + 2
end

function front.draw(page, r)
  studied.check(r)
  if not rawget(r, "front") or #r.wishes < 2 or #r.front == 0 then
    local why = not rawget(r, "front") and "this study asks for no front" or #r.front == 0 and "no variant is in the front"
      or "a front of one wish is one variant"
    core.fail{code = "unavailable", field = "kind", message = why, hint = 'kind = "lines"'}
  end
  local work, wished = {in_front = {}}, {}
  for _, k in ipairs(r.front) do work.in_front[k] = true end
  for i, wish in ipairs(r.wishes) do wished[i] = studied.noun(output_of(r, wish.name)) end
  local title = ("%s against each other"):format(text.join(wished))
  local says = {"Solid: none is better in one wish without being worse in another.",
                "Open: the others; crosses: FAIL. Ring: the car as it is."}
  studied.add_limits(page, r, says)
  local heading = studied.heading_of(r, title, says, {{"in the Pareto front", ("%d of %s"):format(#r.front,
    text.grouped(math.tointeger(studied.count(r))))}})
  local y = sheet.heading(page, heading) + 1
  local charts = math.min(MOST_CHARTS, #r.wishes - 1)
  for i = 2, charts + 1 do y = one_chart(page, r, work, r.wishes[i], y, TALL[math.min(#TALL, charts)]) end
  y = draw_table(page, r, y)
  local notes = {}
  if work.step > 1 then notes[1] = ("of the others one in %d is looked at"):format(work.step) end
  if #r.front > MOST_ROWS then notes[#notes + 1] = ("the table has the first %d of %d"):format(MOST_ROWS, #r.front) end
  return y, {notes = studied.notes(r, notes), words = title}
end

return front
