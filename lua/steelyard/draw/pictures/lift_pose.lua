--- The car at the greatest lift of a CG height: to scale on its blocks, with where it stood level, what touches, its CG and its loads.

local backdrop = require "steelyard.draw.backdrop"
local canvas = require "steelyard.draw.canvas"
local figure = require "steelyard.draw.figure"
local marks = require "steelyard.draw.marks"
local turned = require "steelyard.draw.turned"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local lift_pose = {}

local SIZES = canvas.sizes
local AIR = 6       -- mm: the ground runs past everything
local CG_RADIUS = 2.7
local DOT = 0.7     -- mm: radius of a part without a shape
local HEAVY = 5     -- kg: the least that gets one
local BLOCK = 1.5   -- width of a stack of blocks to the radius of the wheel on it

lift_pose.DOTS = ("open dots: parts of %d kg and more without a shape in the file"):format(HEAVY)

--- The reading with the greatest tilt.
function lift_pose.steepest(result)
  local found
  for _, row in ipairs(result.rows) do
    if row.lifted ~= "level" and not (found and found.angle >= row.angle) then found = row end
  end
  return found
end

local function is_side(result) return result.radii.left ~= nil end

--- The view that shows the tilt: from its left, or from behind where a side was lifted.
function lift_pose.view(result) return is_side(result) and "front" or "side" end

--- As draw/scene.lua takes a pose.
function lift_pose.pose(result)
  local row = lift_pose.steepest(result)
  local stands = row.lifted == "left" and "right" or "left"
  return {name = "lift", lifted = row.lifted, angle = row.angle, lift = row.lift, crown = is_side(result) and result.radii[stands] or nil,
          plane = result.on == "plane" or nil}
end

-- ---- the figure ------------------------------------------------------------------------------------------

--- The figure between two edges, at most so tall: {scale, height, x0 ...}; f.y0 is set by lift_pose.draw.
function lift_pose.plan(result, scene, o)
  local name = lift_pose.view(result) == "side" and "side" or "rear"
  local f = turned.plan(scene, name, o)
  turned.fit(f, AIR, o.tall)
  return f
end

-- ---- its marks ------------------------------------------------------------------------------------------------------------------

-- Where it stood level, round all of it; as it is, with pale outlines of its parts; parts without a shape as open dots.
local function draw_car(c, f)
  local level = {weight = "fine", colour = "grey", dash = "earlier", what = "level"}
  c:loops({turned.paper(f, turned.levelled(f, f.hull))}, level)
  for _, wheel in ipairs(f.wheels) do c:loops({turned.paper(f, turned.levelled(f, wheel.corners))}, level) end
  c:loops({turned.paper(f, f.hull)}, {weight = "body", colour = "grey", what = "outline"})
  if f.name == "side" then
    backdrop.draw(c, f)
  else
    for _, key in ipairs(figure.sorted_keys(f.scene.wheels)) do
      c:loops({turned.paper(f, turned.wheel_corners(f, f.scene.wheels[key]))}, {weight = "wheel", fill = "white", what = "wheel " .. key})
    end
  end
  for _, body in ipairs(f.scene.bodies) do
    if not body.outlines and body.mass >= HEAVY then
      local u, v = f.look:point(body.at)
      c:circle(figure.x(f, u), figure.y(f, v), DOT,
               {weight = "fine", colour = "grey", fill = "white", what = "shapeless", only_on_paper = true})
      f.shapeless = true
    end
  end
end

