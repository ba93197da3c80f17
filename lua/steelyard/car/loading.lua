--- How a car is loaded: its state's name, its tanks and what is in them. What a state does to the ledger: car/states.lua.

local core = require "steelyard.core"
local held_liquid = require "steelyard.file.held_liquid"
local text = require "steelyard.print.text"

local loading = {}

--- Litres from {litres =, litres_sd =} or {share = 0.9}.
function loading.litres(node, fill)
  if fill.litres then return fill.litres, fill.litres_sd end
  if not node.capacity then
    core.fail{code = "missing", message = "a fill in percent needs the tank's capacity or shape", part = node.name, field = "fill"}
  end
  return node.capacity * fill.share, nil
end

--- "20 litres" or "90 %"
function loading.fill_text(what, fill)
  if fill.litres then return ("%s %s litres"):format(what, text.plain(fill.litres)) end
  return ("%s %s %%"):format(what, text.plain(100 * fill.share))
end

--- Routes of all tanks in a ledger, aboard or not.
function loading.tanks_in(c, ledger)
  local routes = {}
  for _, item in ipairs(ledger:items(false)) do
    local node = c.shared.nodes[item.number]
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
  local alone = ledger ~= c.shared.filed and c.turned and c.turned[piece.route] or nil -- as filed nothing was turned since
  return held_liquid.liquid(c.shared.spec, node, held_liquid.litres(node, piece.mass), alone)
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
    if resolve.parts(c, pair.old).routes[1] == route then
      who = resolve.parts(c, pair.new).routes[1]
      who = c.held.swaps[who] or who
    end
  end
  return who or route
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
