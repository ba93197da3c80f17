--- A canvas as SVG 1.1: real text, no scripts, no fonts inside, the same bytes for the same canvas.

local canvas = require "steelyard.draw.canvas"
local core = require "steelyard.core"

local svg = {}

local FONT = "'Liberation Sans',Arial,Helvetica,sans-serif" -- all three as wide: metrics.lua

--- Width of the white about a letter with a halo, of the size of the text.
svg.HALO = 0.28

-- ---- numbers and texts --------------------------------------------------------------------------------------------------------

local mm = core.hundredths -- finer than any printer's dot

local escapes = {["&"] = "&amp;", ["<"] = "&lt;", [">"] = "&gt;", ['"'] = "&quot;", ["'"] = "&#39;"}

-- XML 1.0 has no control characters but tab and line ends, which a line of text has no use for either, and not U+FFFE and U+FFFF.
function svg.cleaned(s)
  if not utf8.len(s) then
    s = s:gsub("[\x80-\xff]", "\u{FFFD}")
  end
  return (s:gsub("[\0-\31\127]", " "):gsub("\u{FFFE}", "\u{FFFD}"):gsub("\u{FFFF}", "\u{FFFD}"))
end

local function escaped(s) return (svg.cleaned(s):gsub("[&<>\"']", escapes)) end
svg.escaped = escaped

-- Blocks of letters that run to the left: Hebrew to Arabic Extended-A, and their presentation forms (Unicode, Blocks.txt).
local function runs_left(s)
  if not s:find "[\xd6-\xef]" or not utf8.len(s) then return false end
  for _, code in utf8.codes(s) do
    if code >= 0x590 and code <= 0x8ff or code >= 0xfb1d and code <= 0xfdff or code >= 0xfe70 and code <= 0xfeff then return true end
  end
  return false
end

--- A name that runs to the left is put between marks that isolate it (Unicode Standard Annex 9: FSI and PDI), so that the numbers beside it
-- stay where they stand.
function svg.isolated(name) return runs_left(name) and "\u{2068}" .. name .. "\u{2069}" or name end

-- ---- marks --------------------------------------------------------------------------------------------------------------------

local function paint(item)
  local list = {('fill="%s"'):format(item.fill and canvas.colours[item.fill] or "none")}
  if item.weight then
    list[#list + 1] = ('stroke="%s" stroke-width="%s"'):format(canvas.colours[item.colour or "ink"], mm(item.weight))
    if item.dash then
      local lengths = canvas.dash_of(item)
      for i, length in ipairs(lengths) do lengths[i] = mm(length) end
      list[#list + 1] = ('stroke-dasharray="%s"'):format(table.concat(lengths, " "))
    end
  end
  return table.concat(list, " ")
end

local function path_data(item) return core.path_data(item.loops, item.closed) end

local function ellipse(item)
  if item.long == item.short then return ('<circle cx="%s" cy="%s" r="%s"/>'):format(mm(item.x), mm(item.y), mm(item.long)) end
  local turn = item.turn ~= 0 and (' transform="rotate(%s %s %s)"'):format(mm(-item.turn), mm(item.x), mm(item.y)) or ""
  return ('<ellipse cx="%s" cy="%s" rx="%s" ry="%s"%s/>'):format(mm(item.x), mm(item.y), mm(item.long), mm(item.short), turn)
end

local function text(item)
  local attributes = {('x="%s" y="%s" font-size="%s"'):format(mm(item.x), mm(item.y), mm(item.size))}
  if item.bold then attributes[#attributes + 1] = 'font-weight="bold"' end
  if item.anchor ~= "start" then attributes[#attributes + 1] = ('text-anchor="%s"'):format(item.anchor) end
  attributes[#attributes + 1] = ('fill="%s"'):format(canvas.colours[item.colour])
  local words = escaped(item.words)
  -- the halo is a text of its own below: paint-order is not known everywhere
  local halo = item.halo and ('<text %s stroke="#ffffff" stroke-width="%s" stroke-linejoin="round">%s</text>\n'):format(
    table.concat(attributes, " "), mm(2 * svg.HALO * item.size), words) or ""
  return ("%s<text %s>%s</text>"):format(halo, table.concat(attributes, " "), words)
end

-- ---- the document -----------------------------------------------------------------------------------------------------------------

--- o.title and o.description are what a screen reader says.
function svg.of(c, o)
  local w, h = mm(c.width), mm(c.height)
  local list = {
    ('<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" font-family="%s" '
      .. 'stroke-linejoin="round">'):format(w, h, w, h, FONT),
    ("<title>%s</title>"):format(escaped(o.title)), ("<desc>%s</desc>"):format(escaped(o.description)),
    ('<rect width="%s" height="%s" fill="#ffffff"/>'):format(w, h)}
  local open, data -- marks of one look stand in one group, lines of one look in one path
  local function close()
    if data then list[#list + 1] = ('<path %s d="%s"/>'):format(open, table.concat(data)) end
    if open and not data then list[#list + 1] = "</g>" end
    open, data = nil, nil
  end
  for _, item in ipairs(c.items) do
    if item.kind == "text" then
      close()
      list[#list + 1] = text(item)
    else
      local look, is_line = paint(item), item.kind == "path" and not item.fill
      if open ~= look or (data ~= nil) ~= is_line then
        close()
        open = look
        if is_line then data = {} else list[#list + 1] = ("<g %s>"):format(look) end
      end
      if is_line then data[#data + 1] = path_data(item)
      elseif item.kind == "path" then list[#list + 1] = ('<path d="%s"/>'):format(path_data(item))
      else list[#list + 1] = ellipse(item) end
    end
  end
  close()
  list[#list + 1] = "</svg>\n"
  return table.concat(list, "\n")
end

return svg
