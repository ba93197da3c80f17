--- What every drawing is made of: a short list of marks on paper, in mm from its top left corner, x to the right, y down.
--
-- canvas.new(width, letters) -> c, with c.width, c.height (set when all is laid out) and c.items, in the order in which they are put down:
--   c:path(points, o)                a line through points {x, y}; o.closed
--   c:lines(list of lines, o)        several open lines of one look
--   c:loops(list of loops, o)        closed loops as one shape, filled by the nonzero rule
--   c:circle(x, y, r, o)             c:ellipse(x, y, long, short, turn, o): turn in degrees, counter-clockwise as seen
--   c:text(x, y, words, o)           on the base line y; o.size, o.bold, o.colour, o.anchor "start" "middle" "end", o.halo;
--                                    o.label: it names what it stands beside; o.measure: it is the number of a dimension or an arrow
--   c:width_of(words, size, bold)    mm that a text takes; c:cut and c:wrap are canvas.cut and canvas.wrap by that
--   c:view()                         begins a view: a figure or a chart, the labels of which are counted by themselves
-- o.weight  width of the line, mm, by name (canvas.weights) or number; none: no line
-- o.colour  of the line or the text: "ink", "grey", "pale", "accent", "fail"
-- o.fill    a colour, "white" or "wash", the accent at 7 %
-- o.dash    canvas.dashes
-- o.what    what a test calls it
-- Back ends (svg.lua, paper.lua, terminal.lua) know nothing but these.

local metrics = require "steelyard.draw.metrics"
local text_width = require "steelyard.print.width"

local canvas = {}
local Canvas = {}
Canvas.__index = Canvas

--- On white all but "pale" have a contrast above 4.5 : 1, so text may stand in them; pale is for outlines alone.
canvas.colours = {ink = "#1b1c20", grey = "#62656d", pale = "#a9adb4", accent = "#0b6570", fail = "#ad3a17", white = "#ffffff",
                  wash = "#eef4f5"}

--- Of maps, light to dark: the accent at 4, 12, 20 to 60 %, on all of which ink has a contrast above 6 : 1.
canvas.tints = {}
for i, hex in ipairs{"#f5f9f9", "#e2edee", "#cee0e2", "#bbd4d7", "#a7c8cc", "#94bbc0", "#80afb5", "#6da3a9"} do
  canvas.tints[i] = "tint" .. i
  canvas.colours["tint" .. i] = hex
end

--- mm
canvas.weights = {ground = 0.7, wheel = 0.5, body = 0.35, fine = 0.25, hair = 0.18}

--- Line types of ISO 128-20:1996 by their lengths in widths of the line (from memory): dash 12, long dash 24, gap 3, dot 0.5.
canvas.dashes = {
  dashed = {12, 3},                            -- 02: a second run, a projection
  centre = {24, 3, 0.5, 3},                    -- 04, long-dash dot
  earlier = {24, 3, 0.5, 3, 0.5, 3},           -- 05, long-dash double-dot
  dotted = {0.5, 3},                           -- 07: 95 % limits
}

--- Heights of letters, mm.
canvas.sizes = {title = 6, large = 4.8, state = 3.4, text = 3, small = 2.6}

--- letters: true for a terminal, on which all letters are as wide: c.letter is that width.
function canvas.new(width, letters)
  return setmetatable({width = width, height = 0, views = 0, items = {}, letter = letters and canvas.letter(width) or nil}, Canvas)
end

function Canvas:view() self.views = self.views + 1 end

