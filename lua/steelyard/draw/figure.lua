--- One view of a car to scale: outlines, masses, wheels, CG, and names in a gutter above it.

local canvas = require "steelyard.draw.canvas"
local flags = require "steelyard.draw.flags"
local lumps = require "steelyard.draw.lumps"
local isolated = require("steelyard.draw.svg").isolated
local marks = require "steelyard.draw.marks"
local view = require "steelyard.draw.view"
local words = require "steelyard.draw.words"

local figure = {}

local SIZES = canvas.sizes
local ROW = 4.2 -- of the gutter, mm

--- Scales to choose from; those beyond 1:25 are for narrow pictures and long vehicles.
figure.scales = {5, 10, 12, 15, 18, 20, 25, 30, 40, 50, 60, 75, 100, 150, 200, 500, 1000}

local LEAST = 1.5    -- mm on paper: an outline smaller than that is a blot
local COARSE = 15    -- mm on paper: smaller outlines are left out on a terminal, which could not show them
local EARLIER = 6    -- mm on paper: the least that shows where something was
local BELOW = 0.5    -- mm: what is drawn deeper below the ground is said
local MOVED = 0.5    -- mm on the car: what moved by less has not moved
local CG_RADIUS = 2.7
local LARGEST = 9      -- radius of the largest circle, mm
local TEN, USUAL_SCALE = 1.6, 25 -- radius of the circle of 10 kg, mm, at that scale and larger ones
local LONGEST_NAME, LETTERS = 34, 26 -- mm, and letters on a terminal

-- A tyre's width to its loaded radius where no part says it; it is drawn dashed. Common practice, no source.
local GUESSED_WIDTH = 0.65

--- mm on the car
function figure.tyre_width(wheel) return wheel.width or GUESSED_WIDTH * wheel.radius end

--- What is said where a width is guessed; nil where none is.
function figure.tyre_note(scene)
  for _, wheel in pairs(scene.wheels) do
    if not wheel.width then return "a dashed tyre is as wide as tyres of its size are: no part of the file has its width" end
  end
end

--- Places on the paper.
function figure.x(f, u) return f.x0 + u / f.scale end
function figure.y(f, v) return f.y0 - v / f.scale end

-- ---- the plan of a figure -----------------------------------------------------------------------------------------------------

local function scale_for(span_u, span_v, wide, tall)
  for _, n in ipairs(figure.scales) do
    if span_u / n <= wide and span_v / n <= tall then return n end
  end
  return math.ceil(math.max(span_u / wide, span_v / tall))
end

-- The range of two scenes together.
local function both(a, b)
  return {u1 = math.min(a.u1, b.u1), v1 = math.min(a.v1, b.v1), u2 = math.max(a.u2, b.u2), v2 = math.max(a.v2, b.v2)}
end

-- Tyres whose width nobody states are drawn as wide as usual ones.
local function widen_by_tyres(f)
  if f.name == "side" then return end
  local r, plan = f.range, f.name == "plan"
  for _, wheel in pairs(f.scene.wheels) do
    local u, v = f.look:point(wheel.at)
    local half = figure.tyre_width(wheel) / 2
    if plan then r.v1, r.v2 = math.min(r.v1, v - half), math.max(r.v2, v + half)
    else r.u1, r.u2 = math.min(r.u1, u - half), math.max(r.u2, u + half) end
  end
end

-- Scale, origin and size of the circles, with `air` mm of paper left free at both sides.
local function fit(f, o, air)
  local r = f.range
  f.scale = scale_for(r.u2 - r.u1, r.v2 - r.v1, o.right - o.left - 2 * air, o.tall)
  f.x0 = (o.left + o.right) / 2 - (r.u1 + r.u2) / 2 / f.scale
  local largest = math.sqrt(f.lumps[1].mass / 10)
  f.ten = math.min(TEN * math.max(0.5, math.min(1, USUAL_SCALE / f.scale)), LARGEST / largest)
end

-- How far a circle goes over a margin, mm.
local function overhang(f)
  local over = 0
  for _, lump in ipairs(f.lumps) do
    local x, r = figure.x(f, (f.look:point(lump.at))), marks.mass_radius(lump.mass, f.ten) + 0.2
    over = math.max(over, f.left - x + r, x + r - f.right)
  end
  return over
