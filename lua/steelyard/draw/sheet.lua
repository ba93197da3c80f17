--- The page round a figure: heading, answer, foot, and the margins that nothing crosses.

local canvas = require "steelyard.draw.canvas"
local core = require "steelyard.core"
local named_places = require "steelyard.car.named_places"
local text = require "steelyard.print.text"

local sheet = {}

local SIZES = canvas.sizes
sheet.LINE = 4.2 -- from base line to base line, mm

local MARGIN, NARROW_MARGIN, NARROW = 5, 3, 120
local NARROWEST, WIDEST, USUAL = 90, 420, 180

--- A width as asked for, mm, checked; the usual one for nil.
function sheet.width(given)
  if given == nil then return USUAL end
  local width = named_places.number(given, "mm", "width")
  if not (width >= NARROWEST and width <= WIDEST) then
    core.fail{code = "range", field = "width", message = ("is %s mm, must be %d to %d"):format(text.plain(width), NARROWEST, WIDEST)}
  end
  return width
end

--- {canvas, width, left, right, narrow}; letters: true for a terminal.
function sheet.new(width, letters)
  local narrow = width < NARROW
  local margin = narrow and NARROW_MARGIN or MARGIN
  return {canvas = canvas.new(width, letters), width = width, left = margin, right = width - margin, margin = margin, narrow = narrow}
end

-- Lines that words of a heading or a foot may take; a terminal, which takes more of them, cuts nothing.
local function most_lines(c) return not c.letter and (c.width < NARROW and 3 or 2) or nil end

-- The largest of the sizes in which it stands in one line, else two lines of the smallest.
local function fitted(c, words, most, sizes, bold)
  for _, size in ipairs(sizes) do
    if c:width_of(words, size, bold) <= most then return {words}, size end
  end
  local size = sizes[#sizes]
  return c:wrap(words, most, size, bold, most_lines(c)), size
end

-- Rows {label, value}, the values right-aligned, the labels right-aligned before the widest of them. Gives their width.
local function answer_width(c, answer)
  local label, value = 0, 0
  for _, row in ipairs(answer) do
    label = math.max(label, c:width_of(row[1], SIZES.text))
    value = math.max(value, c:width_of(row[2], row.large and SIZES.large or SIZES.state, true))
  end
  return label + 2.5 + value, value
end

local function put_answer(page, answer, y)
  local _, value = answer_width(page.canvas, answer)
  for i, row in ipairs(answer) do
    page.canvas:text(page.right, y, row[2], {size = row.large and SIZES.large or SIZES.state, bold = true, anchor = "end",
      colour = row.large and "accent" or row.colour})
    page.canvas:text(page.right - value - 2.5, y, row[1], {anchor = "end", colour = "grey"})
    y = y + (i < #answer and page.canvas:line_of(sheet.LINE + 0.4) or 0)
  end
  return y
end

--- says = {title, state, lines = list of grey lines, answer = list of {label, value, large = true for the one that counts}};
-- gives the y of the end of the heading.
function sheet.heading(page, says)
  local c, beside = page.canvas, page.narrow and 0 or answer_width(page.canvas, says.answer) + 6
  local most = page.right - page.left - beside
  local lines, size = fitted(c, says.title, most, page.narrow and {SIZES.large, SIZES.state} or {SIZES.title, SIZES.large}, true)
  local y = page.margin + canvas.sizes.title * 0.75
  for i, line in ipairs(lines) do
    if i > 1 then y = y + c:line_of(1.15 * size) end
    c:text(page.left, y, line, {size = size, bold = true})
  end
  y = y + c:line_of(1.3 * sheet.LINE)
  for i, line in ipairs(c:wrap(says.state, most, SIZES.state, false, most_lines(c))) do
    if i > 1 then y = y + c:line_of(sheet.LINE) end
    c:text(page.left, y, line, {size = SIZES.state})
  end
  for _, words in ipairs(says.lines) do
    for _, line in ipairs(c:wrap(words, most, SIZES.text, false, most_lines(c))) do
      y = y + c:line_of(sheet.LINE)
      c:text(page.left, y, line, {colour = "grey"})
    end
  end
  if page.narrow and not says.answer[1] then return y + 2 end
  if page.narrow then return put_answer(page, says.answer, y + 1.5 * sheet.LINE) + 2 end
  return math.max(y, put_answer(page, says.answer, page.margin + canvas.sizes.title * 0.75)) + 2
end

--- Sentences below y in as many lines as they take; gives the y of the last. o: {size, colour, bold, left, right}.
function sheet.sentences(page, y, list, o)
  o = o or {}
  local left, right, size = o.left or page.left, o.right or page.right, o.size or SIZES.text
  for _, words in ipairs(list) do
    for _, line in ipairs(page.canvas:wrap(words, right - left, size, o.bold)) do
      y = y + page.canvas:line_of(size < SIZES.text and 3.8 or sheet.LINE)
      page.canvas:text(left, y, line, {size = size, colour = o.colour, bold = o.bold})
    end
  end
  return y
end

--- The last lines, below y; sets the height of the page.
function sheet.foot(page, y, foot)
  local c = page.canvas
  for _, note in ipairs(foot.notes) do
    for _, line in ipairs(c:wrap(text.sentence(note), page.right - page.left, SIZES.small)) do
      y = y + c:line_of(3.6)
      c:text(page.left, y, line, {size = SIZES.small, colour = "grey"})
    end
  end
  y = y + 3
  c:line(page.left, y, page.right, y, {weight = "hair", colour = "pale", what = "foot"})
  local left, right = foot.left, foot.right
  local function width(s) return c:width_of(s, SIZES.small) end
  y = y + c:line_of(3.4) + (c.letter and 0.35 * SIZES.small or 0) -- a row below the rule
  if width(left) + width(right) + 4 <= page.right - page.left then
    c:text(page.left, y, left, {size = SIZES.small, colour = "grey", foot = true})
    c:text(page.right, y, right, {size = SIZES.small, colour = "grey", anchor = "end", foot = true})
  else
    for i, words in ipairs{left, right} do
      for k, line in ipairs(c:wrap(words, page.right - page.left, SIZES.small, false, most_lines(c))) do
        if i + k > 2 then y = y + c:line_of(3.4) end
        c:text(page.left, y, line, {size = SIZES.small, colour = "grey", foot = true})
      end
    end
  end
  c.height = y + page.margin
end

return sheet
