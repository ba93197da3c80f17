--- A book as a table for spreadsheets: one row a part, made so that reading it back (file/parts_csv.lua) gives the same masses,
-- uncertainties and places.
--
-- RFC 4180 but for the line ends: LF alone, which spreadsheets take as well, and which the tools of a shell and a version
-- history want. A byte order mark stands in front only where some letter needs it; plain text stays plain.
--
-- Readings of scales are written as they were read, with what was booked before, in columns that only a book with any has.
-- Numbers are written in full, so that the same masses and uncertainties come back. A group that has a place, tags, a note or a whole of
-- its own has a row of the kind "group"; places are the file's, also inside it.
-- Shapes, turns, inertias and tanks have columns in a book with any (bodies.lua); a tank's place is its middle, as in the file.
-- Not kept: shapes and turns of an edited car (read back, its parts are points), meshes, postures of persons, stand-ins and bolted_to.
-- Parts that are not aboard are left out, since every row of a table is.

local core = require "steelyard.core"
local book = require "steelyard.answers.book"
local bodies = require "steelyard.answers.book.bodies"

local write = {}

-- ---- cells ------------------------------------------------------------------------------------------------------------

-- Texts that a spreadsheet would run as a formula get an apostrophe; reading takes it off again, so texts that begin with
-- apostrophes in front of such a sign get one more.
-- Source  OWASP Foundation, CSV Injection: cells that begin with = + - @, tab or carriage return.
local function defuse(text) return text:find "^'*[=+%-@\t\r]" and "'" .. text or text end

local function quote(text)
  if not text:find '[,;|\t"\r\n]' and not text:find "^ " and not text:find " $" then return text end
  return '"' .. text:gsub('"', '""') .. '"'
end

-- A number with three decimals and few digits in front, 27.412, could be read as thousands: a zero more tells. Places are rounded to so
-- many decimals that only what arithmetic left behind goes, a millionth of a millimetre.
local MM = 6
local SAME_PLACE = 1e-6 -- mm: what rounding may do to a place

local function number_text(number, decimals, options)
  if number == nil then return "" end
  local text = core.shortest(decimals and core.number(core.fixed(number, decimals)) + 0.0 or number)
  if text:find "^%-?[1-9]%d?%d?%.%d%d%d$" then text = text .. "0" end
  return options.semicolon and text:gsub("%.", ",") or text
end

-- ---- rows -------------------------------------------------------------------------------------------------------------

local columns = {"part", "group", "kind", "mass (kg)", "sd (kg)", "count", "pair", "x (mm)", "y (mm)", "z (mm)", "sd x (mm)",
                 "sd y (mm)", "sd z (mm)", "basis", "unsprung", "growth", "instrument", "tags", "note"}

-- side: of a piece that is no longer one of a pair; its axle's wheel there carries it
local function carrier_name(c, carrier, side)
  local axle = side and c.shared.carriers[carrier]
  for _, wheel in ipairs(axle and c.geometry:wheels() or {}) do
    if wheel.axle == axle and wheel.side == side then return wheel.key end
  end
  return carrier
end

local function unsprung_text(c, node, side)
  local list = node.unsprung
  if not list then return "" end
  if #list == 1 and list[1].fraction == 1 then return carrier_name(c, list[1].carrier, side) end
  local parts = {}
  for i, share in ipairs(list) do
    parts[i] = ("%s: %s"):format(carrier_name(c, share.carrier, side), core.shortest(share.fraction))
  end
  return table.concat(parts, ", ")
end

local one = {tags = "tag", includes = "entry"}

local function list_text(node, field)
  for _, text in ipairs(node[field] or {}) do
    if text:find "[,;]" then
      core.fail {code = "content", part = node.name, field = field, message = ("the %s %q holds a comma or semicolon, which stands "
        .. "between %s in a table"):format(one[field], text, field == "tags" and "tags" or "entries")}
    end
  end
  return table.concat(node[field] or {}, ", ")
end