end

--- What stands where: {look, before_look, scale, range, x0 (of u = 0), ten (radius of 10 kg), lumps}. o: canvas; left, right, tall, air:
-- room, mm; most: masses.
function figure.plan(scene, before, name, o)
  local f = {canvas = o.canvas, scene = scene, before = before, look = view.of(scene, name), name = name, left = o.left, right = o.right}
  f.range = view.range(scene, f.look)
  if before then
    f.before_look = view.of(before, name)
    f.range = both(f.range, view.range(before, f.before_look))
  end
  if name ~= "plan" then f.range.v1 = math.min(f.range.v1, 0) end
  widen_by_tyres(f)
  f.lumps, f.most = lumps.of(scene, o.most), o.most
  fit(f, o, o.air)
  local over = overhang(f)
  if over > 0 then fit(f, o, o.air + over) end
  local r = f.range
  f.height = (r.v2 - r.v1) / f.scale
  return f
end


-- ---- names --------------------------------------------------------------------------------------------------------------------

-- A name in a list of parts is the last of its path; a lump of a group has only its own.
local function shown_name(c, name)
  return c:cut(isolated((name:gsub("[ \t\r\n]+", " "))), math.max(LONGEST_NAME, LETTERS * (c.letter or 0)), SIZES.text)
end
figure.shown_name = shown_name

--- Words of the CG: "1400 ± 21 behind, 334 ± 3 up".
function figure.cg_words(scene, name)
  local sd = scene.sd
  local behind = words.way(scene.cg_behind, sd.cg_behind, 0, "behind", "ahead")
  local left = words.way(scene.cg_left, sd.cg_left, 0, "left", "right")
  local up = words.way(scene.height, sd.height, 0, "up", "down")
  if name == "plan" then return ("CG %s, %s"):format(behind, left) end
  return ("CG %s, %s"):format(name == "front" and left or behind, up)
end

local function cutter(f)
  return function(label, room)
    label.words = f.canvas:cut(label.words, room, SIZES.text)
    label.width = f.canvas:width_of(label.words, SIZES.text)
  end
end

