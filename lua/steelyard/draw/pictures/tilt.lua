--- The tilt table from behind, the worse side low, at the angle where the first wheel lifts: that angle, where the rigid car tips and what
-- is required as three rays from the low wheels; the wheel that lifts open, liquids as they lie, and what presses up and down the hill.

local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local figure = require "steelyard.draw.figure"
local marks = require "steelyard.draw.marks"
local rows = require "steelyard.draw.rows"
local said = require "steelyard.answers.stability.said"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local turned = require "steelyard.draw.turned"
local verdicts = require "steelyard.answers.verdicts"
local words = require "steelyard.draw.words"

local tilt = {views = {"front"}}

local SIZES = canvas.sizes
local TALL = {120, 84}     -- of the figure, mm, on a page and on a narrow one
local ROOM = {44, 22}      -- mm: for the words of the rays beside it
local CG_ROOM = {22, 12}   -- mm: for the words of the CG, on the other side
local UNDER = 40           -- mm on the car: the floor below the lowest wheel
local BEYOND = 80          -- mm on the car: from its outermost wheel to where a ray is strong
local LONG = {420, 240}    -- mm on the car: and for how long, on a page and on a narrow one
local ARROW = 11           -- mm: of a load

local other = {left = "right", right = "left"}
-- ---- what is shown ------------------------------------------------------------------------------------------------------------------

-- The first wheel off, worse side low, on springs where rates are known; nil where none lifts before it tips.
local function first_off(result)
  local low = result.worse_side
  local lift, sd = result.compliant.lift, result.sd.compliant and result.sd.compliant.lift
  if lift and lift[low].angle then return {angle = lift[low].angle, wheel = lift[low].wheel, sd = sd[low].angle, springs = true} end
  local rigid = result.lift[low]
  return rigid.angle and {angle = rigid.angle, wheel = rigid.wheel, sd = result.sd.lift[low].angle}
end

-- The angle at which the car is drawn: where the first wheel lifts, else where it tips, else what is required.
local function drawn_at(result)
  local first = first_off(result)
  return first and first.angle or result.tip[result.worse_side] or result.required
end

function tilt.pose(result)
  return {name = "lift", lifted = other[result.worse_side], angle = drawn_at(result), plane = true}
end

local function degrees(angle, sd) return words.value(angle, sd, 1) .. "°" end

