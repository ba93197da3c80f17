--- Where somebody leans on a car: its foremost and rearmost points.
--
-- Of shapes where they are now, points of the file and tyres; of a part without a shape only its CG is known. A face or two tyres that
-- lie equally far out have more points than one: all of them are given, since one may tip the car sooner than another.

local core = require "steelyard.core"
local envelopes = require "steelyard.car.envelopes"
local named_places = require "steelyard.car.named_places"
local sides = require "steelyard.file.sides"

local car_ends = {}

local LEVEL = 1    -- mm: as far out as a tape tells
local ASIDE = 1e-6 -- of the way out: takes the corner of a square face and moves nothing else by a tape's worth

local NONE = {0, 0, 0}

local function add(list, name, kind, at, sd)
  list[#list + 1] = {name = name, kind = kind, at = {at[1], at[2], at[3]}, sd = sd or NONE}
end

-- The corners of a shape that lie farthest ahead and behind.
local function add_shape(c, list, name, part, sd)
  for _, ahead in ipairs{1, -1} do
    for _, aside in ipairs{ASIDE, -ASIDE} do add(list, name, "shape", core.reach(part, {ahead, aside, 0}, c.geometry), sd) end
  end
end

local function add_parts(c, list)
  local resolve = require "steelyard.car.resolve"
  local ledger = envelopes.ledger_now(c)
  for _, item in ipairs(ledger:items(true)) do
    local node = c.shared.nodes[item.number]
    if item.aboard and item.form == "part" and node.kind ~= "person" then
      local part, name = envelopes.piece_now(c, ledger, item), resolve.path(ledger, item.route)
      local sd = envelopes.uncertainties_of(c, node)
      if part then add_shape(c, list, name, part, sd) else add(list, name, "cg", item.origin, sd) end
    end
  end
end

-- Points of the file; one on a part that is not aboard is nowhere.
local function add_points(c, list)
  for _, point in ipairs(c.shared.spec.points or {}) do
    local fine, spot = pcall(named_places.find, c, point.name, "points")
    if fine then
      add(list, point.name, "point", spot.at, spot.sd)
    elseif type(spot) ~= "table" or spot.code ~= "geometry" then
      error(spot, 0)
    end
  end
end

local function add_tyres(c, list)
  for _, wheel in ipairs(c.geometry:wheels()) do
    local radius = sides.number(c.axles[wheel.axle], wheel.side, "loaded_radius")
    for _, ahead in ipairs{radius, -radius} do add(list, wheel.key .. " tyre", "tyre", {wheel.forward + ahead, wheel.left, radius}) end
  end
end

-- Those of a list that lie as far that way as any: way 1 ahead, -1 behind.
local function outermost(list, way)
  local most, out = -math.huge, {}
  for _, spot in ipairs(list) do most = math.max(most, way * spot.at[1]) end
  for _, spot in ipairs(list) do
    if way * spot.at[1] >= most - LEVEL then out[#out + 1] = spot end
  end
  return out
end

--- {front = list of places, rear = list}: each {name =, kind = "shape", "point", "tyre", "cg" or "given", at = forward, left, up, sd = the
-- same way}. nose, tail: where they are given instead, as named_places.find takes them.
function car_ends.of(c, nose, tail)
  local list, ends = {}, {}
  if nose == nil or tail == nil then
    add_parts(c, list)
    add_points(c, list)
    add_tyres(c, list)
  end
  for key, given in pairs{front = {nose, "nose", 1}, rear = {tail, "tail", -1}} do
    if given[1] ~= nil then
      local spot = named_places.find(c, given[1], given[2], true)
      ends[key] = {{name = spot.name, kind = spot.named and "point" or "given", at = spot.at, sd = spot.sd}}
    else
      ends[key] = outermost(list, given[3])
    end
  end
  return ends
end

return car_ends
