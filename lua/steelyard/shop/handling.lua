--- car:handling{limit =, what =}: who lifts what, as published guidance has it: cautions, never permission.
--
-- Sources
--   one person   25 kg: filter figure for men, close to the body between knuckle and elbow height; 16 kg for women, less at arm's length,
--                low or high. HSE, Manual handling at work: a brief guide, INDG143, and L23 (zone figures other than these from memory)
--   two, three   two thirds and half of what the people could lift singly: the same guidance, as quoted by training providers; its
--                example: two of 50 kg lift 66 kg, three lift 75
--   conditions   T. R. Waters, V. Putz-Anderson, A. Garg, Applications Manual for the Revised NIOSH Lifting Equation, NIOSH 94-110
--                (rev. 2021): RWL = LC HM VM DM AM FM CM with LC 23 kg (the multipliers from memory, checked on its example 4)

local core = require "steelyard.core"
local envelopes = require "steelyard.car.envelopes"
local handling_size = require "steelyard.shop.handling.size"
local loading = require "steelyard.car.loading"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local resolve = require "steelyard.car.resolve"
local named_places = require "steelyard.car.named_places"
local strip = require "steelyard.shop.strip"
local text = require "steelyard.print.text"

local handling = {}

local ONE = 25 -- kg
local SHARE = {1, 2 / 3, 1 / 2} -- of the sum of what one, two, three people lift singly

local conditions = {{"reach", "mm"}, {"height", "mm"}, {"travel", "mm"}, {"twist", "deg"}, {"frequency", ""}, {"grip", ""}}

local function between(name, x, low, high)
  if not (x >= low and x <= high) then
    core.fail{code = "range", message = ("must be from %s to %s, is %s"):format(text.plain(low), text.plain(high),
      text.plain(x)), field = name}
  end
  return x
end