-- Labels in the order of importance: `also`, the CG, then masses.
local function labels_of(f, also)
  local list, cut_to = {}, cutter(f)
  local u, v = f.look:point(f.scene.cg.at)
  local cg = figure.cg_words(f.scene, f.name)
  table.move(also or {}, 1, also and #also or 0, 1, list)
  list[#list + 1] = {x = figure.x(f, u), v = v, words = cg, bold = true, cg = true, width = f.canvas:width_of(cg, SIZES.text, true),
             shorten = function(label) -- without the uncertainties
               label.words = label.words:gsub("\u{A0}±\u{A0}[%d.]+", "")
               label.width = f.canvas:width_of(label.words, SIZES.text, true)
             end}
  for _, lump in ipairs(f.marked or f.lumps) do
    local hu, hv = f.look:point(lump.at)
    local name = shown_name(f.canvas, lump.name)
    list[#list + 1] = {x = figure.x(f, hu), v = hv, words = name, width = f.canvas:width_of(name, SIZES.text), lump = lump,
                       shorten = cut_to}
  end
  return list
end

-- Leaders a hair apart look like one: the later label goes a little aside.
local function part_leaders(list)
  for i, label in ipairs(list) do
    for k = 1, i - 1 do
      if math.abs(label.x - list[k].x) < 0.5 then label.x = list[k].x + 0.6 end
    end
  end
end

-- Lumps that lie aside: those on the centre plane stand behind one another when seen from the front.
local function mark_aside(f, aside)
  f.marked = {}
  for _, lump in ipairs(f.lumps) do
    if math.abs((f.look:point(lump.at))) >= aside then f.marked[#f.marked + 1] = lump end
  end
end

local FEWEST = 2 -- masses: the car is not drawn as one

--- Lays out the names; f.rows says how many rows of the gutter they take. Where one finds no place, masses are joined until all do.
-- o.aside: masses nearer to the centre plane than that are left out; o.also(f): list of more labels.
function figure.lay_names(f, o)
  for most = f.most, math.min(f.most, FEWEST), -1 do
    if most < f.most then
      f.lumps = lumps.of(f.scene, most)
      f.ten = math.min(f.ten, LARGEST / math.sqrt(f.lumps[1].mass / 10))
    end
    if o and o.aside then mark_aside(f, o.aside) end
    local list = labels_of(f, o and o.also and o.also(f))
    part_leaders(list)
    local rows, out, placed = flags.place(list, f.left, f.right)
    f.rows, f.labels, f.unnamed = rows, placed, out
    if #out == 0 then return end
  end
end

local function draw_names(c, f, top)
  for _, label in ipairs(f.labels) do
    local y = top + (f.rows - label.row + 1) * ROW - 1.1 -- row 1 is the lowest
    c:line(label.x, y - 2.2, label.x, figure.y(f, label.v) - (label.cg and CG_RADIUS or 0),
           {weight = "hair", colour = label.lump and "grey" or "ink", what = "leader"})
    if label.lump then c:circle(label.x, figure.y(f, label.v), 0.45, {fill = "ink", only_on_paper = true}) end
    c:text(label.side == "start" and label.x + flags.AWAY or label.x - flags.AWAY, y, label.words,
           {anchor = label.side, bold = label.bold, label = not label.measure, measure = label.measure, what = label.what})
  end
end

-- ---- bodies ---------------------------------------------------------------------------------------------------------------------

local function box_of(loops)
  local x1, y1, x2, y2 = math.huge, math.huge, -math.huge, -math.huge
  for _, loop in ipairs(loops) do
    for _, p in ipairs(loop) do
      local x, y = p[1], p[2]
      if x < x1 then x1 = x end
      if x > x2 then x2 = x end
      if y < y1 then y1 = y end
      if y > y2 then y2 = y end
    end
  end
  return x1, y1, x2, y2
end

-- {x1, y1, x2, y2, size} of an outline, mm on the car.
local function extent_of(loops)
  local x1, y1, x2, y2 = box_of(loops)
  return {x1, y1, x2, y2, size = math.max(x2 - x1, y2 - y1)}
end

local function on_paper(f, loops)
  local list, x0, y0, scale = {}, f.x0, f.y0, f.scale
  for i, loop in ipairs(loops) do
    local points = {}
    for k, p in ipairs(loop) do points[k] = {x0 + p[1] / scale, y0 - p[2] / scale} end
    list[i] = points
  end
  return list
end

-- The part of a loop below a level v, for the liquid in it.
local function below(loop, level)
  local out = {}
  for i, p in ipairs(loop) do
    local q = loop[i % #loop + 1]
    if p[2] <= level then out[#out + 1] = p end
    if (p[2] <= level) ~= (q[2] <= level) then
      local t = (level - p[2]) / (q[2] - p[2])
      out[#out + 1] = {p[1] + t * (q[1] - p[1]), level}
    end
  end
  return out
end

-- Is a body one of the wheels' own, which are drawn as wheels? Its outline lies within the tyre's.
local function is_wheel(f, body)
  local wheel = body.wheel and f.scene.wheels[body.wheel] or not body.wheel and body.carried and f.only_wheel and f.only_wheel[body.carried]
  return wheel and (body.shape == "cylinder" or body.shape == "tube")
end

local function draw_liquid(c, f, body, loops)
  local level = body.liquid and body.liquid.level
  if not level or f.name == "plan" then return end
  local axis = f.scene.axes.up
  local v = axis.sign * (level - axis.zero)
  local list = {}
  for _, loop in ipairs(loops) do
    local wet = below(loop, v)
    if #wet >= 3 then list[#list + 1] = wet end
  end
  if #list == 0 then return end
  c:loops(on_paper(f, list), {fill = "wash", weight = "fine", colour = "accent", what = "liquid"})
end

-- How far what is seen of a body goes below the ground.
local function note_ground(f, body, extent)
  local low = extent[2]
  if f.name ~= "plan" and low < -BELOW then f.below[#f.below + 1] = {name = body.name, mm = -low} end
end

-- Outlines with as many points in the same box, to a tenth of a millimetre of paper, are one line: both pieces of a pair from the side.
local function tenths(x) return math.floor(x * 10 + 0.5) end

local function key_of(f, extent, loops)
  return ("%d %d %d %d %d"):format(tenths(f.x0 + extent[1] / f.scale), tenths(f.y0 - extent[4] / f.scale),
    tenths(f.x0 + extent[3] / f.scale), tenths(f.y0 - extent[2] / f.scale), #loops[1])
end

local function draw_bodies(c, f)
  local seen = {}
  f.shown, f.too_small, f.shapeless, f.below = 0, 0, 0, {}
  for _, body in ipairs(f.scene.bodies) do
    local loops = body.outlines and f.look:loops(body.outlines[f.name])
    local extent = loops and extent_of(loops)
    if not loops then
      f.shapeless = f.shapeless + 1
    elseif extent.size / f.scale < LEAST then
      f.too_small = f.too_small + 1
    elseif not is_wheel(f, body) then
      note_ground(f, body, extent)
      f.shown = f.shown + 1
      draw_liquid(c, f, body, loops)
      local key = key_of(f, extent, loops)
      if not seen[key] then
        local paper = on_paper(f, loops)
        local dark = body.kind == "tank" or body.kind == "person"
        c:loops(paper, {weight = dark and "body" or "fine", colour = dark and "grey" or "pale",
                        what = "body " .. body.path, path = body.path, only_on_paper = extent.size / f.scale < COARSE})
      end
      seen[key] = true
    end
  end
end

-- ---- what was before ------------------------------------------------------------------------------------------------------------

local function moved(f, body, earlier)
  local u, v = f.look:point(body.at)
  local eu, ev = f.before_look:point(earlier.at)
  return math.abs(u - eu) > MOVED or math.abs(v - ev) > MOVED
end

-- Outlines of what has moved or gone since; masses without a shape as circles.
local function draw_before(c, f)
  if not f.before then return end
  local now = {}
  for _, body in ipairs(f.scene.bodies) do now[body.path] = body end
  local seen = {}
  for _, earlier in ipairs(f.before.bodies) do
    local body = now[earlier.path]
    if not body or moved(f, body, earlier) then
      local loops = earlier.outlines and f.before_look:loops(earlier.outlines[f.name])
      local extent = loops and extent_of(loops)
      if extent and extent.size / f.scale >= EARLIER then
        local key = key_of(f, extent, loops)
        if not seen[key] then
          c:loops(on_paper(f, loops), {weight = "fine", colour = "grey", dash = "earlier", what = "before " .. earlier.path})
        end
        seen[key] = true
      elseif not loops and earlier.mass >= 10 then
        local u, v = f.before_look:point(earlier.at)
        c:circle(figure.x(f, u), figure.y(f, v), marks.mass_radius(earlier.mass, f.ten),
                 {weight = "fine", colour = "grey", dash = "earlier", what = "before " .. earlier.path})
      end
    end
  end
end

-- ---- wheels and masses ------------------------------------------------------------------------------------------------------------

function figure.sorted_keys(t)
  local list = {}
  for key in pairs(t) do list[#list + 1] = key end
  table.sort(list, require("steelyard.core").before)
  return list
end

local function draw_wheels(c, f)
  local drawn = {}
  for _, key in ipairs(figure.sorted_keys(f.scene.wheels)) do
    local wheel = f.scene.wheels[key]
    local u, v = f.look:point(wheel.at)
    local x, y, r = figure.x(f, u), figure.y(f, v), wheel.radius / f.scale
    if f.name == "side" then
      local spot = ("%.1f %.1f %.1f"):format(x, y, r):gsub(",", ".")
      if not drawn[spot] then
        c:circle(x, y, r, {weight = "wheel", what = "wheel " .. key})
        c:circle(x, y, 0.35, {fill = "ink", only_on_paper = true})
      end
      drawn[spot] = true
    else
      local half = figure.tyre_width(wheel) / 2 / f.scale
      local w, h = f.name == "plan" and r or half, f.name == "plan" and half or r
      c:box(x - w, y - h, x + w, y + h, {weight = "wheel", fill = "white",
            dash = not wheel.width and "dashed" or nil, what = "wheel " .. key})
    end
  end
end

-- Shafts where they are seen at their length, from above and from the front; crosses at the points of the file.
local function draw_shafts_and_points(c, f)
  for _, shaft in ipairs(f.name ~= "side" and f.scene.shafts or {}) do
    local u1, v1 = f.look:point(shaft.inner)
    local u2, v2 = f.look:point(shaft.outer)
    c:line(figure.x(f, u1), figure.y(f, v1), figure.x(f, u2), figure.y(f, v2), {weight = "body", colour = "grey",
           what = "shaft " .. shaft.name})
  end
  for _, point in ipairs(f.scene.points) do
    local u, v = f.look:point(point.at)
    local x, y = figure.x(f, u), figure.y(f, v)
    if x > f.left + 1 and x < f.right - 1 and v >= f.range.v1 and v <= f.range.v2 then
      marks.cross(c, x, y)
      f.crosses = f.crosses or {}
      table.insert(f.crosses, {x = x, y = y, name = point.name})
    end
  end
end

local function draw_masses(c, f)
  for _, lump in ipairs(f.marked or f.lumps) do
    local u, v = f.look:point(lump.at)
    lump.radius = marks.mass_radius(lump.mass, f.ten)
    c:circle(figure.x(f, u), figure.y(f, v), lump.radius, {weight = "fine", fill = not lump.small and "wash" or "white",
             dash = lump.small and "dashed" or nil, what = "mass " .. lump.name, mass = lump.mass})
  end
end

local function draw_cg(c, f)
  local ellipse = f.scene.cg.ellipses[f.name]
  if f.before then
    local eu, ev = f.before_look:point(f.before.cg.at)
    local u, v = f.look:point(f.scene.cg.at)
    if math.abs(u - eu) > MOVED or math.abs(v - ev) > MOVED then
      marks.cg(c, figure.x(f, eu), figure.y(f, ev), CG_RADIUS, {earlier = true})
    end
  end
  local u, v = f.look:point(f.scene.cg.at)
  local x, y = figure.x(f, u), figure.y(f, v)
  if ellipse.long / f.scale > CG_RADIUS then
    c:ellipse(x, y, ellipse.long / f.scale, ellipse.short / f.scale, f.look:turn(ellipse.turn), {weight = "fine", dash = "dotted",
              what = "cg ellipse"})
    f.ellipse_shown = true
  end
  marks.cg(c, x, y, CG_RADIUS)
end

-- Wheels that stand alone on their axle, by its name.
local function only_wheels(scene)
  local count, one = {}, {}
  for _, wheel in pairs(scene.wheels) do
    count[wheel.axle] = (count[wheel.axle] or 0) + 1
    one[wheel.axle] = wheel
  end
  for axle, n in pairs(count) do if n > 1 then one[axle] = nil end end
  return one
end

--- Draws the figure with its names from `top` on; gives the y of its lower edge.
function figure.draw(c, f, top)
  c:view()
  local gutter = (f.rows or 0) * ROW
  f.only_wheel = only_wheels(f.scene)
  f.y0 = top + gutter + 1.5 + f.range.v2 / f.scale
  draw_bodies(c, f)
  draw_before(c, f)
  draw_wheels(c, f)
  draw_shafts_and_points(c, f)
  draw_masses(c, f)
  if f.labels then draw_names(c, f, top) end
  draw_cg(c, f)
  return figure.y(f, f.range.v1)
end

--- What pictures with a car behind them share: the scale that fits; loops of a look in mm of paper, the box round loops with its larger
-- side, and what of outlines with as many points in the same box makes them one line; the wheels' own bodies, and wheels alone on their
-- axle.
figure.scale_for, figure.on_paper, figure.extent_of, figure.key_of = scale_for, on_paper, extent_of, key_of
figure.is_wheel, figure.only_wheels, figure.LEAST = is_wheel, only_wheels, LEAST

return figure
