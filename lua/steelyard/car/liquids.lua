--- What is in the tanks of a car as it is loaded, and where it runs.

local core = require "steelyard.core"
local drawn = require "steelyard.car.drawn"
local held_liquid = require "steelyard.file.held_liquid"
local loading = require "steelyard.car.loading"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"

local liquids = {}

local function tank_item(c, what)
  local found = resolve.parts(c, what)
  local item = c.now:item(found.routes[1])
  local node = c.shared.nodes[item.number]
  if #found.routes ~= 1 or not node or node.kind ~= "tank" then
    local names = {}
    for i, route in ipairs(loading.tanks(c)) do names[i] = c.now:item(route).name end
    core.fail{code = "type", message = ("%s is not a single tank"):format(found.label),
              hint = not names[1] and "this car has none"
                or ("the car's %s %s"):format(names[2] and "tanks are" or "tank is", text.join_names(names))}
  end
  return item, node
end
liquids.item = tank_item

-- Tanks aboard, by the words that mean them and no other.
local function tanks_aboard(c)
  local words, names = {}, {}
  for _, route in ipairs(loading.tanks(c)) do
    local item = c.now:item(route)
    if item.aboard then words[#words + 1], names[#names + 1] = resolve.word_for(c, route), resolve.path(c.base, route) end
  end
  return words, names
end

--- Whose liquid burns where nobody says so: the tank called "fuel", else the only one aboard. Several are asked about by name.
function liquids.burnt(c)
  local fine, _, node = pcall(tank_item, c, "fuel")
  if fine and node then return "fuel" end
  local words, names = tanks_aboard(c)
  if #words == 1 then return words[1] end
  local any = names[1] ~= nil
  core.fail{code = "missing", field = "tank", message = any and ("is not given, and %s are aboard"):format(text.join_names(names))
      or ("is not given, and none is aboard (%s)"):format(loading.title(c)),
    hint = any and {("name one, as in tank = %q"):format(names[1]), ("name one, as in --tank %q"):format(names[1])}
      or #loading.tanks(c) > 0 and "choose a state with one" or "this car has none"}
end

--- Litres in a tank as the car is loaded, and whether they lie as deep in it as that (its file gives a shape) or at its own place.
function liquids.litres(self, what)
  local c = require("steelyard.car.contents").inside(self)
  local item, node = tank_item(c, what)
  return held_liquid.litres(node, loading.piece(c.now, item).mass), held_liquid.has_level(node)
end

-- ---- tanks of a car on its springs --------------------------------------------------------------------------------------------

-- One tank as it is in `ledger`: into `level` when its liquid finds a level, into `still` when it stays where it is.
local function sort_tank(c, item, name, state, level, still)
  local node = c.shared.nodes[item.number]
  local litres = held_liquid.litres(node, item.mass)
  if not item.aboard or litres <= 1e-9 or state and state.stand_ins and node.stand_in then return end -- 1e-9: a fill's rounding
  if held_liquid.has_level(node) and not node.unsprung then
    level[#level + 1] = {route = item.route, name = name, litres = litres, node = node}
  else
    still[#still + 1] = name .. (held_liquid.has_level(node) and ": carried by wheels, its liquid counts as lying still"
      or ": no shape to find a level in, its liquid counts at the tank's own place")
  end
end

local function sort_tanks(c, ledger, routes, state)
  local level, still = {}, {}
  for _, route in ipairs(routes) do
    local item = ledger:item(route)
    if item.form == "pair" then
      for k = 0, 1 do
        local side = ledger:item(route .. string.pack("=I4", k))
        sort_tank(c, side, item.name .. "/" .. side.name, state, level, still)
      end
    else
      sort_tank(c, item, item.name, state, level, still)
    end
  end
  return level, still
end

-- What is in which tank aboard: the same for all cars that only moves tell apart.
local function aboard(c)
  local kept = c.aboard.tanks
  if not kept then
    kept = {}
    kept.level, kept.still = sort_tanks(c, c.now, loading.tanks(c), c.state)
    c.aboard.tanks = kept
  end
  return kept
end

-- The car as it is loaded, its body at the drawn heights.
local function ledger_now(c) return c.heights_set and require("steelyard.car.states").apply(c) or c.now end

-- The tanks as steelyard.core wants them. `ledger` has the body at its drawn heights, `turned` what was turned by itself in it.
local function core_tanks(c, ledger, level, turned, as_drawn)
  local list = {}
  for i, tank in ipairs(level) do
    list[i] = {tank.route, held_liquid.liquid(c.shared.spec, tank.node, tank.litres, turned and turned[tank.route])}
  end
  return core.tanks(c.geometry, ledger, list, c.heights_set and require("steelyard.car.ride_height").frame(c) or nil, as_drawn)
end

-- The tanks of the drawn state. Without edits and with no heights set they are level as filed: nil.
local function drawn_tanks(c, reset)
  if not (reset or c.heights_set) then return nil end
  local ledger = drawn.unstood(c, reset)
  local level = sort_tanks(c, ledger, loading.tanks_in(c, ledger), drawn.design_state(c))
  return core_tanks(c, ledger, level, reset and c.turned or nil)
end

local tanks_of = setmetatable({}, {__mode = "k"}) -- by car: its tanks as steelyard.core wants them, and whether edits count as drawn

--- The tanks whose liquid follows the body, for the calls of steelyard.core on springs; nil when there are none.
function liquids.tanks(c, reset)
  if #aboard(c).level == 0 then return nil end
  reset = reset or false
  local kept = tanks_of[c]
  if not kept or kept.reset ~= reset then
    kept = {reset = reset, tanks = core_tanks(c, ledger_now(c), aboard(c).level, c.turned, drawn_tanks(c, reset))}
    tanks_of[c] = kept
  end
  return kept.tanks
end

local ways = {{"mm forward", "mm back"}, {"mm left", "mm right"}, {"mm up", "mm down"}}

local function way_words(run)
  local list = {}
  for i, way in ipairs(ways) do
    local shown = math.abs(run[i]) > 0.04 and text.worded(run[i], 1, way[1], way[2]) -- less shows as nothing
    if shown and shown:find "[1-9]" then list[#list + 1] = shown end
  end
  return list
end

local REST = "liquid as it comes to rest: no waves; baffles slow it down and do not hold it"

-- Names the liquids of a result of steelyard.core and says in `notes` where they lie.
local function note_moved(c, r, notes)
  for i, run in ipairs(r.liquids) do
    local tank, words = aboard(c).level[i], way_words(run)
    r.liquids[i] = {name = tank.name, litres = tank.litres, forward = run[1], left = run[2], up = run[3]}
    if #words > 0 then
      notes[#notes + 1] = ("%s: %s litres lie %s from where they stand level"):format(tank.name, core.fixed(tank.litres, 1),
        text.join(words))
    end
  end
end

local function note_still(c, notes)
  local still = aboard(c).still
  table.move(still, 1, #still, #notes + 1, notes)
end

--- What the liquid of a car on its springs does, for its notes.
function liquids.note(c, r, notes)
  if r.liquids then note_moved(c, r, notes) end
  note_still(c, notes)
end

--- The same under a steady force.
function liquids.note_pushed(c, r, notes)
  if r.liquids then
    note_moved(c, r, notes)
    notes[#notes + 1] = REST
  end
  note_still(c, notes)
end

--- What liquid does as a car comes to its limits.
function liquids.note_limits(c, notes)
  local names = {}
  for i, tank in ipairs(aboard(c).level) do names[i] = tank.name end
  if #names > 0 then
    notes[#notes + 1] = ("%s: liquid runs to the low side of a table, down a grade and outward in a turn; static stability factor, "
      .. "traction and brakes are reported with it level"):format(text.join_names(names))
    notes[#notes + 1] = REST
  end
  note_still(c, notes)
end

-- ---- by itself, in a car that stands level ----------------------------------------------------------------------------------

--- The direction against gravity and inertia, file axes, while the car brakes and corners to the right, in g.
function liquids.leaning(c, braking, right_turn)
  local x, y, z = c.geometry:vector_out(-braking, -right_turn, 1)
  return {x, y, z}
end

--- How far the car's CG moves when the liquid of a tank lies as it does under steady `braking` and `right_turn` (g): mm forward, left, up;
-- nil where it has no level. The body stays as drawn.
function liquids.shift(self, what, braking, right_turn)
  local c = require("steelyard.car.contents").inside(self)
  local item, node = tank_item(c, what)
  if not held_liquid.has_level(node) then return nil end
  local level = sort_tanks(c, c.now, {item.route}, nil)
  local run = core.tanks_run(core_tanks(c, ledger_now(c), level, c.turned), c.geometry, braking, right_turn)
  local mass = self:balance().mass
  return {run[1] / mass, run[2] / mass, run[3] / mass}
end

--- How far the car's CG moves at 1 g with `litres` in a tank: {litres, braking = mm forward, right_turn = mm left} and a sentence; nil
-- where liquids.shift gives nothing.
function liquids.run_off(self, what, litres)
  local filled = self:fill{[what] = litres}
  local braking, turn = liquids.shift(filled, what, 1, 0), liquids.shift(filled, what, 0, 1)
  if not braking then return nil end
  return {litres = litres, braking = braking[1], right_turn = turn[2]},
    ("with %s litres the car's CG moves %s in braking and %s in a right turn, each steady at 1 g: "
      .. "liquid at rest, no waves, no baffles"):format(
      core.fixed(litres, 1), text.worded(braking[1], 1, "mm forward", "mm back"), text.worded(turn[2], 1, "mm left", "mm right"))
end

return liquids