--- The recommended weight limit for a lift, kg. c: reach of the hands before the ankles, height of the hands at the start, travel up or
-- down (mm), twist (deg), frequency and grip (multipliers of the manual's tables, 1 at best). What is not given is taken at its best.
function handling.recommended(c)
  local reach = math.max(between("reach", c.reach or 250, 0, 630), 250) -- beyond 63 cm the manual's limit is nothing
  local height = between("height", c.height or 750, 0, 1750)
  local travel = math.max(between("travel", c.travel or 250, 0, 1750), 250)
  local twist = between("twist", c.twist or 0, 0, 135)
  return 23 * (250 / reach) * (1 - 0.0003 * math.abs(height - 750)) * (0.82 + 45 / travel) * (1 - 0.0032 * twist)
    * between("frequency", c.frequency or 1, 0, 1) * between("grip", c.grip or 1, 0, 1)
end

local function read_limit(o)
  local asked, any = {}, false
  for _, condition in ipairs(conditions) do
    local name, unit = condition[1], condition[2]
    if o[name] ~= nil then asked[name], any = named_places.number(o[name], unit, name), true end
  end
  if any and o.limit ~= nil then
    core.fail{code = "clash", message = "stands beside the conditions of the lift, one of the two is enough", field = "limit"}
  end
  if any then return handling.recommended(asked), "conditions", asked.reach end
  local limit = o.limit == nil and ONE or named_places.number(o.limit, "kg", "limit")
  if limit <= 0 then core.fail{code = "range", message = "must be above 0 kg", field = "limit"} end
  return limit, o.limit == nil and "usual" or "given"
end

local words = {"one person", "two people", "team"}

--- Who lifts so much when one person may lift `limit`; and the most for that.
function handling.lift(mass, limit)
  for people, share in ipairs(SHARE) do
    local most = share * people * limit
    if mass <= most then return words[people], most end
  end
  return "hoist", math.huge
end

-- ---- what is lifted -----------------------------------------------------------------------------------------------

-- One piece of a pair, one of a count.
local function pieces_of(item) return item.form == "pair" and 2 or item.count or 1 end

-- Bounds of every piece aboard, with its route.
local function all_bounds(c, ledger)
  local list = {}
  for _, item in ipairs(ledger:items(true)) do
    if item.aboard and item.form == "part" and c.shared.nodes[item.number].kind ~= "person" then
      list[#list + 1] = {route = item.route, bounds = handling_size.bounds(c, ledger, item)}
    end
  end
  return list
end

-- Of all pieces in a group, of one piece of a pair.
local function size_of(bounds, item)
  local list = {}
  for _, piece in ipairs(bounds) do
    if piece.route:sub(1, #item.route) == item.route then
      list[#list + 1] = piece.bounds
      if item.form == "pair" then break end
    end
  end
  return #list > 0 and handling_size.of(list) or nil
end

-- Who lifts it and the most for that, by mass and size. Two people stand at its sides: its depth keeps neither off.
local function lift_of(mass, limit, bulk)
  local one = bulk.wide and 0 or bulk.factor * limit
  if mass <= one then return words[1], one end
  local word, most = handling.lift(mass, limit)
  if word == words[1] then return words[2], 2 * SHARE[2] * limit end -- light enough, but not for one alone
  return word, most
end

local function judge(row, limit, bulk)
  local most
  row.lift, most = lift_of(row.mass, limit, bulk)
  if row.lift ~= lift_of(row.mass + text.K95 * row.sd.mass, limit, bulk) then
    row.near = ("%s kg under the most for %s, less than its own +-"):format(text.fixed(most - row.mass, 1), row.lift)
  elseif row.lift == words[1] then
    row.near = bulk.awkward
  elseif row.mass <= limit then
    row.why = bulk.wide or ("hands %s mm before the ankles: one person %s kg"):format(text.fixed(bulk.hands, 0),
      text.fixed(bulk.factor * limit, 1))
  end
end

local function row_of(c, item, limit, size, reach)
  local node = c.shared.nodes[item.number]
  local t = core.item_totals(c.now, c.geometry, item.route)
  local pieces = pieces_of(item)
  local row = {name = item.name, path = resolve.path(c.now, item.route), kind = node.kind, pieces = pieces, mass = t.mass / pieces,
               sd = {mass = t.sd.mass / pieces}, strip = {}, kept = {}}
  if t.unknown > 0 then
    row.lift = "unknown"
    if t.mass == 0 then row.mass = nil end
    return row
  end
  local bulk = handling_size.bulk(size, reach)
  if size then row.size, row.hands = {long = size.long, short = size.short, tall = size.tall}, bulk.hands end
  row.shaped = size ~= nil
  judge(row, limit, bulk)
  return row
end

-- Below the limit for whoever must lift the heaviest piece anyway.
local function put_strip(c, ledger, row, group, limit, reach)
  local function enough(left, base_kg)
    local aim = base_kg > limit and select(2, handling.lift(base_kg, limit)) or limit
    return left <= aim
  end
  local rest
  row.strip, row.base, row.left, row.kept, rest = strip.of(c, ledger, group, row.mass, enough)
  row.left_lift = lift_of(row.left, limit, handling_size.bulk(handling_size.of(rest), reach))
end

--- Rows of the inside of a car: parts, tanks and groups aboard, in file order. reach: of the hands where it is known; strips: also
-- what to take off.
function handling.rows(c, limit, what, reach, strips)
  local routes = what ~= nil and resolve.parts(c, what).routes or nil
  local ledger = envelopes.ledger_now(c)
  local items, rows, bounds = c.now:items(false), {}, all_bounds(c, ledger)
  for _, item in ipairs(items) do
    local node = c.shared.nodes[item.number]
    local empty = item.form == "group" and core.item_totals(c.now, c.geometry, item.route).parts == 0
    if item.aboard and node.kind ~= "person" and not empty and resolve.within(item.route, routes) then
      local row = row_of(c, item, limit, size_of(bounds, item), reach)
      if strips and item.form == "group" and row.lift ~= "unknown" and row.mass > limit then
        put_strip(c, ledger, row, item, limit, reach)
      end
      row.depth = #item.route // 4 - 1
      row.whole = node.whole ~= nil
      rows[#rows + 1] = row
    end
  end
  return rows
end

local function limit_words(limit, from)
  if from == "conditions" then
    return ("one person %s kg, the recommended weight limit of NIOSH 94-110 for this lift"):format(text.fixed(limit, 1))
  end
  if from == "given" then return ("one person %s kg, as given"):format(text.plain(limit)) end
  return "one person 25 kg: a filter figure for men, close to the body between knuckle and elbow; 16 kg for women, less at arm's length, "
    .. "low, high or twisting (HSE INDG143)"
end

-- Where the size of a lift comes from, and what was judged without.
local function size_notes(result)
  local sized, bare = false, 0
  for _, row in ipairs(result) do
    sized = sized or row.size ~= nil
    bare = bare + (row.lift ~= "unknown" and not row.shaped and 1 or 0)
  end
  local notes = result.notes
  if sized then
    notes[#notes + 1] = "the size of a lift counts as it stands in the car: hands reach 200 mm and half its depth before the ankles, and "
      .. "one person's limit falls as 250 mm over that (NIOSH 94-110); over 750 mm in two dimensions is not a lift for one (HSE L23)"
  end
  if bare > 0 then
    notes[#notes + 1] = ("%s no shape in the file and %s judged by mass alone"):format(
      bare == 1 and "one lift has" or bare .. " lifts have", bare == 1 and "is" or "are")
  end
end

--- car:handling.
function handling.of(c, self, o)
  o = named_places.check_fields(o, "car:handling", options.known("shop", "handling"))
  local limit, from, reach = read_limit(o)
  local result = handling.rows(c, limit, o.what, reach, true)
  result.limit, result.state, result.heading, result.sd = limit, loading.title(c), self:heading(), {}
  result.notes = {limit_words(limit, from), ("two people %s kg, three %s kg: two thirds and half of what they lift singly"):format(
    text.fixed(2 * SHARE[2] * limit, 1), text.fixed(3 * SHARE[3] * limit, 1))}
  size_notes(result)
  for _, row in ipairs(result) do
    if row.why then result.notes[#result.notes + 1] = ("%s: %s, %s"):format(row.path, row.lift, row.why) end
    if row.near then result.notes[#result.notes + 1] = row.path .. ": " .. row.near end
    if row.kind == "tank" and row.lift ~= "unknown" and row.mass > limit then
      result.notes[#result.notes + 1] = row.path .. ": lighter when drained"
    end
  end
  if c.state and c.state.stand_ins then result.notes[#result.notes + 1] = "stand-ins only: this is the mock-up, not the car" end
  return origin.of_car(setmetatable(result, require "steelyard.shop.handling.print"), c)
end

-- ---- as a quantity ------------------------------------------------------------------------------------------------

local HEAVIEST = 2 -- named in a comparison

-- Rows of single lifts, the heaviest first: assemblies that were weighed whole, else single pieces.
local function single_lifts(c)
  local rows, list, skip = handling.rows(c, ONE), {}, nil
  for _, row in ipairs(rows) do
    local within = skip and row.path:sub(1, #skip + 1) == skip .. "/"
    if not within and (row.whole or row.kind ~= "group") then
      if row.whole then skip = row.path end
      if row.mass then list[#list + 1] = row end
    end
  end
  table.sort(list, function(a, b)
    if a.mass ~= b.mass then return a.mass > b.mass end
    return core.before(a.path, b.path)
  end)
  return list
end

--- The heaviest single lift: kg and its standard uncertainty; nil where nothing is lifted.
function handling.heaviest(c)
  local row = single_lifts(c)[1]
  if not row then return nil end
  return row.mass, row.sd and row.sd.mass
end

--- The heaviest single lifts in words.
function handling.words(c)
  local list = single_lifts(c)
  local shown = {}
  for i = 1, math.min(HEAVIEST, #list) do shown[i] = list[i].name end
  shown = text.names(shown)
  for i, name in ipairs(shown) do
    shown[i] = ("%s %s %s"):format(name, text.fixed(list[i].mass, 0), list[i].lift)
  end
  if #shown == 0 then return nil end
  return {value = table.concat(shown, ", "), notes = {"who lifts what is guidance for one lift in good posture, not permission"}}
end

return handling
