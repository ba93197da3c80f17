--- car:overlaps{gap =}: which shapes of the car intersect as it stands, and which come nearer to one another than a gap. The geometry is
-- core/shop/overlaps.h; here stands which bodies a car has, and which pairs belong together and are left out.

local core = require "steelyard.core"
local envelopes = require "steelyard.car.envelopes"
local held_liquid = require "steelyard.file.held_liquid"
local loading = require "steelyard.car.loading"
local named_places = require "steelyard.car.named_places"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"

local overlaps = {}

-- ---- bodies ---------------------------------------------------------------------------------------------------------------

-- Every piece aboard that has a shape, in file order; how many have none; how many tanks hold a liquid, which has no body of its own.
local function bodies_of(c, ledger)
  local list, bare, liquids = {}, 0, 0
  for _, item in ipairs(ledger:items(true)) do
    if item.aboard and item.form == "part" then
      local node = c.shared.nodes[item.number]
      local part = envelopes.piece_now(c, ledger, item)
      if part then
        list[#list + 1] = {part = part, item = item, node = node}
        if node.kind == "tank" and held_liquid.litres(node, item.mass) > 0 then liquids = liquids + 1 end
      else
        bare = bare + 1
      end
    end
  end
  return list, bare, liquids
end

local function is_pair(a, b) return a.side and b.side and a.route:sub(1, -5) == b.route:sub(1, -5) end

local function bolted(ledger, a, b)
  for _, body in ipairs{a, b} do body.bolts = body.bolts or resolve.bolted_to(ledger, body.node) end
  return resolve.is_bolted(a.bolts, a.item.route, b.item.route) or resolve.is_bolted(b.bolts, b.item.route, a.item.route)
end

-- ---- rows -----------------------------------------------------------------------------------------------------------------

local function kilograms(item) return item.mass / (item.count or 1) end

-- A body at its stated place, as core.gap_found takes it.
local function placed(c, body, path)
  local at = body.node.at or {}
  return {key = path, at = {at[1] or 0, at[2] or 0, at[3] or 0}, sd = envelopes.uncertainties_of(c, body.node)}
end

local STEP = 1e-3 -- mm: ten times what the gap is found to; below it bodies touch, and gaps that far apart are alike

-- Standard uncertainty of a gap by the places of the two. Where they touch no direction is known: the largest along any axis then.
local function sd_of(a, b, pair)
  local function along(q) return (core.gap_found(pair.gap, nil, a, pair.p, b, q)) end
  if pair.gap >= STEP then return along(pair.q) end
  local most = 0
  for i = 1, 3 do
    local q = {table.unpack(pair.p)}
    q[i] = q[i] + 1
    most = math.max(most, along(q))
  end
  return most
end

local function row_of(c, ledger, a, b, pair)
  local row = {a = resolve.path(ledger, a.item.route), b = resolve.path(ledger, b.item.route), overlap = true,
               mass = math.min(kilograms(a.item), kilograms(b.item))}
  if pair.overlap then return row, 0 end
  row.overlap = pair.gap >= STEP and pair.gap or 0
  return row, sd_of(placed(c, a, row.a), placed(c, b, row.b), pair)
end

local function before(x, y)
  local cut_x, cut_y = x.row.overlap == true, y.row.overlap == true
  if cut_x ~= cut_y then return cut_x end
  local size_x = cut_x and -x.row.mass or math.floor(x.row.overlap / STEP + 0.5)
  local size_y = cut_y and -y.row.mass or math.floor(y.row.overlap / STEP + 0.5)
  if size_x ~= size_y then return size_x < size_y end
  if x.row.a ~= y.row.a then return core.before(x.row.a, y.row.a) end
  return core.before(x.row.b, y.row.b)
end

local function notes_of(bare, left)
  local parts = {}
  local function say(n, one, many)
    if n > 0 then parts[#parts + 1] = text.count(n, one, many) end
  end
  say(left.bolted, "bolted pair")
  say(left.pieces, "pair of pieces of one part", "pairs of pieces of one part")
  say(left.liquids, "liquid in its tank", "liquids in their tanks")
  local notes = {}
  if #parts > 0 then notes[1] = "left out: " .. table.concat(parts, ", ") end
  if bare > 0 then
    notes[#notes + 1] = ("%s no shape and %s compared with nothing"):format(text.count(bare, "part") .. (bare == 1 and " has" or " have"),
      bare == 1 and "is" or "are")
  end
  notes[#notes + 1] = "shapes as they stand in this state, tubes and hollow spheres as if they were full; bodies less than 0.1 mm deep in "
    .. "one another touch and do not overlap"
  return notes
end

--- list of {a, b, overlap = true or mm, mass}, with `left_out` and `bodies`
function overlaps.of(c, self, o)
  o = named_places.check_fields(o, "car:overlaps", options.known("shop", "overlaps"))
  local gap = o.gap == nil and 0 or named_places.number(o.gap, "mm", "gap")
  if gap < 0 then core.fail{code = "range", field = "gap", message = ("must be 0 mm or more, is %s"):format(text.plain(gap))} end
  local ledger = envelopes.ledger_now(c)
  local list, bare, liquids = bodies_of(c, ledger)
  local parts, left, found = {}, {bolted = 0, pieces = 0, liquids = liquids}, {}
  for i, body in ipairs(list) do parts[i] = body.part end
  for _, pair in ipairs(core.overlaps(parts, gap, c.geometry)) do
    local a, b = list[pair.a], list[pair.b]
    if is_pair(a.item, b.item) then
      left.pieces = left.pieces + 1
    elseif bolted(ledger, a, b) then
      left.bolted = left.bolted + 1
    else
      local row, sd = row_of(c, ledger, a, b, pair)
      found[#found + 1] = {row = row, sd = sd}
    end
  end
  table.sort(found, before)
  local result = {state = loading.title(c), heading = self:heading(), notes = notes_of(bare, left), sd = {},
                  gap = gap, bodies = #list, left_out = left.bolted + left.pieces + left.liquids}
  for i, entry in ipairs(found) do result[i], result.sd[i] = entry.row, entry.sd end
  return origin.of_car(setmetatable(result, require "steelyard.shop.overlaps.print"), c)
end

return overlaps
