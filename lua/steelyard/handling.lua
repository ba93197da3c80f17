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
local loading = require "steelyard.loading"
local resolve = require "steelyard.resolve"
local spots = require "steelyard.spots"
local text = require "steelyard.text"

local handling = {}

local ONE = 25 -- kg
local SHARE = {1, 2 / 3, 1 / 2} -- of the sum of what one, two, three people lift singly

local conditions = {{"reach", "mm"}, {"height", "mm"}, {"travel", "mm"}, {"twist", "deg"}, {"frequency", ""}, {"grip", ""}}
local known = {limit = true, what = true, reach = true, height = true, travel = true, twist = true, frequency = true, grip = true}

local function between(name, x, low, high)
  if not (x >= low and x <= high) then
    core.fail{code = "range", message = ("must be from %s to %s, is %s"):format(core.shortest(low), core.shortest(high),
      core.shortest(x)), field = name}
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
    if o[name] ~= nil then asked[name], any = spots.number(o[name], unit, name), true end
  end
  if any and o.limit ~= nil then
    core.fail{code = "clash", message = "stands beside the conditions of the lift, one of the two is enough", field = "limit"}
  end
  if any then return handling.recommended(asked), "conditions" end
  local limit = o.limit == nil and ONE or spots.number(o.limit, "kg", "limit")
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

local function row_of(c, item, limit)
  local record = c.shared.records[item.record]
  local t = core.item_totals(c.now, c.geometry, item.route)
  local pieces = pieces_of(item)
  local row = {name = item.name, path = resolve.path(c.now, item.route), kind = record.kind, pieces = pieces, mass = t.mass / pieces,
               sd = {mass = t.sd.mass / pieces}, strip = {}}
  if t.unknown > 0 then
    row.lift = "unknown"
    if t.mass == 0 then row.mass = nil end
    return row
  end
  local most
  row.lift, most = handling.lift(row.mass, limit)
  if row.lift ~= handling.lift(row.mass + text.K95 * row.sd.mass, limit) then
    row.near = ("%s kg under the most for %s, less than its own +-"):format(text.fixed(most - row.mass, 1), row.lift)
  end
  return row
end

-- The single pieces inside a group, heaviest first: {name, kg, route}.
local function pieces_inside(c, items, group)
  local list = {}
  for _, item in ipairs(items) do
    if item.aboard and item.form ~= "group" and item.route:sub(1, #group.route) == group.route then
      local t = core.item_totals(c.now, c.geometry, item.route)
      local pieces = pieces_of(item)
      for _ = 1, math.min(pieces, 100) do
        list[#list + 1] = {name = resolve.path(c.now, item.route):sub(#resolve.path(c.now, group.route) + 2), kg = t.mass / pieces}
      end
    end
  end
  table.sort(list, function(a, b)
    if a.kg ~= b.kg then return a.kg > b.kg end
    return core.before(a.name, b.name)
  end)
  return list
end

-- What to take off an assembly so that the rest comes under the limit: most kilograms for each piece first. Its heaviest piece is what
-- the others hang on and stays; when that alone is above the limit, the aim is the lift that it needs anyway.
local function put_strip(c, items, row, group, limit)
  local list = pieces_inside(c, items, group)
  local left, aim = row.mass, limit
  if list[1] and list[1].kg > limit then aim = select(2, handling.lift(list[1].kg, limit)) end
  for i = 2, #list do
    if left <= aim then break end
    left = left - list[i].kg
    row.strip[#row.strip + 1] = {name = list[i].name, kg = list[i].kg, left = left}
  end
  row.left = left
  row.left_lift = handling.lift(left, limit)
  row.base = list[1] and list[1].name
end

--- Rows of the inside of a car: parts, tanks and groups aboard, in file order.
function handling.rows(c, limit, what)
  local routes = what ~= nil and resolve.parts(c, what).routes or nil
  local items, rows = c.now:items(false), {}
  for _, item in ipairs(items) do
    local record = c.shared.records[item.record]
    local empty = item.form == "group" and core.item_totals(c.now, c.geometry, item.route).parts == 0
    if item.aboard and record.kind ~= "person" and not empty and resolve.within(item.route, routes) then
      local row = row_of(c, item, limit)
      if item.form == "group" and row.lift ~= "unknown" and row.mass > limit then put_strip(c, items, row, item, limit) end
      row.depth = #item.route // 4 - 1
      row.whole = record.whole ~= nil
      rows[#rows + 1] = row
    end
  end
  return rows
end

local function limit_words(limit, from)
  if from == "conditions" then
    return ("one person %s kg, the recommended weight limit of NIOSH 94-110 for this lift"):format(text.fixed(limit, 1))
  end
  if from == "given" then return ("one person %s kg, as given"):format(core.shortest(limit)) end
  return "one person 25 kg: a filter figure for men, close to the body between knuckle and elbow; 16 kg for women, less at arm's length, "
    .. "low, high or twisting (HSE INDG143)"
end

--- car:handling.
function handling.of(c, self, o)
  o = spots.check_fields(o, "car:handling", known)
  local limit, from = read_limit(o)
  local result = handling.rows(c, limit, o.what)
  result.limit, result.state, result.heading, result.sd = limit, loading.title(c), self:heading(), {}
  result.notes = {limit_words(limit, from), ("two people %s kg, three %s kg: two thirds and half of what they lift singly"):format(
    text.fixed(2 * SHARE[2] * limit, 1), text.fixed(3 * SHARE[3] * limit, 1))}
  for _, row in ipairs(result) do
    if row.near then result.notes[#result.notes + 1] = row.path .. ": " .. row.near end
    if row.kind == "tank" and row.lift ~= "unknown" and row.mass > limit then
      result.notes[#result.notes + 1] = row.path .. ": lighter when drained"
    end
  end
  if c.state and c.state.stand_ins then result.notes[#result.notes + 1] = "stand-ins only: this is the mock-up, not the car" end
  return setmetatable(result, require "steelyard.handling_print")
end

-- ---- as a quantity ------------------------------------------------------------------------------------------------

local HEAVIEST = 2 -- named in a comparison

--- The heaviest single lifts: assemblies that were weighed whole, else single pieces.
function handling.quantity(c)
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
  local shown = {}
  for i = 1, math.min(HEAVIEST, #list) do
    shown[i] = ("%s %s %s"):format(list[i].name, text.fixed(list[i].mass, 0), list[i].lift)
  end
  if #shown == 0 then return nil end
  return {value = table.concat(shown, ", "), notes = {"who lifts what is guidance for one lift in good posture, not permission"}}
end

return handling
