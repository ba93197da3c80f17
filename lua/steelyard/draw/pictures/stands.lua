--- The picture of car:stands(): from above, front up, the stands and what they span, where the CG goes as things come out, the least
-- margin, and what tips the car at nose and tail.

local backdrop = require "steelyard.draw.backdrop"
local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local clip = require "steelyard.draw.clip"
local figure = require "steelyard.draw.figure"
local marks = require "steelyard.draw.marks"
local rows = require "steelyard.draw.rows"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"
local words = require "steelyard.draw.words"

local stands = {views = {"plan"}}

local SIZES = canvas.sizes

-- ---- what is asked of all steps ---------------------------------------------------------------------------------------------------

-- Number of the step with the least margin.
local function worst_step(result)
  local worst = 1
  for i, step in ipairs(result.steps) do if step.margin < result.steps[worst].margin then worst = i end end
  return worst
end

-- Least kilograms that tip it at an end, their step, and the place; nil where it never tips there.
local function least_pull(result, key)
  local least, at
  for i, step in ipairs(result.steps) do
    local kg = not step.tips and step.kg_to_tip[key]
    if kg and (not least or kg < least) then least, at = kg, i end
  end
  if not least then return nil end
  return {kg = least, sd = result.steps[at].sd.kg_to_tip[key], step = at, place = result.steps[at].pulled_at[key]}
end

local function margin_words(step)
  local shown = words.set(text.plus_minus(math.abs(step.margin), step.sd.margin, 0)) .. "\u{A0}mm"
  return shown, step.margin < 0 and "outside" or "inside"
end

local function pull_words(pull) return words.value(pull.kg, pull.sd, 0, "kg") end

