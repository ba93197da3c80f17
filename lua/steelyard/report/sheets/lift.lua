--- The sheet for who lifts an axle: what must be seen to first, how high in which steps, what touches first, the car at the greatest lift,
-- and blanks for what is read. What the pads should read does not stand on it.

local contents = require "steelyard.car.contents"
local figure = require "steelyard.draw.figure"
local marks = require "steelyard.draw.marks"
local remarks = require "steelyard.measure.cg_height.remarks"
local scene = require "steelyard.draw.scene"
local shared = require "steelyard.shop.sheet_words"
local text = require "steelyard.print.text"
local turned = require "steelyard.draw.turned"
local words = require "steelyard.draw.words"

local lift = {}

local canvas_sizes = require("steelyard.draw.canvas").sizes

local TALL, AIR = 52, 8 -- mm: room for the figure, and beside it
local SHOWN = 4         -- of the points that touch
local WITHIN, PAD = 10, 0.1 -- mm and kg: what the plan is made for unless stated
local SD = {lift = 2, radius = 1, wheelbase = 2} -- mm: a rule and a tape in a workshop, common practice, no source

local function mm(x) return words.set(text.fixed(x, 0), "mm") end

local function step_words(plan)
  local list = {}
  for k = 1, plan.steps do
    list[k] = ("step %d %s"):format(k, words.set(text.plain(plan.lift * k / plan.steps), "mm"))
  end
  return table.concat(list, ", ")
end

local function touch_words(plan)
  local list = {}
  for i, touch in ipairs(plan.touches) do
    if touch.lift and i <= SHOWN then list[i] = ("%s from %s"):format(words.name(touch.point), mm(touch.lift)) end
  end
  if #list > 0 then return table.concat(list, "; ") end
  return #plan.touches > 0 and "no point of the file up to 20 degrees" or "unknown: the file states no low points"
end

local function plan_rows(plan)
  local rows = {
    {"lift", ("the %s, to %s under the tyres, %s degrees"):format(plan.lifted, mm(plan.lift), text.fixed(plan.angle, 1))},
    {"in steps of equal blocks", step_words(plan)},
    {"up and down", text.count(plan.repeats, "time")},
    {"under all tyres besides", plan.blocks > 0 and "equal blocks of " .. mm(plan.blocks) .. ", or something touches" or "nothing needed"},
    {"touches first", touch_words(plan)},
    {"gives the CG height to", ("±\u{A0}%s with pads good to %s kg; limited by %s"):format(mm(plan.half_width),
      text.plain(tonumber(text.fixed(plan.pad, 3))), plan.limited_by)},
  }
  for _, row in ipairs(rows) do row[1] = {row[1], colour = "grey"} end
  return rows
end

-- ---- the car up ------------------------------------------------------------------------------------------------------------------------

-- Middle and radius of the wheels that are up, in the plane of the figure.
local function lifted_wheels(f, name)
  local u, v, radius, count = 0, 0, 0, 0
  for _, wheel in pairs(f.scene.wheels) do
    if wheel.axle == name then
      local wu, wv = f.look:point(wheel.at)
      u, v, radius, count = u + wu, v + wv, radius + wheel.radius, count + 1
    end
  end
  return u / count, v / count, radius / count
end

