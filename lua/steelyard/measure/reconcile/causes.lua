--- What may be the matter when ledger and scales disagree, other than a wrong number in the ledger: who and what was in the car, how full
-- the tanks were, which pad was read for which, in what unit, and what is usually forgotten.
--
--   causes.list(c, car, given) -> list of {kind, what, field, says, ledger = as it would be, or given = as it would have been read}
--     kind   as suspects.lua ranks them        says   a sentence's end: "One error alone would explain it best: ..."
--   Each is one whole answer without a number to fit: core.reconcile tells how well it does.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local loading = require "steelyard.car.loading"
local resolve = require "steelyard.car.resolve"
local slips = require "steelyard.measure.closure.slips"
local states = require "steelyard.car.states"
local text = require "steelyard.print.text"

local causes = {}

local POUND, STANDARD_GRAVITY = core.constants.pound, core.constants.standard_gravity -- kg, m/s2

-- ---- who and what was in the car --------------------------------------------------------------------------------------------------

-- Routes that load states put aboard, leave out or swap.
local function changed_by_states(c)
  local set = {}
  local function add(what)
    for _, route in ipairs(resolve.parts(c, what).routes) do set[route] = true end
  end
  for _, state in ipairs(c.shared.spec.states or {}) do
    for _, list in ipairs{state.with or {}, state.without or {}} do
      for _, what in ipairs(list) do add(what) end
    end
    for _, pair in ipairs(state.swap or {}) do
      add(pair.old)
      add(pair.new)
    end
  end
  return set
end

