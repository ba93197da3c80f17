--- What can come off an assembly, in order: nothing before what is bolted to it or what is round it, fasteners with what they hold.
--
-- By what the file says. A part lies inside another when its shape lies within the other's, or when it has none, weighs less and has its
-- CG there; it comes off with that one, unless it is bolted to something that stays. A part is held back by those that are `bolted_to` it.

local core = require "steelyard.core"
local handling_size = require "steelyard.shop.handling.size"
local resolve = require "steelyard.car.resolve"

local strip = {}

local FITS = 10 -- mm: a shaft whose ends stand out of its case lies inside it all the same

-- A CG nearer to the sides of what may be round it than this part of its extent belongs to something bolted on as likely as not.
local DEEP = 0.1

-- What holds parts together or sticks to them is not a part to take off.
local binding = {"fasteners?", "bolts?", "screws?", "studs?", "rivets?", "hardware", "adhesive", "sealant", "paint"}

local function binds(name)
  name = name:lower()
  for _, word in ipairs(binding) do
    if name:find("%f[%a]" .. word .. "%f[%A]") then return true end
  end
  return false
end

-- ---- pieces -----------------------------------------------------------------------------------------------------------

-- Below a group's route: one entry a piece; a count is so many entries in one place.
local function pieces_of(c, ledger, group)
  local list, prefix = {}, #resolve.path(ledger, group.route) + 2
  for _, item in ipairs(ledger:items(true)) do
    if item.aboard and item.form == "part" and item.route ~= group.route and item.route:sub(1, #group.route) == group.route then
      local count = item.count or 1
      local kg = core.item_totals(ledger, c.geometry, item.route).mass / count
      local bounds = handling_size.bounds(c, ledger, item)
      for _ = 1, math.min(count, 100) do
        list[#list + 1] = {name = resolve.path(ledger, item.route):sub(prefix), route = item.route, kg = kg, bounds = bounds,
                           node = c.shared.nodes[item.number]}
      end
    end
  end
  table.sort(list, function(a, b)
    if a.kg ~= b.kg then return a.kg > b.kg end
    if a.name ~= b.name then return core.before(a.name, b.name) end
    return a.route < b.route
  end)
  return list
end

local function volume(b)
  local product = 1
  for i = 1, 3 do product = product * (b.high[i] - b.low[i]) end
  return product
end

local function box_holds(outer, inner)
  for i = 1, 3 do
    local room = inner.part and FITS or -DEEP * (outer.high[i] - outer.low[i])
    if inner.low[i] < outer.low[i] - room or inner.high[i] > outer.high[i] + room then return false end
  end
  return true
end

-- Six points of a piece that lie farthest out, or its CG.
local function marks(c, b)
  if not b.part then return {b.low} end
  local list = {}
  for i = 1, 3 do
    for sign = -1, 1, 2 do
      local way = {0, 0, 0}
      way[i] = sign
      list[#list + 1] = core.reach(b.part, way, c.geometry)
    end
  end
  return list
end

local function inside(c, inner, outer)
  if not outer.part or not box_holds(outer, inner) then return false end
  for _, p in ipairs(marks(c, inner)) do
    local gap, overlap = core.gap({kind = "points", points = {p}, frames = {}}, outer.part, c.geometry)
    if not overlap and gap > FITS then return false end
  end
  return true
end

-- The smallest piece that each lies inside; the heaviest of all is what they are taken off.
local function find_homes(c, list)
  for i = 2, #list do
    local p = list[i]
    for _, q in ipairs(list) do
      if p.route ~= q.route and q.bounds.part and volume(q.bounds) > volume(p.bounds) and (p.bounds.part or p.kg < q.kg)
        and (not p.home or volume(q.bounds) < volume(p.home.bounds)) and inside(c, p.bounds, q.bounds) then p.home = q end
    end
  end
end

-- p.holds[q]: q is bolted to p. Where each says so of the other the heavier one holds.
local function find_bolts(ledger, list)
  local routes = {}
  for _, p in ipairs(list) do routes[p] = resolve.bolted_to(ledger, p.node) end
  local function hangs_on(q, p) return resolve.is_bolted(routes[q], q.route, p.route) end
  for i, p in ipairs(list) do
    p.holds = {}
    for k, q in ipairs(list) do
      if p.route ~= q.route and hangs_on(q, p) and not (k < i and hangs_on(p, q)) then p.holds[q] = true end
    end
  end
end

-- ---- the order --------------------------------------------------------------------------------------------------------

-- Does q come along when p is taken off?
local function within(q, p)
  local home = q.home
  while home and home ~= p do home = home.home end
  return home ~= nil
end

-- What a piece takes along: what lies inside it and is not bolted to something that stays.
local function lot_of(list, p)
  local lot = {p}
  for _, q in ipairs(list) do
    if not q.off and q ~= p and within(q, p) then
      local stays = false
      for _, other in ipairs(list) do
        stays = stays or not other.off and other ~= p and other.holds[q] and not within(other, p)
      end
      if not stays then lot[#lot + 1] = q end
    end
  end
  return lot
end

-- Why a piece cannot come off now; nil when it can.
local function held(list, p, base)
  if p == base then return "what the rest hangs on" end
  if p.binds then return "comes off with what it holds" end
  if p.home and not p.home.off then return "inside " .. p.home.name end
  for _, q in ipairs(list) do
    if p.holds[q] and not q.off and not within(q, p) then return q.name .. " is bolted to it" end
  end
end

local function next_lot(list, base)
  local best
  for _, p in ipairs(list) do
    if not p.off and not held(list, p, base) then
      local lot = {pieces = lot_of(list, p), kg = 0}
      for _, q in ipairs(lot.pieces) do lot.kg = lot.kg + q.kg end
      if not best or lot.kg > best.kg then best = lot end
    end
  end
  return best
end

local function names_of(pieces)
  local list, seen = {}, {}
  for i = 2, #pieces do
    if not seen[pieces[i].name] then list[#list + 1] = pieces[i].name end
    seen[pieces[i].name] = true
  end
  return list
end

--- What to take off a group until `enough(left)`: a list of {name, kg, left, with = names of what comes along}, in order of what can
-- come off, most kilograms a lift first; then its heaviest piece, which stays; the mass left; {name, why} of what cannot come off; the
-- bounds of what is left.
function strip.of(c, ledger, group, mass, enough)
  local list = pieces_of(c, ledger, group)
  if #list == 0 then return {}, nil, mass, {}, {} end
  for _, p in ipairs(list) do p.binds = binds(p.name) end
  find_homes(c, list)
  find_bolts(ledger, list)
  local base, steps, left = list[1], {}, mass
  while not enough(left, base.kg) do
    local lot = next_lot(list, base)
    if not lot then break end
    for _, p in ipairs(lot.pieces) do p.off = true end
    left = left - lot.kg
    steps[#steps + 1] = {name = lot.pieces[1].name, kg = lot.kg, left = left, with = names_of(lot.pieces)}
  end
  local kept, seen, rest = {}, {}, {}
  for _, p in ipairs(list) do
    if not p.off then rest[#rest + 1] = p.bounds end
    local why = not p.off and p ~= base and not seen[p.name] and held(list, p, base)
    if why then kept[#kept + 1], seen[p.name] = {name = p.name, why = why}, true end
  end
  return steps, base.name, left, kept, rest
end

return strip