local function draw_blocks(c, f, plan)
  local axles = f.scene.axles
  local u, v, radius = lifted_wheels(f, plan.lifted == "rear" and axles[#axles].name or axles[1].name)
  local top = v - radius
  c:box(figure.x(f, u - radius * 0.6), figure.y(f, top), figure.x(f, u + radius * 0.6), figure.y(f, 0),
        {weight = "body", fill = "white", what = "blocks"})
  for k = 1, plan.steps - 1 do
    local y = figure.y(f, top * k / plan.steps)
    c:line(figure.x(f, u - radius * 0.6), y, figure.x(f, u + radius * 0.6), y, {weight = "fine", what = "block"})
  end
end

local function draw_up(s, car, plan)
  local c = contents.inside(car)
  local up = scene.make(c, car, {name = "lift", lifted = plan.lifted, angle = plan.angle, lift = plan.lift}, {"side"})
  s:room(TALL + 14)
  local f = turned.plan(up, "side", {left = s.left, right = s.right})
  turned.fit(f, AIR, TALL)
  f.y0 = s.y + 6 + f.range.v2 / f.scale
  local canvas = s.canvas
  canvas:text(s.left, s.y + 4, "front", {colour = "grey"})
  canvas:text(s.right, s.y + 4, "from its left, at the greatest lift; level in long-dash double-dot", {colour = "grey", anchor = "end"})
  draw_blocks(canvas, f, plan)
  canvas:loops({turned.paper(f, turned.levelled(f, f.hull))}, {weight = "fine", colour = "grey", dash = "earlier", what = "level"})
  canvas:loops({turned.paper(f, f.hull)}, {weight = "body", what = "outline"})
  for _, wheel in ipairs(f.wheels) do
    canvas:loops({turned.paper(f, wheel.corners)}, {weight = "wheel", fill = "white", what = "wheel"})
  end
  marks.ground(canvas, s.left, s.right, figure.y(f, 0))
  s.y = math.max(figure.y(f, f.range.v1), figure.y(f, 0) + 2) + 3
  marks.scale_bar(canvas, s.left, s.y + 2, f.scale)
  s.y = s.y + 4
end

-- ---- the sheet --------------------------------------------------------------------------------------------------------------------------

local function readings(s, c, plan)
  s:sheet{title = "Lift sheet, readings", state = words.name(c.shared.spec.title or ""), lines = {}}
  s:section "Wait until each rests"
  local columns, rows = {"lift, mm", "or angle, deg"}, {{"zero, nothing on", without = {true, true}}, {"level"}}
  for _, wheel in ipairs(c.geometry:wheels()) do columns[#columns + 1] = words.wheel(wheel.key) .. ", kg" end
  for k = 1, plan.steps do rows[#rows + 1] = {("step %d, up"):format(k)} end
  for k = plan.steps - 1, 1, -1 do rows[#rows + 1] = {("step %d, down"):format(k)} end
  rows[#rows + 1], rows[#rows + 2] = {"level again"}, {"zero after", without = {true, true}}
  s:blanks{name = plan.repeats > 1 and "copy for each time up and down" or "going", columns = columns, rows = rows}
end

--- Draws it; gives the plan. o: within (mm), pad (kg), lifted.
function lift.draw(s, car, o)
  local c = contents.inside(car)
  local plan = car:plan_lift{within = o.within or WITHIN, pads = {sd = o.pad or PAD}, lifted = o.lifted, sd = SD}
  s:sheet{title = ("Lift sheet, %s up"):format(plan.lifted), state = words.name(c.shared.spec.title or ""), lines = {
    "Load state: " .. words.name(plan.state)}}
  for _, note in ipairs(plan.notes) do -- who is aboard and must not be, first
    if note ~= remarks.CAUTION then s:sentences({text.sentence(note)}, {bold = true}) end
  end
  s:sentences({text.sentence(remarks.CAUTION)}, {bold = true})
  if not plan.possible then
    s:sentences({("Not to be had so: even this lift leaves ± %s, asked is ± %s."):format(mm(plan.half_width), mm(plan.within))},
                {bold = true, colour = "fail"})
  end
  s.y = s.y + 2
  s:table{columns = {{"", left = true}, {"", left = true, gives = true}}, rows = plan_rows(plan), size = canvas_sizes.state, bare = true}
  draw_up(s, car, plan)
  s:section("Before it goes up", 3 * 7)
  local stays = plan.lifted == "rear" and shared.chocked or "rear axle chocked, front free"
  s:checks{shared.nobody, {shared.locked .. ", front", unit = "mm"}, {"rear", unit = "mm"}, stays, shared.tied, shared.straps,
           "low points watched while it goes up", "who watches and who lifts is agreed"}
  s:fill{{"date", 30}, {"by", 50}, {"scales", 30, rest = true}}
  readings(s, c, plan)
  return {lifted = plan.lifted, lift = plan.lift, angle = plan.angle, steps = plan.steps, repeats = plan.repeats, blocks = plan.blocks,
          half_width = plan.half_width, possible = plan.possible}, plan.notes
end

return lift