local function heading_of(result, scene)
  local step = result.steps[worst_step(result)]
  local shown, side = margin_words(step)
  local front, rear = least_pull(result, "front"), least_pull(result, "rear")
  local weaker = front and (not rear or front.kg <= rear.kg) and front or rear
  local answer = {{"CG " .. side .. ", least", shown, colour = step.margin < 0 and "fail" or nil}}
  if weaker then answer[2] = {"tips with", ("%s at the %s"):format(pull_words(weaker), weaker == front and "nose" or "tail")} end
  answer[#answer + 1] = {"all steps", verdicts.mark[result.status], colour = result.status == "fail" and "fail" or nil}
  local says = {title = "On stands", state = scene.heading, answer = answer, lines = {}}
  if scene.aboard then says.lines[1] = words.aboard(scene.aboard) end
  says.lines[#says.lines + 1] = "From above, front up. The car stands while its CG lies inside the line round the stands."
  return says
end

-- ---- the figure -----------------------------------------------------------------------------------------------------------------

-- The outer ones of some points, counter-clockwise as they lie (Andrew's monotone chain); GRAIN keeps roundings from making corners.
local GRAIN = 1e-6

local function hull(points)
  local list = table.move(points, 1, #points, 1, {})
  table.sort(list, function(a, b)
    if math.abs(a[1] - b[1]) > GRAIN then return a[1] < b[1] end
    return a[2] < b[2]
  end)
  local out = {}
  local function add(p, base)
    while #out >= base + 2 do
      local a, b = out[#out - 1], out[#out]
      if (b[1] - a[1]) * (p[2] - a[2]) - (b[2] - a[2]) * (p[1] - a[1]) > GRAIN then break end
      out[#out] = nil
    end
    out[#out + 1] = p
  end
  for i = 1, #list do add(list[i], 0) end
  local base = #out - 1
  for i = #list - 1, 1, -1 do add(list[i], base) end
  out[#out] = nil
  return out
end

local function paper(f, p)
  local u, v = f.look:point(p)
  return {figure.x(f, u), figure.y(f, v)}
end

local function letter(i) return string.char(64 + i) end

local function place_of(result, name)
  for i, stand in ipairs(result.stands) do if stand == name then return result.places[i] end end
end

local SQUARE = 1.7 -- half of a stand's

local function draw_stands(c, f, result)
  local points, middle = {}, 0
  for i, place in ipairs(result.places) do
    points[i] = paper(f, place)
    middle = middle + points[i][1] / #result.places
  end
  c:loops({hull(points)}, {weight = "wheel", colour = "ink", what = "polygon"})
  for i, p in ipairs(points) do
    c:box(p[1] - SQUARE, p[2] - SQUARE, p[1] + SQUARE, p[2] + SQUARE,
          {weight = "wheel", fill = "white", what = "stand " .. result.stands[i]})
  end
  return points, middle
end

-- Is there a line, drawn since the item `from`, in a box?
local function taken(c, from, box)
  for i = from, #c.items do
    local item = c.items[i]
    for _, loop in ipairs(item.weight and item.loops or {}) do
      if #clip.line(loop, item.closed, box) > 0 then return true end
    end
  end
  return false
end

-- Letters of the stands beside them: outward, where a line is in the way on another side.
local function draw_letters(c, points, middle, from)
  for i, p in ipairs(points) do
    local half, off = canvas.width_of(letter(i), SIZES.state, true) / 2, SQUARE + 1.2
    local sides = {{p[1] - off - half, p[2] + 1.2}, {p[1] + off + half, p[2] + 1.2}, {p[1], p[2] - off}, {p[1], p[2] + off + 2.5}}
    if p[1] >= middle - GRAIN then sides[1], sides[2] = sides[2], sides[1] end
    local at
    for _, side in ipairs(sides) do
      at = at or not taken(c, from, {side[1] - half, side[2] - 2.7, side[1] + half, side[2] + 0.8}) and side or nil
    end
    at = at or sides[1]
    c:text(at[1], at[2], letter(i), {size = SIZES.state, bold = true, anchor = "middle", halo = true, label = true})
  end
end

-- From the CG of a step straight to the edge that it would tip over.
local function draw_margin(c, f, result, i)
  local step = result.steps[i]
  local p, a, b = paper(f, step.cg), paper(f, place_of(result, step.edge[1])), paper(f, place_of(result, step.edge[2]))
  local dx, dy = b[1] - a[1], b[2] - a[2]
  local square = dx * dx + dy * dy
  if square == 0 then return end
  local t = ((p[1] - a[1]) * dx + (p[2] - a[2]) * dy) / square
  local q = {a[1] + t * dx, a[2] + t * dy}
  local colour = step.margin <= 0 and "fail" or "ink"
  c:line(a[1], a[2], b[1], b[2], {weight = "ground", colour = colour, what = "edge"})
  marks.measure(c, p[1], p[2], q[1], q[2], {weight = "body", colour = colour, what = "margin"})
  return {(p[1] + q[1]) / 2, (p[2] + q[2]) / 2}, colour
end

local GUTTER = 4.6 -- mm from label to label

-- Labels beside the figure, in the order of what they name, as near to its height as they fit.
local function spread(labels, top, bottom)
  table.sort(labels, function(a, b)
    if math.abs(a.to[2] - b.to[2]) > GRAIN then return a.to[2] < b.to[2] end
    return a.order < b.order
  end)
  local wanted = {}
  for i, label in ipairs(labels) do wanted[i] = label.to[2] end
  for i, y in ipairs(chart.spread(wanted, GUTTER, top, math.max(bottom, top + (#labels - 1) * GUTTER))) do labels[i].y = y end
end

local LABELS = {14, 6} -- of the figure, on a page and on a narrow one

-- The steps that are numbered where there is room for so many: those that fail, the one with the least margin, the first and the last
-- before all others, which stand on the line between them.
local function numbered(result, most)
  local rank, order, chosen = {}, {}, {}
  for i, step in ipairs(result.steps) do
    rank[i] = step.status == "fail" and 1 or i == worst_step(result) and 2 or i == 1 and 3 or i == #result.steps and 4 or 5
    order[i] = i
  end
  table.sort(order, function(a, b)
    if rank[a] ~= rank[b] then return rank[a] < rank[b] end
    return a < b
  end)
  for k = 1, math.min(most, #order) do chosen[order[k]] = true end
  return chosen
end

-- Where the CG goes: numbered, joined, the first and the last as CG marks. most: numbers.
local function draw_path(c, f, result, edge, most)
  local points, labels, chosen = {}, {}, numbered(result, most)
  for i, step in ipairs(result.steps) do points[i] = paper(f, step.cg) end
  if #points > 1 then c:path(points, {weight = "fine", what = "path"}) end
  for i, step in ipairs(result.steps) do
    local p, bad = points[i], step.status == "fail"
    if i > 1 then
      c:circle(p[1], p[2], 0.9, {weight = "body", fill = bad and "white" or "ink", colour = bad and "fail" or "ink", what = "step " .. i})
      if bad then marks.cross(c, p[1], p[2]) end
    end
    if chosen[i] then
      labels[#labels + 1] = {to = p, order = i, words = bad and ("%d FAIL"):format(i) or tostring(i), colour = bad and "fail" or nil}
    end
  end
  marks.cg(c, points[1][1], points[1][2], 2.4)
  spread(labels, f.top + 4, f.bottom - 4)
  for _, label in ipairs(labels) do
    local off = label.order == 1 and 2.4 or 0.9
    local x = edge - canvas.width_of(label.words, SIZES.state, true)
    c:path({{label.to[1] + off, label.to[2]}, {x - 4, label.y}, {x - 1, label.y}},
           {weight = "hair", colour = label.colour, what = "leader", only_on_paper = true})
    c:text(x, label.y + 1.2, label.words, {size = SIZES.state, bold = true, colour = label.colour, label = true,
           what = "step " .. label.order})
  end
end

-- What tips it at an end, at the place where somebody pulls, its words on the paper beyond that end of the car.
local function draw_pull(c, f, result, key, y, x)
  local pull = least_pull(result, key)
  local shown = key == "front" and "nose" or "tail"
  if not pull then
    c:text(x, y, shown .. ": never tips", {anchor = "middle", measure = true})
    return
  end
  local p = paper(f, pull.place)
  local bad = result.steps[pull.step].status == "fail" and pull.kg < result.steps[pull.step].person
  marks.cross(c, p[1], p[2])
  local which = #result.steps > 1 and (" (%d)"):format(pull.step) or ""
  c:text(x, y, ("%s: %s tip it%s"):format(shown, pull_words(pull), which),
         {anchor = "middle", bold = true, colour = bad and "fail" or nil, measure = true, what = "pull " .. key})
end

local ENDS = 5 -- mm: words beyond nose and tail

local function draw_figure(page, scene, result, left, right, y, tall)
  local c = page.canvas
  c:view()
  local also = table.move(result.places, 1, #result.places, 1, {})
  for _, step in ipairs(result.steps) do also[#also + 1] = step.cg end
  for _, step in ipairs(result.steps) do
    for _, key in ipairs{"front", "rear"} do if step.pulled_at[key] then also[#also + 1] = step.pulled_at[key] end end
  end
  local f = backdrop.plan(scene, "floor", {left = left, right = right, tall = tall, air = 14, also = also})
  local middle = (left + right) / 2
  c:text(left, y + 3, "front", {colour = "grey"})
  f.top = y + ENDS + 3
  f.bottom = backdrop.put(f, f.top)
  backdrop.draw(c, f, {wheels = "body", colour = "grey"})
  local centre = figure.x(f, 0)
  c:line(centre, f.top - 1, centre, f.bottom + 1, {weight = "hair", colour = "grey", dash = "centre", what = "centre line"})
  local from = #c.items + 1
  local points, middle_x = draw_stands(c, f, result)
  local worst = worst_step(result)
  local at, colour = draw_margin(c, f, result, worst)
  draw_path(c, f, result, right, math.max(1, LABELS[page.narrow and 2 or 1] - #points))
  if at then
    local shown, side = margin_words(result.steps[worst])
    local x = left
    local w = math.max(canvas.width_of(shown, SIZES.text, true), canvas.width_of(side, SIZES.text))
    c:line(at[1], at[2], x + w + 1, at[2], {weight = "hair", colour = colour, what = "leader", only_on_paper = true})
    c:text(x, at[2] + 1, shown, {bold = true, colour = colour, measure = true, halo = true})
    c:text(x, at[2] + 5, side, {colour = colour, measure = true, halo = true})
  end
  draw_letters(c, points, middle_x, from)
  draw_pull(c, f, result, "front", y + ENDS, middle)
  draw_pull(c, f, result, "rear", f.bottom + ENDS, middle)
  local bar = f.bottom + ENDS + 6
  marks.scale_bar(c, left, bar, f.scale)
  return bar + 1, f.scale
end

-- ---- the words --------------------------------------------------------------------------------------------------------------------

local function step_words(step)
  local shown, side = margin_words(step)
  local line = ("%s kg, CG %s %s"):format(text.fixed(step.mass, 1), shown, side)
  if step.tips then return words.sentence(line) end
  local parts = {}
  for _, key in ipairs{"front", "rear"} do
    if step.kg_to_tip[key] then
      parts[#parts + 1] = ("%s at the %s"):format(words.value(step.kg_to_tip[key], step.sd.kg_to_tip[key], 0, "kg"),
                                                  key == "front" and "nose" or "tail")
    end
  end
  return words.sentence(line) .. (#parts > 0 and "; tips with " .. table.concat(parts, ", ") or "; never tips at nose or tail")
end

local function draw_steps(page, result, left, right, y)
  local c = page.canvas
  for i, step in ipairs(result.steps) do
    y = y + (i > 1 and 6.4 or 3.6)
    local bad = step.status == "fail" and "fail" or nil
    local mark = verdicts.mark[step.status]
    local room = right - left - canvas.width_of(mark, SIZES.state, true) - 2
    c:text(right, y, mark, {size = SIZES.state, bold = true, anchor = "end", colour = bad})
    for k, line in ipairs(canvas.wrap(("%d %s"):format(i, words.name(step.what)), room, SIZES.state, true, 2)) do
      if k > 1 then y = y + sheet.LINE end
      c:text(left, y, line, {size = SIZES.state, bold = true, colour = bad})
    end
    y = sheet.sentences(page, y, {step_words(step)}, {left = left, right = right})
    if step.why ~= "" then
      y = sheet.sentences(page, y, {text.sentence((step.why:gsub(" %+%- ", "\u{A0}±\u{A0}"):gsub(" %-(%d)", " −%1")))},
                          {left = left, right = right, size = SIZES.small, colour = bad or "grey"})
    end
  end
  return y
end

-- Load of every stand in every step.
local function draw_loads(page, result, left, right, y)
  local columns, cells = {{""}, {"load on the stand, kg", left = true, gives = true}}, {}
  for i = 1, #result.steps do columns[#columns + 1] = {tostring(i)} end
  for i, name in ipairs(result.stands) do
    cells[i] = {{letter(i), bold = true}, words.name(name)}
    for k, step in ipairs(result.steps) do cells[i][k + 2] = step.tips and "tips" or words.set(text.fixed(step.loads[name], 1)) end
  end
  local sum = {"", "together"}
  for k, step in ipairs(result.steps) do sum[k + 2] = text.fixed(step.mass, 1) end
  cells[#cells + 1] = sum
  return rows.draw(page.canvas, y, columns, cells, {left = left, right = right})
end

local MANY = 4 -- steps: the loads of more take the whole width
local COLUMN, APART = 92, 8 -- of the figure, and from there to the words, mm

--- See draw/picture.lua.
function stands.draw(page, result, scene)
  local y = sheet.heading(page, heading_of(result, scene))
  local scale
  if page.narrow then
    y, scale = draw_figure(page, scene, result, page.left, page.right, y, 110)
    y = draw_steps(page, result, page.left, page.right, y + 4)
    y = draw_loads(page, result, page.left, page.right, y + 3)
  else
    local left = page.left + COLUMN + APART
    local lower
    lower, scale = draw_figure(page, scene, result, page.left, page.left + COLUMN, y, 158)
    local words_end, few = draw_steps(page, result, left, page.right, y), #result.steps <= MANY
    if few then words_end = draw_loads(page, result, left, page.right, words_end + 4) end
    y = math.max(lower, words_end)
    if not few then y = draw_loads(page, result, page.left, page.right, y + 2) end
  end
  y = sheet.sentences(page, y + 2, getmetatable(result).cautions) + 1
  local where = {}
  for _, key in ipairs{"front", "rear"} do
    local spot = result.steps[1].pulled_at[key]
    if spot then where[#where + 1] = ("%s %s"):format(key == "front" and "nose" or "tail", words.name(spot.name)) end
  end
  local notes = {}
  if #where > 0 then notes[1] = "crosses: where somebody pulls down, " .. table.concat(where, ", ") end
  notes[#notes + 1] = figure.tyre_note(scene)
  table.move(result.notes, 1, #result.notes, #notes + 1, notes)
  return y, {scale = scale, notes = notes, words = ("%s from above, front up, 1:%d"):format(text.count(#result.stands, "stand"), scale)}
end

return stands
