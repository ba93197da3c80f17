--- The beam strip: the car as a weighing beam on knife-edges under its axles, with every mass hung at its place along the car, as long as
-- it is heavy.

local canvas = require "steelyard.draw.canvas"
local figure = require "steelyard.draw.figure"
local flags = require "steelyard.draw.flags"
local text = require "steelyard.print.text"

local strip = {}

local SIZES = canvas.sizes
local ROW = 4.2
local TALL, WIDE = 26, 1.1 -- of the longest bar, of any bar, mm
local SAYS = "Beam: each mass hangs at its place, as long as it is heavy, in kg; the car stands on the knife-edges."
local KNIFE = {2.6, 2.2}   -- half width and height of a knife-edge

-- Kilograms a bar of so many mm: 1, 2 or 5 times a power of ten kilograms are 10 mm.
local function kilograms_a_centimetre(heaviest)
  local step = 1
  while true do
    for _, n in ipairs{1, 2, 5} do
      if heaviest / (n * step) * 10 <= TALL then return n * step end
    end
    step = step * 10
  end
end

-- Bars nearer than their width are one, with both names.
local function bars_of(f, most)
  local list = {}
  for _, lump in ipairs(f.lumps) do
    local u = f.look:point(lump.at)
    local x = figure.x(f, u)
    local beside
    for _, bar in ipairs(list) do
      if math.abs(bar.x - x) < WIDE + 0.2 then beside = bar end
    end
    if beside then
      beside.x = (beside.x * beside.mass + x * lump.mass) / (beside.mass + lump.mass)
      beside.mass, beside.lumps[#beside.lumps + 1] = beside.mass + lump.mass, lump
    else
      list[#list + 1] = {x = x, mass = lump.mass, lumps = {lump}}
    end
  end
  table.sort(list, function(a, b) if a.mass ~= b.mass then return a.mass > b.mass end return a.x < b.x end)
  for i, bar in ipairs(list) do
    bar.named = i <= most
    local names = {}
    for k, lump in ipairs(bar.lumps) do
      names[k] = ("%s %s"):format(figure.shown_name(f.canvas, lump.name), text.fixed(lump.mass, 1))
    end
    bar.words = table.concat(names, ", ")
    bar.whole = bar.words
    bar.width = f.canvas:width_of(bar.words, SIZES.text)
    bar.shorten = function(label, room) -- the first of several, and the mass of all
      local first, more = figure.shown_name(f.canvas, bar.lumps[1].name), #names > 1 and (" and %d more"):format(#names - 1) or ""
      more = ("%s %s"):format(more, text.fixed(bar.mass, 1))
      label.words = f.canvas:cut(first, room - f.canvas:width_of(more, SIZES.text), SIZES.text) .. more
      label.width = f.canvas:width_of(label.words, SIZES.text)
    end
  end
  return list
end

--- Draws the strip from `top` on, in line with the figure f; gives the y of its lower edge. most: how many bars are named.
function strip.draw(c, f, top, most)
  c:view()
  local bars = bars_of(f, most)
  local kg = kilograms_a_centimetre(bars[1].mass)
  local y = top + 4.2
  for i, line in ipairs(c:wrap(SAYS, f.right - f.left, SIZES.text, false, 3)) do
    if i > 1 then y = y + ROW end
    c:text(f.left, y, line, {colour = "grey"})
  end
  y = y + 4
  local named = {}
  for _, bar in ipairs(bars) do
    bar.long = bar.mass / kg * 10
    if bar.named then named[#named + 1] = bar end
  end
  local rows, lost, placed = flags.place(named, f.left, f.right)
  local x1, x2 = math.huge, -math.huge
  for _, bar in ipairs(bars) do x1, x2 = math.min(x1, bar.x), math.max(x2, bar.x) end
  for _, axle in ipairs(f.scene.axles) do
    local x = figure.x(f, f.look:point{[f.scene.axes.forward.axis] = axle.at, [f.scene.axes.up.axis] = f.scene.axes.up.zero})
    x1, x2 = math.min(x1, x), math.max(x2, x)
    c:loops({{{x, y + 0.35}, {x - KNIFE[1], y + KNIFE[2] + 0.35}, {x + KNIFE[1], y + KNIFE[2] + 0.35}}},
            {weight = "body", fill = "white", what = "knife-edge " .. axle.name})
  end
  c:line(math.max(f.left, x1 - 4), y, math.min(f.right, x2 + 4), y, {weight = "ground", what = "beam"})
  local bottom = y + bars[1].long + 1.5
  for _, bar in ipairs(placed) do
    local base = bottom + bar.row * ROW - 0.8
    c:line(bar.x, y + bar.long, bar.x, base, {weight = "hair", colour = "grey", what = "leader"})
    c:text(bar.side == "start" and bar.x + flags.AWAY or bar.x - flags.AWAY, base, bar.words, {anchor = bar.side, label = true})
  end
  for _, bar in ipairs(bars) do
    local down = y
    for _, lump in ipairs(bar.lumps) do -- several at one place hang from one another
      local long = lump.mass / kg * 10
      c:box(bar.x - WIDE / 2, down, bar.x + WIDE / 2, down + long - (#bar.lumps > 1 and 0.3 or 0), {fill = "ink", weight = "hair",
            what = "bar " .. lump.name, mass = lump.mass})
      down = down + long
    end
  end
  f.strip_kg = kg
  y = bottom + rows * ROW
  if #lost == 0 then return y end
  local others = {}
  for i, bar in ipairs(lost) do others[i] = bar.whole end
  for _, line in ipairs(c:wrap(("Without room for a name: %s."):format(table.concat(others, "; ")), f.right - f.left, SIZES.text)) do
    y = y + c:line_of(ROW)
    c:text(f.left, y, line, {colour = "grey"})
  end
  return y
end

return strip
