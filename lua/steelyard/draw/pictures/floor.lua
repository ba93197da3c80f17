--- The picture of car:markout(): the floor from above, front up, with what to chalk out by two tapes, in the order to mark; and trolleys.

local backdrop = require "steelyard.draw.backdrop"
local canvas = require "steelyard.draw.canvas"
local clip = require "steelyard.draw.clip"
local figure = require "steelyard.draw.figure"
local marks = require "steelyard.draw.marks"
local rows = require "steelyard.draw.rows"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local floor = {views = {"plan"}}

local SIZES = canvas.sizes

--- Lines of the grid, mm on the floor.
floor.GRID = 500

local function whole(x) return words.set(text.fixed(x, 0)) end

-- To a tenth: what stands below it in a place worked out is rounding.
local function tenth(x) return words.set(text.plain(math.floor(10 * x + 0.5) / 10)) end

-- ---- the list, in the order to mark -------------------------------------------------------------------------------------------------

-- {row =, number =}, assembly by assembly, as the page prints them.
local function in_order(result)
  local groups, by_name, list = {}, {}, {}
  for _, row in ipairs(result) do
    if not by_name[row.assembly] then
      by_name[row.assembly] = {name = row.assembly}
      groups[#groups + 1] = by_name[row.assembly]
    end
    table.insert(by_name[row.assembly], row)
  end
  for _, group in ipairs(groups) do
    for i, row in ipairs(group) do
      list[#list + 1] = {row = row, number = #list + 1, group = i == 1 and group.name or nil}
    end
  end
  return list
end

-- Without the group that stands above it.
local function short_name(row)
  local group = row.assembly .. "/"
  return words.name(row.name:sub(1, #group) == group and row.name:sub(#group + 1) or row.name)
end

-- ---- the figure -----------------------------------------------------------------------------------------------------------------

-- A place on the floor as a point of the file.
local function on_floor(scene, result, x, y)
  local axes = scene.axes
  local p = {[axes.up.axis] = axes.up.zero, [axes.left.axis] = axes.left.zero, [axes.forward.axis] = axes.forward.zero}
  p[result.level[1]], p[result.level[2]] = x or p[result.level[1]], y or p[result.level[2]]
  return p
end

local function paper(f, result, x, y)
  local u, v = f.look:point(on_floor(f.scene, result, x, y))
  return figure.x(f, u), figure.y(f, v)
end

-- Grid lines of one coordinate that lie inside, with its numbers along the left or the lower edge.
local function draw_grid(c, f, letter, area)
  local along = f.scene.axes.forward.axis == letter
  local function at(value)
    local axes = f.scene.axes
    local p = {[axes.up.axis] = axes.up.zero, [axes.left.axis] = axes.left.zero, [axes.forward.axis] = axes.forward.zero}
    p[letter] = value
    local u, v = f.look:point(p)
    return along and figure.y(f, v) or figure.x(f, u)
  end
  local from, to = along and area[2] or area[1], along and area[4] or area[3]
  local zero, step = at(0), at(floor.GRID) - at(0)
  local first, last = (from - zero) / step, (to - zero) / step
  if first > last then first, last = last, first end
  for k = math.ceil(first), math.floor(last) do
    local place, shown = zero + k * step, words.set(text.fixed(k * floor.GRID, 0))
    if along then
      c:line(area[1], place, area[3], place, {weight = "hair", colour = "pale", what = "grid", only_on_paper = true})
      c:text(area[1] - 1, place + 0.9, shown, {size = SIZES.small, colour = "grey", anchor = "end"})
    else
      c:line(place, area[2], place, area[4], {weight = "hair", colour = "pale", what = "grid", only_on_paper = true})
      c:text(place, area[4] + 3, shown, {size = SIZES.small, colour = "grey", anchor = "middle"})
    end
  end
  if along then c:text(area[1] - 1, area[2] - 2.2, letter, {colour = "grey", anchor = "end"})
  else c:text(area[3], area[4] + 6.8, letter, {colour = "grey", anchor = "end"}) end
end

local ARC, LONGEST = 10, 9 -- degrees of a tape's arc at a mark, and mm of paper at most

-- The arc that the end of a tape scribes through a mark.
local function draw_arc(c, x, y, from_x, from_y)
  local r = math.sqrt((x - from_x) ^ 2 + (y - from_y) ^ 2)
  if r < 1e-6 then return end
  local half = math.min(math.rad(ARC), LONGEST / r) / 2
  local middle, points = math.atan(y - from_y, x - from_x), {}
  for i = 0, 4 do
    local a = middle + half * (i - 2) / 2
    points[i + 1] = {from_x + r * math.cos(a), from_y + r * math.sin(a)}
  end
  c:path(points, {weight = "fine", colour = "accent", what = "arc", only_on_paper = true})
end

-- Places round a mark for its number, the nearest first; then farther ones, on a leader.
local function places_round()
  local list = {}
  for _, away in ipairs{2.2, 3.4, 5, 7, 9.5, 12, 15} do
    for i = 0, 11 do
      local a = math.rad(30 * i + 15)
      list[#list + 1] = {away * math.cos(a), away * math.sin(a), away > 4}
    end
  end
  return list
end

local PLACES = places_round()

local function meets(a, b) return a[1] < b[3] and b[1] < a[3] and a[2] < b[4] and b[2] < a[4] end

-- Boxes round the lines drawn since the item `from` that no word may stand on.
local function dark_since(c, from)
  local list = {}
  for i = from, #c.items do
    local item = c.items[i]
    if item.loops and item.weight and item.colour ~= "pale" then list[#list + 1] = {item = item, box = {canvas.bounds_of(item)}} end
  end
  return list
end

-- The first place round a mark where words of this half width have room, clear of lines, boxes and what is written; nil without one.
local function free_place(entry, half, size, dark, boxes, written, area)
  local function free(box)
    if box[1] < area[1] or box[3] > area[3] or box[2] < area[2] or box[4] > area[4] then return false end
    for _, other in ipairs(boxes) do if meets(box, other) then return false end end
    for _, one in ipairs(dark) do
      if meets(box, one.box) then
        for _, loop in ipairs(one.item.loops) do if #clip.line(loop, one.item.closed, box) > 0 then return false end end
      end
    end
    return true
  end
  local function reaches(x, y) -- by a leader that runs through no words
    for _, other in ipairs(written) do
      if #clip.line({{entry.x, entry.y}, {x, y}}, false, other) > 0 then return false end
    end
    return true
  end
  for _, place in ipairs(PLACES) do
    local x, y = entry.x + place[1], entry.y + place[2]
    local box = {x - half - 0.2, y - 0.42 * size, x + half + 0.2, y + 0.58 * size} -- base line at 0.35
    if free(box) and (not place[3] or reaches(x, y)) then return place, box end
  end
end

local MOST = {14, 6}  -- labels, on a page and on a narrow one
local LONGEST_RUN = 5 -- marks with one number: longer lines from mark to mark are a tangle
local OTHER_GROUP = 2 -- marks of two assemblies share a number only if they lie so many times nearer than two of one

-- The marks in runs, each of which has one label: {first =, last =} of the list. Where there are more marks than labels, those that are
-- chalked one after another share one, the nearest first.
local function runs_of(list, most)
  local runs = {}
  for i = 1, #list do runs[i] = {first = i, last = i} end
  while #runs > math.max(1, most) do
    local pick, least
    for i = 1, #runs - 1 do
      local a, b = list[runs[i].last], list[runs[i + 1].first]
      local cost = math.sqrt((a.x - b.x) ^ 2 + (a.y - b.y) ^ 2) * (b.group and OTHER_GROUP or 1)
      if not least or cost < least then pick, least = i, cost end
    end
    runs[pick].last = table.remove(runs, pick + 1).last
  end
  return runs
end

-- The first marks alone, each with its own number.
local function first_of(list, most)
  local runs = {}
  for i = 1, math.min(most, #list) do runs[i] = {first = i, last = i} end
  return runs
end

-- Runs as labels at their first marks, "5–8", with a line from mark to mark in order; of too many marks for that the first ones alone.
local function draw_runs(c, list, most)
  local labels, runs = {}, runs_of(list, most)
  for _, run in ipairs(runs) do
    if run.last - run.first >= LONGEST_RUN then runs = first_of(list, most) end
  end
  labels.last = runs[#runs].last
  for i, run in ipairs(runs) do
    local first, line = list[run.first], {}
    for k = run.first, run.last do line[#line + 1] = {list[k].x, list[k].y} end
    if #line > 1 then c:path(line, {weight = "fine", colour = "grey", what = "in order", only_on_paper = true}) end
    labels[i] = {x = first.x, y = first.y, number = run.first == run.last and tostring(run.first) or ("%d–%d"):format(run.first, run.last)}
    labels.joined = labels.joined or #line > 1
  end
  return labels
end

local CLEAR = 0.3 -- mm, from a leader to its number

-- From a mark as far as the box of its number.
local function leader_to(entry, x, y, box)
  local round = {box[1] - CLEAR, box[2] - CLEAR, box[3] + CLEAR, box[4] + CLEAR}
  local within = clip.line({{entry.x, entry.y}, {x, y}}, false, round)[1]
  return within and within[1] or {x, y}
end

-- Numbers beside their marks, clear of one another, of the marks and of what was drawn since the item `from`; a list of those without room.
local function draw_numbers(c, list, from, boxes, area)
  local dark, lost, written = dark_since(c, from), {}, {}
  for _, entry in ipairs(list) do
    local shown, size = entry.words or tostring(entry.number), entry.words and SIZES.state or SIZES.small
    local place, box = free_place(entry, c:width_of(shown, size, true) / 2, size, dark, boxes, written, area)
    if place then
      local x, y = entry.x + place[1], entry.y + place[2]
      boxes[#boxes + 1], written[#written + 1] = box, box
      if place[3] and not entry.words then -- a tape point has its ring
        local to = leader_to(entry, x, y, box)
        local leader = c:line(entry.x, entry.y, to[1], to[2], {weight = "hair", what = "leader", only_on_paper = true})
        dark[#dark + 1] = {item = leader, box = {canvas.bounds_of(leader)}}
      end
      c:text(x, y + 0.35 * size, shown, {size = size, bold = true, anchor = "middle", halo = true, label = true,
             what = "number " .. shown})
    else
      lost[#lost + 1] = shown
    end
  end
  return lost
end

-- Trolleys, those at a place along the car as a line across it; gives labels of those that stand at points.
local function draw_trolleys(c, f, result, area, boxes)
  local labels = {}
  for i, trolley in ipairs(result.trolleys) do
    local x, y = paper(f, result, trolley.x, trolley.y)
    local shown = "T" .. i
    if trolley.x and trolley.y then
      c:box(x - 1.7, y - 1.7, x + 1.7, y + 1.7, {weight = "wheel", fill = "white", what = "trolley " .. i})
      boxes[#boxes + 1] = {x - 2, y - 2, x + 2, y + 2}
      labels[#labels + 1] = {x = x, y = y, words = shown}
    else
      c:line(area[1], y, area[3], y, {weight = "wheel", dash = "dashed", what = "trolley " .. i})
      c:text(area[3] + 1, y + 1.1, shown, {bold = true, label = true})
    end
  end
  return labels
end

-- The tape points; gives their letters as labels.
local function draw_points(c, f, result, boxes)
  local labels = {}
  for i, point in ipairs(result.tape_points) do
    local x, y = paper(f, result, point.x, point.y)
    local name = i == 1 and "A" or "B"
    c:circle(x, y, 1.5, {weight = "body", fill = "white", what = "tape " .. name})
    marks.cross(c, x, y)
    boxes[#boxes + 1] = {x - 1.7, y - 1.7, x + 1.7, y + 1.7}
    labels[i] = {x = x, y = y, words = name}
  end
  return labels
end

local EDGE, PAST = 9, 3 -- mm: numbers of the grid left of it, the grid past what it holds

local function draw_figure(page, scene, result, list, left, right, y, tall)
  page.canvas:view()
  local c, also = page.canvas, {on_floor(scene, result, 0, 0)}
  for _, point in ipairs(result.tape_points) do also[#also + 1] = on_floor(scene, result, point.x, point.y) end
  for _, entry in ipairs(list) do also[#also + 1] = on_floor(scene, result, entry.row.x, entry.row.y) end
  for _, trolley in ipairs(result.trolleys) do also[#also + 1] = on_floor(scene, result, trolley.x, trolley.y) end
  local f = backdrop.plan(scene, "floor", {left = left + EDGE, right = right - 5, tall = tall, air = PAST, also = also})
  local top = y + 5 + PAST
  local bottom = backdrop.put(f, top)
  local area = {figure.x(f, f.range.u1) - PAST, top - PAST, figure.x(f, f.range.u2) + PAST, bottom + PAST}
  c:text((area[1] + area[3]) / 2, y + 3.2, "front", {colour = "grey", anchor = "middle"})
  for _, letter in ipairs(result.level) do draw_grid(c, f, letter, area) end
  backdrop.draw(c, f, {wheels = "body", colour = "grey"})
  local from, boxes = #c.items + 1, {}
  local centre = figure.x(f, 0)
  c:line(centre, area[2], centre, area[4], {weight = "hair", colour = "grey", dash = "centre", what = "centre line"})
  from = from + 1
  local ax, ay = paper(f, result, result.tape_points[1].x, result.tape_points[1].y)
  local bx, by = paper(f, result, result.tape_points[2].x, result.tape_points[2].y)
  for _, entry in ipairs(list) do
    entry.x, entry.y = paper(f, result, entry.row.x, entry.row.y)
    draw_arc(c, entry.x, entry.y, ax, ay)
    draw_arc(c, entry.x, entry.y, bx, by)
  end
  for _, entry in ipairs(list) do
    c:circle(entry.x, entry.y, 0.55, {fill = "ink", what = "mark " .. entry.number})
    boxes[#boxes + 1] = {entry.x - 0.7, entry.y - 0.7, entry.x + 0.7, entry.y + 0.7}
  end
  local labels, points = draw_trolleys(c, f, result, area, boxes), draw_points(c, f, result, boxes)
  table.move(points, 1, #points, #labels + 1, labels)
  local runs = draw_runs(c, list, MOST[page.narrow and 2 or 1] - #points - #result.trolleys)
  table.move(runs, 1, #runs, #labels + 1, labels)
  local zx, zy = paper(f, result, 0, 0)
  marks.cross(c, zx, zy)
  local lost = draw_numbers(c, labels, from, boxes, area)
  local bar = area[4] + 9
  marks.scale_bar(c, left, bar, f.scale)
  return bar + 1, f.scale, lost, runs
end

-- ---- the words --------------------------------------------------------------------------------------------------------------------

local function heading_of(result, scene, list)
  local poor = 0
  for _, entry in ipairs(list) do poor = poor + (entry.row.poor and 1 or 0) end
  local a, b = result.tape_points[1], result.tape_points[2]
  local says = {title = "Floor plan", state = scene.heading, lines = {},
                answer = {{"to mark", text.count(#list, "point")}, {"tapes good to", whole(text.K95 * result.tape_sd) .. "\u{A0}mm"}}}
  if poor > 0 then says.answer[3] = {"poor crossing", tostring(poor)} end
  if scene.aboard then says.lines[1] = words.aboard(scene.aboard) end
  says.lines[#says.lines + 1] = ("From above. Tapes from A (%s, %s) and B (%s, %s); arcs: where their ends cross."):format(tenth(a.x),
    tenth(a.y), tenth(b.x), tenth(b.y))
  return says
end

local function crossing_words(row)
  if not row.crossing then return {"in line", bold = true} end
  local shown = text.fixed(row.crossing, 0)
  return row.poor and {shown .. " poor", bold = true} or shown
end

local function draw_table(page, result, list, left, right, y)
  local cells = {}
  for _, entry in ipairs(list) do
    local row = entry.row
    if entry.group then cells[#cells + 1] = {"", {words.name(entry.group), colour = "grey"}, "", "", "", "", "", "", ""} end
    local sd = row.sd.x and text.fixed(text.K95 * math.max(row.sd.x, row.sd.y), 0) or ""
    cells[#cells + 1] = {{tostring(entry.number), bold = true}, short_name(row), whole(row.x), whole(row.y), whole(row.height),
                         whole(row.tapes.a), whole(row.tapes.b), sd, crossing_words(row)}
  end
  y = rows.draw(page.canvas, y, {{""}, {"to chalk, mm", left = true, gives = true}, {result.level[1]}, {result.level[2]}, {"up"}, {"A"},
    {"B"}, {"±"}, {"deg"}}, cells, {left = left, right = right, pitch = 4, apart = 1.8})
  return sheet.sentences(page, y + 0.8, {"± of the place by the tapes; deg: how they cross, poor below 30."},
                         {left = left, right = right, size = SIZES.small, colour = "grey"})
end

-- "T1 at −150: 51.9 ± 0.8 kg, 46 %"
local function draw_loads(page, result, left, right, y)
  if #result.trolleys == 0 then return y end
  local lines = {}
  for i, trolley in ipairs(result.trolleys) do
    local at = trolley.x and trolley.y and ("%s, %s"):format(whole(trolley.x), whole(trolley.y))
      or ("%s %s"):format(trolley.x and result.level[1] or result.level[2], whole(trolley.x or trolley.y))
    lines[i] = ("T%d at %s: %s, %s\u{A0}%%"):format(i, at, words.value(trolley.load, trolley.sd.load, 1, "kg"), whole(trolley.share))
  end
  y = sheet.sentences(page, y + 1, {("On the trolleys: %s."):format(words.value(result.mass, nil, 1, "kg"))},
                      {left = left, right = right, bold = true})
  return sheet.sentences(page, y, lines, {left = left, right = right})
end

local COLUMN, WORDY, APART = 88, 76, 5 -- mm: the figure; beside a table that has "poor" in it; from there to the table

local function column_of(list)
  for _, entry in ipairs(list) do if entry.row.poor then return WORDY end end
  return COLUMN
end

--- See draw/picture.lua.
function floor.draw(page, result, scene)
  local list = in_order(result)
  local y = sheet.heading(page, heading_of(result, scene, list))
  local scale, lost, runs
  if page.narrow or page.canvas.letter then -- on a terminal the table needs the whole width
    y, scale, lost, runs = draw_figure(page, scene, result, list, page.left, page.right, y, 150)
    y = draw_loads(page, result, page.left, page.right, y + 1)
    y = draw_table(page, result, list, page.left, page.right, y + 2)
  else
    local top, column = y, column_of(list)
    y, scale, lost, runs = draw_figure(page, scene, result, list, page.left, page.left + column, top, 170)
    y = draw_loads(page, result, page.left, page.left + column, y + 1)
    y = math.max(y, draw_table(page, result, list, page.left + column + APART, page.right, top))
  end
  local notes = {"cross without a ring: the file's 0, 0; grid of 500 mm; heights are those at the ride height drawn"}
  if runs.last < #list then
    notes[#notes + 1] = ("numbered to %d; the others by the grid and their coordinates in the table"):format(runs.last)
  end
  if runs.joined then notes[#notes + 1] = "marks on one line follow one another in the order of the table, from the numbered one on" end
  notes[#notes + 1] = figure.tyre_note(scene)
  for _, entry in ipairs(list) do
    if not entry.row.crossing then notes[#notes + 1] = ("%d, in line: %s"):format(entry.number, entry.row.why) end
  end
  if #lost > 0 then notes[#notes + 1] = "no room for a number: " .. table.concat(lost, ", ") end
  table.move(result.notes, 1, #result.notes, #notes + 1, notes)
  return y + 1, {scale = scale, notes = notes, words = ("%s on the floor, front up, 1:%d"):format(text.count(#list, "mark"), scale)}
end

return floor