-- Where an end's wheels are in the picture: the mean of their middles, and the radius.
local function wheels_at(f, lifted)
  local s, axles = f.scene, f.scene.axles
  local sum_u, sum_v, radius, count = 0, 0, 0, 0
  for _, wheel in pairs(s.wheels) do
    local there
    if lifted == "front" then there = wheel.axle == axles[1].name
    elseif lifted == "rear" then there = wheel.axle == axles[#axles].name
    else there = wheel.side == lifted end
    if there then
      local u, v = f.look:point(wheel.at)
      sum_u, sum_v, radius, count = sum_u + u, sum_v + v, radius + wheel.radius, count + 1
    end
  end
  return sum_u / count, sum_v / count, radius / count
end

-- "FAIL nose" under the ground where it fails, if the arrow of a load leaves room.
local function name_failing(c, f, name, x)
  local shown = "FAIL " .. figure.shown_name(c, name)
  local half = c:width_of(shown, SIZES.text, true) / 2
  x = math.max(f.left + half, math.min(f.right - half, x))
  for _, axle in ipairs{"front", "rear"} do
    if f.name ~= "side" or math.abs(figure.x(f, (wheels_at(f, axle))) - x) < half + 2 then return end
  end
  c:text(x, math.max(figure.y(f, f.range.v1), figure.y(f, 0) + 2) + 4.4, shown,
         {bold = true, colour = "fail", anchor = "middle", label = true})
end

-- Points and parts that would be below the ground, in the hue of what fails: their outline there, a point as a cross.
local function draw_failing(c, f, result)
  local failing, named, first = {}, nil, nil
  for _, touch in ipairs(result.touches or {}) do
    if touch.below and touch.lifted == f.scene.lift.lifted then
      failing[touch.what], first = true, first or touch.what
    end
  end
  for _, body in ipairs(f.scene.bodies) do
    local loops = failing[body.name] and body.outlines and body.outlines[f.look.outlines]
    for _, loop in ipairs(loops and f.look:loops(loops) or {}) do
      local low = turned.below(loop, 0)
      if low then
        c:loops({turned.paper(f, low)}, {weight = "wheel", colour = "fail", what = "below " .. body.name})
        if body.name == first then named = figure.x(f, low[1][1]) end
      end
    end
  end
  for _, point in ipairs(f.scene.points) do
    if failing[point.name] then
      local u, v = f.look:point(point.at)
      local x, y = figure.x(f, u), figure.y(f, v)
      c:line(x - 1.3, y - 1.3, x + 1.3, y + 1.3, {weight = "wheel", colour = "fail", what = "below " .. point.name})
      c:line(x - 1.3, y + 1.3, x + 1.3, y - 1.3, {weight = "wheel", colour = "fail", what = "below " .. point.name})
      if point.name == first then named = x end
    end
  end
  if named then name_failing(c, f, first, named) end
end

-- Where a jack holds the body at a reading, on the paper; nil where it is lifted under the wheels.
local function jack_at(f, result, row)
  local point = result.jack and result.jack[row.lifted]
  if not point then return nil end
  local u, v = f.lifted(point.back, point.height)
  return figure.x(f, u), figure.y(f, v)
end

local FOOT, NECK, SADDLE = 5, 1.5, 3 -- mm: half widths of a jack on the ground, below the point that it holds, of its saddle

-- From the ground to the point of the body that it holds; a dot is that point.
local function draw_jack(c, f, result, row)
  local x, y = jack_at(f, result, row)
  if not x then return end
  local ground = figure.y(f, 0)
  local top = math.min(y + 1.2, ground)
  c:loops({{{x - FOOT, ground}, {x - NECK, top}, {x + NECK, top}, {x + FOOT, ground}}}, {weight = "body", fill = "white", what = "jack"})
  c:line(x - SADDLE, top, x + SADDLE, top, {weight = "wheel", what = "saddle", only_on_paper = true})
  c:circle(x, y, 0.9, {fill = "ink", what = "jacking point", mark = "*"})
end

-- Under the lifted wheels, in as many layers as the reading names blocks.
local function draw_blocks(c, f, result, row)
  if result.jack or result.on == "plane" then return end
  local u, v, radius = wheels_at(f, row.lifted)
  local half = f.name == "side" and BLOCK * radius / 2 or BLOCK * radius / 3
  local top = row.lift or v - radius
  c:box(figure.x(f, u - half), figure.y(f, top), figure.x(f, u + half), figure.y(f, 0), {weight = "body", fill = "white", what = "blocks"})
  local layers = row.blocks and #row.blocks or 1
  for i = 1, layers - 1 do
    local y = figure.y(f, top * i / layers)
    c:line(figure.x(f, u - half), y, figure.x(f, u + half), y, {weight = "fine", what = "block", only_on_paper = true})
  end
end

local function draw_ground(c, f, result)
  if result.on ~= "plane" then return marks.ground(c, f.left, f.right, figure.y(f, 0)) end
  local r = f.range -- the plane that tilts with the car, over the level floor
  local u1, v1 = f.lifted(r.u1, 0)
  local u2, v2 = f.lifted(r.u2, 0)
  c:line(figure.x(f, u1), figure.y(f, v1), figure.x(f, u2), figure.y(f, v2), {weight = "ground", what = "plane"})
end

-- The CG that was found, turned with the car; its plumb line to the ground.
local function draw_cg(c, f, result)
  local u0 = f.name == "side" and result.cg_behind or -(result.cg_left or 0)
  local u, v = f.lifted(u0, result.height)
  local x, y = figure.x(f, u), figure.y(f, v)
  c:line(x, y, x, figure.y(f, 0), {weight = "fine", dash = "dashed", what = "plumb", only_on_paper = true})
  marks.cg(c, x, y, CG_RADIUS)
  return x, y
end

-- Words over the figure: leader up from the CG.
local function draw_cg_words(c, f, result, x, y, top)
  local shown = {}
  if result.cg_behind then shown[1] = words.way(result.cg_behind, result.sd.cg_behind, 0, "behind", "ahead") end
  if not result.cg_behind and result.cg_left then shown[1] = words.way(result.cg_left, result.sd.cg_left, 0, "left", "right") end
  shown[#shown + 1] = text.fixed(result.height, 0) .. "\u{A0}up"
  local said = "CG " .. table.concat(shown, ", ") .. " when level"
  local half = c:width_of(said, SIZES.text, true) / 2
  local at = math.max(f.left + half, math.min(f.right - half, x))
  c:text(at, top + 2.4, said, {anchor = "middle", bold = true, label = true})
  c:line(x, top + 3.4, x, y - CG_RADIUS, {weight = "hair", colour = "ink", what = "leader", only_on_paper = true})
end

--- A lift to a tenth of a millimetre, without noughts: nobody sets it closer.
function lift_pose.lift_words(lift) return text.plain(math.floor(10 * lift + 0.5) / 10) end

--- "600 mm", or "14.2 degrees" where the angle was read.
function lift_pose.amount(row)
  return row.lift and lift_pose.lift_words(row.lift) .. "\u{A0}mm" or text.fixed(row.angle, 1) .. "\u{A0}degrees"
end

-- And the same in fewer words.
local function what_it_stands_on(result, row)
  if result.on == "plane" then return "tilted with its pads" end
  local point = result.jack and result.jack[row.lifted]
  if point then
    local where = ("held %s, %s\u{A0}up"):format(words.way(point.back, nil, 0, "behind", "ahead"), text.fixed(point.height, 0))
    return where .. (row.lift and (", raised %s"):format(lift_pose.amount(row)) or ""), "held at the jacking point"
  end
  if row.blocks then
    return ("on blocks %s, %s"):format(table.concat(row.blocks, " + "), lift_pose.amount(row)), "on blocks, " .. lift_pose.amount(row)
  end
  return row.lift and "on " .. lift_pose.amount(row) or "up by " .. lift_pose.amount(row)
end

-- Below the ground: an arrow up to each end, its load and what it stands on.
local function draw_ends(c, f, result, row, y)
  local loads = {[row.end_read] = row.load}
  local pairs_of = {front = "rear", rear = "front", left = "right", right = "left"}
  loads[pairs_of[row.end_read]] = row.other_load
  local stands = pairs_of[row.lifted]
  local labels = {}
  for i, name in ipairs(is_side(result) and {"left", "right"} or {"front", "rear"}) do
    local jack = name ~= stands and jack_at(f, result, row)
    local shown = jack and name .. ", jack" or name
    local under, shorter
    if name == stands then under = "stands on its pads" else under, shorter = what_it_stands_on(result, row) end
    labels[i] = {x = jack or figure.x(f, (wheels_at(f, name))), name = name, under = under, shorter = shorter,
                 load = loads[name] and ("%s %s"):format(shown, words.set(text.fixed(loads[name], 1), "kg")) or shown}
  end
  for i, label in ipairs(labels) do
    local left, right = i == 1 and f.left or (labels[1].x + label.x) / 2 + 1, i == 1 and (label.x + labels[2].x) / 2 - 1 or f.right
    label.load = c:cut(label.load, right - left, SIZES.state, true)
    if label.shorter and c:width_of(label.under, SIZES.text) > right - left then label.under = label.shorter end
    local half = math.max(c:width_of(label.load, SIZES.state, true), c:width_of(label.under, SIZES.text)) / 2
    local x = math.max(left + half, math.min(right - half, label.x))
    marks.arrow(c, label.x, y + 9, label.x, y + 0.6, {weight = "wheel", what = "load " .. label.name})
    c:text(x, y + 12.6, label.load, {size = SIZES.state, bold = true, anchor = "middle", measure = true})
    c:text(x, y + 12.6 + 4.2, label.under, {colour = "grey", anchor = "middle", measure = true})
  end
  return y + 12.6 + 4.2 + 1
end

--- Draws the figure below `top`; gives the y of its lower end.
function lift_pose.draw(c, f, result, top)
  local row = lift_pose.steepest(result)
  f.y0 = top + 6 + f.range.v2 / f.scale
  c:view()
  draw_blocks(c, f, result, row)
  draw_jack(c, f, result, row)
  draw_car(c, f)
  draw_ground(c, f, result)
  draw_failing(c, f, result)
  if result.cg_behind or result.cg_left then
    local x, y = draw_cg(c, f, result)
    draw_cg_words(c, f, result, x, y, top)
  end
  local low = math.max(figure.y(f, f.range.v1), figure.y(f, 0) + 2)
  return draw_ends(c, f, result, row, low)
end

return lift_pose
