--- The picture of something on a hoist: how it hangs, from the side and from behind, with its legs, the hook over its CG, and the pulls.
--
-- Ends of legs, the hook and the CG are turned in space as the statics have them; outlines, which a scene has flat, are turned in the plane
-- of their view. Places are mm from the CG.

local canvas = require "steelyard.draw.canvas"
local figure = require "steelyard.draw.figure"
local flags = require "steelyard.draw.flags"
local isolated = require("steelyard.draw.svg").isolated
local marks = require "steelyard.draw.marks"
local rows = require "steelyard.draw.rows"
local said = require "steelyard.shop.hoist.words"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"
local view = require "steelyard.draw.view"
local words = require "steelyard.draw.words"

local rigging = {views = {"side", "front"}}

local SIZES = canvas.sizes
local ROW = 4.2
local TALL, NARROW_TALL = 105, 75 -- of a view, mm
local ROPE = 9      -- mm over the hook
local CG_RADIUS = 2.7
local SEEN = 3      -- deg: what hangs nearer to how it stands is drawn once, or its two outlines would be a blur
local FLAT = 10     -- deg: outlines turned so far about the other axis no longer look as drawn

-- ---- how it hangs ---------------------------------------------------------------------------------------------------------------

local function cross(a, b) return {a[2] * b[3] - a[3] * b[2], a[3] * b[1] - a[1] * b[3], a[1] * b[2] - a[2] * b[1]} end

-- {forward, left, up} from the CG, mm.
local function from_cg(hung, p)
  local back, up = hung.side:point(p)
  local cg_back, cg_up = hung.side:point(hung.result.cg)
  return {cg_back - back, hung.rear:point(hung.result.cg) - hung.rear:point(p), up - cg_up}
end

-- The least turn that brings the line from the CG to the hook upright: a function of {forward, left, up} (Rodrigues' formula, with the axis
-- a x z and 1 + cos in the place of sin^2 / (1 - cos)).
local function turn_of(hook)
  local size = math.sqrt(hook[1] ^ 2 + hook[2] ^ 2 + hook[3] ^ 2)
  local a = {hook[1] / size, hook[2] / size, hook[3] / size}
  if 1 + a[3] < 1e-9 then return function(p) return {-p[1], p[2], -p[3]} end end
  local w = cross(a, {0, 0, 1})
  return function(p)
    local once = cross(w, p)
    local twice = cross(w, once)
    return {p[1] + once[1] + twice[1] / (1 + a[3]), p[2] + once[2] + twice[2] / (1 + a[3]), p[3] + once[3] + twice[3] / (1 + a[3])}
  end
end

-- What the two views share: looks, the turn, legs from the CG as it hangs, the bodies that hang.
local function hung_of(result, scene)
  local hung = {result = result, side = view.of(scene, "side"), rear = view.of(scene, "rear"), legs = {}, bodies = {}}
  local hook = from_cg(hung, result.hangs_from)
  hung.turn = turn_of(hook)
  hung.hook = hung.turn(hook)
  for i, leg in ipairs(result.legs) do hung.legs[i] = hung.turn(from_cg(hung, leg.at)) end
  local slung = {}
  for _, path in ipairs(result.parts) do slung[path] = true end
  for _, body in ipairs(scene.bodies) do
    if slung[body.path] then table.insert(hung.bodies, body) end
  end
  return hung
end

-- ---- a view -----------------------------------------------------------------------------------------------------------------

-- Which of {forward, left, up} runs to the left on the paper.
local ways = {side = 1, rear = 2}

local function to_paper(name, p) return -p[ways[name]], p[3] end

-- Loops of a body from the CG, turned by degrees counter-clockwise.
local function loops_of(hung, name, body, degrees)
  local look = hung[name]
  local cu, cv = look:point(hung.result.cg)
  local c, s = math.cos(math.rad(degrees)), math.sin(math.rad(degrees))
  local list = look:loops(body.outlines[look.outlines])
  for _, loop in ipairs(list) do
    for k, p in ipairs(loop) do
      local u, v = p[1] - cu, p[2] - cv
      loop[k] = {u * c - v * s, u * s + v * c}
    end
  end
  return list
end

local function widen(r, u, v)
  r.u1, r.v1, r.u2, r.v2 = math.min(r.u1, u), math.min(r.v1, v), math.max(r.u2, u), math.max(r.v2, v)
end

