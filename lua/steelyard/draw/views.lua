--- The four views of a car to scale on a sheet, each made from a scene, and from an earlier one to compare it with.

local aboard = require "steelyard.car.aboard"
local canvas = require "steelyard.draw.canvas"
local core = require "steelyard.core"
local figure = require "steelyard.draw.figure"
local marks = require "steelyard.draw.marks"
local sheet = require "steelyard.draw.sheet"
local strip = require "steelyard.draw.strip"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local views = {}

local SIZES = canvas.sizes
local TALL = 120 -- of a figure, mm

-- ---- words ----------------------------------------------------------------------------------------------------------------------

local function heading_of(s, view, f, before)
  local says = {title = s.named or s.title, answer = {
    {"mass", words.value(s.mass, s.sd.mass, 1, "kg")}, {"front", words.value(s.front_share, s.sd.front_share, 2, "%")},
    {"CG height", words.value(s.height, s.sd.height, 0, "mm")}}, lines = {}}
  local list = s.aboard
  says.state = s.state .. (list and ": " .. words.sentence(aboard.text(list)) or "")
  local changes = {}
  for i, change in ipairs(s.changes) do changes[i] = change end
  if before then changes[#changes + 1] = "long-dash double-dot: where it was before" end
  if #changes > 0 then says.lines[1] = text.sentence(table.concat(changes, ", ")) end
  if before then says.lines[1] = says.lines[1] .. " " .. figure.cg_words(before, view):gsub("^CG ", "CG was ") .. "." end
  says.lines[#says.lines + 1] = f.says
  return says
end

local CROSSES = 8 -- named, at most

-- The points of the file that are drawn, named from left to right.
local function crosses_note(crosses)
  table.sort(crosses, function(a, b)
    if a.x ~= b.x then return a.x < b.x end
    if a.y ~= b.y then return a.y < b.y end
    return core.before(a.name, b.name)
  end)
  local names, more = {}, #crosses - CROSSES
  for i, cross in ipairs(crosses) do
    if i <= CROSSES then names[i] = words.name(cross.name) end
  end
  return ("crosses, from the left: %s%s"):format(table.concat(names, "; "), more > 0 and ("; and %d more"):format(more) or "")
end

-- What the picture leaves out, in a line.
local function notes_of(s, f)
  local list = {}
  if f.shapeless and f.shapeless > 0 then
    list[#list + 1] = ("%d of %s no shape in the file: only their masses are marked"):format(f.shapeless,
      text.count(#s.bodies, "body has", "bodies have"))
  end
  if f.too_small and f.too_small > 0 then
    list[#list + 1] = ("%s smaller than 1.5 mm on paper %s not outlined"):format(text.count(f.too_small, "body", "bodies"),
      f.too_small == 1 and "is" or "are")
  end
  if f.name == "plan" or f.name == "front" then list[#list + 1] = figure.tyre_note(s) end
  local unnamed = 0
  for _, label in ipairs(f.unnamed or {}) do unnamed = unnamed + (label.lump and 1 or 0) end
  if unnamed > 0 then list[#list + 1] = ("%s no room for a name"):format(text.count(unnamed, "mass has", "masses have")) end
  list[#list + 1] = f.crosses and crosses_note(f.crosses)
  if (f.name == "plan" or f.name == "front") and #s.shafts > 0 then
    list[#list + 1] = ("grey %s: %s"):format(#s.shafts == 1 and "line" or "lines", text.count(#s.shafts, "shaft"))
  end
  local low = {}
  for i, one in ipairs(f.below or {}) do low[i] = ("%s by %s mm"):format(one.name, text.fixed(one.mm, 0)) end
  if #low > 0 then list[#list + 1] = "drawn below the ground: " .. table.concat(low, ", ") end
  for _, note in ipairs(s.notes) do list[#list + 1] = note end
  return list
end

-- ---- below the ground: loads and lengths ------------------------------------------------------------------------------------------

local ARROW = {4, 14} -- of the smallest and the largest load, mm at least and at most

local function axle_x(f, axle)
  local axes = f.scene.axes
  return figure.x(f, (f.look:point{[axes.forward.axis] = axle.at, [axes.up.axis] = axes.up.zero, [axes.left.axis] = axes.left.zero}))
end

local LOAD_ROW, BESIDE = 4.6, 1.7

-- Right of its arrow if there is room, else left of it, in the first row where neither a text nor an arrow is in the way.
local function place_load(label, labels, placed, f)
  for row = 1, #placed + 1 do
    for _, side in ipairs{"start", "end"} do
      local from = side == "start" and label.x + BESIDE or label.x - BESIDE - label.width
      local to, free = from + label.width, true
      for _, other in ipairs(placed) do
        free = free and not (other.row == row and from < other.to + 2 and other.from < to + 2)
      end
      for _, other in ipairs(labels) do free = free and (other == label or other.x < from - 2 or other.x > to + 2) end
      if free and from >= f.left and to <= f.right or row == #placed + 1 and (side == "end" or to <= f.right) then
        label.row, label.side, label.from, label.to = row, side, from, to
        placed[#placed + 1] = label
        return
      end
    end
  end
end

-- Upright arrows from below to where the wheels stand, as long as the load, and what it is.
local function draw_loads(c, f, y)
  local labels, placed, most = {}, {}, 0
  for _, axle in ipairs(f.scene.axles) do most = math.max(most, axle.load) end
  for i, axle in ipairs(f.scene.axles) do
    local shown = ("%s %s"):format(axle.name, words.value(axle.load, axle.sd, 1, "kg"))
    labels[i] = {x = axle_x(f, axle), words = shown, width = c:width_of(shown, SIZES.state, true), axle = axle}
  end
  local rows = 0
  for _, label in ipairs(labels) do
    place_load(label, labels, placed, f)
    rows = math.max(rows, label.row)
  end
  for _, label in ipairs(labels) do
    local long = math.max(ARROW[1], ARROW[2] * label.axle.load / most, (label.row - 1) * LOAD_ROW + 7)
    marks.arrow(c, label.x, y + 1 + long, label.x, y + 0.6, {weight = "wheel", what = "load " .. label.axle.name})
    c:text(label.side == "start" and label.from or label.to, y + 3 + label.row * LOAD_ROW, label.words,
           {size = SIZES.state, bold = true, anchor = label.side, measure = true})
  end
  return math.max(y + ARROW[2] + 1, y + 4 + rows * LOAD_ROW)
end

-- Lengths between upright lines below the loads.
local function draw_lengths(c, f, y, list)
  local from = y
  for i, entry in ipairs(list) do
    local row = y + 1.5 + i * 5.4
    marks.dimension(c, entry[1], entry[2], row, entry[3],
                    {shorter = {entry[4], entry[5]}, left = f.left, right = f.right, what = "dimension", colour = "ink"})
    for _, x in ipairs{entry[1], entry[2]} do
      c:line(x, from + 0.5, x, row + 1, {weight = "hair", colour = "grey", what = "extension", only_on_paper = true})
    end
  end
  return y + 1.5 + #list * 5.4 + 1
end

local function lengths_along(f)
  local s, axles = f.scene, f.scene.axles
  local first, last = axle_x(f, axles[1]), axle_x(f, axles[#axles])
  local cg = figure.x(f, (f.look:point(s.cg.at)))
  local function behind(plus, minus) return "CG\u{A0}" .. words.way(s.cg_behind, s.sd.cg_behind, 0, plus, minus) end
  return {{first, cg, behind("behind the front axle", "ahead of the front axle"), behind("behind", "ahead"),
           "CG\u{A0}" .. text.fixed(math.abs(s.cg_behind), 0)},
          {first, last, words.set(text.fixed(s.wheelbase, 0)) .. "\u{A0}wheelbase", words.set(text.fixed(s.wheelbase, 0))}}
end

-- ---- scales -----------------------------------------------------------------------------------------------------------------------

local LEAST_CIRCLE = 0.6 -- mm, radius of the one that says the scale

local function draw_scales(c, f, y, page)
  local x = marks.scale_bar(c, f.left, y, f.scale) + 6
  local kg = 10
  while marks.mass_radius(kg, f.ten) < LEAST_CIRCLE do kg = kg * 10 end
  local r, shown = marks.mass_radius(kg, f.ten), text.fixed(kg, 0) .. "\u{A0}kg"
  if f.lumps_shown and x + 2 * r + 60 < f.right then
    c:circle(x + r, y - 0.7, r, {weight = "fine", fill = "wash", what = "scale"})
    c:text(x + 2 * r + 1.2, y + 0.1, shown, {size = SIZES.small, colour = "grey"})
  elseif f.lumps_shown then
    y = y + 4.6
    c:circle(f.left + r, y - 0.7, r, {weight = "fine", fill = "wash", what = "scale"})
    c:text(f.left + 2 * r + 1.2, y + 0.1, shown, {size = SIZES.small, colour = "grey"})
  end
  page.scale = f.scale
  return y + 1
end

-- ---- the views ----------------------------------------------------------------------------------------------------------------------

local function planned(page, s, before, name, air)
  return figure.plan(s, before, name, {canvas = page.canvas, left = page.left, right = page.right, air = page.narrow and 2 or air,
                                       tall = TALL, most = page.narrow and 5 or 12})
end

-- "front" and "rear" at the ends of what is drawn.
local function draw_ends(c, f, y, left, right)
  c:text(f.left, y, left, {colour = "grey"})
  if right then c:text(f.right, y, right, {colour = "grey", anchor = "end"}) end
end

local GROUND_PAST = 5 -- mm: the ground runs past everything

local function side(page, s, before)
  local c = page.canvas
  local f = planned(page, s, before, "side", GROUND_PAST + 1)
  f.lumps_shown = true
  f.says = "Circles: masses, area as kilograms; dashed: several parts together."
  local y = sheet.heading(page, heading_of(s, "side", f, before))
  figure.lay_names(f)
  y = figure.draw(c, f, y)
  marks.ground(c, f.left, f.right, figure.y(f, 0))
  y = math.max(y, figure.y(f, 0) + 2)
  draw_ends(c, f, y + 3, "front")
  y = draw_loads(c, f, y)
  y = draw_lengths(c, f, y, lengths_along(f))
  y = strip.draw(c, f, y + 2, page.narrow and 6 or 10)
  return f, draw_scales(c, f, y + 5, page)
end

local function beam(page, s, before)
  local c = page.canvas
  local f = planned(page, s, before, "side", GROUND_PAST + 1)
  local y = sheet.heading(page, heading_of(s, "beam", f, before))
  f.name = "beam"
  y = strip.draw(c, f, y, page.narrow and 6 or 10)
  y = draw_loads(c, f, y + 2)
  y = draw_lengths(c, f, y, lengths_along(f))
  return f, draw_scales(c, f, y + 5, page)
end

local function load_words(f, key, shown)
  return ("%s %s"):format(shown, words.set(text.fixed(f.scene.loads[key], 1), "kg"))
end

-- "right front" where there is room for it.
local function wheel_name(f, key) return f.narrow and #key == 2 and key or words.wheel(key) end

-- Loads of the wheels that are not on the left, which is below: labels among the names.
local function upper_loads(f)
  local list = {}
  for _, key in ipairs(figure.sorted_keys(f.scene.wheels)) do
    local wheel = f.scene.wheels[key]
    if wheel.side ~= "left" and f.scene.loads[key] then
      local u, v = f.look:point(wheel.at)
      local shown = load_words(f, key, wheel_name(f, key))
      list[#list + 1] = {x = figure.x(f, u), v = v + figure.tyre_width(wheel) / 2, words = shown, bold = true, measure = true,
                         width = f.canvas:width_of(shown, SIZES.text, true), what = "load " .. key,
                         shorten = function(label)
                           label.words = load_words(f, key, key)
                           label.width = f.canvas:width_of(label.words, SIZES.text, true)
                         end}
    end
  end
  return list
end

-- The load of each left wheel below it.
local function draw_lower_loads(c, f)
  for _, key in ipairs(figure.sorted_keys(f.scene.wheels)) do
    local wheel = f.scene.wheels[key]
    if wheel.side == "left" and f.scene.loads[key] then
      local u, v = f.look:point(wheel.at)
      local shown = load_words(f, key, wheel_name(f, key))
      local half = c:width_of(shown, SIZES.text, true) / 2
      c:text(math.max(f.left + half, math.min(f.right - half, figure.x(f, u))), figure.y(f, v - figure.tyre_width(wheel) / 2) + 3.6, shown,
             {anchor = "middle", bold = true, measure = true, what = "load " .. key})
    end
  end
end

local function plan(page, s, before)
  local c = page.canvas
  local f = planned(page, s, before, "plan", GROUND_PAST + 1)
  f.narrow = page.narrow
  f.lumps_shown, f.says = true, "From above. At each wheel what a scale under it would read."
  local y = sheet.heading(page, heading_of(s, "plan", f, before))
  figure.lay_names(f, {also = upper_loads})
  local lower = figure.draw(c, f, y)
  local middle = figure.y(f, 0)
  c:line(f.left, middle, f.right, middle, {weight = "hair", colour = "grey", dash = "centre", what = "centre line"})
  draw_lower_loads(c, f)
  y = lower + 6
  draw_ends(c, f, y + 3, "front", "rear")
  y = draw_lengths(c, f, y, lengths_along(f))
  return f, draw_scales(c, f, y + 5, page)
end

local function track_lengths(f)
  local list, by_axle = {}, {}
  for _, wheel in pairs(f.scene.wheels) do
    by_axle[wheel.axle] = by_axle[wheel.axle] or {}
    table.insert(by_axle[wheel.axle], (f.look:point(wheel.at)))
  end
  for _, axle in ipairs(f.scene.axles) do
    local two = by_axle[axle.name]
    if two and #two == 2 then
      table.sort(two)
      list[#list + 1] = {figure.x(f, two[1]), figure.x(f, two[2]), ("%s\u{A0}track, %s"):format(text.fixed(two[2] - two[1], 0), axle.name)}
    end
  end
  return list
end

local ASIDE = 60 -- mm from the centre plane: nearer masses stand behind one another

local function front(page, s, before)
  local c = page.canvas
  local f = planned(page, s, before, "front", GROUND_PAST + 1)
  f.lumps_shown, f.says = true, "Seen from the front, left of the car on the right. Circles: masses off the centre plane."
  local y = sheet.heading(page, heading_of(s, "front", f, before))
  figure.lay_names(f, {aside = ASIDE})
  y = figure.draw(c, f, y)
  marks.ground(c, f.left, f.right, figure.y(f, 0))
  y = math.max(y, figure.y(f, 0) + 2)
  draw_ends(c, f, y + 3, "right of the car", "left of the car")
  y = draw_lengths(c, f, y + 4.5, track_lengths(f))
  return f, draw_scales(c, f, y + 5, page)
end

local makers = {side = side, plan = plan, front = front, beam = beam}

--- The names of the views.
views.names = {"side", "plan", "front", "beam"}

--- The outlines of the scene that a view needs.
function views.needed(name) return {name == "beam" and "side" or name} end

--- Draws a view with its heading on the page. Gives the y of its lower end, its scale and the notes for the foot.
function views.draw(page, name, s, before)
  local f, y = makers[name](page, s, before)
  return y, f.scale, notes_of(s, f)
end

return views