-- Items that come and go: aboard those that a state names and all persons, not aboard all that lie in something aboard.
local function movable(c)
  local named, aboard, spares, away = changed_by_states(c), {}, {}, nil
  for _, item in ipairs(c.now:items(false)) do
    local node = c.shared.nodes[item.number]
    local inside = away and item.route:sub(1, #away) == away
    local entry = {route = item.route, name = resolve.path(c.now, item.route), person = node.kind == "person"}
    if item.aboard and (entry.person or named[item.route]) then aboard[#aboard + 1] = entry end
    if not item.aboard and not inside then
      away = item.route
      entry.mass = core.item_totals(c.now, c.geometry, item.route).mass
      if entry.mass > 0 then spares[#spares + 1] = entry end
    end
  end
  return aboard, spares
end

local function add_loads(list, c)
  local aboard, spares = movable(c)
  local function add(what, says, ledger)
    list[#list + 1] = {kind = "aboard", what = what, field = "aboard", says = says, ledger = ledger}
  end
  for _, item in ipairs(aboard) do
    add(item.name, item.name .. " was not in the car", c.now:aboard(item.route, false))
  end
  for _, item in ipairs(spares) do add(item.name, item.name .. " was in the car", states.bring(c.now, item.route)) end
  for _, out in ipairs(aboard) do
    for _, into in ipairs(spares) do
      if out.person and into.person then
        add(into.name, ("%s was in the car instead of %s"):format(into.name, out.name),
          states.bring(c.now:aboard(out.route, false), into.route))
      end
    end
  end
end

-- ---- states and tanks ---------------------------------------------------------------------------------------------------------------

local function add_states(list, c, car)
  local own = c.state and c.state.name
  for _, state in ipairs(c.shared.spec.states or {}) do
    if state.name ~= own and not state.stand_ins then
      local other = contents.inside(car:state(state.name))
      list[#list + 1] = {kind = "state", what = state.name, field = "state",
        says = ("the car was weighed in the state %q"):format(state.name), ledger = other.now}
    end
  end
end

local function add_fills(list, c, car)
  for _, route in ipairs(loading.tanks(c)) do
    local item = c.now:item(route)
    local node, word = c.shared.nodes[item.number], resolve.word_for(c, route)
    local seen = {}
    local function add(litres, sd)
      if seen[litres] or not item.aboard then return end
      seen[litres] = true
      local fine, filled = pcall(car.fill, car, {[word] = sd and require("steelyard.file.vocabulary").sd(litres, sd) or litres})
      if fine then
        list[#list + 1] = {kind = "fill", what = item.name, field = "fill", would_be = litres, unit = "L",
          says = ("%s held %s litres"):format(item.name, text.fixed(litres, 1)), ledger = contents.inside(filled).now}
      end
    end
    add(node.fill, node.fill_sd)
    add(0)
    if node.capacity then add(node.capacity) end
    for _, state in ipairs(c.shared.spec.states or {}) do
      for _, what in ipairs(loading.sorted_keys(state.fill)) do
        local fill = state.fill[what]
        if resolve.parts(c, what).routes[1] == route and (fill.litres or node.capacity) then add(loading.litres(node, fill)) end
      end
    end
  end
end

-- ---- what was read ------------------------------------------------------------------------------------------------------------------

-- The readings with other loads: new[i] for support i.
local function read_as(given, new)
  local other = {supports = {}, covariance = given.covariance, lateral = given.lateral, axles = given.axles, height = given.height,
    height_sd = given.height_sd}
  for i, support in ipairs(given.supports) do
    other.supports[i] = {forward = support.forward, left = support.left, axle = support.axle, sd = support.sd,
                         forward_sd = support.forward_sd, left_sd = support.left_sd,
                         load = new[i] or support.load}
  end
  return other
end

local function add_exchanged(list, given)
  local n, keys = #given.supports, given.keys
  local function add(pairs_of)
    local new, names = {}, {}
    for _, pair in ipairs(pairs_of) do
      new[pair[1]], new[pair[2]] = given.supports[pair[2]].load, given.supports[pair[1]].load
      names[#names + 1] = ("%s and %s"):format(keys[pair[1]], keys[pair[2]])
    end
    list[#list + 1] = {kind = "exchanged", what = table.concat(names, ", "), field = "exchanged",
      says = ("the readings of %s exchanged"):format(text.join(names)), given = read_as(given, new)}
  end
  for i = 1, n do
    for k = i + 1, n do add{{i, k}} end
  end
  if n == 4 and given.lateral then
    add{{1, 2}, {3, 4}} -- left for right
    add{{1, 3}, {2, 4}} -- front for rear
  end
end

local function add_units(list, given)
  for i, key in ipairs(given.keys) do
    local load = given.supports[i].load
    local function add(field, why, would_be)
      list[#list + 1] = {kind = "unit", what = key, field = field, would_be = would_be, unit = "kg",
        says = ("the reading of %s (%s, %s kg instead of %s)"):format(key, why, text.fixed(would_be, 1), text.fixed(load, 1)),
        given = read_as(given, {[i] = would_be})}
    end
    if load > 0 then
      add("unit", "read in pounds", load * POUND)
      add("unit", "kilograms taken for pounds", load / POUND)
      add("unit", "read in newtons", load / STANDARD_GRAVITY)
      add("digits", "decimal mark one place off", load * 10)
      add("digits", "decimal mark one place off", load / 10)
      for _, other in ipairs(slips.swapped(load)) do
        if other > 0 then add("digits", "two digits swapped", other) end
      end
    end
  end
end

-- ---- what is usually forgotten ------------------------------------------------------------------------------------------------------

local OVERHANG = 0.3  -- of the wheelbase beyond each axle, where things still lie; common practice, no source
local HEIGHT_SD = 150 -- mm, about the height of the car's own CG

-- A place anywhere in the car: the middle, and the standard deviation of an even spread (JCGM 100:2008, 4.3.7), both in the file's axes.
local function anywhere(c, given)
  local front, rear, half_track = -math.huge, math.huge, 0
  for _, wheel in ipairs(c.geometry:wheels()) do
    front, rear = math.max(front, wheel.forward), math.min(rear, wheel.forward)
    half_track = math.max(half_track, math.abs(wheel.left))
  end
  local over = OVERHANG * (front - rear)
  local cg = core.balance(c.now, c.geometry).cg
  local _, _, up = c.geometry:point_in(cg.x, cg.y, cg.z)
  local root = core.constants.root_3
  local at = {c.geometry:point_out((front + rear) / 2, 0, given.height or up)}
  local sd = {c.geometry:vector_out((front - rear + 2 * over) / 2 / root, half_track / root, HEIGHT_SD)}
  for i = 1, 3 do at[i] = require("steelyard.file.vocabulary").sd(at[i], math.abs(sd[i])) end
  return at
end

local function add_forgotten(list, c, car, given, missing)
  if not (missing.mass > 0) then return end
  local vocabulary = require "steelyard.file.vocabulary"
  local at = anywhere(c, given)
  for i, entry in ipairs(require("steelyard.answers.forgotten").of(car).missing) do
    local part = vocabulary.part(("forgotten %d"):format(i)) {at = at,
      mass = vocabulary.sd((entry.low + entry.high) / 2, (entry.high - entry.low) / 2 / core.constants.root_3)}
    local fine, more = pcall(car.add, car, part)
    if fine then
      list[#list + 1] = {kind = "forgotten", what = entry.name, field = "forgotten", would_be = missing.mass, unit = "kg",
        says = ("%s not in the ledger (%s kg, usually %s to %s)"):format(entry.name, text.fixed(missing.mass, 1), text.fixed(entry.low, 1),
          text.fixed(entry.high, 1)), ledger = contents.inside(more).now}
    end
  end
end

--- All of them; missing: what the scales read beyond the ledger, {mass = kg}.
function causes.list(c, car, given, missing)
  local list = {}
  add_loads(list, c)
  add_states(list, c, car)
  add_fills(list, c, car)
  add_exchanged(list, given)
  add_units(list, given)
  add_forgotten(list, c, car, given, missing)
  return list
end

return causes