-- {name, range, now and before = lists of loops, angle}
local function view_of(hung, name)
  local ahead = hung.turn(name == "side" and {1, 0, 0} or {0, 1, 0})
  local u, v = to_paper(name, ahead)
  local f = {name = name, angle = math.deg(math.atan(-v, -u)), now = {}, before = {},
             range = {u1 = math.huge, v1 = math.huge, u2 = -math.huge, v2 = -math.huge}}
  for _, body in ipairs(hung.bodies) do
    if body.outlines then
      table.insert(f.now, {path = body.path, loops = loops_of(hung, name, body, f.angle)})
      if math.abs(f.angle) >= SEEN then table.insert(f.before, {path = body.path, loops = loops_of(hung, name, body, 0)}) end
    end
  end
  for _, list in ipairs{f.now, f.before} do
    for _, one in ipairs(list) do
      for _, loop in ipairs(one.loops) do
        for _, p in ipairs(loop) do widen(f.range, p[1], p[2]) end
      end
    end
  end
  widen(f.range, 0, 0)
  widen(f.range, to_paper(name, hung.hook))
  for _, leg in ipairs(hung.legs) do widen(f.range, to_paper(name, leg)) end
  return f
end

local leg_looks = {pass = {}, near = {}, fail = {colour = "fail"}}

-- A leg that pulls nothing is a thin grey line; its label says that it is slack.
local function draw_legs(c, f, hung)
  local hx, hy = f.x(to_paper(f.name, hung.hook)), f.y(hung.hook[3])
  for i, leg in ipairs(hung.result.legs) do
    local x, y = f.x(to_paper(f.name, hung.legs[i])), f.y(hung.legs[i][3])
    local look = leg_looks[leg.status]
    c:line(hx, hy, x, y, {weight = leg.slack and "fine" or "wheel", colour = leg.slack and "grey" or look.colour or "ink",
           what = "leg " .. leg.point})
    c:circle(x, y, 0.9, {weight = "body", fill = leg.slack and "white" or look.colour or "ink", colour = look.colour or "ink",
             what = "eye " .. leg.point})
  end
end

local function draw_hook(c, f, hung)
  local x, y = f.x(to_paper(f.name, hung.hook)), f.y(hung.hook[3])
  marks.arrow(c, x, y - 1.2, x, y - ROPE, {weight = "wheel", what = "rope"})
  c:circle(x, y, 1.2, {weight = "wheel", fill = "white", what = "hook"})
  c:text(x + 2.4, y - 2, "hook", {colour = "grey"})
end

local LONGEST_NAME = 32 -- mm

local function measured(label)
  label.width = 0
  for _, line in ipairs(label.lines) do label.width = math.max(label.width, canvas.width_of(line, SIZES.text, label.bold)) end
  return label
end

-- The end of a leg: its name, and from the side what it pulls and its degrees from upright. Shorter without the uncertainty.
local function label_of(leg, f)
  local most = math.min(LONGEST_NAME, (f.right - f.left) / 2 - 8) -- two stand beside each other even where the legs are near the middle
  local label = {lines = {canvas.cut(words.name(leg.point), most, SIZES.text)}, colour = leg.status == "fail" and "fail" or nil}
  if f.name == "side" then
    local angle = text.fixed(leg.angle, 0) .. "\u{A0}deg" .. (leg.status == "fail" and ", FAIL" or "")
    label.lines[2] = ("%s, %s"):format(leg.slack and "slack" or words.value(leg.tension, leg.sd.tension, 1, "kg"), angle)
    function label:shorten(room)
      self.lines = {canvas.cut(self.lines[1], room, SIZES.text),
                    leg.slack and self.lines[2] or ("%s, %s"):format(words.value(leg.tension, 0, 1, "kg"), angle)}
      measured(self)
    end
  end
  return measured(label)
end

