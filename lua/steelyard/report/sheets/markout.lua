--- Mark-out at full size: what is to be drilled, cut or chalked, on tiles of A4 or A3 to be glued together, or on one long page. A grid of
-- 100 mm in the file's own coordinates runs over all tiles; crop marks and the overlap say where the next one lies.

local canvas = require "steelyard.draw.canvas"
local clip = require "steelyard.draw.clip"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local page = require "steelyard.report.sheets.page"
local resolve = require "steelyard.car.resolve"
local scene = require "steelyard.draw.scene"
local text = require "steelyard.print.text"
local view = require "steelyard.draw.view"
local words = require "steelyard.draw.words"

local markout = {}

local SIZES = canvas.sizes
local MARGIN = page.MARGIN
local SQUARE, GRID, OVERLAP = 100, 100, 10 -- mm
local AIR = 20                -- mm round what is drawn
local GUTTER = 10             -- mm round a tile, for numbers of the grid and crop marks
local TITLE = 7               -- mm: what stands above a tile
local FOOT = 8.2
local CROP, AWAY = 4, 1.5     -- mm: a crop mark, and its distance from the corner
local MOST_TILES = 200        -- more than that nobody glues together
local LONGEST = 4000          -- mm: what can be written, draw/paper.lua

markout.views = {plan = {look = "floor", outlines = "plan"}, side = {look = "side", outlines = "side"}}
markout.view_names = {"plan", "side"}

local PRINT = "Print at 100 %, no fit to page, and measure the square both ways before anything is cut."

-- ---- what is drawn ----------------------------------------------------------------------------------------------------------------------

