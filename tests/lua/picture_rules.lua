--- What every picture must keep: no text on a text or on a line, nothing over the margins, letters large and dark enough.
local canvas = require "steelyard.draw.canvas"
local drawing = require "steelyard.draw.drawing"
local width_of = require("steelyard.print.width").of

local rules = {}

-- A drawing, or a page of sheets: {canvas =, width =, margin =}.
local function canvas_of(d) return rawget(d, "canvas") or drawing.canvas_of(d) end

local function texts_of(c)
  local list = {}
  for i, item in ipairs(c.items) do
    if item.kind == "text" then list[#list + 1] = {item = item, number = i, box = {canvas.box_of(item)}} end
  end
  return list
end
rules.texts_of = texts_of

local function meet(a, b) return a[1] < b[3] and b[1] < a[3] and a[2] < b[4] and b[2] < a[4] end

function rules.no_two_texts_overlap(check, d, what)
  local list = texts_of(canvas_of(d))
  for i, a in ipairs(list) do
    for k = i + 1, #list do
      check.equal(meet(a.box, list[k].box), false, ("%s: %q and %q"):format(what, a.item.words, list[k].item.words))
    end
  end
end

-- Does a straight line run through a box? Cut against its four sides (the way of Liang and Barsky).
local function crosses(p, q, box)
  local t1, t2 = 0, 1
  local dx, dy = q[1] - p[1], q[2] - p[2]
  for _, edge in ipairs{{-dx, p[1] - box[1]}, {dx, box[3] - p[1]}, {-dy, p[2] - box[2]}, {dy, box[4] - p[2]}} do
    if edge[1] == 0 then
      if edge[2] <= 0 then return false end
    else
      local t = edge[2] / edge[1]
      if edge[1] < 0 then t1 = math.max(t1, t) else t2 = math.min(t2, t) end
    end
  end
  return t1 < t2
end

-- The round of a circle as a polygon of so many sides.
local function around(item)
  local points = {}
  local turn = math.rad(item.turn)
  for i = 0, 47 do
    local a = math.rad(i * 7.5)
    local u, v = item.long * math.cos(a), item.short * math.sin(a)
    points[#points + 1] = {item.x + u * math.cos(turn) + v * math.sin(turn), item.y - u * math.sin(turn) + v * math.cos(turn)}
  end
  return points
end

-- A text with a halo may stand over pale outlines and the centre line, no other over anything.
function rules.no_text_stands_on_a_line(check, d, what)
  local c = canvas_of(d)
  for _, one in ipairs(texts_of(c)) do
    for _, item in ipairs(c.items) do
      local faint = one.item.halo and (item.colour == "pale" or item.dash == "centre" or (item.what or ""):find "^wheel")
      if item.weight and not faint then
        for _, loop in ipairs(item.kind == "ellipse" and {around(item)} or item.loops) do
          local closed = item.closed or item.kind == "ellipse"
          for i = 1, closed and #loop or #loop - 1 do
            if crosses(loop[i], loop[i % #loop + 1], one.box) then
              check.equal(item.what, nil, ("%s: %q stands on"):format(what, one.item.words))
            end
          end
        end
      end
    end
    check.equal(true, true)
  end
end

function rules.nothing_crosses_the_margins(check, d, what)
  local c = canvas_of(d)
  local margin = rawget(d, "margin") or d.width < 120 and 3 or 5
  for _, item in ipairs(c.items) do
    local x1, y1, x2, y2 = canvas.bounds_of(item)
    local label = ("%s: %s"):format(what, item.words or item.what or item.kind)
    check.equal(x1 >= margin - 0.36 and x2 <= d.width - margin + 0.36, true, label) -- half the thickest line
    check.equal(y1 >= 0 and y2 <= d.height, true, label)
    if item.kind == "text" then check.equal(item.size >= 2.5, true, label) end
  end
end

function rules.no_text_is_pale(check, d, what)
  for _, one in ipairs(texts_of(canvas_of(d))) do check.equal(one.item.colour ~= "pale", true, what) end
end

--- The marks of a drawing that are called so, in the order of drawing.
function rules.items(d, what)
  local list = {}
  for _, item in ipairs(canvas_of(d).items) do if item.what == what then list[#list + 1] = item end end
  return list
end

--- All that is written in it, with plain blanks.
function rules.said(d) return (table.concat(d.texts, " "):gsub("\u{A0}", " ")) end

--- A car of a file, restated with x forward and the ground at 140. kept: the file that is written, which then stays.
function rules.restated(path, kept)
  local conventions = dofile "tests/lua/conventions.lua"
  local to = conventions.new({x = "forward", y = "left", z = "up"}, {front = 55, centre = -20, ground = 140})
  local car = conventions.read(path)
  local name = kept or os.tmpname()
  local out <close> = assert(io.open(name, "w"))
  out:write(conventions.text(conventions.restated(car, conventions.map(conventions.of(car), to))))
  out:close()
  local made = require("steelyard").load(name)
  if not kept then os.remove(name) end
  return made
end

local MOST = {wide = 14, narrow = 6} -- labels of a view; a picture less than 120 mm wide is narrow

-- A label of several lines is one.
function rules.few_labels_a_view(check, d, what)
  local count, most, above = {}, d.width < 120 and MOST.narrow or MOST.wide, nil
  for _, one in ipairs(texts_of(canvas_of(d))) do
    local item = one.item
    local goes_on = above and item.label and above.x == item.x and above.anchor == item.anchor and item.y > above.y
      and item.y - above.y < 4.5
    if item.label and not goes_on then count[item.view] = (count[item.view] or 0) + 1 end
    above = item.label and item or nil
  end
  for view, n in pairs(count) do check.equal(n <= most, true, ("%s: view %d has %d labels"):format(what, view, n)) end
end

-- A terminal has every text whole, none written over another.
function rules.a_terminal_shows_every_text(check, d, what)
  if rawget(d, "canvas") then return end -- sheets are for paper alone
  local words = require "steelyard.draw.words"
  local shown = d:text()
  for _, one in ipairs(texts_of(drawing.letters_of(d))) do check.contains(shown, words.plain(one.item.words), what .. " as text") end
  for line in shown:gmatch "[^\n]+" do check.equal(width_of(line) <= d.width / 1.35, true, line) end
end

--- A CG height of a car whose rear is lifted in three steps, with loads of a height above its radii that its ledger knows nothing of.
function rules.lifted(car)
  local b, readings = car:balance(), {}
  for i, lift in ipairs{0, 200, 400, 600} do
    readings[i] = {lift = lift, front = b.front + 0.06 * b.mass * math.tan(math.asin(lift / b.wheelbase)),
                   rear = lift == 0 and b.rear or nil}
  end
  return car:cg_height{lifted = "rear", sd = {pad = 0.1}, readings = readings}
end

--- All of them.
function rules.keep(check, d, what)
  rules.no_two_texts_overlap(check, d, what)
  rules.no_text_stands_on_a_line(check, d, what)
  rules.nothing_crosses_the_margins(check, d, what)
  rules.no_text_is_pale(check, d, what)
  rules.few_labels_a_view(check, d, what)
  rules.a_terminal_shows_every_text(check, d, what)
end

return rules
