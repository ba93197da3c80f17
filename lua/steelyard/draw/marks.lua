--- Marks that drawings of a car share: the CG, loads, dimensions, the ground, the scales.

local canvas = require "steelyard.draw.canvas"
local text = require "steelyard.print.text"

local marks = {}

local SIZES = canvas.sizes

--- The quartered circle of a centre of gravity, with its two black quarters upper left... and lower right. o.hollow: an earlier one.
function marks.cg(c, x, y, r, o)
  if o and o.earlier then
    c:circle(x, y, r, {weight = "fine", colour = "grey", dash = "dotted", fill = "white", what = "cg before"})
    c:line(x - r, y, x + r, y, {weight = "fine", colour = "grey", only_on_paper = true})
    c:line(x, y - r, x, y + r, {weight = "fine", colour = "grey", only_on_paper = true})
    return
  end
  c:circle(x, y, r, {weight = "body", fill = "white", what = "cg"})
  local function quarter(from)
    local points = {{x, y}}
    for i = 0, 8 do
      local a = math.rad(from + 90 * i / 8)
      points[#points + 1] = {x + r * math.cos(a), y - r * math.sin(a)}
    end
    c:loops({points}, {fill = "ink", only_on_paper = true})
  end
  quarter(0)
  quarter(180)
end

local TIP, WIDE = 2.2, 0.8 -- of an arrow, mm

--- An arrow that ends at the second point.
function marks.arrow(c, x1, y1, x2, y2, o)
  local length = math.sqrt((x2 - x1) ^ 2 + (y2 - y1) ^ 2)
  local dx, dy = (x2 - x1) / length, (y2 - y1) / length
  local tip = math.min(TIP, length)
  local bx, by = x2 - tip * dx, y2 - tip * dy
  c:line(x1, y1, bx, by, {weight = o.weight, colour = o.colour, what = o.what})
  c:loops({{{x2, y2}, {bx - WIDE * dy, by + WIDE * dx}, {bx + WIDE * dy, by - WIDE * dx}}},
          {fill = o.colour or "ink", only_on_paper = true})
end

-- Where words of a dimension go: over the line, right of it or left of it; nil where there is no room.
local function place_words(c, words, left_end, right_end, o)
  local w = c:width_of(words, SIZES.text, o.bold)
  if right_end - left_end > w + 2 then return (left_end + right_end) / 2, -0.9, "middle" end
  if right_end + 1.5 + w <= o.right then return right_end + 1.5, 1, "start" end
  if left_end - 1.5 - w >= o.left then return left_end - 1.5, 1, "end" end
end

--- A level dimension from x1 to x2 with its words over the middle of the line, beside it where they do not fit; o.shorter: other words,
-- where the first do not fit over the line. o.left, o.right: the margins.
function marks.dimension(c, x1, x2, y, words, o)
  local look = {weight = "fine", colour = o.colour, what = o.what}
  local left_end, right_end = math.min(x1, x2), math.max(x1, x2)
  if right_end - left_end > 2 * TIP + 1 then
    marks.arrow(c, (x1 + x2) / 2, y, x1, y, look)
    marks.arrow(c, (x1 + x2) / 2, y, x2, y, look)
  else
    c:line(x1, y, x2, y, look)
  end
  local x, down, anchor = place_words(c, words, left_end, right_end, o)
  for _, other in ipairs(o.shorter or {}) do
    if anchor == "middle" then break end
    local ox, odown, oanchor = place_words(c, other, left_end, right_end, o)
    if ox and (oanchor == "middle" or not x) then x, down, anchor, words = ox, odown, oanchor, other end
  end
  if x then c:text(x, y + down, words, {anchor = anchor, colour = o.colour, bold = o.bold, measure = true}) end
end

local OUTSIDE = 5 -- mm: how far arrows begin outside what is too short to hold them

--- A measure between two points, whichever way it runs; what is shorter than its two tips has them outside.
function marks.measure(c, x1, y1, x2, y2, o)
  local dx, dy = x2 - x1, y2 - y1
  local length = math.sqrt(dx * dx + dy * dy)
  if length == 0 then return end
  dx, dy = dx / length, dy / length
  if length > 2 * TIP + 1 then
    marks.arrow(c, (x1 + x2) / 2, (y1 + y2) / 2, x1, y1, o)
    marks.arrow(c, (x1 + x2) / 2, (y1 + y2) / 2, x2, y2, o)
  else
    marks.arrow(c, x1 - OUTSIDE * dx, y1 - OUTSIDE * dy, x1, y1, o)
    marks.arrow(c, x2 + OUTSIDE * dx, y2 + OUTSIDE * dy, x2, y2, o)
    c:line(x1, y1, x2, y2, {weight = o.weight, colour = o.colour, what = o.what})
  end
end

local TICK, APART = 1.8, 4 -- of the ground, mm

--- The ground, with ticks below it, from x1 to x2.
function marks.ground(c, x1, x2, y)
  c:line(x1, y, x2, y, {weight = "ground", what = "ground"})
  local x = x1 + APART / 2
  while x + TICK <= x2 do
    c:line(x + TICK * 0.6, y + 0.35, x, y + TICK, {weight = "hair", colour = "grey", only_on_paper = true, what = "ground"})
    x = x + APART
  end
end

local BAR = {2, 60} -- mm on paper, least and most

--- A bar of 500 mm on the car, with the scale; of another power of ten where that would be a dot, or longer than the picture.
function marks.scale_bar(c, x, y, scale)
  local mm = 500
  while mm / scale < BAR[1] do mm = mm * 10 end
  while mm / scale > BAR[2] do mm = mm / 10 end
  local long = mm / scale
  c:box(x, y - 0.9, x + long / 2, y, {weight = "hair", fill = "ink", what = "scale"})
  c:box(x + long / 2, y - 0.9, x + long, y, {weight = "hair", fill = "white", what = "scale"})
  local words = ("%s\u{A0}mm, 1:%d"):format(text.fixed(mm, mm < 5 and 1 or 0), scale)
  c:text(x + long + 1.5, y + 0.1, words, {size = SIZES.small, colour = "grey"})
  return x + long + 1.5 + c:width_of(words, SIZES.small)
end

--- A cross at a point.
function marks.cross(c, x, y)
  c:line(x - 0.9, y - 0.9, x + 0.9, y + 0.9, {weight = "fine", what = "point"})
  c:line(x - 0.9, y + 0.9, x + 0.9, y - 0.9, {weight = "fine", what = "point"})
end

--- Radius of the circle of a mass: its area is the mass, 10 kg the radius `ten`.
function marks.mass_radius(mass, ten) return ten * math.sqrt(mass / 10) end

return marks
