--- Load states: what is aboard, how full the tanks are, which stand-ins stand in.
--
-- A state is worked out from the ledger with all lasting edits every time, so one state replaces another whole.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local build = require "steelyard.car.build"
local held_liquid = require "steelyard.file.held_liquid"

local loading = {}

--- Litres from {litres =, litres_sd =} or {share = 0.9}.
function loading.litres(node, fill)
  if fill.litres then return fill.litres, fill.litres_sd end
  if not node.capacity then
    core.fail{code = "missing", message = "a fill in percent needs the tank's capacity or shape", part = node.name, field = "fill"}
  end
  return node.capacity * fill.share, nil
end

local function each_route(c, what, visit)
  local found = require("steelyard.car.resolve").parts(c, what)
  for _, route in ipairs(found.routes) do visit(route) end
end

--- "20 litres" or "90 %"
function loading.fill_text(what, fill)
  if fill.litres then return ("%s %s litres"):format(what, core.shortest(fill.litres)) end
  return ("%s %s %%"):format(what, core.shortest(100 * fill.share))
end

-- A swapped-in part has taken over the other's role: what a state says of one it says of the other.
local function in_role(c, route) return c.held.swaps[route] or route end

-- Did an edit take this out, or what it lies in?
local function taken_out(c, route)
  local out = c.held.out
  if next(out) == nil then return false end
  for last = 4, #route, 4 do
    if out[route:sub(1, last)] ~= nil then return true end
  end
  return false
end

