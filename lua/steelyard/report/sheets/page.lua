--- Sheets of paper: pages of one size that are filled from the top, to be written on with gloves and folded once.
--
-- page.stack{paper =, left =, right =} -> s with s.pages (list of canvases), s.canvas (the one in work), s.y (lower end of what stands
-- on it), s.left, s.right, s.top, s.bottom. left, right: what the foot of each page says.
--   s:sheet(says)              a new page with a heading: {title, state =, lines = grey ones}
--   s:section(words, room)     a heading within a page, together with so many mm below it
--   s:sentences(list, o)       o: {size, colour, bold}
--   s:fill(items)              blanks in lines: {"date", 30} or {"step", unit = "kg"}; s:checks(list): boxes to tick
--   s:blanks{...}              a table of blanks; s:table{...} a table of words
--   s:finish()                 the feet
-- Whatever is put down keeps clear of the crease: nothing is written within CREASE mm of the middle of the page, and what would cross it
-- goes on below. Blanks are lines of 17 mm and more, 7 mm apart.

local canvas = require "steelyard.draw.canvas"
local words = require "steelyard.draw.words"

local page = {MARGIN = 14, ROW = 7, BLANK = 17, CREASE = 2.5, KEPT = 75}

local SIZES, LINE = canvas.sizes, 4.2
local MARGIN, ROW, BLANK, CREASE = page.MARGIN, page.ROW, page.BLANK, page.CREASE
local FOOT = 8.2      -- mm: two lines and what keeps them apart from the page
local BASE = 5        -- mm: from the upper end of a row to its base line; a blank lies 1.2 below that
local GAP = 5         -- mm between blanks in a line
local BOX = 3.4       -- mm: a box to tick
local WIDEST = 30     -- mm: a column of blanks
local LEAST = BLANK + 2

--- Width and height of the papers, mm (ISO 216).
page.papers = {a4 = {210, 297}, a3 = {297, 420}}
page.paper_names = {"a4", "a3"}

local Stack = {}
Stack.__index = Stack

--- See above. o.size: {width, height} of another paper.
function page.stack(o)
  local size = o.size or page.papers[o.paper]
  return setmetatable({pages = {}, width = size[1], height = size[2], left = MARGIN, right = size[1] - MARGIN, top = MARGIN,
                       bottom = size[2] - MARGIN - FOOT, foot = {o.left, o.right}, folded = o.folded ~= false}, Stack)
end

-- ---- pages ------------------------------------------------------------------------------------------------------------------------

local function put(s, x, y, shown, look) return s.canvas:text(x, y, shown, look) end

