--- Growth: what may still be added to a car before its parts are finished. One rule for the balance, the book, limits and the budget.
--
-- A line's own allowance (field growth) counts on all of it. A line that states none has that of its basis, at most 20 % of an
-- estimate (growth_rates.european, or as the budget is asked); of that, people have none and a tank has it on its own mass, since
-- neither a person nor a liquid matures. It is no uncertainty and enters no +-.

local rates = require "steelyard.file.growth_rates"

local growth = {}

local function immature_mass(node, mass)
  if node.kind == "person" then return 0 end
  if node.kind == "tank" then return node.dry_mass or 0 end
  return mass
end

local function usual(node) return rates.european[node.basis or "estimate"] end

--- What a line's mass rests on: its basis; "stated" for a person without one or with an uncertainty, and for a tank of which an
-- uncertainty is stated: nobody estimates who sits in the car or what was filled in.
function growth.basis_of(node)
  local basis = node.basis or "stated"
  if basis ~= "estimate" then return basis end
  local stated = node.kind == "person" and node.mass_sd or node.kind == "tank" and (node.fill_sd or node.density_sd or node.dry_mass_sd)
  return stated and "stated" or "estimate"
end

local function of_piece(c, item, rate_of)
  local node = c.shared.records[item.record]
  local mass = item.mass * (item.count or 1)
  return node.growth and node.growth * mass or (rate_of or usual)(node) * immature_mass(node, mass)
end

-- {{kg, route}, ...} of all pieces aboard, smallest first, so that their sums do not depend on the order of edits. Pairs piece by piece:
-- each may say otherwise.
local function pieces(c, route, rate_of)
  local list = {}
  for _, item in ipairs(c.now:items(true, route)) do
    if item.form ~= "group" and item.form ~= "pair" and item.aboard then list[#list + 1] = {of_piece(c, item, rate_of), item.route} end
  end
  table.sort(list, function(a, b) return a[1] < b[1] end)
  return list
end

local function sum_of(list)
  local sum = 0
  for _, piece in ipairs(list) do sum = sum + piece[1] end
  return sum
end

--- The allowance of a line, kg. rate_of(node): as a fraction, of a line that states none; by its basis unless given.
function growth.of_line(c, item, rate_of)
  return item.form == "pair" and sum_of(pieces(c, item.route, rate_of)) or of_piece(c, item, rate_of)
end

--- The allowances of all that is aboard, kg by route: of a group those of its lines. One pass, however deep the groups lie.
function growth.by_route(c)
  local by = {}
  for _, piece in ipairs(pieces(c)) do
    local kg, route = piece[1], piece[2]
    for last = 4, #route, 4 do
      local around = route:sub(1, last)
      by[around] = (by[around] or 0) + kg
    end
  end
  return by
end

--- Mass with growth of the inside of a car, kg.
function growth.total(c, mass) return mass + sum_of(pieces(c)) end

return growth
