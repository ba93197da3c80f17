--- The picture of car:clearances(): the car from the side with its gaps, the three tightest in the plane that shows them, and a table.

local backdrop = require "steelyard.draw.backdrop"
local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local clearances = require "steelyard.shop.clearances"
local figure = require "steelyard.draw.figure"
local flags = require "steelyard.draw.flags"
local marks = require "steelyard.draw.marks"
local rows = require "steelyard.draw.rows"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"
local view = require "steelyard.draw.view"
local words = require "steelyard.draw.words"

local gaps = {views = {"side", "plan", "front"}}

local SIZES = canvas.sizes

--- A gap this many times as large as asked is not shown.
gaps.WIDE = 3

local CLOSEST = 5 -- 1:5, of the details
local DETAILS = 3

--- The pose in which all rows are, where the scene can stand so.
function gaps.pose(result)
  local at = result[1] and result[1].at
  for _, row in ipairs(result) do if row.at ~= at then return "design" end end
  return at == "as loaded" and at or "design" -- at bump and droop a gap is seen from the body, and the scene from the road
end

-- ---- which gaps ---------------------------------------------------------------------------------------------------------------

local SAME = 0.05 -- mm: gaps that print alike are alike

local function spare(row) return row.gap - (row.asked or 0) end

-- Of the poses of one gap the tightest, and where it is not known in another that, too: a list of {row =, index =}.
local function worst_poses(result)
  local list, known, unknown = {}, {}, {}
  for i, row in ipairs(result) do
    local entry, before = {row = row, index = i}, known[row.name]
    if not row.gap then
      if not unknown[row.name] then unknown[row.name], list[#list + 1] = true, entry end
    elseif not before then
      known[row.name], list[#list + 1] = entry, entry
    elseif spare(row) < spare(before.row) - SAME then
      before.row, before.index = row, i
    end
  end
  return list
end

-- Rows to show, the tightest first, those without a gap last; and the names of those that are wide.
local function chosen(result)
  local list, wide = {}, {}
  for _, entry in ipairs(worst_poses(result)) do
    local row = entry.row
    if row.gap and row.asked and row.status == "pass" and row.gap >= gaps.WIDE * row.asked then wide[#wide + 1] = row.name
    else list[#list + 1] = entry end
  end
  table.sort(list, function(a, b)
    if (a.row.gap == nil) ~= (b.row.gap == nil) then return b.row.gap == nil end
    if a.row.gap and spare(a.row) ~= spare(b.row) then return spare(a.row) < spare(b.row) end
    return a.index < b.index
  end)
  for number, entry in ipairs(list) do entry.number = number end
  return list, wide
end

local function poses_of(result)
  local count, seen = 0, {}
  for _, row in ipairs(result) do
    if not seen[row.at] then count, seen[row.at] = count + 1, true end
  end
  return count
end

local function name_of(entry) return words.name(entry.row.name) end

local function why_of(row) return (words.sentence(row.why):gsub("%+%-", "±")) end

local function gap_words(row)
  if not row.gap then return "unknown" end
  if row.overlap then return "overlap" end
  return words.value(row.gap, row.sd, 1, "mm")
end

local function colour_of(row) return row.status == "fail" and "fail" or "ink" end

-- ---- the heading --------------------------------------------------------------------------------------------------------------

local function heading_of(result, scene, list)
  local tight = list[1] and list[1].row
  local answer = {}
  if tight and tight.gap then
    answer[1] = {"tightest gap", gap_words(tight), colour = colour_of(tight)}
    answer[2] = {"asked", tight.asked and words.set(text.plain(tight.asked), "mm") or "nothing"}
  end
  answer[#answer + 1] = {"all gaps", verdicts.mark[result.status], colour = result.status == "fail" and "fail" or nil}
  local says = {title = "Gaps", state = ("%s, %s"):format(scene.heading, scene.pose == "design" and "as drawn" or scene.pose),
                answer = answer, lines = {}}
  if scene.aboard then says.lines[1] = words.aboard(scene.aboard) end
  if #list > 0 then
    local what = poses_of(result) > 1 and "Each gap in the pose in which it is tightest" or "The least distance of two surfaces"
    says.lines[#says.lines + 1] = what .. ", between its two points. Hatched: the room that is asked for."
  end
  return says
end

-- ---- the car with its gaps ------------------------------------------------------------------------------------------------------

local function middle_of(look, faces)
  local u1, v1 = look:point(faces.a)
  local u2, v2 = look:point(faces.b)
  return (u1 + u2) / 2, (v1 + v2) / 2
end

local function called(body, name) return body.path == name or body.name == name end

-- Bodies without a shape that a gap would need.
local function shapeless(scene, list)
  local found, paths = {}, {}
  for _, entry in ipairs(list) do
    local row = entry.row
    for _, body in ipairs(row.status == "unknown" and row.asked and scene.bodies or {}) do
      for _, name in ipairs{row.a, row.b} do
        local belongs = called(body, name) or ("/" .. body.path .. "/"):find("/" .. name .. "/", 1, true)
        if belongs and not body.outlines and not paths[body.path] then
          found[#found + 1], paths[body.path] = body, true
        end
      end
    end
  end
  return found
end

local function label_of(c, x, v, named)
  return {x = x, v = v, words = named, width = c:width_of(named, SIZES.text), shorten = function(label, room)
    label.words = c:cut(label.words, room, SIZES.text)
    label.width = c:width_of(label.words, SIZES.text)
  end}
end

local ROW, DOT = 4.2, 0.9   -- of the gutter, and of a dot, mm
local MOST = {14, 6}         -- labels of the car, on a page and on a narrow one
local GAPS = {12, 4}         -- of them for gaps, where open dots need the others

-- Labels of the car: the tightest gaps, then what has no shape.
local function labels_of(page, f, list, open)
  local labels, kind = {}, page.narrow and 2 or 1
  local gaps_most = math.max(GAPS[kind], MOST[kind] - #open)
  for _, entry in ipairs(list) do
    if entry.row.faces and #labels < gaps_most then
      local u, v = middle_of(f.look, entry.row.faces)
      labels[#labels + 1] = label_of(page.canvas, figure.x(f, u), v, page.narrow and tostring(entry.number)
        or ("%d  %s"):format(entry.number, name_of(entry)))
    end
  end
  for _, body in ipairs(open) do
    local u, v = f.look:point(body.at)
    if #labels < MOST[kind] then
      labels[#labels + 1] = label_of(page.canvas, figure.x(f, u), v, words.name(body.name) .. ", no shape")
      labels[#labels].open = true
    end
  end
  for i, label in ipairs(labels) do
    for k = 1, i - 1 do if math.abs(label.x - labels[k].x) < 0.5 then label.x = labels[k].x + 0.6 end end
  end
  return labels
end

local function draw_car(page, scene, list, open, y)
  local c = page.canvas
  c:view()
  local f = backdrop.plan(scene, "side", {left = page.left, right = page.right, tall = 56, air = 6})
  local labels = labels_of(page, f, list, open)
  local count, _, placed = 0, nil, {}
  if #labels > 0 then count, _, placed = flags.place(labels, f.left, f.right) end
  local bottom = backdrop.put(f, y + count * ROW + 2)
  backdrop.draw(c, f)
  marks.ground(c, f.left, f.right, figure.y(f, 0))
  for _, label in ipairs(placed) do
    local base, at = y + (count - label.row + 1) * ROW - 1.1, figure.y(f, label.v)
    c:line(label.x, base - 2.2, label.x, at - DOT, {weight = "hair", colour = "ink", what = "leader"})
    c:circle(label.x, at, DOT, {weight = "body", fill = label.open and "white" or "ink", what = label.open and "open" or "gap"})
    c:text(label.side == "start" and label.x + flags.AWAY or label.x - flags.AWAY, base, label.words, {anchor = label.side, label = true})
  end
  y = math.max(bottom, figure.y(f, 0)) + 5.5
  c:text(f.left, y, "front", {colour = "grey"})
  marks.scale_bar(c, f.left + 14, y, f.scale)
  local known = #open
  for _, entry in ipairs(list) do known = known + (entry.row.faces and 1 or 0) end
  return y + 1, f.scale, known - #placed
end

-- ---- one gap in detail ------------------------------------------------------------------------------------------------------------

local TRUE = 0.98 -- a measure that is seen at less of its length lies aslant

local function length_in(look, faces)
  local u1, v1 = look:point(faces.a)
  local u2, v2 = look:point(faces.b)
  return math.sqrt((u2 - u1) ^ 2 + (v2 - v1) ^ 2)
end

local view_names = {"side", "rear", "floor"}
local says_where = {side = "from the side, front left", rear = "from behind", floor = "from above, front up"}

-- The view in which the gap is seen longest; of equal ones the first.
local function view_for(scene, row)
  local best, longest
  for _, name in ipairs(row.b == "ground" and {"side"} or view_names) do
    local long = length_in(view.of(scene, name), row.faces)
    if not best or long > longest + 1e-6 then best, longest = name, long end
  end
  return best, longest
end

-- What a row was measured between, in ink; a bare point as a cross, with the part that it is on.
local function draw_shapes(c, f, entry, result)
  local outlines = clearances.outlines(result, entry.index, f.look.outlines)
  for _, key in ipairs{"a", "b"} do
    local loops = outlines[key] and f.look:loops(outlines[key])
    if loops and (#loops > 1 or #loops[1] > 2) then
      backdrop.outline(c, f, loops, {weight = "body", what = "shape " .. key})
    end
    if loops and #loops == 1 and #loops[1] <= 2 then
      local u, v = f.look:point(entry.row.faces[key])
      marks.cross(c, figure.x(f, u), figure.y(f, v))
      for _, body in ipairs(f.scene.bodies) do
        local outline = called(body, entry.row[key]) and body.outlines and body.outlines[f.look.outlines]
        if outline then backdrop.outline(c, f, f.look:loops(outline), {weight = "body", what = "part " .. key}) end
      end
    end
  end
end

local HALF = 5 -- of the hatched strip across the gap, mm

local function draw_asked(c, p, q, row, true_length)
  if not row.asked or true_length == 0 then return end
  local dx, dy = p[1] - q[1], p[2] - q[2]
  local seen = math.sqrt(dx * dx + dy * dy)
  if seen < 1e-6 then return end
  dx, dy = dx / seen, dy / seen
  local long = row.asked * seen / true_length
  local nx, ny = -dy * HALF, dx * HALF
  local strip = {{q[1] + nx, q[2] + ny}, {q[1] + nx + long * dx, q[2] + ny + long * dy},
                 {q[1] - nx + long * dx, q[2] - ny + long * dy}, {q[1] - nx, q[2] - ny}}
  chart.hatch(c, {strip}, {apart = 0.9, colour = row.status == "fail" and "fail" or "accent", what = "asked"})
  c:line(strip[2][1], strip[2][2], strip[3][1], strip[3][2], {weight = "fine", colour = row.status == "fail" and "fail" or "accent",
         what = "asked"})
end

local function true_length(faces)
  return math.sqrt((faces.a.x - faces.b.x) ^ 2 + (faces.a.y - faces.b.y) ^ 2 + (faces.a.z - faces.b.z) ^ 2)
end

-- Which is which of two bodies: "rear hoop left, silencer right".
local function sides_of(row, p, q)
  if row.b == "ground" then return row.a == "place" and "a place" or words.name(row.a) end
  local dx, dy = q[1] - p[1], q[2] - p[2]
  local a, b = "left", "right"
  if math.abs(dy) > math.abs(dx) then a, b = dy > 0 and "above" or "below", dy > 0 and "below" or "above"
  elseif dx < 0 then a, b = b, a end
  local function named(name) return name == "place" and "place" or words.name(name:match "[^/]*$") end
  if row.overlap then return ("%s and %s"):format(named(row.a), named(row.b)) end
  return ("%s %s, %s %s"):format(named(row.a), a, named(row.b), b)
end

local ASIDE, EDGE = 12, 8 -- mm: of the leader to the value from a measure that stands upright; free round a gap

-- A gap in the window {x1, y1, x2, y2} with its value below; gives the y of the end.
local function draw_detail(page, scene, entry, result, window)
  local c, row = page.canvas, entry.row
  local name, seen = view_for(scene, row)
  local wide, tall = window[3] - window[1] - 2 * EDGE, window[4] - window[2] - 2 * EDGE
  local span = math.max(seen, row.asked or 0)
  local scale = math.max(CLOSEST, figure.scale_for(span, span, wide, tall))
  local look = view.of(scene, name)
  local u, v = middle_of(look, row.faces)
  if row.b == "ground" then v = ((window[4] - window[2]) / 2 - EDGE) * scale end -- the ground at the lower edge
  local f = backdrop.window(scene, name, scale, {u, v}, window)
  backdrop.draw(c, f, {wheels = "fine", colour = "grey"})
  local ground = figure.y(f, 0)
  if name ~= "floor" and ground > window[2] and ground < window[4] - 2 then marks.ground(c, window[1], window[3], ground) end
  local pu, pv = look:point(row.faces.a)
  local qu, qv = look:point(row.faces.b)
  local p, q = {figure.x(f, pu), figure.y(f, pv)}, {figure.x(f, qu), figure.y(f, qv)}
  draw_asked(c, p, q, row, true_length(row.faces))
  draw_shapes(c, f, entry, result)
  local colour = colour_of(row)
  marks.measure(c, p[1], p[2], q[1], q[2], {weight = "body", colour = colour, what = "measure"})
  if row.overlap then marks.cross(c, p[1], p[2]) end
  local mx, my = (p[1] + q[1]) / 2, (p[2] + q[2]) / 2
  local x, half = mx, c:width_of(gap_words(row), SIZES.state, true) / 2
  if math.abs(p[1] - q[1]) < math.abs(p[2] - q[2]) then
    x = math.min(mx + ASIDE, window[3] - half)
    c:line(mx, my, x, my, {weight = "hair", colour = colour, what = "leader", only_on_paper = true})
  end
  c:line(x, my, x, window[4] + 0.6, {weight = "hair", colour = colour, what = "leader", only_on_paper = true})
  x = math.max(window[1] + half, math.min(x, window[3] - half))
  c:text(x, window[4] + 4.4, gap_words(row), {size = SIZES.state, bold = true, anchor = "middle", colour = colour, measure = true})
  local where = ("1:%d %s"):format(scale, says_where[name])
  if seen < TRUE * true_length(row.faces) then where = where .. ", aslant" end
  if row.leaves then where = where .. ", on its way out" end
  return window[4] + 4.4, where, scale, sides_of(row, p, q) .. (row.at ~= scene.pose and ("; at %s, pale: as drawn"):format(row.at) or "")
end

local function verdict_of(row)
  local asked = row.asked and words.set(text.plain(row.asked), "mm") .. " asked: " or ""
  return ("%s%s, %s"):format(asked, verdicts.mark[row.status], why_of(row))
end

-- Title above, window, what is asked below.
local function draw_panel(page, scene, entry, result, x1, x2, y, tall)
  local c = page.canvas
  c:view()
  local titles = c:wrap(("%d  %s"):format(entry.number, name_of(entry)), x2 - x1, SIZES.state, true, 1)
  c:text(x1, y + 3.6, titles[1], {size = SIZES.state, bold = true})
  local bottom, where, scale, sides = draw_detail(page, scene, entry, result, {x1, y + 14, x2, y + 14 + tall})
  c:text(x1, y + 7.8, c:cut(where, x2 - x1, SIZES.small), {size = SIZES.small, colour = "grey"})
  c:text(x1, y + 11.4, c:cut(sides, x2 - x1, SIZES.small), {size = SIZES.small})
  bottom = sheet.sentences(page, bottom, {verdict_of(entry.row)},
                           {left = x1, right = x2, colour = entry.row.status == "fail" and "fail" or nil})
  return bottom, scale
end

local BETWEEN = 6 -- mm, panels
local LETTERS = 200 -- mm: on a terminal their words need a page as wide as that to stand side by side

local function draw_details(page, scene, list, result, y)
  local known = {}
  for _, entry in ipairs(list) do if entry.row.faces and #known < DETAILS then known[#known + 1] = entry end end
  if #known == 0 then return y end
  y = y + 4
  if page.narrow or page.canvas.letter and page.width < LETTERS then
    for _, entry in ipairs(known) do y = draw_panel(page, scene, entry, result, page.left, page.right, y, 46) + 3 end
    return y
  end
  local count = math.max(2, #known)
  local wide = (page.right - page.left - (count - 1) * BETWEEN) / count
  local lowest = y
  for i, entry in ipairs(known) do
    local x = page.left + (i - 1) * (wide + BETWEEN)
    lowest = math.max(lowest, (draw_panel(page, scene, entry, result, x, x + wide, y, 46)))
  end
  return lowest
end

-- ---- all of them ----------------------------------------------------------------------------------------------------------------

local function draw_table(page, list, result, y)
  local cells, poses = {}, poses_of(result)
  for i, entry in ipairs(list) do
    local row = entry.row
    local bad = row.status == "fail" and "fail" or nil
    cells[i] = {tostring(entry.number), name_of(entry), poses > 1 and row.at or "", (gap_words(row):gsub("\u{A0}mm$", "")),
                row.asked and text.plain(row.asked) or "", {verdicts.mark[row.status], bold = bad ~= nil, colour = bad},
                row.status ~= "unknown" and why_of(row) or "why: below"}
  end
  if #cells == 0 then return y end
  local columns = {{""}, {"between", left = true, gives = page.narrow}, {poses > 1 and "at" or "", left = true}, {"gap, mm"}, {"asked"},
                   {"", left = true}}
  if not page.narrow then columns[#columns + 1] = {"", left = true, gives = true} end
  y = rows.draw(page.canvas, y + 3, columns, cells,
                {left = page.left, right = page.right, size = page.narrow and SIZES.small or SIZES.text})
  for _, entry in ipairs(list) do
    if entry.row.status == "unknown" then
      y = sheet.sentences(page, y, {("Not known, %d %s: %s."):format(entry.number, entry.row.name, why_of(entry.row))},
                          {size = SIZES.small})
    end
  end
  return y + 1
end

--- See draw/picture.lua.
function gaps.draw(page, result, scene)
  local list, wide = chosen(result)
  local open = shapeless(scene, list)
  local y = sheet.heading(page, heading_of(result, scene, list))
  local scale, unmarked
  y, scale, unmarked = draw_car(page, scene, list, open, y)
  y = draw_details(page, scene, list, result, y)
  y = draw_table(page, list, result, y)
  local notes = {}
  if #wide > 0 then
    notes[1] = ("more than %d times what is asked, and not shown: %s"):format(gaps.WIDE, text.join_names(wide))
  end
  if unmarked > 0 then
    notes[#notes + 1] = ("%s in the table alone: on the car are the tightest"):format(text.count(unmarked, "more is", "more are"))
  end
  table.move(result.notes, 1, #result.notes, #notes + 1, notes)
  return y, {scale = scale, notes = notes, words = ("%s in the side view, 1:%d"):format(text.count(#list, "gap"), scale)}
end

return gaps