--- A page of any size, which the maker fills by itself; gives its canvas.
function Stack:add(width, height)
  self.canvas = canvas.new(width)
  self.canvas.height = height
  self.pages[#self.pages + 1] = self.canvas
  return self.canvas
end

local function add_canvas(s)
  s:add(s.width, s.height)
  s.y = s.top
end

-- Lines of a text below s.y.
local function lines_of(s, shown, size, look, most)
  for _, line in ipairs(canvas.wrap(shown, s.right - s.left, size, look.bold, most)) do
    put(s, s.left, s.y + 0.76 * size, line, {size = size, bold = look.bold, colour = look.colour})
    s.y = s.y + math.max(LINE, 1.2 * size)
  end
end

local function put_heading(s, says, again)
  lines_of(s, says.title .. (again and ", continued" or ""), again and SIZES.large or SIZES.title, {bold = true}, 2)
  if says.state then lines_of(s, says.state, SIZES.state, {}, 2) end
  for _, line in ipairs(not again and says.lines or {}) do lines_of(s, line, SIZES.text, {colour = "grey"}) end
  s.y = s.y + 1
end

--- A heading below s.y: {title, state =, lines =}.
function Stack:heading(says) put_heading(self, says, false) end

function Stack:sheet(says)
  self.says = says
  add_canvas(self)
  self:heading(says)
end

--- Makes sure of so many mm of page below s.y, on this half or the next. True where something was left behind: a table repeats its heading.
function Stack:room(mm)
  local crease, moved = self.height / 2, false
  if self.folded and self.y < crease + CREASE and self.y + mm > crease - CREASE then self.y, moved = crease + CREASE, true end
  if self.y + mm <= self.bottom then return moved end
  add_canvas(self)
  put_heading(self, self.says, true)
  return true
end

--- The feet, and marks in the margin where the page is folded.
function Stack:finish()
  for i, c in ipairs(self.pages) do
    local y, right = c.height - MARGIN - FOOT + 1.6, c.width - MARGIN
    c:line(self.left, y, right, y, {weight = "hair", colour = "pale", what = "foot"})
    local number = ("%d of %d"):format(i, #self.pages)
    local function foot(x, line, shown, anchor)
      c:text(x, y + line, shown, {size = SIZES.small, colour = "grey", foot = true, anchor = anchor})
    end
    foot(self.left, 2.8, canvas.cut(self.foot[1], right - self.left, SIZES.small))
    foot(self.left, 6, canvas.cut(self.foot[2], right - self.left - 20, SIZES.small))
    foot(right, 6, number, "end")
    if self.folded then
      for _, x in ipairs{self.left, self.right} do
        c:line(x, self.height / 2, x == self.left and x + 3 or x - 3, self.height / 2, {weight = "hair", colour = "pale", what = "crease"})
      end
    end
  end
  return self.pages
end

-- ---- words ------------------------------------------------------------------------------------------------------------------------

--- Room for a table of words of so many rows that is kept together, below its heading.
function page.room_of(rows) return rows * 4.6 + 5.2 <= page.KEPT and rows * 4.6 + 5.2 or 20 end

--- A heading within the page; room: mm that must follow it on the same half, a row of a table unless stated.
function Stack:section(shown, room)
  self:room(8 + (room or 1 + 3 * 3.3 + ROW))
  self.y = self.y + 2.4
  put(self, self.left, self.y + 3, canvas.cut(shown, self.right - self.left, SIZES.state, true), {size = SIZES.state, bold = true})
  self.y = self.y + 5
end

function Stack:sentences(list, o)
  o = o or {}
  local size = o.size or SIZES.text
  for _, sentence in ipairs(list) do
    for _, line in ipairs(canvas.wrap(words.sentence(sentence), self.right - self.left, size, o.bold)) do
      self:room(LINE)
      put(self, self.left, self.y + 3.2, line, {size = size, colour = o.colour, bold = o.bold})
      self.y = self.y + LINE
    end
  end
end

-- ---- blanks ------------------------------------------------------------------------------------------------------------------------

local function blank(s, x1, x2, y) s.canvas:line(x1, y + BASE + 1.2, x2, y + BASE + 1.2, {weight = "fine", what = "blank"}) end

--- items: {label, mm of blank or nil for 17, unit =, rest = true: to the end of the line}, one behind the other.
function Stack:fill(items)
  local size = SIZES.state
  self:room(ROW)
  local x = self.left
  for _, item in ipairs(items) do
    local label, long = canvas.width_of(item[1], size) + 1.5, item[2] or BLANK
    local unit = item.unit and canvas.width_of(item.unit, size) + 1.2 or 0
    if x > self.left and x + label + long + unit > self.right then
      self.y = self.y + ROW
      self:room(ROW)
      x = self.left
    end
    local finish = item.rest and self.right - unit or x + label + long
    put(self, x, self.y + BASE, item[1], {size = size})
    blank(self, x + label, finish, self.y)
    if item.unit then put(self, finish + 1.2, self.y + BASE, item.unit, {size = size}) end
    x = finish + unit + GAP
  end
  self.y = self.y + ROW
end

-- How long an entry of a list to tick is: {words, mm of blank or nil, unit =}, or words.
local function check_width(item, size)
  if type(item) == "string" then return BOX + 1.6 + canvas.width_of(item, size) end
  return BOX + 1.6 + canvas.width_of(item[1], size) + 1.5 + (item[2] or BLANK) + (item.unit and 1.2 + canvas.width_of(item.unit, size) or 0)
end

local function put_check(s, x, item, size)
  local shown = type(item) == "table" and item[1] or item
  s.canvas:box(x, s.y + BASE - BOX + 0.6, x + BOX, s.y + BASE + 0.6, {weight = "fine", what = "tick"})
  put(s, x + BOX + 1.6, s.y + BASE, shown, {size = size})
  if type(item) == "string" then return end
  local from = x + BOX + 1.6 + canvas.width_of(shown, size) + 1.5
  local to = from + (item[2] or BLANK)
  blank(s, from, to, s.y)
  if item.unit then put(s, to + 1.2, s.y + BASE, item.unit, {size = size}) end
end

--- Boxes to tick, two in a line where both are short: words, or {words, mm of blank, unit =}.
function Stack:checks(list)
  local size, half = SIZES.state, (self.right - self.left) / 2
  local i = 1
  while list[i] do
    self:room(ROW)
    put_check(self, self.left, list[i], size)
    local two = list[i + 1] and check_width(list[i], size) < half - 2 and check_width(list[i + 1], size) <= half
    if two then put_check(self, self.left + half, list[i + 1], size) end
    self.y, i = self.y + ROW, i + (two and 2 or 1)
  end
end

-- Right edges of the columns of blanks and the width of the names before them.
local function blank_columns(s, o, size)
  local names = canvas.width_of(o.name or "", size)
  for _, row in ipairs(o.rows) do names = math.max(names, canvas.width_of(row[1], size, row.bold) + 2) end
  local fixed, free = 0, 0
  for _, column in ipairs(o.columns) do
    if type(column) == "table" then fixed = fixed + column[2] + 2 else free = free + 1 end
  end
  local room = s.right - s.left - fixed
  names = math.min(math.max(names, 24), room - free * LEAST)
  local each = free > 0 and math.min(WIDEST, (room - names) / free) or 0
  local list, x = {}, s.left + names
  for i, column in ipairs(o.columns) do
    local wide = type(column) == "table" and column[2] + 2 or each
    x = x + wide
    list[i] = {name = type(column) == "table" and column[1] or column, right = x, wide = wide, blank = type(column) == "table" and column[2]
      or BLANK}
  end
  return list, names
end

local function blank_headings(s, list, o, names)
  local most, shown = 1, {}
  for i, column in ipairs(list) do
    shown[i] = canvas.wrap(column.name, column.wide - 1, SIZES.small, false, 3)
    most = math.max(most, #shown[i])
  end
  for i, column in ipairs(list) do
    for k, line in ipairs(shown[i]) do
      put(s, column.right, s.y + 3 + (most - #shown[i] + k - 1) * 3.3, line, {size = SIZES.small, colour = "grey", anchor = "end"})
    end
  end
  if o.name then
    put(s, s.left, s.y + 3 + (most - 1) * 3.3, canvas.cut(o.name, names - 1, SIZES.small), {size = SIZES.small, colour = "grey"})
  end
  s.y = s.y + 1 + most * 3.3
end

--- A table to write in. o.columns: headings, or {heading, mm of its blanks}; o.rows: {name, bold =, without = {[column] = true}};
-- o.name: heading of the names.
function Stack:blanks(o)
  local list, names = blank_columns(self, o, SIZES.state)
  local high = 1 + 3 * 3.3
  self:room(high + ROW)
  blank_headings(self, list, o, names)
  for _, row in ipairs(o.rows) do
    if self:room(ROW) then
      self:room(high + ROW)
      blank_headings(self, list, o, names)
    end
    put(self, self.left, self.y + BASE, canvas.cut(row[1], names - 1, SIZES.state, row.bold), {size = SIZES.state, bold = row.bold})
    for i, column in ipairs(list) do
      if not (row.without and row.without[i]) then blank(self, column.right - column.blank, column.right, self.y) end
    end
    self.y = self.y + ROW
  end
end

-- ---- tables of words -----------------------------------------------------------------------------------------------------------------

local function shown_of(cell) return type(cell) == "table" and cell[1] or cell or "" end

-- Columns as wide as what stands in them; where that is too wide the ones that give way share what is too much.
local function widths_of(o, room, size)
  local widths, sum, giving = {}, -o.apart, 0
  for k, column in ipairs(o.columns) do
    widths[k] = canvas.width_of(column[1], size)
    for _, row in ipairs(o.rows) do
      local cell = row[k]
      widths[k] = math.max(widths[k], canvas.width_of(shown_of(cell), size, type(cell) == "table" and cell.bold))
    end
    sum = sum + widths[k] + o.apart
    if column.gives then giving = giving + widths[k] end
  end
  local over = sum - room
  for k, column in ipairs(o.columns) do
    if over > 0 and column.gives then widths[k] = math.max(20, widths[k] - over * widths[k] / giving) end
  end
  return widths
end

local function table_row(s, o, widths, cells, grey)
  local size, x, most = o.size, s.left, 1
  local lines = {}
  for k, column in ipairs(o.columns) do
    local cell = cells[k]
    lines[k] = canvas.wrap(shown_of(cell), widths[k] + 0.01, size, type(cell) == "table" and cell.bold, column.gives and 4 or 1)
    most = math.max(most, #lines[k])
  end
  for k, column in ipairs(o.columns) do
    local look = type(cells[k]) == "table" and cells[k] or {}
    for i, line in ipairs(lines[k]) do
      put(s, column.left and x or x + widths[k], s.y + 3.3 + (i - 1) * 1.25 * size, line,
          {size = size, anchor = column.left and "start" or "end", bold = look.bold, colour = grey and "grey" or look.colour})
    end
    x = x + widths[k] + o.apart
  end
  return 4.6 + (most - 1) * 1.25 * size
end

-- How many mm a row takes.
local function row_height(o, widths, cells)
  local most = 1
  for k, column in ipairs(o.columns) do
    local cell = cells[k]
    if column.gives then
      most = math.max(most, #canvas.wrap(shown_of(cell), widths[k] + 0.01, o.size, type(cell) == "table" and cell.bold, 4))
    end
  end
  return 4.6 + (most - 1) * 1.25 * o.size
end

local function table_heading(s, o, widths)
  if o.bare then return end
  local cells = {}
  for k, column in ipairs(o.columns) do cells[k] = column[1] end
  s.y = s.y + table_row(s, o, widths, cells, true)
  s.canvas:line(s.left, s.y, s.right, s.y, {weight = "hair", colour = "grey", what = "table"})
  s.y = s.y + 0.6
end

--- A table of words. o.columns: {heading, left = true, gives = true: goes on in more lines}; o.rows: lists of cells, each words or {words,
-- bold =, colour =}; o.size; o.bare: without headings. One of up to KEPT mm stays on one half.
function Stack:table(o)
  o = {columns = o.columns, rows = o.rows, size = o.size or SIZES.text, apart = o.apart or 3, bare = o.bare}
  local widths = widths_of(o, self.right - self.left, o.size)
  local whole = 5.2
  for _, row in ipairs(o.rows) do whole = whole + row_height(o, widths, row) end
  self:room(whole <= page.KEPT and whole or 5.2 + 4.6)
  table_heading(self, o, widths)
  for _, row in ipairs(o.rows) do
    local high = row_height(o, widths, row)
    if self:room(high) then
      self:room(5.2 + high)
      table_heading(self, o, widths)
    end
    self.y = self.y + table_row(self, o, widths, row)
  end
  self.y = self.y + 0.6
end

return page