--- Routes of all tanks in a ledger, aboard or not.
function loading.tanks_in(c, ledger)
  local routes = {}
  for _, item in ipairs(ledger:items(false)) do
    local node = c.shared.records[item.record]
    if node and node.kind == "tank" then routes[#routes + 1] = item.route end
  end
  return routes
end

--- Those of a car: items keep their routes in every car made from one file.
function loading.tanks(c)
  c.structure.tanks = c.structure.tanks or loading.tanks_in(c, c.base)
  return c.structure.tanks
end

--- The item itself, of a pair the piece that its line states.
function loading.piece(ledger, item) return item.form == "pair" and ledger:item(item.route .. string.pack("=I4", 0)) or item end

--- The items to be booked for one: the pieces of a pair, the one that its line states first, or the item itself.
function loading.pieces(ledger, item)
  if item.form ~= "pair" then return {item} end
  local left, right = ledger:item(item.route .. string.pack("=I4", 0)), ledger:item(item.route .. string.pack("=I4", 1))
  if left.image then return {right, left} end
  return {left, right}
end

--- What a tank holds in `ledger`, as a booking states it: for a change that must know where its liquid lay. A pair's is that of the left
-- piece.
function loading.liquid_in(c, ledger, item, node)
  if not held_liquid.has_level(node) then return nil end
  local piece = loading.piece(ledger, item)
  return held_liquid.liquid(c.shared.spec, node, held_liquid.litres(node, piece.mass), c.turned and c.turned[piece.route])
end

-- One tank, or one piece of a pair of them, with so much in it.
local function fill_piece(c, ledger, piece, fill)
  local node = c.shared.records[piece.record]
  local litres, sd = loading.litres(node, fill)
  local held = litres >= 0 and user_values.held(litres, node.capacity)
  if not held then
    core.fail{code = "range", part = node.name, field = "fill",
      message = node.capacity and ("is %s litres, the tank holds 0 to %s"):format(core.shortest(litres),
        user_values.litres_text(node.capacity)) or ("is %s litres, must be 0 or more"):format(core.shortest(litres))}
  end
  local alone = c.turned and c.turned[piece.route]
  local fields = build.booking(c.shared.context, build.filled(node, held, sd), piece.record)
  if fields.liquid then fields.liquid.alone = alone end
  local was = not (c.state and c.state.stand_ins and node.stand_in) and loading.liquid_in(c, ledger, piece, node) or nil
  return ledger:put(piece.route, c.geometry, {mass = fields.mass, mass_sd = fields.mass_sd, unstated = fields.unstated,
    fill = fields.fill, shape = fields.shape, turned = fields.shape and fields.turned, alone = alone, liquid = fields.liquid,
    liquid_was = was})
end

-- The tanks under a name that a fill means. skip: routes of tanks that an edit has filled, for a state; of a pair one may be.
local function tanks_meant(c, ledger, what, skip)
  local list = {}
  each_route(c, what, function(named)
    local route = in_role(c, named)
    local item = ledger:item(route)
    if skip and (skip[route] or skip[named]) then return end
    if route ~= named and c.shared.records[item.record].kind ~= "tank" then return end -- what took its place holds nothing
    local left, right = route .. string.pack("=I4", 0), route .. string.pack("=I4", 1)
    if skip and item.form == "pair" and (skip[left] or skip[right]) then
      if not skip[left] then list[#list + 1] = left end
      if not skip[right] then list[#list + 1] = right end
    else
      list[#list + 1] = route
    end
  end)
  return list
end

--- The tanks that car:fill means by a name: those of that name or what took their places.
function loading.filled_by(c, what) return tanks_meant(c, c.now, what) end

local function fill_tank(c, ledger, what, fill, skip)
  for _, route in ipairs(tanks_meant(c, ledger, what, skip)) do
    local item = ledger:item(route)
    local node = c.shared.records[item.record]
    if node.kind ~= "tank" then
      core.fail{code = "type", message = ("%q is a %s, only a tank is filled"):format(what, node.kind), field = "fill"}
    end
    for _, piece in ipairs(loading.pieces(ledger, item)) do ledger = fill_piece(c, ledger, piece, fill) end
  end
  return ledger
end

-- How far a part has been moved by itself since its line placed it: mm forward, left, up. What was never edited is where it was booked.
local function moved_alone(c, ledger, item, node)
  if c.base == c.shared.filed then return 0, 0, 0 end
  local is = loading.piece(ledger, item).origin
  local placed = ledger:put(item.route, c.geometry, {at = node.at})
  local was = loading.piece(placed, placed:item(item.route)).origin
  return is[1] - was[1], is[2] - was[2], is[3] - was[3]
end

-- A stand-in with a place of its own goes along with its part.
local function put_stand_in(c, ledger, item, node)
  local s = node.stand_in
  local forward, left, up = 0, 0, 0
  if s.at then forward, left, up = moved_alone(c, ledger, item, node) end
  ledger = ledger:put(item.route, c.geometry, {mass = s.mass, mass_sd = s.mass_sd or 0, at = s.at, inertia = {}, point = true, fill = false,
    unstated = s.mass_sd == nil, unknown = false, instrument = 0, bias_share = 0, gain_mass = 0})
  if forward ~= 0 or left ~= 0 or up ~= 0 then ledger = ledger:shift(item.route, forward, left, up) end
  return ledger
end

-- Every part with a stand-in becomes it, every other part is taken out: a mock-up is made of stand-ins.
local function stand_in(c, ledger)
  for _, item in ipairs(ledger:items(false)) do
    local node = c.shared.records[item.record]
    if item.form ~= "group" and item.aboard then
      if node.stand_in then ledger = put_stand_in(c, ledger, item, node)
      else ledger = ledger:aboard(item.route, false) end
    end
  end
  return ledger
end

-- Who took the places of things inside a group: they come and go with it, wherever they are booked.
local function substitutes_in(c, route)
  local list = {}
  for role, who in pairs(c.held.swaps) do
    if #role > #route and role:sub(1, #route) == route then list[#list + 1] = who end
  end
  table.sort(list)
  return list
end

-- What lies in a group, the group left out.
local function inside_of(ledger, route)
  local list = {}
  for _, item in ipairs(ledger:items(false)) do
    if #item.route > #route and item.route:sub(1, #route) == route then list[#list + 1] = item end
  end
  return list
end

--- An item comes aboard. What it lies in comes with it, without the others in there: they were not named.
function loading.bring(ledger, route)
  for last = 4, #route - 4, 4 do
    local around = route:sub(1, last)
    local item = ledger:item(around)
    if not item.aboard then
      for k = 0, (item.form == "pair" and 2 or item.children) - 1 do ledger = ledger:aboard(around .. string.pack("=I4", k), false) end
      ledger = ledger:aboard(around, true)
    end
  end
  return ledger:aboard(route, true)
end

-- What a state adds, unless an edit took it out. In a mock-up a group brings its parts along, which were taken out one by one.
local function add(c, ledger, route, stand_ins)
  local who = in_role(c, route)
  if taken_out(c, route) or taken_out(c, who) then return ledger end
  ledger = loading.bring(ledger, who)
  if stand_ins and ledger:item(who).form == "group" then
    for _, item in ipairs(inside_of(c.base, who)) do
      if item.aboard and not ledger:item(item.route).aboard then ledger = ledger:aboard(item.route, true) end
    end
  end
  for _, substitute in ipairs(substitutes_in(c, route)) do
    if not taken_out(c, substitute) then ledger = loading.bring(ledger, substitute) end
  end
  return ledger
end

local function take(c, ledger, route)
  ledger = ledger:aboard(in_role(c, route), false)
  for _, substitute in ipairs(substitutes_in(c, route)) do ledger = ledger:aboard(substitute, false) end
  return ledger
end

-- What an edit has put in the same place stays there.
local function swap(c, ledger, old, new)
  if c.held.swaps[old] then return ledger end
  ledger = ledger:aboard(old, false)
  return taken_out(c, old) and ledger or add(c, ledger, new)
end

-- Edits made by name hold under all states (car/contents.lua: held), so a state asks them first.
local function apply_state(c, ledger, state)
  if state.stand_ins then ledger = stand_in(c, ledger) end
  for _, what in ipairs(state.without or {}) do
    each_route(c, what, function(route) ledger = take(c, ledger, route) end)
  end
  for _, pair in ipairs(state.swap or {}) do
    local resolve = require "steelyard.car.resolve"
    ledger = swap(c, ledger, resolve.parts(c, pair.old).routes[1], resolve.parts(c, pair.new).routes[1])
  end
  for _, what in ipairs(state.with or {}) do
    each_route(c, what, function(route) ledger = add(c, ledger, route, state.stand_ins) end)
  end
  for _, what in ipairs(loading.sorted_keys(state.fill)) do ledger = fill_tank(c, ledger, what, state.fill[what], c.held.fills) end
  return ledger
end

-- Options may have keys of any kind before they are refused.
local function key_before(a, b)
  local one, other = type(a), type(b)
  if one == "string" and other == "string" then return core.before(a, b) end -- not by the locale
  if one ~= other then return core.before(one, other) end
  if one == "number" then return a < b end
  return core.before(tostring(a), tostring(b))
end

function loading.sorted_keys(t)
  local keys = {}
  for key in pairs(t or {}) do keys[#keys + 1] = key end
  if #keys > 1 then table.sort(keys, key_before) end
  return keys
end

--- Who is meant by a part's name in this state: itself, or what an edit or the state has put in its place.
function loading.in_place(c, route)
  local who = c.held.swaps[route]
  for _, pair in ipairs(not who and c.state and c.state.swap or {}) do
    local resolve = require "steelyard.car.resolve"
    if resolve.parts(c, pair.old).routes[1] == route then who = in_role(c, resolve.parts(c, pair.new).routes[1]) end
  end
  return who or route
end

--- The ledger as loaded: lasting edits, then the state, then fills asked for since.
function loading.apply(c)
  local ledger = c.base
  if c.state then ledger = apply_state(c, ledger, c.state) end
  for _, what in ipairs(loading.sorted_keys(c.fills)) do ledger = fill_tank(c, ledger, what, c.fills[what]) end
  return ledger
end

--- The name printed for a state.
function loading.title(c) return c.state and c.state.name or "everything in the file, no state chosen" end

--- Refuses a car without any mass aboard, by its file and state: it has no CG.
function loading.need_mass(c)
  if c.now:has_mass() then return end
  core.fail{code = "missing", file = c.shared.file, kind = c.state and "state" or nil, part = c.state and c.state.name or nil,
    message = "nothing aboard has a mass", hint = c.state and "see what the state leaves out, and which parts have the mass unknown"
      or "every part's mass is unknown or 0, or nothing is aboard"}
end

return loading
