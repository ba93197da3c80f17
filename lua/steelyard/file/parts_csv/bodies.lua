--- Shapes, turns, inertias and tanks in tables, in the words of a vehicle file: box {540, 620, 470}; nose_up 4, left_up 6; six numbers.
--
--   bodies.read(row, part)          into `part`: shape, turned, inertia; of a tank density, fill, dry_mass, capacity in place of its mass
--   bodies.columns, bodies.cells(c, item, node, number) -> their headings, and the texts of one line
--   bodies.place(c, item, node)     where a tank's own middle lies, in file axes; nil for what is no tank with a level

local core = require "steelyard.core"
local language = require "steelyard.file.language"
local build = require "steelyard.car.build"
local cells = require "steelyard.file.parts_csv.cells"
local loading = require "steelyard.car.loading"
local vocabulary = require "steelyard.file.vocabulary"

local bodies = {}

local SHAPE = "^%s*(%a[%a_]*)%s*{(.*)}%s*$"
local entries = {"xx", "yy", "zz", "xy", "xz", "yz"}

-- ---- in -----------------------------------------------------------------------------------------------------------------

--- Does a cell hold a shape as a vehicle file writes it?
function bodies.is_shape(cell) return cell:find(SHAPE) ~= nil end

local function number_in(self, field, text)
  local number = core.csv_number(text, self.mark) or core.number(text)
  if not number then self:wrong(field, "type", ("%q is not a number"):format(cells.shown(text))) end
  return number
end

