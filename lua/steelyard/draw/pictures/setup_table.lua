--- The table of a set-up sheet: what scales should read, and blanks to write in: lines 17 mm wide, 7 mm apart, for gloves.

local canvas = require "steelyard.draw.canvas"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local setup_table = {}

local SIZES = canvas.sizes
local ROW, BLANK = 7, 17 -- mm
local NAMES = 44         -- mm: width of the names of rows, on a page
local BLANKS = {"scales read", "ride height, mm", "collar count"}

local short = {["left front"] = "lf", ["right front"] = "rf", ["left rear"] = "lr", ["right rear"] = "rr"}
local long = {}
for name, key in pairs(short) do long[key] = name end
long.f, long.r = "front", "rear"

-- Headings and right edges of the columns: the wheels, their sum, the cross weight.
local function columns(page, s)
  local list = {}
  for _, key in ipairs(s.keys) do list[#list + 1] = {key = key, name = page.narrow and #key == 2 and key or long[key] or key} end
  if #s.keys > 1 then list[#list + 1] = {key = "mass", name = page.narrow and "sum" or "sum, kg"} end
  if s.crossed then list[#list + 1] = {key = "cross_share", name = page.narrow and "cross" or "cross, %", decimals = 2} end
  local from = page.narrow and page.left or page.left + NAMES
  local wide = math.min((page.right - from) / #list, 32)
  for i, column in ipairs(list) do
    column.right = page.right - (#list - i) * wide
    if #column.key == 2 and page.canvas:width_of(column.name, SIZES.text) > wide - 1 then column.name = column.key end
  end
  return list, wide
end

local function draw_rule(page, y, look) page.canvas:line(page.left, y, page.right, y, look) end

--- Draws it below y; gives the y of its lower end.
function setup_table.draw(page, s, y)
  local c, list, wide = page.canvas, columns(page, s)
  draw_rule(page, y, {weight = "body", what = "table"})
  y = y + 5
  c:text(page.left, y, s.table_title, {size = page.narrow and SIZES.text or SIZES.state, bold = true})
  if page.narrow then y = y + 4.2 end
  for _, column in ipairs(list) do c:text(column.right, y, column.name, {anchor = "end", colour = "grey"}) end
  local function name_row(name)
    if page.narrow then
      y = y + 4.6
      c:text(page.left, y, c:cut(name, page.right - page.left, SIZES.small), {size = SIZES.small, colour = "grey"})
      y = y + 4.2
    else
      y = y + ROW
      c:text(page.left, y, c:cut(name, NAMES + wide - 18, SIZES.text), {})
    end
  end
  for _, row in ipairs(s.rows) do
    name_row(row[1])
    for _, column in ipairs(list) do
      local value = row[2][column.key]
      if value then c:text(column.right, y, words.set(text.fixed(value, column.decimals or s.decimals)), {anchor = "end"}) end
    end
    draw_rule(page, y + 1.7, {weight = "hair", colour = "pale", what = "row", only_on_paper = true})
  end
  for i, name in ipairs(BLANKS) do
    if page.narrow then
      name_row(name)
      y = y + 2.4
    else
      y = y + ROW
      c:text(page.left, y, name, {})
    end
    local blank = math.min(BLANK, wide - 1.5)
    for _, column in ipairs(list) do
      if i == 1 or s.wheels[column.key] then
        c:line(column.right - blank, y + 1.2, column.right, y + 1.2, {weight = "fine", what = "blank"})
      end
    end
  end
  return y + 3
end

return setup_table