local function is_chosen(path, chosen)
  for _, one in ipairs(chosen) do
    if path == one or path:sub(1, #one + 1) == one .. "/" then return true end
  end
  return #chosen == 0
end

local function grow(r, u, v)
  r[1], r[2], r[3], r[4] = math.min(r[1], u), math.min(r[2], v), math.max(r[3], u), math.max(r[4], v)
end

-- Outlines; of chosen parts without a shape their places.
local function add_bodies(d, s, chosen)
  for _, body in ipairs(s.bodies) do
    local outlines = is_chosen(body.path, chosen) and body.outlines and body.outlines[d.look.outlines]
    if outlines then
      local loops = d.look:loops(outlines)
      for _, loop in ipairs(loops) do
        for _, p in ipairs(loop) do grow(d.range, p[1], p[2]) end
      end
      d.loops[#d.loops + 1] = {path = body.path, loops = loops}
    elseif is_chosen(body.path, chosen) and #chosen > 0 then
      local u, v = d.look:point(body.at)
      grow(d.range, u, v)
      d.spots[#d.spots + 1] = {name = body.path .. ", its place", u = u, v = v, at = body.at}
      d.shapeless[#d.shapeless + 1] = body.path
    end
  end
end

local function add_wheels(d, s)
  local keys = {}
  for key in pairs(s.wheels) do keys[#keys + 1] = key end
  table.sort(keys, core.before)
  for _, key in ipairs(keys) do
    local u, v = d.look:point(s.wheels[key].at)
    grow(d.range, u, v)
    d.spots[#d.spots + 1] = {name = words.wheel(key) .. " wheel centre", u = u, v = v, at = s.wheels[key].at}
  end
end

-- All points of the file where nothing was chosen, else those within what was.
local function add_points(d, s, chosen)
  local r = {table.unpack(d.range)}
  for _, point in ipairs(s.points) do
    local u, v = d.look:point(point.at)
    if #chosen == 0 or u >= r[1] - AIR and u <= r[3] + AIR and v >= r[2] - AIR and v <= r[4] + AIR then
      grow(d.range, u, v)
      d.spots[#d.spots + 1] = {name = point.name, u = u, v = v, at = point.at}
    end
  end
end

-- What is to be drawn: {look, axes, range = {u1, v1, u2, v2}, loops, spots}, mm on the car.
local function drawing_of(car, o)
  local c, way = contents.inside(car), markout.views[o.view or "plan"]
  if not way then
    local near = type(o.view) == "string" and core.nearest(o.view, markout.view_names)
    core.fail{code = "unknown", field = "view", message = ("there is no %s"):format(text.named(o.view)),
              hint = near and ("did you mean %q?"):format(near) or "choose " .. text.join(markout.view_names, "or")}
  end
  local s = scene.make(c, car, "design", {way.outlines})
  local d = {look = view.of(s, way.look), axes = s.axes, range = {math.huge, math.huge, -math.huge, -math.huge}, loops = {}, spots = {},
             shapeless = {}}
  local chosen = {}
  for i, route in ipairs(o.part ~= nil and resolve.parts(c, o.part).routes or {}) do chosen[i] = resolve.path(c.now, route) end
  if #chosen > 0 then add_bodies(d, s, chosen) else add_wheels(d, s) end
  if d.range[1] < math.huge then add_points(d, s, chosen) end
  if d.range[1] == math.huge then
    core.fail{code = "missing", part = o.part, field = "part", message = "is not aboard: there is nothing to mark out"}
  end
  for k = 1, 2 do d.range[k], d.range[k + 2] = d.range[k] - AIR, d.range[k + 2] + AIR end
  return d
end

-- ---- a window of it ---------------------------------------------------------------------------------------------------------------

-- The file's coordinate along the paper's x or y: letter, and mm of paper to the right or down for one more of it, and where it is 0.
local function ruler(d, axis)
  local of = d.axes[axis]
  local p = {[d.axes.forward.axis] = d.axes.forward.zero, [d.axes.left.axis] = d.axes.left.zero, [d.axes.up.axis] = d.axes.up.zero}
  p[of.axis] = 0
  local u0, v0 = d.look:point(p)
  p[of.axis] = 1
  local u1, v1 = d.look:point(p)
  return of.axis, u0, v0, u1 - u0, v1 - v0
end

-- Paper of a window w = {x1, y1, x2, y2, u at x1, v at y1}.
local function paper_x(w, u) return w[1] + u - w[5] end
local function paper_y(w, v) return w[2] + w[6] - v end

local function grid(c, d, w)
  for _, axis in ipairs{d.look.u_axis == d.axes.left and "left" or "forward",
                        d.look.v_axis == d.axes.up and "up" or d.look.v_axis == d.axes.left and "left" or "forward"} do
    local letter, u0, v0, du, dv = ruler(d, axis)
    local level = du ~= 0 -- a line of this coordinate stands upright on the paper
    local at, by = level and paper_x(w, u0) or paper_y(w, v0), level and du or -dv
    local from, to = level and w[1] or w[2], level and w[3] or w[4]
    local first, last = (from - at) / by / GRID, (to - at) / by / GRID
    if first > last then first, last = last, first end
    for k = math.ceil(first - 1e-9), math.floor(last + 1e-9) do
      local place, shown = at + k * GRID * by, words.set(text.fixed(k * GRID, 0))
      if level then
        c:line(place, w[2], place, w[4], {weight = "hair", colour = "pale", what = "grid"})
        local named = ("%s\u{A0}%s"):format(letter, shown)
        local half = canvas.width_of(named, SIZES.small) / 2 + 0.5
        if place - half > w[1] and place + half < w[3] then -- clear of the crop marks
          c:text(place, w[2] - 1.2, named, {size = SIZES.small, colour = "grey", anchor = "middle"})
        end
      else
        c:line(w[1], place, w[3], place, {weight = "hair", colour = "pale", what = "grid"})
        if place > w[2] + 4 and place < w[4] - 4 then
          c:text(w[1] - 1, place - 1.2, letter, {size = SIZES.small, colour = "grey", anchor = "end"})
          c:text(w[1] - 1, place + 1.9, shown, {size = SIZES.small, colour = "grey", anchor = "end"})
        end
      end
    end
  end
end

local function crop_marks(c, w)
  local look = {weight = "fine", what = "crop"}
  for _, x in ipairs{w[1], w[3]} do
    for _, y in ipairs{w[2], w[4]} do
      local out, down = x == w[1] and -1 or 1, y == w[2] and -1 or 1
      c:line(x + out * AWAY, y, x + out * (AWAY + CROP), y, look)
      c:line(x, y + down * AWAY, x, y + down * (AWAY + CROP), look)
    end
  end
end

local function meets(a, b) return a[1] < b[3] and b[1] < a[3] and a[2] < b[4] and b[2] < a[4] end

-- Does a box keep clear of the lines and texts of a window?
local function is_free(c, w, box)
  if box[1] < w[1] or box[3] > w[3] or box[2] < w[2] or box[4] > w[4] then return false end
  for _, item in ipairs(c.items) do
    if item.kind == "text" then
      if meets(box, {canvas.box_of(item)}) then return false end
    elseif item.loops and item.weight and item.colour ~= "pale" then
      for _, loop in ipairs(item.loops) do
        if #clip.line(loop, item.closed, box) > 0 then return false end
      end
    end
  end
  return true
end

-- Beside its cross, where there is room for it.
local function name_spot(c, w, number, x, y)
  local half = canvas.width_of(number, SIZES.state, true) / 2
  for _, place in ipairs{{4, -2}, {-4, -2}, {4, 5}, {-4, 5}, {0, -4.5}, {0, 7}, {8, -2}, {-8, -2}, {8, 5}, {-8, 5}} do
    local at = x + place[1] + (place[1] > 0 and half or place[1] < 0 and -half or 0)
    local box = {at - half, y + place[2] - 0.76 * SIZES.state, at + half, y + place[2] + 0.22 * SIZES.state}
    if is_free(c, w, box) then
      return c:text(at, y + place[2], number, {size = SIZES.state, bold = true, anchor = "middle", halo = true, label = true})
    end
  end
end

local ARM = 3 -- mm: of a cross

-- named: with the names of points, else their numbers in the table of the cover.
local function draw_window(c, d, w, named)
  grid(c, d, w)
  for _, body in ipairs(d.loops) do
    local lines = {}
    for _, loop in ipairs(body.loops) do
      local paper = {}
      for i, p in ipairs(loop) do paper[i] = {paper_x(w, p[1]), paper_y(w, p[2])} end
      local pieces = clip.line(paper, true, w)
      table.move(pieces, 1, #pieces, #lines + 1, lines)
    end
    if #lines > 0 then c:lines(lines, {weight = "body", what = "body " .. body.path}) end
  end
  local inside = {}
  for i, spot in ipairs(d.spots) do
    local x, y = paper_x(w, spot.u), paper_y(w, spot.v)
    if x >= w[1] and x <= w[3] and y >= w[2] and y <= w[4] then
      for _, line in ipairs{{{x - ARM, y}, {x + ARM, y}}, {{x, y - ARM}, {x, y + ARM}}} do
        local pieces = clip.line(line, false, w)
        if #pieces > 0 then c:lines(pieces, {weight = "fine", what = "point"}) end
      end
      inside[#inside + 1] = {named and words.name(spot.name) or tostring(i), x, y}
    end
  end
  for _, one in ipairs(inside) do name_spot(c, w, one[1], one[2], one[3]) end
  crop_marks(c, w)
end

-- ---- pages ------------------------------------------------------------------------------------------------------------------------

local function put_square(c, x, y)
  c:box(x, y, x + SQUARE, y + SQUARE, {weight = "hair", what = "square"})
  c:text(x + SQUARE / 2, y + SQUARE / 2 - 2, "100 mm by 100 mm", {size = SIZES.large, bold = true, anchor = "middle"})
  c:text(x + SQUARE / 2, y + SQUARE / 2 + 4, "print at 100 %, no fit to page", {size = SIZES.state, anchor = "middle"})
end

local row_name
function row_name(k) return k > 26 and row_name((k - 1) // 26) .. string.char(65 + (k - 1) % 26) or string.char(64 + k) end

-- How many tiles of a window's size, and the step from one to the next.
local function tiling(d, wide, high)
  local t = {wide = wide, high = high, columns = 1, rows = 1}
  local u, v = d.range[3] - d.range[1], d.range[4] - d.range[2]
  if u > wide then t.columns = math.ceil((u - OVERLAP) / (wide - OVERLAP)) end
  if v > high then t.rows = math.ceil((v - OVERLAP) / (high - OVERLAP)) end
  return t
end

-- Where the tiles lie: boxes as the glued sheet has them, by name.
local function tile_map(s, t)
  local room, high = s.right - s.left - SQUARE - 10, SQUARE
  local scale = math.min(room / t.columns / t.wide, high / t.rows / t.high, 0.12)
  local w, h = t.wide * scale, t.high * scale
  local x0, y0 = s.left + SQUARE + 10, s.y
  local size = SIZES.small
  local named = w > canvas.width_of("AA10", size) + 1 and h > 4
  for k = 1, t.rows do
    for i = 1, t.columns do
      local x, y = x0 + (i - 1) * w, y0 + (k - 1) * h
      s.canvas:box(x, y, x + w, y + h, {weight = "hair", colour = "grey", what = "tile"})
      if named then s.canvas:text(x + w / 2, y + h / 2 + 1, row_name(k) .. i, {size = size, anchor = "middle"}) end
    end
  end
end

local function spot_table(s, d)
  if #d.spots == 0 then return end
  s:section "Points"
  local letters, rows = {"x", "y", "z"}, {}
  for i, spot in ipairs(d.spots) do
    rows[i] = {{tostring(i), bold = true}, words.name(spot.name)}
    for k, letter in ipairs(letters) do rows[i][k + 2] = words.set(text.fixed(spot.at[letter], 1)) end
  end
  s:table{columns = {{""}, {"where a cross stands", left = true, gives = true}, {"x, mm"}, {"y, mm"}, {"z, mm"}}, rows = rows}
end

local function title_of(o)
  return ("Mark-out 1:1, %s%s"):format(o.view or "plan", o.part and ", " .. words.name(o.part) or "")
end

local function seen_from(o)
  return (o.view or "plan") == "plan" and "Seen from above, front of the car up." or "Seen from its left, front of the car to the left."
end

local function cover(s, d, t, o, title)
  s:sheet{title = title_of(o), state = title, lines = {PRINT, ("%s Grid of %d mm in the file's coordinates. %s of tiles, overlap %d mm: "
    .. "cut one of two edges at its crop marks, lay it on the next so that the grids agree, and glue."):format(seen_from(o), GRID,
    text.count(t.rows, "row"), OVERLAP)}}
  s.y = s.y + 3
  put_square(s.canvas, s.left, s.y)
  tile_map(s, t)
  s.y = s.y + SQUARE + 3
  spot_table(s, d)
end

-- "right: A2" and such, where a tile goes on.
local function neighbours(i, k, t)
  local list = {}
  if i < t.columns then list[#list + 1] = "right " .. row_name(k) .. i + 1 end
  if k < t.rows then list[#list + 1] = "below " .. row_name(k + 1) .. i end
  return #list > 0 and table.concat(list, ", ") or "last"
end

local function tile(s, d, t, i, k, o)
  local c = s:add(s.width, s.height)
  local x, y = MARGIN + GUTTER, MARGIN + TITLE + GUTTER - 4
  local u, v = d.range[1] + (i - 1) * (t.wide - OVERLAP), d.range[4] - (k - 1) * (t.high - OVERLAP)
  local name = row_name(k) .. i
  c:text(MARGIN, MARGIN + 5, name, {size = SIZES.title, bold = true})
  c:text(MARGIN + 24, MARGIN + 4.4, canvas.cut(("%s; %s"):format(title_of(o), neighbours(i, k, t)), s.right - MARGIN - 24, SIZES.text), {})
  local w = {x, y, x + t.wide, y + t.high, u, v}
  draw_window(c, d, w)
  if i < t.columns then
    c:line(w[3] - OVERLAP, w[2], w[3] - OVERLAP, w[4], {weight = "hair", colour = "pale", dash = "dashed", what = "overlap"})
  end
  if k < t.rows then
    c:line(w[1], w[4] - OVERLAP, w[3], w[4] - OVERLAP, {weight = "hair", colour = "pale", dash = "dashed", what = "overlap"})
  end
end

local function one_long_page(s, d, o, title)
  local wide, high = d.range[3] - d.range[1], d.range[4] - d.range[2]
  local top = 30 + SQUARE + 10 + GUTTER
  local size = {math.max(wide + 2 * (MARGIN + GUTTER), 210), top + high + GUTTER + FOOT + MARGIN}
  for n, word in ipairs{"wide", "long"} do
    if size[n] > LONGEST then
      core.fail{code = "range", field = "paper", message = ("one page would be %d mm %s, at most %d can be written"):format(
        math.ceil(size[n]), word, LONGEST), hint = "choose a part, or tiles of a4 or a3"}
    end
  end
  local c = s:add(size[1], size[2])
  s.y, s.right = MARGIN, size[1] - MARGIN
  s:heading{title = title_of(o), state = title, lines = {PRINT, seen_from(o)}}
  put_square(c, MARGIN, s.y + 3)
  local x = (size[1] - wide) / 2
  draw_window(c, d, {x, top, x + wide, top + high, d.range[1], d.range[4]}, true)
end

--- Draws it; gives how it was tiled as data. o: part, view = "plan" or "side", paper.
function markout.draw(s, car, o)
  local d, title = drawing_of(car, o), words.name(contents.inside(car).shared.spec.title or "")
  local notes = {}
  if #d.shapeless > 0 then
    notes[1] = ("%s in the file: only a cross at the place"):format(text.count(#d.shapeless, "part has no shape", "parts have no shape"))
  end
  local found = {view = o.view or "plan", width = d.range[3] - d.range[1], height = d.range[4] - d.range[2], rows = 1, columns = 1}
  if o.paper == "long" then
    one_long_page(s, d, o, title)
    return found, notes
  end
  local t = tiling(d, s.width - 2 * (MARGIN + GUTTER), s.height - 2 * MARGIN - TITLE - 2 * GUTTER - FOOT + 4)
  found.rows, found.columns = t.rows, t.columns
  if t.rows * t.columns > MOST_TILES then
    core.fail{code = "range", field = "part", message = ("takes %d tiles at full size, at most %d are made"):format(t.rows * t.columns,
      MOST_TILES), hint = "choose a part, a larger paper, or one long page"}
  end
  cover(s, d, t, o, title)
  for _, note in ipairs(notes) do s:sentences({text.sentence(note)}, {bold = true}) end
  for k = 1, t.rows do
    for i = 1, t.columns do tile(s, d, t, i, k, o) end
  end
  return found, notes
end

return markout
