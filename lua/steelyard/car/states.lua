--- Load states: what is aboard, how full the tanks are, which stand-ins stand in.
--
-- A state is worked out from the ledger with all lasting edits every time, so one state replaces another whole.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local build = require "steelyard.car.build"
local loading = require "steelyard.car.loading"
local text = require "steelyard.print.text"

local states = {}

local function each_route(c, what, visit)
  local found = require("steelyard.car.resolve").parts(c, what)
  for _, route in ipairs(found.routes) do visit(route) end
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

-- One tank, or one piece of a pair of them, with so much in it.
local function fill_piece(c, ledger, piece, fill)
  local node = c.shared.nodes[piece.number]
  local litres, sd = loading.litres(node, fill)
  local held = litres >= 0 and user_values.held(litres, node.capacity)
  if not held then
    core.fail{code = "range", part = node.name, field = "fill",
      message = node.capacity and ("is %s litres, the tank holds 0 to %s"):format(text.plain(litres),
        user_values.litres_text(node.capacity)) or ("is %s litres, must be 0 or more"):format(text.plain(litres))}
  end
  local alone = c.turned and c.turned[piece.route]
  local was = not (c.state and c.state.stand_ins and node.stand_in) and loading.liquid_in(c, ledger, piece, node) or nil
  local context = c.shared.context
  return ledger:put(piece.route, c.geometry, {node = node, context = context, litres = held, litres_sd = sd or nil, alone = alone,
    liquid = build.liquid(context, node, held, alone), liquid_was = was})
end

-- The tanks under a name that a fill means. skip: routes of tanks that an edit has filled, for a state; of a pair one may be.
local function tanks_meant(c, ledger, what, skip)
  local list = {}
  each_route(c, what, function(named)
    local route = in_role(c, named)
    local item = ledger:item(route)
    if skip and (skip[route] or skip[named]) then return end
    if route ~= named and c.shared.nodes[item.number].kind ~= "tank" then return end -- what took its place holds nothing
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
function states.filled_by(c, what) return tanks_meant(c, c.now, what) end

local function fill_tank(c, ledger, what, fill, skip)
  for _, route in ipairs(tanks_meant(c, ledger, what, skip)) do
    local item = ledger:item(route)
    local node = c.shared.nodes[item.number]
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
  ledger = ledger:put(item.route, c.geometry, {mass = s.mass, mass_sd = s.mass_sd or 0, at = s.at, point = true,
    usual = c.shared.spec.assume and c.shared.spec.assume.shape ~= nil,
    unstated = s.mass_sd == nil, unknown = false, instrument = 0, bias_share = 0, gain_mass = 0})
  if forward ~= 0 or left ~= 0 or up ~= 0 then ledger = ledger:shift(item.route, forward, left, up) end
  return ledger
end

-- Every part with a stand-in becomes it, every other part is taken out: a mock-up is made of stand-ins.
local function stand_in(c, ledger)
  for _, item in ipairs(ledger:items(false)) do
    local node = c.shared.nodes[item.number]
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
function states.bring(ledger, route)
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
  ledger = states.bring(ledger, who)
  if stand_ins and ledger:item(who).form == "group" then
    for _, item in ipairs(inside_of(c.base, who)) do
      if item.aboard and not ledger:item(item.route).aboard then ledger = ledger:aboard(item.route, true) end
    end
  end
  for _, substitute in ipairs(substitutes_in(c, route)) do
    if not taken_out(c, substitute) then ledger = states.bring(ledger, substitute) end
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

--- The ledger as loaded: lasting edits, then the state, then fills asked for since.
function states.apply(c)
  local ledger = c.base
  if c.state then ledger = apply_state(c, ledger, c.state) end
  for _, what in ipairs(loading.sorted_keys(c.fills)) do ledger = fill_tank(c, ledger, what, c.fills[what]) end
  return c.measured and c.measured.records:correct(ledger) or ledger
end

return states