-- Rays by angle: words, the angle, how it is drawn.
local function rays_of(result, narrow)
  local first, low = first_off(result), result.worse_side
  local list = {}
  local function add(name, angle, shown, look)
    if angle then list[#list + 1] = {words = narrow and {name, shown} or {name .. " " .. shown}, angle = angle, look = look} end
  end
  if first then
    add(narrow and "first off" or "first wheel off", first.angle, degrees(first.angle, not narrow and first.sd or nil),
        {weight = "ground", what = "ray first", colour = "ink", bold = true})
  end
  add("rigid tip", result.tip[low], degrees(result.tip[low] or 0, not narrow and result.sd.tip[low] or nil),
      {weight = "body", what = "ray tip", colour = "grey"})
  add("required", result.required, text.plain(result.required) .. "°",
      {weight = "wheel", what = "ray required", colour = "accent", bold = true})
  table.sort(list, function(a, b) return a.angle > b.angle end)
  return list
end

-- ---- the figure -------------------------------------------------------------------------------------------------------------------

-- How far the car reaches along the table from the low wheels, mm.
local function reach_of(f, pivot)
  local most = 0
  local function grow(points)
    for _, p in ipairs(turned.levelled(f, points)) do most = math.max(most, math.abs(p[1] - pivot)) end
  end
  grow(f.hull)
  for _, wheel in ipairs(f.wheels) do grow(wheel.corners) end
  return most
end

local function plan(page, result, scene)
  local size = page.narrow and 2 or 1
  local low_right = result.worse_side == "right"
  local f = turned.plan(scene, "rear", {left = page.left + (low_right and ROOM or CG_ROOM)[size],
                                        right = page.right - (low_right and CG_ROOM or ROOM)[size]})
  f.pivot = f.look:point(scene.lift.pivot)
  f.way = low_right and -1 or 1 -- up the table
  f.inner, f.long = reach_of(f, f.pivot) + BEYOND, LONG[size]
  f.range = {u1 = f.pivot, u2 = f.pivot, v1 = 0, v2 = 0}
  local r = f.range
  local function grow(u, v)
    r.u1, r.u2, r.v1, r.v2 = math.min(r.u1, u), math.max(r.u2, u), math.min(r.v1, v), math.max(r.v2, v)
  end
  for _, p in ipairs(f.hull) do grow(p[1], p[2]) end
  for _, wheel in ipairs(f.wheels) do
    for _, p in ipairs(wheel.corners) do grow(p[1], p[2]) end
  end
  for _, ray in ipairs(rays_of(result, page.narrow)) do
    local a = math.rad(ray.angle)
    grow(f.pivot + f.way * (f.inner + f.long) * math.cos(a), (f.inner + f.long) * math.sin(a))
  end
  f.floor = r.v1 - UNDER
  r.v1 = f.floor
  turned.fit(f, 3, TALL[size])
  f.page_left, f.page_right = page.left, page.right
  return f
end

local function on_ray(f, angle, distance)
  local a = math.rad(angle)
  return figure.x(f, f.pivot + f.way * distance * math.cos(a)), figure.y(f, distance * math.sin(a))
end

-- Faint from the low wheels, strong beyond the car, with their words in a column beside.
local function draw_rays(c, f, rays)
  local wanted, tips = {}, {}
  local drawn = f.scene.lift.angle -- the table, from the floor up
  local fx, fy = on_ray(f, drawn, f.floor / math.sin(math.rad(drawn)))
  local tx, ty = on_ray(f, drawn, f.inner)
  c:line(fx, fy, tx, ty, {weight = "ground", what = "table plane"})
  for i, ray in ipairs(rays) do
    local x0, y0 = on_ray(f, ray.angle, 0)
    local x1, y1 = on_ray(f, ray.angle, f.inner)
    local x2, y2 = on_ray(f, ray.angle, f.inner + f.long)
    c:line(x0, y0, x1, y1, {weight = "hair", colour = ray.look.colour, what = "ray"})
    c:line(x1, y1, x2, y2, {weight = ray.look.weight, colour = ray.look.colour, what = ray.look.what})
    wanted[i], tips[i] = y2 + 1, {x2, y2}
  end
  local lines = #rays[1].words
  local places = chart.spread(wanted, 4.6 * lines, tips[1][2] - 1, figure.y(f, f.floor) - 2 - 4 * (lines - 1))
  local edge = f.way < 0 and math.huge or -math.huge
  for _, tip in ipairs(tips) do edge = f.way < 0 and math.min(edge, tip[1]) or math.max(edge, tip[1]) end
  local x = edge + f.way * 6
  for i, ray in ipairs(rays) do
    c:line(tips[i][1] + f.way * 0.8, tips[i][2], x - f.way * 1, places[i] - 1, {weight = "hair", colour = "grey", what = "leader",
                                                                              only_on_paper = true})
    for k, line in ipairs(ray.words) do
      c:text(x, places[i] + (k - 1) * 4, line, {anchor = f.way < 0 and "end" or "start", colour = ray.look.colour, bold = ray.look.bold,
                                              label = true})
    end
  end
end

local function draw_liquids(c, f)
  local up = f.scene.axes.up
  for _, body in ipairs(f.scene.bodies) do
    local loops = body.kind == "tank" and body.outlines and f.look:loops(body.outlines[f.look.outlines])
    local level = loops and body.liquid and body.liquid.level
    for _, loop in ipairs(loops or {}) do
      c:loops({turned.paper(f, loop)}, {weight = "body", colour = "grey", what = "tank"})
      local wet = level and turned.below(loop, up.sign * (level - up.zero))
      if wet then c:loops({turned.paper(f, wet)}, {weight = "fine", colour = "accent", fill = "wash", what = "liquid"}) end
    end
  end
end

-- The rear wheels stand before the front ones; the wheel that lifts is drawn open, over them.
local function draw_wheels(c, f, result)
  local lifts = (first_off(result) or {}).wheel
  local scene = f.scene
  local function draw(key, look)
    local wheel = scene.wheels[key]
    c:loops({turned.paper(f, turned.wheel_corners(f, wheel))}, look)
  end
  local last = scene.axles[#scene.axles].name
  for _, rear in ipairs{false, true} do
    for _, key in ipairs(figure.sorted_keys(scene.wheels)) do
      if (scene.wheels[key].axle == last) == rear and key ~= lifts then
        draw(key, {weight = "wheel", fill = "white", what = "wheel " .. key})
      end
    end
  end
  if lifts then draw(lifts, {weight = "wheel", dash = "dashed", what = "wheel " .. lifts}) end
end

local function draw_car(c, f, result)
  c:loops({turned.paper(f, f.hull)}, {weight = "body", colour = "grey", what = "outline"})
  draw_wheels(c, f, result)
  draw_liquids(c, f)
  local u, v = f.look:point(f.scene.cg.at)
  local x, y = figure.x(f, u), figure.y(f, v)
  c:line(x, y, x, figure.y(f, f.floor), {weight = "fine", dash = "dashed", what = "plumb", only_on_paper = true})
  marks.cg(c, x, y, 2.7)
  local edge = f.way < 0 and -math.huge or math.huge
  for _, points in ipairs{f.hull, f.wheels[1].corners, f.wheels[#f.wheels].corners} do
    for _, p in ipairs(points) do
      edge = f.way < 0 and math.max(edge, figure.x(f, p[1])) or math.min(edge, figure.x(f, p[1]))
    end
  end
  edge = edge - f.way * 2
  c:line(x - f.way * 2.7, y, edge, y, {weight = "hair", colour = "ink", what = "leader", only_on_paper = true})
  for i, line in ipairs{"CG", text.fixed(f.scene.height, 0) .. "\u{A0}up"} do
    c:text(edge - f.way, y + (i - 1) * 4, line, {anchor = f.way < 0 and "start" or "end", bold = true, label = true})
  end
end

-- There is room for their words unless another ray runs through the wedge under the table.
local function names_loads(page, result)
  if page.narrow then return false end
  for _, ray in ipairs(rays_of(result)) do
    if ray.angle < drawn_at(result) - 0.01 then return false end
  end
  return true
end

-- Loads across the table, at the wheels of each side.
local function draw_loads(c, f, result, named)
  local hill = result.hill
  if not (hill and hill.down and hill.up) then return end
  local a = math.rad(f.scene.lift.angle)
  local nx, ny = -f.way * math.sin(a), -math.cos(a) -- up from the table, on the paper
  local sum, count = 0, 0
  for _, wheel in pairs(f.scene.wheels) do
    if wheel.side == other[result.worse_side] then
      local u, v = f.look:point(wheel.at)
      sum, count = sum + math.abs((f.level(u, v)) - f.pivot), count + 1
    end
  end
  if count == 0 then return end
  for _, one in ipairs{{0, "down the hill", hill.down}, {sum / count, "up the hill", hill.up}} do
    local x, y = on_ray(f, f.scene.lift.angle, one[1])
    local sx, sy = x - nx * ARROW, y - ny * ARROW
    marks.arrow(c, sx, sy, x - nx * 0.8, y - ny * 0.8, {weight = "wheel", what = "load " .. one[2]})
    local shown = ("%s %s"):format(one[2], words.set(text.fixed(one[3], 1), "kg"))
    local wide = canvas.width_of(shown, SIZES.text, true)
    if not named then goto next end
    local tx = f.way < 0 and math.max(f.page_left + wide, sx - 1) or math.min(f.page_right - wide, sx + 1)
    c:text(tx, one[1] == 0 and math.max(sy + 3.4, figure.y(f, f.floor) + 6) or sy + 3.4, shown,
           {anchor = f.way < 0 and "end" or "start", bold = true, label = true, halo = true})
    ::next::
  end
end

local function draw_figure(page, result, scene, y)
  page.canvas:view()
  local c, f = page.canvas, plan(page, result, scene)
  f.y0 = y + 2 + f.range.v2 / f.scale
  local ground = figure.y(f, f.floor)
  draw_rays(c, f, rays_of(result, page.narrow))
  marks.ground(c, page.left, page.right, ground)
  draw_car(c, f, result)
  local named = names_loads(page, result)
  draw_loads(c, f, result, named)
  y = ground + ARROW + 4
  marks.scale_bar(c, page.left, y, f.scale)
  return y + 2, f, named
end

-- ---- words -----------------------------------------------------------------------------------------------------------------------

local function heading_of(result)
  local first = first_off(result)
  local answer = {}
  if first then answer[1] = {"first wheel off", degrees(first.angle, first.sd)} end
  answer[#answer + 1] = {"required", text.plain(result.required) .. "°"}
  answer[#answer + 1] = {"", verdicts.mark[result.status], colour = result.status == "fail" and "fail" or nil}
  return {title = "Tilt table", state = result.heading, answer = answer,
    lines = {("Seen from behind, %s side low, as the first wheel lifts%s. Dashed wheel: the one that lifts, %s."):format(
      result.worse_side, first and first.springs and " on its springs" or ", rigid",
      first and words.wheel(first.wheel) or "none")}}
end

local function table_of(page, result)
  local soft = result.compliant.lift and result.compliant or nil
  local list = {}
  for i, side in ipairs{"left", "right"} do
    local function angle(entry, sd)
      return entry and words.value(entry, not page.narrow and sd or nil, 1) or "−"
    end
    local function lift(entry, sd) return entry.angle and angle(entry.angle, sd.angle) .. ", " .. entry.wheel or "−" end
    list[i] = {side, lift(result.lift[side], result.sd.lift[side]), angle(result.tip[side], result.sd.tip[side]),
               soft and lift(soft.lift[side], result.sd.compliant.lift[side]) or "unknown",
               soft and angle(soft.tip[side], result.sd.compliant.tip[side]) or "unknown"}
  end
  return {{page.narrow and "low" or "low side", left = true}, {page.narrow and "rigid: off" or "rigid: first wheel off, deg"}, {"tips"},
          {page.narrow and "springs: off" or "on springs: first wheel off, deg"}, {"tips"}}, list
end

-- Is what draws from a tank still in the liquid?
local function pick_up_words(result, scene)
  local known, list = {}, {}
  for _, one in ipairs(result.hill and result.hill.pick_ups or {}) do
    known[one.tank] = true
    list[#list + 1] = ("%s: pick-up %s at %s°, %s L aboard, %s L stand below it."):format(one.tank, one.dry and "dry" or "wet",
      text.fixed(result.hill.angle, 1), text.fixed(one.litres, 1), text.fixed(one.unusable, 1))
  end
  for _, body in ipairs(scene and scene.bodies or {}) do
    if body.kind == "tank" and not known[body.name] and (body.liquid and body.liquid.litres or 0) > 0 then
      known[body.name] = true
      list[#list + 1] = ("%s: the file states no pick-up that can be worked out, dry or wet is unknown."):format(body.name)
    end
  end
  for i, one in ipairs(list) do list[i] = words.sentence(text.sentence(one)) end
  return list
end

function tilt.draw(page, result, scene)
  local y, f, named = sheet.heading(page, heading_of(result)), nil, nil
  if scene then y, f, named = draw_figure(page, result, scene, y) end
  local columns, list = table_of(page, result)
  y = rows.draw(page.canvas, y, columns, list, {left = page.left, right = page.right, size = page.narrow and SIZES.small or SIZES.text})
  y = sheet.sentences(page, y + 2.5, {words.sentence(said.verdict(result))},
                      {bold = true, colour = result.status == "fail" and "fail" or nil})
  local hill = result.hill
  if hill and hill.up and hill.down and not named then
    y = sheet.sentences(page, y + 1, {("Then press across the table: up the hill %s, down the hill %s."):format(
      words.set(text.fixed(hill.up, 1), "kg"), words.set(text.fixed(hill.down, 1), "kg"))})
  end
  y = sheet.sentences(page, y + 1, pick_up_words(result, scene))
  y = sheet.sentences(page, y + 1, said.CAUTIONS)
  return y, {scale = f and f.scale, notes = {"rigid lift-off assumes the same vertical stiffness at all wheels",
                                             f and "the car is drawn rigid, as it stands level" or nil},
             words = "the car from behind on a tilt table, with the angles of wheel lift-off, of tipping and what is required"}
end

return tilt