-- The column of what masses include, which only a book with any has.
local function add_lists(cells, node, options, text)
  if options.includes then cells[#cells + 1] = text(list_text(node, "includes")) end
end

local function add_bodies(cells, c, item, node, options, number)
  if not options.bodies then return end
  for _, cell in ipairs(options.bodies.cells(c, item, node, number)) do cells[#cells + 1] = quote(cell) end
end

local function add_weighings(cells, node, options)
  if not options.weighings then return end
  local function number(x) return number_text(x, nil, options) end
  for _, cell in ipairs(options.weighings.cells(node, number, number)) do
    cells[#cells + 1] = core.csv_number(cell, options.semicolon and "," or ".") and cell or quote(defuse(cell))
  end
end

-- The standard uncertainties of a place as they are stated or assumed, where no turn and no edit made others of them: sums give them back
-- but for the last digits. What is known of a full tank's CG is not what is known of the tank's place.
local function stated_sd(c, node, found)
  local within, list = c.shared.spec.assume and c.shared.spec.assume.within_mm, {}
  for i, letter in ipairs{"x", "y", "z"} do
    local stated = node.at_sd and node.at_sd[i] or within and within / core.constants.root_3 or 0
    local same = node.kind == "tank" or found[letter] and math.abs(found[letter] - stated) <= SAME_PLACE
    list[letter] = same and stated or found[letter]
  end
  return list
end

-- Where an item lies and how surely: one without mass where the file puts it.
local function place_of(c, item)
  local totals = core.item_totals(c.now, c.geometry, item.route)
  if totals.cg then return totals.cg, totals.sd.cg, totals end
  local x, y, z = c.geometry:point_out(item.origin[1], item.origin[2], item.origin[3])
  return {x = x, y = y, z = z}, {}, totals
end

-- One row: `item` is the part, or one piece of a pair. side: of a piece that is no longer one of a pair.
local function row_of(c, line, item, name, pair, options, side)
  local node, at, sd, totals = line.node, place_of(c, item)
  local unknown = totals.unknown > 0
  local unstated = unknown or totals.unstated > 0
  local function text(s) return quote(defuse(s or "")) end
  local function number(x) return number_text(x, nil, options) end
  local function mm(x) return number_text(x, MM, options) end
  local function sd_text(x) return x and x > 0 and number(x) or "" end
  sd, at = stated_sd(c, node, sd), options.bodies and options.bodies.place(c, item, node) or at
  local cells = {
    text(name), text(line.group), node.kind, unknown and "?" or number(item.mass), unstated and "" or number(item.mass_sd),
    node.count and core.shortest(node.count) or "", pair and "yes" or "", mm(at.x), mm(at.y), mm(at.z), sd_text(sd.x), sd_text(sd.y),
    sd_text(sd.z), node.basis or node.kind ~= "person" and "estimate" or "", text(unsprung_text(c, node, side)),
    node.growth and node.growth > 0 and number(node.growth) or "",
    text(node.instrument or nil), text(list_text(node, "tags")), text(node.note),
  }
  add_lists(cells, node, options, text)
  add_bodies(cells, c, item, node, options, number)
  add_weighings(cells, node, options)
  return cells
end

-- The row of a group that has more than parts: where it lies, its tags, what it weighed in one piece; nil for others.
local function group_row(c, group, options)
  local node, origin = group.node, group.item.origin
  local at = {c.geometry:point_out(origin[1], origin[2], origin[3])}
  local placed = node.turned ~= nil and next(node.turned) ~= nil
  for i = 1, 3 do placed = placed or math.abs(at[i]) > SAME_PLACE end
  if not (placed or node.tags and #node.tags > 0 or node.note or node.whole) then return nil end
  local function text(s) return quote(defuse(s or "")) end
  local function mm(x) return number_text(x, MM, options) end
  local whole = not node.weighed and node.whole
  local cells = {text(group.name), text(group.group), "group", whole and number_text(whole.value, nil, options) or "",
    whole and whole.sd and number_text(whole.sd, nil, options) or "", "", "", mm(at[1]), mm(at[2]), mm(at[3]), "", "", "", "", "", "",
    text(node.weighed and node.weighed.instrument or nil), text(list_text(node, "tags")), text(node.note)}
  add_lists(cells, {}, options, text)
  add_bodies(cells, c, group.item, {turned = node.turned}, options, mm)
  add_weighings(cells, node, options)
  return cells
end

-- ---- pairs ------------------------------------------------------------------------------------------------------------

local LEFT, RIGHT = 1, -1 -- as geometry:wheels() has them

-- Are the two pieces still mirror images of each other?
local function is_mirrored(left, right)
  if left.aboard ~= right.aboard then return false end
  local l, r = left.origin, right.origin -- forward, left, up
  return math.abs(l[1] - r[1]) < SAME_PLACE and math.abs(l[2] + r[2]) < SAME_PLACE and math.abs(l[3] - r[3]) < SAME_PLACE
end

-- One row of a pair whose pieces mirror each other, with the piece that the file states; else a row for each
-- piece that is aboard.
local function pair_rows(c, line, options)
  local left, right = line.sides[1], line.sides[2]
  if is_mirrored(left, right) then
    return {row_of(c, line, left.image and right or left, line.name, true, options)}
  end
  local list = {}
  if left.aboard then list[#list + 1] = row_of(c, line, left, line.name .. " left", false, options, LEFT) end
  if right.aboard then list[#list + 1] = row_of(c, line, right, line.name .. " right", false, options, RIGHT) end
  return list
end

-- The module of weighings where any line aboard has one, or an earlier mass.
local function weighings_of(lines, groups)
  for _, list in ipairs{lines, groups} do
    for _, line in ipairs(list) do
      if line.item.aboard and (line.node.weighed or line.node.was) then return require "steelyard.file.parts_csv.weighed" end
    end
  end
end

local function any_includes(lines)
  for _, line in ipairs(lines) do
    if line.item.aboard and line.node.includes and #line.node.includes > 0 then return true end
  end
end

-- Lists of cells for one line.
local function rows_of(c, line, options)
  if line.sides then return pair_rows(c, line, options) end
  return {row_of(c, line, line.item, line.name, false, options)}
end

-- Is any line of a group aboard? A row about a group with no parts would be refused.
local function has_parts(lines, group)
  local route = group.item.route
  for i = group.before, #lines do
    if lines[i].item.route:sub(1, #route) ~= route then return false end
    if lines[i].item.aboard then return true end
  end
  return false
end

--- text, names of the lines that are not aboard
function write.write(result, given)
  local c, lines, groups = book.lines(result)
  local options = {semicolon = given and given.semicolon, weighings = weighings_of(lines, groups), includes = any_includes(lines),
                   bodies = bodies.any(lines, groups) and bodies or nil}
  local delimiter = options.semicolon and ";" or ","
  local row_of_headings = table.move(columns, 1, #columns, 1, {})
  if options.includes then row_of_headings[#row_of_headings + 1] = "includes" end
  if options.bodies then table.move(options.bodies.columns, 1, #options.bodies.columns, #row_of_headings + 1, row_of_headings) end
  if options.weighings then table.move(options.weighings.columns, 1, #options.weighings.columns, #row_of_headings + 1, row_of_headings) end
  local out, left_out, next_group = {table.concat(row_of_headings, delimiter)}, {}, 1
  for i, line in ipairs(lines) do
    while groups[next_group] and groups[next_group].before <= i do
      local row = has_parts(lines, groups[next_group]) and group_row(c, groups[next_group], options)
      if row then out[#out + 1] = table.concat(row, delimiter) end
      next_group = next_group + 1
    end
    if not line.item.aboard then
      left_out[#left_out + 1] = line.name
    else
      for _, row in ipairs(rows_of(c, line, options)) do out[#out + 1] = table.concat(row, delimiter) end
    end
  end
  local text = table.concat(out, "\n") .. "\n"
  return (text:find "[\x80-\xFF]" and "\u{FEFF}" or "") .. text, left_out
end

return write
