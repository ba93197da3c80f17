--- What a result must say beside its numbers: assumptions, warnings and cautions, each in a sentence.

local core = require "steelyard.core"
local held_liquid = require "steelyard.file.held_liquid"
local loading = require "steelyard.car.loading"
local plausible = require "steelyard.answers.plausible"
local text = require "steelyard.print.text"

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

--- Where the wheel loads of a balance come from: the same for all cars from one file, but for those that records correct.
function notes.corner_basis(c)
  local known = c.shared.known
  local cross = c.measured and c.measured.cross
  if cross then
    return ("wheel loads by a cross weight of %s %%, measured in state %s"):format(core.fixed(cross.share, 2), cross.state)
  end
  known.corner_basis = known.corner_basis or corner_basis(c)
  return known.corner_basis
end

local edit_notes -- loaded for the first car that was edited

--- Sentences on what edits did and did not do; in a list that goes on from `found`, when given.
function notes.edits(c, found)
  found = found or {}
  if not c.changes and not c.touched and next(c.fills) == nil then return found end
  edit_notes = edit_notes or require "steelyard.answers.edit_notes"
  return edit_notes.add(c, found)
end

local function plural(n, one, many) return n == 1 and one or many end

local function unknown_names(c)
  if c.aboard.unknown then return c.aboard.unknown end
  local names = {}
  for _, item in ipairs(c.now:items(false)) do
    local node = c.shared.nodes[item.number]
    if item.aboard and node and node.unknown then names[#names + 1] = item.name end
  end
  c.aboard.unknown = text.list_names(names)
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

-- Yaw inertia by the mass and the distances of the CG from the axles: mean of the 14 passenger cars among the 25 vehicles of
-- tests/reference/vehicle_inertia.csv (SAE 1999-01-1336), which scatter by 8 %.
local OF_CARS = 1.05

-- Of a file that assumes shapes: what they are, and beside that what cars of that mass and wheelbase were measured to have.
local function add_assumed(c, b, list)
  local usual = core.usual_shapes(c.now)
  if usual == 0 then return end
  list[#list + 1] = ("%d of %d parts %s no shape and %s, the inertia of each good to 50 %% (common practice, no source)"):format(usual,
    b.parts, plural(usual, "has", "have"), plural(usual, "counts as a solid ball of 1,000 kg/m3", "count as solid balls of 1,000 kg/m3"))
  if b.yaw_index and b.yaw_index > 0 then
    list[#list + 1] = ("measured passenger cars have a yaw inertia of %s m a b, here %s kg m2, which is not better than 15 %% "
      .. "(SAE 1999-01-1336)"):format(core.fixed(OF_CARS, 2), core.fixed(OF_CARS * b.yaw_inertia / b.yaw_index, 0))
  end
end

--- What every result must say: masses that are not known or stated so that they could be negative, and parts that count as exact.
function notes.gaps(c, b) return append(unstated(c, b), plausible.masses(c)) end

--- The same for a result that rests on the height of the CG.
function notes.gaps_and_height(c, b) return append(notes.gaps(c, b), plausible.of_car(c, b.height, b.mass)) end

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
    list[#list + 1] = ("%s: liquid at rest on level ground, as deep in its tank as the fill says"):format(text.list_names(liquids))
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
  local x, y = c.geometry:axle_lines()[1] - b.cg_behind, b.cg_left
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
  local node = c.shared.nodes[item.number]
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
  if c.shared.spec.assume and c.shared.spec.assume.shape then add_assumed(c, b, list) end
  if b.lifted[1] then list[#list + 1] = notes.lifted(c, b) end
  local heights, masses = plausible.of_car(c, b.height, b.mass), plausible.masses(c)
  if heights[1] then append(list, heights) end
  if masses[1] then append(list, masses) end
  notes.edits(c, list)
  if c.shared.context.remainders and not (c.state and c.state.stand_ins) then append(list, drained(c)) end
  return list
end

return notes
