--- Growth: what may still be added to a car before its parts are finished. One rule for the balance, the book, limits and the budget.
--
-- A line's own allowance (field growth) counts on all of it. A line that states none has that of its basis, at most 20 % of an
-- estimate (growth_rates.european, or as the budget is asked); of that, people have none and a tank has it on its own mass, since
-- neither a person nor a liquid matures. It is not an uncertainty and enters no +-.

local core = require "steelyard.core"
local rates = require "steelyard.file.growth_rates"

local growth = {}
local usual = rates.european

local function immature_mass(node, mass)
  if node.kind == "person" then return 0 end
  if node.kind == "tank" then return node.dry_mass or 0 end
  return mass
end

--- What a line's mass rests on: its basis; "stated" for a person without one or with an uncertainty, and for a tank of which an
-- uncertainty is stated: nobody estimates who sits in the car or what was filled in.
function growth.basis_of(node)
  local basis = node.basis or "stated"
  if basis ~= "estimate" then return basis end
  local stated = node.kind == "person" and node.mass_sd or node.kind == "tank" and (node.fill_sd or node.density_sd or node.dry_mass_sd)
  return stated and "stated" or "estimate"
end

local function of_mass(c, number, mass, rate_of)
  local node = c.shared.nodes[number]
  if node.growth then return node.growth * mass end
  local rate = not rate_of and usual[node.basis or "estimate"] or rate_of(node)
  if node.kind ~= "part" then mass = immature_mass(node, mass) end
  return rate * mass
end

--- The same of a node by its number, whose pieces weigh so much together; linear in that.
function growth.allowance(c, number, mass) return of_mass(c, number, mass) end

-- Added up by size: a sum does not depend on the order of edits.
local function sum_of(list)
  local sum = 0
  table.sort(list)
  for i = 1, #list do sum = sum + list[i] end
  return sum
end

-- The sum for all pieces aboard; pairs piece by piece, since each may say otherwise.
local function of_pieces(c, route, rate_of)
  local numbers, list = core.pieces_aboard(c.now, route)
  for i = 1, #list do list[i] = of_mass(c, numbers[i], list[i], rate_of) end
  return sum_of(list)
end

--- The allowance of a line, kg. rate_of(node): as a fraction, of a line that states none; by its basis unless given.
function growth.of_line(c, item, rate_of)
  return item.form == "pair" and of_pieces(c, item.route, rate_of) or of_mass(c, item.number, item.mass * (item.count or 1), rate_of)
end

--- The allowances of all that is aboard, kg by route: of a group or a pair those of what is in it.
function growth.by_route(c)
  local by, inside, levels, deepest = {}, {}, {}, 0
  local function put(route, kg)
    by[route] = kg
    local outer = route:sub(1, -5)
    if outer == "" then return end
    if not inside[outer] then
      inside[outer], levels[#outer] = {}, levels[#outer] or {}
      table.insert(levels[#outer], outer)
      deepest = math.max(deepest, #outer)
    end
    table.insert(inside[outer], kg)
  end
  local numbers, masses, routes = core.pieces_aboard(c.now, nil, true)
  for i = 1, #numbers do put(routes[i], of_mass(c, numbers[i], masses[i])) end
  for depth = deepest, 4, -4 do -- from the inside outward
    for _, outer in ipairs(levels[depth] or {}) do put(outer, sum_of(inside[outer])) end
  end
  return by
end

--- Mass with growth of the inside of a car, kg.
function growth.total(c, mass) return mass + of_pieces(c) end

return growth
