--- What is aboard of a car as it is loaded, as far as that changes from day to day: persons, what is in the tanks, and what its state
-- brings along.

local core = require "steelyard.core"
local held_liquid = require "steelyard.file.held_liquid"
local loading = require "steelyard.car.loading"
local text = require "steelyard.print.text"

local aboard = {}

-- Items that the state names under `with`.
local function brought(c)
  local list = {}
  for _, what in ipairs(c.state and c.state.with or {}) do
    for _, route in ipairs(require("steelyard.car.resolve").parts(c, what).routes) do list[loading.in_place(c, route)] = true end
  end
  return list
end

local function entry_of(c, item, with)
  local node = c.shared.nodes[item.number]
  if not item.aboard or item.form == "group" and not with[item.route] then return nil end
  local is_stand_in = c.state and c.state.stand_ins and node.stand_in
  if node.kind == "tank" and not is_stand_in then
    local pieces = item.form == "pair" and 2 or 1
    local litres = pieces * held_liquid.litres(node, loading.piece(c.now, item).mass)
    return {name = item.name, litres = litres, mass = litres * node.density} -- of the liquid
  end
  if node.kind == "person" or with[item.route] then
    local mass = item.form == "part" and item.mass * (item.count or 1) or core.item_totals(c.now, c.geometry, item.route).mass
    return {name = item.name, mass = mass}
  end
  return nil
end

-- The numbers of the nodes that persons and tanks are booked by.
local function of_persons_and_tanks(c)
  local numbers = {}
  for i, node in ipairs(c.shared.nodes) do
    if node.kind == "person" or node.kind == "tank" then numbers[i] = true end
  end
  return numbers
end

--- list of {name, mass (kg), litres}, persons first, else in the order of the file; litres of a tank, whose mass is that of the liquid.
-- nil when the file
-- has neither persons nor tanks nor anything that a state brings: then there is nothing to tell apart.
function aboard.list(c)
  local list, rest, any, with = {}, {}, false, brought(c)
  local chosen = next(with) == nil and of_persons_and_tanks(c) or nil
  for _, item in ipairs(c.now:items(false, nil, chosen)) do
    local kind = c.shared.nodes[item.number].kind
    any = any or kind == "person" or kind == "tank" or with[item.route]
    table.insert(kind == "person" and list or rest, entry_of(c, item, with))
  end
  return any and table.move(rest, 1, #rest, #list + 1, list) or nil
end

-- As written: 78, 29.8, 0.35
local function short(x, decimals) return text.plain(core.number(core.fixed(x, decimals))) end

--- "driver 78 kg, fuel 38 L"
function aboard.text(list)
  local pieces, names = {}, {}
  for i, entry in ipairs(list) do names[i] = entry.name end
  names = text.names(names)
  for i, entry in ipairs(list) do
    pieces[i] = entry.litres and ("%s %s L"):format(names[i], short(entry.litres, 1)) or ("%s %s kg"):format(names[i],
      short(entry.mass, entry.mass < 10 and 2 or 1))
  end
  return #pieces > 0 and table.concat(pieces, ", ") or "no person, no liquid"
end

return aboard