-- Pieces with semicolons between, or commas where these are no decimal marks.
local function pieces_of(self, text)
  local list = {}
  local pattern = (text:find ";" or self.mark == ",") and "[^;]+" or "[^,]+"
  for piece in text:gmatch(pattern) do list[#list + 1] = cells.one_line(piece) end
  return list
end

local function read_shape(self)
  local kind, inside = self:text "shape":match(SHAPE)
  if not kind then return nil end
  if not language.shapes[kind] then
    local names = {}
    for name in pairs(language.shapes) do names[#names + 1] = name end
    table.sort(names)
    local near = core.nearest(kind, names)
    return self:wrong("shape", "unknown", ("%q is not a shape"):format(kind), near and ("did you mean %q?"):format(near)
      or "the shapes are " .. table.concat(names, ", "))
  end
  local sizes = {}
  for _, piece in ipairs(pieces_of(self, inside)) do
    local key, value = piece:match "^(%a[%a_]*)%s*=%s*(.-)$"
    local quoted = value and value:match '^"(.*)"$'
    if key then
      sizes[key] = quoted or number_in(self, "shape", value)
    else
      sizes[#sizes + 1] = number_in(self, "shape", piece)
    end
  end
  return setmetatable({shape = kind, line = 0, fields = sizes}, core.word_host.marked "shape")
end

--- How a part or a group is turned.
function bodies.turned(self)
  local text = self:text "turned"
  if cells.is_blank(text) then return nil end
  local turned = {}
  for _, piece in ipairs(pieces_of(self, text)) do
    local way, degrees = piece:match "^(%a[%a_]*)[ =]+(.-)$"
    if not way then return self:wrong("turned", "type", ("%q is not a turn"):format(cells.shown(piece)), "as in nose_up 4") end
    turned[way] = number_in(self, "turned", degrees)
  end
  return turned
end

local function read_inertia(self)
  local text = self:text "inertia"
  if cells.is_blank(text) then return nil end
  local list = {}
  for _, piece in ipairs(pieces_of(self, text)) do list[#list + 1] = number_in(self, "inertia", piece) end
  if #list ~= 3 and #list ~= 6 then
    return self:wrong("inertia", "content", ("%q is not three or six moments"):format(cells.shown(text)), "xx; yy; zz; xy; xz; yz")
  end
  return list
end

-- "0.745", "0.745 +- 0.008"
local function with_sd(self, field)
  local text = self:text(field)
  if cells.is_blank(text) then return nil end
  local value, doubt = text:gsub("±", "+-"):match "^(.-)%+%-(.*)$"
  local number, sd = number_in(self, field, value or text), doubt and number_in(self, field, doubt)
  return number and (sd and vocabulary.sd(number, sd) or number)
end

--- Is this row a tank with its liquid?
function bodies.is_tank(self) return not self:is_empty "density" end

function bodies.read(self, part)
  local by = self.plan.by
  if by.shape then part.shape = read_shape(self) end
  if by.turned then part.turned = bodies.turned(self) end
  if by.inertia then part.inertia = read_inertia(self) end
  if not bodies.is_tank(self) then return end
  part.kind, part.mass, part.was, part.count, part.said = "tank", nil, nil, nil, nil
  for _, field in ipairs{"density", "fill", "dry_mass", "capacity"} do part[field] = with_sd(self, field) end
end

-- ---- out ----------------------------------------------------------------------------------------------------------------

bodies.columns = {"shape", "turned", "inertia (kg m2)", "density (kg/L)", "fill (L)", "dry mass (kg)", "capacity (L)"}

-- Turns of an edit are not in a line's own shape and turn: then it is written as a point.
local function is_as_filed(c) return c.base == c.shared.filed end

local function shape_text(shape, number)
  local names, list = language.shapes[shape.kind], {}
  if not names then return "" end -- a mesh lies in a file of its own
  for i = 1, #names do list[i] = number(shape[i]) end
  if names.axis and shape.axis then list[#list + 1] = ('%s = "%s"'):format(names.axis, shape.axis) end
  return ("%s {%s}"):format(shape.kind, table.concat(list, "; "))
end

local function turned_text(turned, number)
  local list = {}
  for _, way in ipairs{"nose_up", "left_up", "nose_left"} do
    if turned[way] then list[#list + 1] = way .. " " .. number(turned[way]) end
  end
  return table.concat(list, "; ")
end

-- The inertia of a person put together from segments, which a table knows as a body alone.
local function of_posture(node)
  if not (node.kind == "person" and node.per_kg and node.mass) then return nil end
  local inertia = {}
  for _, name in ipairs(entries) do inertia[name] = node.per_kg[name] * node.mass end
  return inertia
end

--- Has any line what these columns hold?
function bodies.any(lines, groups)
  for _, group in ipairs(groups) do
    if group.node.turned and next(group.node.turned) then return true end
  end
  for _, line in ipairs(lines) do
    local node = line.node
    if line.item.aboard and (of_posture(node) or node.kind == "tank" or node.shape or node.turned or node.inertia) then return true end
  end
  return false
end

local function inertia_text(inertia, number)
  if not inertia then return "" end
  local list = {}
  for i, name in ipairs(entries) do list[i] = number(inertia[name]) end
  return table.concat(list, "; ")
end

local function shown(value, sd, number) return number(value) .. (sd and sd > 0 and " +- " .. number(sd) or "") end

local NOISE = 1e-9 -- L: a fill that mass and density give back

local function tank_texts(c, item, node, number)
  local litres, sd = build.litres(node, loading.piece(c.now, item).mass), nil
  if math.abs(litres - node.fill) <= NOISE then litres, sd = node.fill, node.fill_sd end
  local capacity = ""
  if node.capacity and not node.capacity_by_shape then
    capacity = number(node.capacity)
  elseif node.capacity and node.shape.kind == "mesh" then -- worked out from its triangles, which are not kept: a microlitre tells enough
    capacity = number(core.number(core.fixed(node.capacity, 6)))
  end
  local dry = node.weighed and (node.was and node.was.value and shown(node.was.value, node.was.sd, number) or "") -- before it was weighed
    or shown(node.dry_mass or 0, node.dry_mass_sd, number)
  return {shown(node.density, node.density_sd, number), shown(litres, sd, number), dry, capacity}
end

function bodies.cells(c, item, node, number)
  local filed = is_as_filed(c)
  local list = {filed and node.shape and not node.per_kg and shape_text(node.shape, number) or "",
    filed and node.turned and not node.per_kg and turned_text(node.turned, number) or "",
    filed and inertia_text(node.inertia or of_posture(node), number) or ""}
  local tank = node.kind == "tank" and tank_texts(c, item, node, number) or {"", "", "", ""}
  return table.move(tank, 1, #tank, #list + 1, list)
end

function bodies.place(c, item, node)
  if not build.has_level(node) then return nil end
  local piece = loading.piece(c.now, item)
  local offset = core.tank_offset(build.liquid(c.shared.spec, node, build.litres(node, piece.mass), c.turned and c.turned[item.route]),
    c.geometry)
  local at = piece.origin
  local x, y, z = c.geometry:point_out(at[1] - offset[1], at[2] - offset[2], at[3] - offset[3])
  return {x = x, y = y, z = z}
end

return bodies