local function put(c, kind, item, o)
  for key, value in pairs(o or {}) do item[key] = value end
  item.kind = kind
  item.weight = canvas.weights[item.weight] or item.weight
  c.items[#c.items + 1] = item
  return item
end

function Canvas:path(points, o) return put(self, "path", {loops = {points}}, o) end

function Canvas:line(x1, y1, x2, y2, o) return self:path({{x1, y1}, {x2, y2}}, o) end

function Canvas:lines(lines, o) return put(self, "path", {loops = lines}, o) end

function Canvas:loops(loops, o) return put(self, "path", {loops = loops, closed = true}, o) end

function Canvas:box(x1, y1, x2, y2, o) return self:loops({{{x1, y1}, {x2, y1}, {x2, y2}, {x1, y2}}}, o) end

function Canvas:circle(x, y, r, o) return put(self, "ellipse", {x = x, y = y, long = r, short = r, turn = 0}, o) end

function Canvas:ellipse(x, y, long, short, turn, o)
  return put(self, "ellipse", {x = x, y = y, long = long, short = short, turn = turn}, o)
end

function Canvas:text(x, y, words, o)
  local item = put(self, "text", {x = x, y = y, words = words}, o)
  item.size, item.colour, item.anchor = item.size or canvas.sizes.text, item.colour or "ink", item.anchor or "start"
  if item.label then item.view = self.views end
  return item
end

--- All that is written above the foot, in order.
function Canvas:texts()
  local list = {}
  for _, item in ipairs(self.items) do
    if item.kind == "text" and not item.foot then list[#list + 1] = item.words end
  end
  return list
end

--- Lengths of the dashes and gaps of a mark, mm; nil where its line has none.
function canvas.dash_of(item)
  if not item.dash then return nil end
  local lengths = {}
  for i, widths in ipairs(canvas.dashes[item.dash]) do lengths[i] = widths * item.weight end
  return lengths
end

--- mm of paper in a letter of a terminal: 100 on a usual page, 80 on one of 144 mm, 120 on one of 216 mm; more of them to the mm on a
-- narrow one, where small texts have as many.
function canvas.letter(width) return width / (width // (width < 120 and 1.35 or 1.8)) end

--- Width of a text as it may come out, with slack.
function canvas.width_of(words, size, bold) return metrics.width(words, size, bold) * metrics.SLACK end

--- The box round a text: left, top, right, bottom.
function canvas.box_of(item)
  local w = canvas.width_of(item.words, item.size, item.bold)
  local left = item.anchor == "start" and item.x or item.anchor == "end" and item.x - w or item.x - w / 2
  return left, item.y - metrics.UP * item.size, left + w, item.y + metrics.DOWN * item.size
end

--- The box round any mark, with half its line.
function canvas.bounds_of(item)
  if item.kind == "text" then return canvas.box_of(item) end
  local half = (item.weight or 0) / 2
  if item.kind == "ellipse" then
    local c, s = math.cos(math.rad(item.turn)), math.sin(math.rad(item.turn))
    local w, h = math.sqrt((item.long * c) ^ 2 + (item.short * s) ^ 2), math.sqrt((item.long * s) ^ 2 + (item.short * c) ^ 2)
    return item.x - w - half, item.y - h - half, item.x + w + half, item.y + h + half
  end
  local x1, y1, x2, y2 = math.huge, math.huge, -math.huge, -math.huge
  for _, loop in ipairs(item.loops) do
    for _, p in ipairs(loop) do
      x1, y1, x2, y2 = math.min(x1, p[1]), math.min(y1, p[2]), math.max(x2, p[1]), math.max(y2, p[2])
    end
  end
  return x1 - half, y1 - half, x2 + half, y2 + half
end

function Canvas:width_of(words, size, bold)
  if self.letter then return self.letter * text_width.of(words) end
  return canvas.width_of(words, size, bold)
end

--- mm from a line of words to the next: on a terminal a row, whatever it is on paper.
function Canvas:line_of(mm) return self.letter and 2 * self.letter or mm end

-- A word that is too long for a line by itself is cut between letters. width_of(words): mm
local function cut_by(width_of, words, most)
  if width_of(words) <= most then return words end
  local kept = ""
  for _, code in utf8.codes(utf8.len(words) and words or words:gsub("[\x80-\xff]", "?")) do
    local more = kept .. utf8.char(code)
    if width_of(more .. "…") > most then break end
    kept = more
  end
  kept = (kept:gsub(" +$", "")) .. "…"
  return kept:find("\u{2068}", 1, true) and not kept:find("\u{2069}", 1, true) and kept .. "\u{2069}" or kept -- what was isolated stays so
end

-- In lines of at most `most` mm.
local function wrap_by(width_of, words, most, lines)
  local list, line = {}, nil
  for word in words:gmatch "[^ ]+" do
    if line and width_of(line .. " " .. word) <= most then
      line = line .. " " .. word
    elseif line and lines and #list + 1 == lines then
      line = line .. " " .. word -- too long: cut below
    else
      list[#list + 1] = line
      line = word
    end
  end
  list[#list + 1] = line
  for i, one in ipairs(list) do list[i] = cut_by(width_of, one, most) end
  return list
end

local function on_paper(size, bold)
  return function(words) return canvas.width_of(words, size, bold) end
end

local function on(c, size, bold)
  return function(words) return c:width_of(words, size, bold) end
end

--- A text shortened to a width.
function canvas.cut(words, most, size, bold) return cut_by(on_paper(size, bold), words, most) end

--- A text in lines of at most `most` mm, at most `lines` of them; the last one is cut where more would be needed.
function canvas.wrap(words, most, size, bold, lines) return wrap_by(on_paper(size, bold), words, most, lines) end

function Canvas:cut(words, most, size, bold) return cut_by(on(self, size, bold), words, most) end

function Canvas:wrap(words, most, size, bold, lines) return wrap_by(on(self, size, bold), words, most, lines) end

return canvas
