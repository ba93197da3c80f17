--- What a result must say beside its numbers: assumptions, warnings and cautions, each in a sentence.

local core = require "steelyard.core"
local held_liquid = require "steelyard.file.held_liquid"
local loading = require "steelyard.car.loading"
local plausible = require "steelyard.answers.plausible"

local notes = {}

local function percent(x) return core.fixed(x, 1):gsub("%.0$", "") end

local function corner_basis(c)
  local split = core.split(c.geometry)
  if split == "determinate" then return "three wheels: the loads follow from balance alone" end
  if split == "cross weight" then
    return ("wheel loads as if set to a cross weight of %s %%"):format(percent(c.shared.spec.cross_share or 50))
  end
  return "wheel loads by the least-norm split, assuming the same vertical stiffness at all wheels"
end

--- Where the wheel loads of a balance come from: the same for all cars from one file.
function notes.corner_basis(c)
  local known = c.shared.known
  known.corner_basis = known.corner_basis or corner_basis(c)
  return known.corner_basis
end

-- Where bolted parts sit to one another, as filed: anything else means a move has torn them apart.
local function bolts(c)
  local list, any = {}, false
  for _, record in ipairs(c.shared.records) do any = any or record.bolted_to ~= nil end
  local items = any and c.base:items(true) or {} -- a list of all parts is not made for nothing
  local only = {} -- name -> the route of the one that has it, false of several: looking each up in the ledger goes through all parts
  for _, item in ipairs(items) do only[item.name] = only[item.name] == nil and item.route end
  for _, item in ipairs(items) do
    local record = not item.side and c.shared.records[item.record]
    for _, other in ipairs(record and record.bolted_to or {}) do
      local route = only[other]
      if other:find("/", 1, true) then
        local found = c.base:find(other)
        route = #found == 1 and found[1]
      end
      if route then list[#list + 1] = {a = item.route, b = route, names = {item.name, other}} end
    end
  end
  c.structure.bolts = list
  return list
end

local function apart(ledger, bolt)
  local ax, ay, az = ledger:origin(bolt.a)
  local bx, by, bz = ledger:origin(bolt.b)
  return ax - bx, ay - by, az - bz
end

-- mm; far below any tape, far above rounding
local TORN = 1e-3

--- Sentences for bolted parts that moves have torn apart; in a list that goes on from `found`, when given.
function notes.torn(c, found)
  found = found or {}
  if #c.changes == 0 then return found end
  local list = c.structure.bolts or bolts(c)
  for _, bolt in ipairs(list) do
    local x, y, z = apart(c.base, bolt)
    if not bolt.filed then bolt.filed = {apart(c.shared.filed, bolt)} end
    local f = bolt.filed
    if math.abs(x - f[1]) > TORN or math.abs(y - f[2]) > TORN or math.abs(z - f[3]) > TORN then
      found[#found + 1] = ("%s and %s are bolted together and were moved apart"):format(bolt.names[1], bolt.names[2])
    end
  end
  return found
end

local NOT_COUNTED = "what was changed of it does not count here"

-- Is none of what a name means aboard? Kept for all cars that only moves tell apart.
local function is_absent(c, found)
  local kept = c.aboard.absent
  if not kept then
    kept = {}
    c.aboard.absent = kept
  end
  if kept[found] == nil then
    local absent = #found.routes > 0
    for _, route in ipairs(found.routes) do absent = absent and not c.now:item(route).aboard end
    kept[found] = absent
  end
  return kept[found]
end

-- Is anything that was edited not aboard in this state? Most cars are moved and asked once: no table is made for that.
local function any_absent(c)
  local edit = c.touched
  while edit do
    if is_absent(c, edit.found) then return true end
    edit = edit.before
  end
  return next(c.fills) ~= nil
end

-- Sentences for what was edited or filled and is not aboard in this state.
local function absent(c, list)
  local labels, seen = {}, {}
  local function add(label)
    if not seen[label] then labels[#labels + 1] = label end
    seen[label] = true
  end
  local edit = c.touched
  while edit do
    if is_absent(c, edit.found) then add(edit.found.label) end
    edit = edit.before
  end
  for _, what in ipairs(loading.sorted_keys(c.fills)) do
    local any = false
    for _, route in ipairs(loading.filled_by(c, what)) do any = any or c.now:item(route).aboard end
    if not any then add(what) end
  end
  for i = #labels, 1, -1 do list[#list + 1] = ("%s: %s"):format(notes.not_aboard(c, labels[i]), NOT_COUNTED) end
end

--- Sentences on what edits did and did not do; in a list that goes on from `found`, when given.
function notes.edits(c, found)
  found = notes.torn(c, found)
  if any_absent(c) then absent(c, found) end
  return found
end

local function plural(n, one, many) return n == 1 and one or many end

local function unknown_names(c)
  if c.aboard.unknown then return c.aboard.unknown end
  local names = {}
  for _, item in ipairs(c.now:items(false)) do
    local record = c.shared.records[item.record]
    if item.aboard and record and record.unknown then names[#names + 1] = item.name end
  end
  c.aboard.unknown = table.concat(names, ", ")
  return c.aboard.unknown
end

-- Masses that are not known, and parts that count as exact because nothing was said.
local function unstated(c, b)
  local list = {}
  if b.unstated.parts > 0 then
    list[#list + 1] = ("%d of %d parts %s no stated uncertainty and %s as exact (%s %% of the mass)"):format(b.unstated.parts,
      b.parts, plural(b.unstated.parts, "has", "have"), plural(b.unstated.parts, "counts", "count"), percent(b.unstated.mass_share))
  end
  if b.unknown > 0 then list[#list + 1] = ("not in any total, mass unknown: %s"):format(unknown_names(c)) end
  return list
end

local function append(list, more)
  return table.move(more, 1, #more, #list + 1, list)
end

--- What every result must say: masses that are not known or stated so that they could be negative, and parts that count as exact.
function notes.gaps(c, b) return append(unstated(c, b), plausible.masses(c)) end

--- The same for a result that rests on the height of the CG.
function notes.gaps_and_height(c, b) return append(notes.gaps(c, b), plausible.of_car(c, b.height, b.mass)) end

--- "luggage is not aboard (kerb)"
function notes.not_aboard(c, label) return ("%s is not aboard (%s)"):format(label, loading.title(c)) end

-- What rests on the ledger's counts alone; most changes leave it as it was.
local function counted(c, b)
  local list = {b.corner_basis}
  local rigid = not (c.shared.spec.chassis and c.shared.spec.chassis.torsion)
  if rigid and core.split(c.geometry) ~= "determinate" then -- three wheels carry the same however the chassis twists
    list[#list + 1] = "chassis taken as rigid"
  end
  append(list, unstated(c, b))
  if b.points > 0 then
    list[#list + 1] = ("inertia is \"at least\": %d of %d parts %s no shape and %s as %s"):format(b.points, b.parts,
      plural(b.points, "has", "have"), plural(b.points, "counts", "count"), plural(b.points, "a point", "points"))
  end
  local liquids = c.shared.spec.liquids
  if liquids then
    list[#list + 1] = ("%s: liquid at rest on level ground, as deep in its tank as the fill says"):format(table.concat(liquids, ", "))
  end
  if c.state and c.state.stand_ins then
    list[#list + 1] = "stand-ins only: this is the mock-up, not the car"
  end
  return append(list, c.shared.spec.notes or {})
end

local function same_counts(k, c, b)
  return (b.unknown == 0 or k.aboard == c.aboard)
    and k.state == c.state and k.split == b.corner_basis and k.parts == b.parts and k.points == b.points
    and k.unknown == b.unknown and k.unstated == b.unstated.parts and k.share == b.unstated.mass_share
end

-- Does the CG lie over the area that the wheels stand round? Outside there is an edge of that area with all wheels on
-- one side of it and the CG on the other.
local function stands(c, b)
  local wheels = c.geometry:wheels()
  local x, y = wheels[1].forward - b.cg_behind, b.cg_left
  local function side(p, q, forward, left)
    return (q.forward - p.forward) * (left - p.left) - (q.left - p.left) * (forward - p.forward)
  end
  for _, p in ipairs(wheels) do
    for _, q in ipairs(wheels) do
      local edge = p ~= q
      for _, w in ipairs(wheels) do edge = edge and side(p, q, w.forward, w.left) >= 0 end
      if edge and side(p, q, x, y) < 0 then return false end
    end
  end
  return true
end

--- A sentence about wheels with a negative load, or nil.
function notes.lifted(c, b)
  if #b.lifted == 0 then return nil end
  local who = ("%s %s a negative load: "):format(table.concat(b.lifted, " and "), plural(#b.lifted, "carries", "carry"))
  if not stands(c, b) then return who .. "the car would tip, the CG lies outside the wheels" end
  if core.split(c.geometry) == "cross weight" then return who .. "it cannot be set to that cross weight" end
  return who .. "off the ground the others share the load in another way than shown"
end

local MILLILITRE = 1e-3 -- a mass that was cut to the ledger's step is not a fill below the remainder

-- A sentence when the tank at `route` is aboard and holds less than cannot be drawn from it, else nil.
local function drained_tank(c, route, unusable_fuel)
  local item = c.now:item(route)
  local node = c.shared.records[item.record]
  local stays = item.aboard and unusable_fuel.litres(c.shared.spec, node)
  if not stays then return nil end
  local litres = held_liquid.litres(node, loading.piece(c.now, item).mass)
  if litres > stays - MILLILITRE then return nil end
  return ("%s holds %s litres, less than the %s that cannot be drawn from it: only draining it leaves so little"):format(node.name,
    core.fixed(litres, 1), core.fixed(stays, 1))
end

-- Sentences on tanks that hold less than can be drawn from them.
local function drained(c)
  local unusable_fuel, list = require "steelyard.file.unusable_fuel", {}
  for _, route in ipairs(loading.tanks(c)) do list[#list + 1] = drained_tank(c, route, unusable_fuel) end
  return list
end

-- Moves leave the counts alone, and what only moves tell apart has `aboard` in common; the last list of all cars is tried next.
local function counted_before(c, b)
  local kept = c.structure.counted
  if not (kept and same_counts(kept, c, b)) then
    kept = {state = c.state, aboard = c.aboard, split = b.corner_basis, parts = b.parts, points = b.points, unknown = b.unknown,
            unstated = b.unstated.parts, share = b.unstated.mass_share, list = counted(c, b)}
    c.structure.counted = kept
  end
  c.aboard.counted = kept.list
  return kept.list
end

--- All notes of a balance; `b` is the result so far.
function notes.balance(c, b)
  local list = {table.unpack(c.aboard.counted or counted_before(c, b))}
  if b.lifted[1] then list[#list + 1] = notes.lifted(c, b) end
  local heights, masses = plausible.of_car(c, b.height, b.mass), plausible.masses(c)
  if heights[1] then append(list, heights) end
  if masses[1] then append(list, masses) end
  notes.edits(c, list)
  if c.shared.context.remainders and not (c.state and c.state.stand_ins) then append(list, drained(c)) end
  return list
end

return notes
