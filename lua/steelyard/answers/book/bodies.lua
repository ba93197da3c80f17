--- Shapes, turns, inertias and tanks of a book as cells of a table, in the words that file/parts_csv/bodies.lua reads.
--
--   bodies.columns, bodies.cells(c, item, node, number) -> their headings, and the texts of one line
--   bodies.place(c, item, node)     where a tank's own middle lies, in file axes; nil for what is not a tank with a level

local core = require "steelyard.core"
local held_liquid = require "steelyard.file.held_liquid"
local language = require "steelyard.file.language"
local loading = require "steelyard.car.loading"

local bodies = {}

local entries = {"xx", "yy", "zz", "xy", "xz", "yz"}

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
  local litres, sd = held_liquid.litres(node, loading.piece(c.now, item).mass), nil
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
  if not held_liquid.has_level(node) then return nil end
  local piece = loading.piece(c.now, item)
  local litres = held_liquid.litres(node, piece.mass)
  local offset = core.tank_offset(held_liquid.liquid(c.shared.spec, node, litres, c.turned and c.turned[item.route]), c.geometry)
  local at = piece.origin
  local x, y, z = c.geometry:point_out(at[1] - offset[1], at[2] - offset[2], at[3] - offset[3])
  return {x = x, y = y, z = z}
end

return bodies
