--- A canvas as PNG or PDF, by cairo and Pango in a module of their own (lua/extra/canvas_cairo.c), loaded when the first is written.

local canvas = require "steelyard.draw.canvas"
local core = require "steelyard.core"
local metrics = require "steelyard.draw.metrics"
local svg = require "steelyard.draw.svg"

local paper = {}

local MODULE = "steelyard.canvas_cairo"

local function unavailable(message, hint) core.fail{code = "unavailable", field = "path", message = message, hint = hint} end

local INSTEAD = "write .svg, which every browser shows and prints"

local function module_of(kind)
  local fine, found = pcall(require, MODULE)
  if fine and type(found) == "table" then return found end
  unavailable(("%s needs cairo and Pango, with which this steelyard was not built"):format(kind:upper()), INSTEAD)
end

-- Pages are laid out by the widths of one family; set in a wider one, texts would run into each other.
local PROBE, SIZE, OFF = "Mass 0123456789 mm", 10, 0.1 -- mm

local function check_family(page, kind)
  for _, bold in ipairs{false, true} do
    if math.abs(page:width(PROBE, SIZE, bold) - metrics.width(PROBE, SIZE, bold)) > OFF then
      unavailable(("%s needs the font Liberation Sans, or one as wide, which is not installed"):format(kind:upper()), INSTEAD)
    end
  end
end

local rgb = {}
for name, code in pairs(canvas.colours) do
  local parts = {}
  for i = 1, 3 do parts[i] = tonumber(code:sub(2 * i, 2 * i + 1), 16) / 255 end
  rgb[name] = parts
end

local function draw_text(page, item)
  page:text(svg.cleaned(item.words), item.size, item.bold or false, item.x, item.y, item.anchor, rgb[item.colour],
            item.halo and svg.HALO * item.size or 0)
end

local function draw_shape(page, item)
  if item.kind == "ellipse" then
    page:ellipse(item.x, item.y, item.long, item.short, item.turn)
  else
    for _, loop in ipairs(item.loops) do page:loop(loop, item.closed or false) end
  end
  page:paint(item.fill and rgb[item.fill], item.weight and rgb[item.colour or "ink"], item.weight, canvas.dash_of(item))
end

local MOST = 4000 -- mm: cairo counts the dots of a PNG to 32767

local function check_size(c, kind)
  for _, size in ipairs{{c.height, "high"}, {c.width, "wide"}} do
    if size[1] > MOST then
      core.fail{code = "range", field = "path", message = ("%s is %d mm %s, at most %d can be written"):format(kind:upper(),
        math.ceil(size[1]), size[2], MOST), hint = INSTEAD}
    end
  end
end

local function draw(page, c)
  for _, item in ipairs(c.items) do
    if item.kind == "text" then draw_text(page, item) else draw_shape(page, item) end
  end
end

--- The bytes of a file. kind: "png" or "pdf"; title: what readers of PDF show in their heading.
function paper.of(c, kind, title)
  check_size(c, kind)
  local page = module_of(kind).page(kind, c.width, c.height, svg.cleaned(title))
  check_family(page, kind)
  draw(page, c)
  return page:finish()
end

--- The bytes of a PDF with a page for each canvas of a list.
function paper.pages(list, title)
  for _, c in ipairs(list) do check_size(c, "pdf") end
  local page
  for _, c in ipairs(list) do
    if page then
      page:turn(c.width, c.height)
    else
      page = module_of("pdf").page("pdf", c.width, c.height, svg.cleaned(title))
      check_family(page, "pdf")
    end
    draw(page, c)
  end
  return page:finish()
end

return paper
