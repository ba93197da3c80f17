--- What the errors behind answers are called: the line, its path, the field, one sigma in the field's unit.
--
-- names.of(c, ledgers, sources) -> function(number of a source, both) -> {what, path, field, sigma, unit, route, number, basis, against}
--   both: an instrument's bias and gain as one input; route and number of a line aboard: where it is in the ledger, which node
--   field of a place: forward, left, up, or out of a pair, the vehicle's directions whatever axes the file has
--   against: out is one less of the error, where the line states the right piece

local growth = require "steelyard.answers.growth"
local loading = require "steelyard.car.loading"
local sources_of = require "steelyard.study.spread_sources"

local names = {}

local constants = require("steelyard.core").constants
local MM, LITRE, DEGREES, KG = 1 / constants.millimetre, 1 / constants.litre, 1 / constants.degree, 1 / constants.standard_gravity
local PERCENT, N_PER_MM = 100, constants.millimetre
local RIGHT = string.pack("=I4", 1) -- of a pair's two pieces the second

-- {unit of the file, how many of them a unit of the core is}
local of_kind = {mass = {"kg", 1}, ["dry mass"] = {"kg", 1}, density = {"kg/L", constants.litre}, volume = {"litre", LITRE},
                 share = {"%", PERCENT}, x = {"mm", MM}, y = {"mm", MM}, z = {"mm", MM}, usual = {"%", PERCENT}, bias = {"kg", 1},
                 gain = {"%", PERCENT}, place = {"mm", MM}}
for _, entry in ipairs{"xx", "yy", "zz", "xy", "xz", "yz"} do of_kind["inertia " .. entry] = {"kg m2", 1} end

local of_field = {spring_rate = {"N/mm", N_PER_MM}, tyre_rate = {"N/mm", N_PER_MM}, motion_ratio = {"", 1},
                  bar_rate = {"N/mm", N_PER_MM}, roll_centre = {"mm", MM}, tyre_lateral_rate = {"N/mm", N_PER_MM},
                  torsion = {"N m/deg", 1 / DEGREES}, cross_share = {"%", PERCENT}, pads = {"mm", MM}, perches = {"mm", MM},
                  preload = {"mm", MM}, downforce = {"kg", KG}, nose_up = {"deg", DEGREES}, left_up = {"deg", DEGREES},
                  forward = {"g", 1}, left = {"g", 1}, mu = {"", 1}, brake_front_share = {"%", PERCENT},
                  drive_front_share = {"%", PERCENT}, raised_front = {"mm", MM}, raised_rear = {"mm", MM}, stop_gap = {"mm", MM},
                  stop_rate = {"N/mm", N_PER_MM}, brake_links = {"%", PERCENT}, brake_angle = {"deg", DEGREES},
                  drive_links = {"%", PERCENT}, drive_angle = {"deg", DEGREES}, at = {"mm", MM}, track = {"mm", MM},
                  half_track = {"mm", MM}}

local function last_of(path) return path:match "([^/]+)$" or path end

-- The line that a weighed group has beyond its pieces: what was weighed is the group.
local function whole_name(path, said)
  local group = path:match "^(.*)/[^/]*$" or path
  return {what = last_of(group), path = group, field = said.field == "mass" and "whole" or said.field, route = said.route
    and said.route:sub(1, -5), whole = true, basis = "weighed"}
end

-- apart: its pieces state different things of that kind.
local function line_name(c, source, said, apart)
  local node = source.family == 0 and c.shared.nodes[source.number]
  local path = apart and said.piece or said.line or said.what
  if not said.line and node and node.path then path = node.path end -- aboard when a record was made, and not now
  if source.whole then return whole_name(path, said) end
  local name = last_of(path)
  local side = name == "left" or name == "right"
  return {what = side and path:match "([^/]+/[^/]+)$" or name, path = path, field = said.field, route = said.route,
          number = node and source.number, basis = node and growth.basis_of(node) or nil}
end

local direction = {x = "forward", y = "left", z = "up"}

-- Both pieces of a pair move out together: is that to the right of the one that the line states?
local function out_of_pair(c, line)
  local item = line.route and c.now:item(line.route)
  if not item or item.form ~= "pair" then return nil end
  return loading.pieces(c.now, item)[1].route == line.route .. RIGHT
end

local function name_place(c, line, kind, apart)
  line.field = direction[kind]
  local against = nil
  if kind == "y" and not apart then against = out_of_pair(c, line) end
  if against ~= nil then line.field, line.against = "out", against end
  return line
end

local is_line = {mass = true, ["dry mass"] = true, density = true, volume = true, share = true, x = true, y = true, z = true}

local function record_name(c, source)
  local given = c.measured and c.measured.given or {}
  local record = given[source.record]
  return record and record.name or ("record %d"):format(source.record)
end

local function name_of(c, source, said, both, apart)
  if source.key then return {what = said.what, path = "", field = said.field} end
  local unit = source.field and of_field[source.field] or of_kind[source.kind]
  local name
  if source.kind == "reading" then
    name = {what = record_name(c, source), path = "", field = "readings"}
  elseif source.kind and (is_line[source.kind] or source.kind:find "^inertia") then
    name = line_name(c, source, said, apart)
    if direction[source.kind] then name_place(c, name, source.kind, apart) end
  else
    name = {what = said.what, path = "", field = both and "bias and gain" or said.field}
  end
  if unit and not both then name.sigma, name.unit = source.sd * unit[2], unit[1] end
  return name
end

--- See above.
function names.of(c, ledgers, sources)
  local say, found, apart = sources_of.one_by_one(c, ledgers), {}, {}
  local function kind(source, said) return ("%s %s"):format(said.line, source.kind) end
  for _, source in ipairs(sources) do
    if source.again and source.again > 0 then apart[kind(source, say(source))] = true end
  end
  return function(number, both)
    if not found[number] then
      local source = sources[number]
      local said = say(source)
      found[number] = name_of(c, source, said, both, apart[kind(source, said)])
    end
    return found[number]
  end
end

return names
