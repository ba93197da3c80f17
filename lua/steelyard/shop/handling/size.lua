--- How large something is to lift, and what that does to the kilograms: shapes where they are now, CGs of parts without one.
--
-- Sources
--   reach   hands before the ankles by 20 cm and half the depth of the load, and no limit beyond 63 cm; the limit falls as 25 cm over
--           that reach: NIOSH 94-110 (the estimate of the reach from memory)
--   width   a load over 75 cm in a dimension is likely to add risk, over it in two dimensions more so: HSE L23 (from memory)
--   LONG, SLENDER   common practice, no source

local core = require "steelyard.core"
local envelopes = require "steelyard.car.envelopes"
local text = require "steelyard.print.text"

local handling_size = {}

local NEAREST, FARTHEST, HANDS = 250, 630, 200 -- mm
local AWKWARD = 750  -- mm
local LONG = 1500    -- mm: longer than one person's arms hold at both ends
local SLENDER = 300  -- mm: what can be gripped round may be long

local ways = {{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}}

--- {low = {f, l, u}, high =, part = what core.gap takes or nil} of a piece. item: of `ledger`, see envelopes.piece_now.
function handling_size.bounds(c, ledger, item)
  local part = envelopes.piece_now(c, ledger, item)
  local low, high = {}, {}
  for i = 1, 3 do
    low[i] = part and core.reach(part, ways[2 * i], c.geometry)[i] or item.origin[i]
    high[i] = part and core.reach(part, ways[2 * i - 1], c.geometry)[i] or item.origin[i]
  end
  return {low = low, high = high, part = part}
end

--- What it is to lift pieces as one: {long, short, tall (mm; the two level extents and the upright one), shapes = number with a shape};
-- nil when no piece has a shape: places of CGs alone do not make a size.
function handling_size.of(list)
  local size, shapes = {}, 0
  for i = 1, 3 do
    local low, high = math.huge, -math.huge
    for _, b in ipairs(list) do low, high = math.min(low, b.low[i]), math.max(high, b.high[i]) end
    size[i] = high - low
  end
  for _, b in ipairs(list) do shapes = shapes + (b.part and 1 or 0) end
  if shapes == 0 then return nil end
  return {long = math.max(size[1], size[2]), short = math.min(size[1], size[2]), tall = size[3], shapes = shapes}
end

local function mm(x) return text.fixed(x, 0) .. " mm" end

--- What a size does to one person's limit: {hands = mm before the ankles, factor = of the limit, wide = why nobody lifts it alone or nil,
-- awkward = a sentence or nil}. reach: of the hands where the caller knows it, mm.
function handling_size.bulk(size, reach)
  local asked = math.max(reach or NEAREST, NEAREST)
  if not size then return {hands = asked, factor = 1} end
  local hands = math.max(asked, HANDS + size.short / 2)
  local bulk = {hands = hands, factor = hands > FARTHEST and 0 or asked / hands}
  local sorted = {size.long, size.short, size.tall}
  table.sort(sorted, function(a, b) return a > b end)
  if sorted[2] > AWKWARD then
    bulk.wide = ("%s by %s, over %d in two dimensions"):format(text.fixed(sorted[1], 0), mm(sorted[2]), AWKWARD)
  elseif sorted[1] > LONG and sorted[2] > SLENDER then
    bulk.wide = ("%s long and not gripped round"):format(mm(sorted[1]))
  elseif hands > FARTHEST then
    bulk.wide = ("%s from front to back, out of reach"):format(mm(size.short))
  elseif sorted[1] > AWKWARD and sorted[2] > SLENDER then
    bulk.awkward = ("%s long, over %d is awkward for one person"):format(mm(sorted[1]), AWKWARD)
  end
  return bulk
end

return handling_size
