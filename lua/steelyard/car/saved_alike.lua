--- Does a car that was read again say what the car says that was to be written? Item by item and field by field.
--
-- saved_alike.differs(c, d, pairs) -> {route =, path =, field =} of the first difference, or nil; then paths of tanks that were turned: in
-- a file their liquid lies level, in the car it turned with them
--   c, d    insides: the car, and the one that was read from its text
--   pairs   list of {route in c, route in d, turned = true for what was turned since the file was read}

local core = require "steelyard.core"
local fields = require "steelyard.file.fields"
local held_liquid = require "steelyard.file.held_liquid"
local loading = require "steelyard.car.loading"
local posture = require "steelyard.file.posture"
local resolve = require "steelyard.car.resolve"

local saved_alike = {}

-- What a node says: places and turns are compared in the vehicle, and how a mass was booked before is shown and never used.
local said = {"kind", "name", "mass", "mass_sd", "mass_limits", "unknown", "basis", "growth", "shape", "inertia", "unsprung", "pair",
              "count", "tags", "includes", "excludes", "bolted_to", "note", "instrument", "weighed", "bias_share", "gain_mass", "stand_in",
              "density", "density_sd", "fill", "fill_sd", "capacity", "capacity_sd", "dry_mass", "dry_mass_sd", "unusable", "unusable_sd",
              "whole", "segments", table.unpack(posture.numbers)}

local not_compared = {mesh = true, file = true, line = true}

local function same(a, b)
  if a == b or a == nil and b == false or a == false and b == nil then return true end
  if type(a) ~= "table" or type(b) ~= "table" then return false end
  for key, value in pairs(a) do
    if not not_compared[key] and not same(value, b[key]) then return false end
  end
  for key in pairs(b) do
    if not not_compared[key] and a[key] == nil then return false end
  end
  return true
end

-- What is 0 or empty unless it is said.
local function is_none(value) return not value or value == 0 or type(value) == "table" and next(value) == nil end

local of_mass = {mass = true, mass_sd = true, mass_limits = true}

local function node_differs(old, new)
  local unknown = old.unknown and new.unknown -- then nothing else is said of a mass
  for _, key in ipairs(said) do
    local a, b = old[key], new[key]
    if not (unknown and of_mass[key]) and not same(a, b) and not (is_none(a) and is_none(b)) then return key end
  end
end

local MM = 1e-6    -- of a place: far below any tape, far above what turning there and back leaves
local SHARE = 1e-6 -- of an uncertainty, and of an inertia: likewise

local function near(a, b, room) return math.abs(a - b) <= room end

-- Mass, place and uncertainties in the vehicle, along the file's axes.
local function lies_differs(c, d, one, other)
  local a, b = core.item_totals(c.base, c.geometry, one), core.item_totals(d.base, d.geometry, other)
  if a.mass ~= b.mass or (a.cg == nil) ~= (b.cg == nil) then return "mass" end
  if not near(a.sd.mass, b.sd.mass, SHARE * a.sd.mass) then return "mass" end
  for _, letter in ipairs{"x", "y", "z"} do
    if a.cg and not near(a.cg[letter], b.cg[letter], MM) then return "at" end
    if a.cg and not near(a.sd.cg[letter], b.sd.cg[letter], SHARE * a.sd.cg[letter] + MM) then return "at" end
  end
end

local function point_of(c, route)
  local item = c.base:item(route)
  local piece = loading.piece(c.base, item)
  local node = c.shared.nodes[item.number]
  local x, y, z = c.base:origin(piece.route, c.geometry, node.kind == "tank" and loading.liquid_in(c, c.base, item, node) or nil)
  return {c.geometry:point_out(x, y, z)}
end

local function item_differs(c, d, one, other, liquid)
  local a, b = c.base:item(one), d.base:item(other)
  if a.form ~= b.form then return "pair" end
  local field = node_differs(c.shared.nodes[a.number], d.shared.nodes[b.number])
  if field then return field end
  local p, q = point_of(c, one), point_of(d, other)
  for i = 1, 3 do
    if not near(p[i], q[i], MM) then return "at" end
  end
  if a.form ~= "group" then return not liquid and lies_differs(c, d, one, other) or nil end
  -- with the line that it books
  return c.shared.nodes[a.number].unaccounted and lies_differs(c, d, one, other) and "unaccounted" or nil
end

local function axle_differs(c, d)
  local way = c.shared.spec.axes
  local forward = (way.x == "forward" or way.y == "forward" or way.z == "forward") and 1 or -1
  for i, axle in ipairs(c.axles) do
    local read = d.axles[i]
    for _, key in ipairs(fields.names.axle) do
      local value, room = axle[key], 0
      if key == "at" then value, room = value + forward * (axle.moved or 0), MM end
      local fine = type(value) == "number" and type(read[key]) == "number" and near(value, read[key], room) or same(value, read[key])
      if not fine or not same(axle[key .. "_sd"], read[key .. "_sd"]) then return axle.name .. " axle", key end
    end
  end
end

local function heights_differ(c, d)
  local a, b = c.heights_set or {front = 0, rear = 0}, d.heights_set or {front = 0, rear = 0}
  return not (near(a.front, b.front, MM) and near(a.rear, b.rear, MM))
end

-- What a study or a change in words sets of the vehicle as a whole.
local function vehicle_differs(c, d)
  local a, b = c.shared.spec, d.shared.spec
  if not same(a.chassis and a.chassis.torsion, b.chassis and b.chassis.torsion) then return "chassis" end
  return not (same(a.cross_share, b.cross_share) and same(a.cross_share_sd, b.cross_share_sd)) and "cross_share" or nil
end

local products = {"xx", "yy", "zz", "xy", "xz", "yz"}

-- How parts are turned shows in the inertia of all.
local function inertia_differs(c, d)
  if not c.base:has_mass() then return false end
  local a, b = core.balance(c.base, c.geometry).inertia, core.balance(d.base, d.geometry).inertia
  local scale = math.max(a.xx, a.yy, a.zz)
  for _, key in ipairs(products) do
    if not near(a[key], b[key], SHARE * scale) then return true end
  end
  return false
end

function saved_alike.differs(c, d, pairs_of)
  local axle, field = axle_differs(c, d)
  if axle then return {path = axle, field = field} end
  field = vehicle_differs(c, d)
  if field then return {path = "vehicle", field = field} end
  if heights_differ(c, d) then return {path = "vehicle", field = "lowered"} end
  local levelled = {}
  for _, pair in ipairs(pairs_of) do
    local liquid = pair.turned and held_liquid.has_level(c.shared.nodes[c.base:item(pair[1]).number])
    if liquid then levelled[#levelled + 1] = resolve.path(c.base, pair[1]) end
    local differs = item_differs(c, d, pair[1], pair[2], liquid)
    if differs then return {route = pair[1], path = resolve.path(c.base, pair[1]), field = differs} end
  end
  if #levelled == 0 and inertia_differs(c, d) then return {path = "vehicle", field = "inertia"} end
  return nil, levelled
end

return saved_alike
