--- Load states: what is aboard, how full the tanks are, which stand-ins stand in.
--
-- A state is worked out from the ledger with all lasting edits every time, so one state replaces another whole.

local core = require "steelyard.core"
local build = require "steelyard.build"

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
  local found = require("steelyard.resolve").parts(c, what)
  for _, route in ipairs(found.routes) do visit(route) end
end

--- "20 litres" or "90 %"
function loading.fill_text(what, fill)
  if fill.litres then return ("%s %s litres"):format(what, core.shortest(fill.litres)) end
  return ("%s %s %%"):format(what, core.shortest(100 * fill.share))
end

-- A swapped-in part has taken over the other's role: what a state says of one it says of the other.
local function in_role(c, route) return c.swaps[route] or route end

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

--- What a tank holds in `ledger`, as a booking states it: for a change that must know where its liquid lay.
function loading.liquid_in(c, ledger, item, node)
  if not build.has_level(node) then return nil end
  return build.liquid(c.shared.spec, node, build.litres(node, loading.piece(ledger, item).mass), c.turned and c.turned[item.route])
end

local function fill_tank(c, ledger, what, fill)
  each_route(c, what, function(route)
    local item = ledger:item(route)
    local node = c.shared.records[item.record]
    if node.kind ~= "tank" then
      core.fail{code = "type", message = ("%q is a %s, only a tank is filled"):format(what, node.kind), field = "fill"}
    end
    local litres, sd = loading.litres(node, fill)
    if litres < 0 or node.capacity and litres > node.capacity then
      core.fail{code = "range", part = node.name, field = "fill",
        message = node.capacity and ("is %s litres, the tank holds 0 to %s"):format(core.shortest(litres),
          core.shortest(node.capacity)) or ("is %s litres, must be 0 or more"):format(core.shortest(litres))}
    end
    local fields = build.booking(c.shared.context, setmetatable({fill = litres, fill_sd = sd}, {__index = node}), item.record)
    if fields.liquid then fields.liquid.alone = c.turned and c.turned[route] end
    local was = not (c.state and c.state.stand_ins and node.stand_in) and loading.liquid_in(c, ledger, item, node) or nil
    ledger = ledger:put(route, c.geometry, {mass = fields.mass, mass_sd = fields.mass_sd, unstated = fields.unstated,
      shape = fields.shape, turned = (fields.shape or fields.liquid) and fields.turned, liquid = fields.liquid, liquid_was = was,
      as_it_lies = true})
  end)
  return ledger
end

-- Every part with a stand-in becomes it, every other part goes ashore: a mock-up is made of stand-ins.
local function stand_in(c, ledger)
  for _, item in ipairs(ledger:items(false)) do
    local node = c.shared.records[item.record]
    if item.form ~= "group" and item.aboard then
      if node.stand_in then
        local s = node.stand_in
        ledger = ledger:put(item.route, c.geometry, {mass = s.mass, mass_sd = s.mass_sd or 0, at = s.at, inertia = {}, point = true,
          unstated = s.mass_sd == nil, unknown = false, instrument = 0, bias_share = 0, gain_mass = 0})
      else
        ledger = ledger:aboard(item.route, false)
      end
    end
  end
  return ledger
end

local function swap(ledger, old, new)
  ledger = ledger:aboard(old, false)
  return ledger:aboard(new, true)
end

local function apply_state(c, ledger, state)
  if state.stand_ins then ledger = stand_in(c, ledger) end
  for _, what in ipairs(state.without or {}) do
    each_route(c, what, function(route) ledger = ledger:aboard(in_role(c, route), false) end)
  end
  for _, pair in ipairs(state.swap or {}) do
    local resolve = require "steelyard.resolve"
    local old, new = resolve.parts(c, pair.old).routes[1], resolve.parts(c, pair.new).routes[1]
    ledger = swap(ledger, in_role(c, old), new)
  end
  for _, what in ipairs(state.with or {}) do
    each_route(c, what, function(route) ledger = ledger:aboard(in_role(c, route), true) end)
  end
  for _, what in ipairs(loading.sorted_keys(state.fill)) do ledger = fill_tank(c, ledger, what, state.fill[what]) end
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

--- The ledger as loaded: lasting edits, then the state, then fills asked for since.
function loading.apply(c)
  local ledger = c.base
  if c.state then ledger = apply_state(c, ledger, c.state) end
  for _, what in ipairs(loading.sorted_keys(c.fills)) do ledger = fill_tank(c, ledger, what, c.fills[what]) end
  return ledger
end

--- The name printed for a state.
function loading.title(c) return c.state and c.state.name or "everything in the file, no state chosen" end

return loading