-- Labels below the view at the ends of upright leaders, of the CG first. Gives the y of the lowest.
local function draw_labels(c, f, hung, top)
  local list, tall = {}, f.name == "side" and 2 or 1
  for i, leg in ipairs(hung.result.legs) do
    local label = label_of(leg, f)
    label.x, label.y = f.x(to_paper(f.name, hung.legs[i])), f.y(hung.legs[i][3]) + 0.9
    list[i] = label
  end
  list[#list + 1] = measured{x = f.x(0), y = f.y(0) + CG_RADIUS, lines = {"CG"}, bold = true}
  for i, label in ipairs(list) do
    for k = 1, i - 1 do
      if math.abs(label.x - list[k].x) < 0.5 then label.x = list[k].x + 0.6 end
    end
  end
  local count, out, placed = flags.place(list, f.left, f.right)
  f.unnamed = #out
  for _, label in ipairs(placed) do
    local y = top + ((label.row - 1) * tall + 1) * ROW
    c:line(label.x, label.y, label.x, y + (#label.lines - 1) * ROW + 0.6, {weight = "hair", colour = label.bold and "ink" or "grey",
           what = "leader", only_on_paper = true})
    for k, line in ipairs(label.lines) do
      c:text(label.side == "start" and label.x + flags.AWAY or label.x - flags.AWAY, y + (k - 1) * ROW, line,
             {anchor = label.side, bold = label.bold, colour = label.colour, label = true})
    end
  end
  return top + count * tall * ROW
end

local function put_loops(c, f, list, o)
  for _, one in ipairs(list) do
    local paper = {}
    for i, loop in ipairs(one.loops) do
      paper[i] = {}
      for k, p in ipairs(loop) do paper[i][k] = {f.x(p[1]), f.y(p[2])} end
    end
    c:loops(paper, {weight = o.weight, colour = o.colour, dash = o.dash, what = o.what .. one.path})
  end
end

local titles = {side = "from the side, front left", rear = "from behind, left side left"}

-- Draws a view between its margins with its hook's rope at `top`; gives the y of its lower end.
local function draw_view(c, f, hung, top)
  c:view()
  local r, middle = f.range, (f.left + f.right) / 2
  function f.x(u) return middle + (u - (r.u1 + r.u2) / 2) / f.scale end
  function f.y(v) return top + ROPE + 5.5 + (r.v2 - v) / f.scale end
  c:text(f.left, top + 2.4, titles[f.name], {colour = "grey"})
  put_loops(c, f, f.before, {weight = "fine", colour = "grey", dash = "earlier", what = "before "})
  put_loops(c, f, f.now, {weight = "body", colour = "grey", what = "body "})
  local low = f.y(r.v1) + 2
  c:line(f.x(0), f.y(hung.hook[3]) + 1.2, f.x(0), low, {weight = "hair", colour = "grey", dash = "centre", what = "centre line"})
  draw_legs(c, f, hung)
  draw_hook(c, f, hung)
  marks.cg(c, f.x(0), f.y(0), CG_RADIUS)
  return draw_labels(c, f, hung, low)
end

-- One scale for both.
local function scale_of(list, tall)
  for _, n in ipairs(figure.scales) do
    local fits = true
    for _, f in ipairs(list) do
      local r = f.range
      fits = fits and (r.u2 - r.u1) / n <= f.right - f.left - 8 and (r.v2 - r.v1) / n <= tall - ROPE - 8
    end
    if fits then return n end
  end
  return figure.scales[#figure.scales]
end

local LEAST_SHARE = 0.4 -- of the page for a view: labels need it

-- Side by side, or under one another on a narrow page.
local function draw_views(page, hung, y)
  local side, rear = view_of(hung, "side"), view_of(hung, "rear")
  local long, wide = side.range.u2 - side.range.u1, rear.range.u2 - rear.range.u1
  local split = page.left + math.max(LEAST_SHARE, math.min(1 - LEAST_SHARE, long / (long + wide))) * (page.right - page.left)
  side.left, side.right, rear.left, rear.right = page.left, split - 2, split + 2, page.right
  if page.narrow then side.right, rear.left = page.right, page.left end
  local scale = scale_of({side, rear}, page.narrow and NARROW_TALL or TALL)
  side.scale, rear.scale = scale, scale
  local low = draw_view(page.canvas, side, hung, y)
  local other = draw_view(page.canvas, rear, hung, page.narrow and low + 4 or y)
  return math.max(low, other), scale, side, rear
end

-- ---- words and tables -------------------------------------------------------------------------------------------------------------

local function heading_of(result, scene)
  local most = result.legs[1]
  for _, leg in ipairs(result.legs) do if leg.tension > most.tension then most = leg end end
  local mark = verdicts.mark[result.status]
  return {title = scene.named or scene.title, state = words.sentence(("%s on the hoist, %s"):format(isolated(result.what), result.state)),
          lines = {words.sentence(text.sentence("hangs " .. said.attitude(result)))}, answer = {
    {"lifted", words.value(result.mass, result.sd.mass, 1, "kg")}, {"most pull", words.value(most.tension, most.sd.tension, 1, "kg")},
    {"overall", mark, colour = result.status == "fail" and "fail" or nil}}}
end

local function draw_legs_table(page, result, y)
  local list = {}
  for i, leg in ipairs(result.legs) do
    local bad = leg.status == "fail" and "fail" or nil
    list[i] = {words.name(leg.point), said.length(result, leg), result.chosen and "" or text.fixed(result.fit.lengths[i], 0),
               leg.slack and {"slack", colour = bad} or words.set(text.plus_minus(leg.tension, leg.sd.tension, 1)),
               text.fixed(leg.angle, 0), {said.remark(leg), colour = bad}}
  end
  local fit = not result.chosen and #result.legs > 1
  local columns = {{"leg to", left = true, gives = true}, {page.narrow and "mm" or "length, mm"},
                   {fit and (page.narrow and "to fit" or "to fit, mm") or ""}, {"pull, kg"},
                   {page.narrow and "deg" or "from upright, deg"}, {""}}
  if not fit then
    table.remove(columns, 3)
    for _, row in ipairs(list) do table.remove(row, 3) end
  end
  return rows.draw(page.canvas, y, columns, list, {left = page.left, right = page.right})
end

local function draw_boom(page, result, y)
  if not result.boom then return y end
  local list = {}
  for i, line in ipairs(result.boom) do
    local look = {bold = line.used, colour = line.status == "fail" and "fail" or nil}
    local function cell(shown) return {shown, bold = look.bold, colour = look.colour} end
    list[i] = {cell(text.fixed(line.reach, 0)), cell(text.fixed(line.kg, 0)), cell(words.set(text.fixed(line.margin, 1))),
               cell(verdicts.mark[line.status]), cell(line.used and "counts at this reach" or "")}
  end
  local last = page.narrow and {"", left = true, gives = true} or {"", left = true}
  local columns = {{page.narrow and "reach, mm" or "boom: reach, mm"}, {"rated, kg"}, {"margin, kg"}, {""}, last}
  return rows.draw(page.canvas, y + 1.5, columns, list, {left = page.left, right = page.right})
end

local function notes_of(result, hung, side, rear)
  local list = {}
  if #side.before + #rear.before > 0 then
    list[#list + 1] = "long-dash double-dot: as it stands in the car, with its CG in the same place"
  end
  local bare = 0
  for _, body in ipairs(hung.bodies) do bare = bare + (body.outlines and 0 or 1) end
  if bare > 0 then
    list[#list + 1] = ("%d of %s no shape in the file and %s not drawn"):format(bare,
      text.count(#hung.bodies, "part that hangs has", "parts that hang have"), bare == 1 and "is" or "are")
  end
  if math.abs(side.angle) > FLAT and math.abs(rear.angle) > FLAT then
    list[#list + 1] = "outlines are turned in the plane of each view; legs and hook are turned in space"
  end
  local lost = side.unnamed + rear.unnamed
  if lost > 0 then list[#list + 1] = ("%s no room for a name"):format(text.count(lost, "mark has", "marks have")) end
  table.move(result.notes, 1, #result.notes, #list + 1, list)
  return list
end

-- How to hang it as it is to be fitted, and how it comes out.
local function sentences_of(result)
  local list = {}
  for i, line in ipairs(said.sentences(result)) do list[i] = words.sentence(line) end
  list[#list + 1] = text.sentence(words.sentence(("overall: %s, %s"):format(verdicts.mark[result.status], result.why)))
  return list
end

function rigging.draw(page, result, scene)
  local hung = hung_of(result, scene)
  local y = sheet.heading(page, heading_of(result, scene))
  local scale, side, rear
  y, scale, side, rear = draw_views(page, hung, y + 1)
  y = draw_legs_table(page, result, y + 1.5)
  y = draw_boom(page, result, y)
  marks.scale_bar(page.canvas, page.left, y + 6, scale)
  y = sheet.sentences(page, y + 7.5, sentences_of(result))
  y = sheet.sentences(page, y + 1, {said.CAUTION})
  return y, {scale = scale, notes = notes_of(result, hung, side, rear),
                   words = ("%s on the hoist from the side and from behind, 1:%d"):format(result.what, scale)}
end

return rigging
