--- Which masses a drawing names: a crowded car as a dozen of them, its small parts together.
--
-- lumps.of(scene, most) -> list of {name, mass, at = {x, y, z}, bodies, small = true and parts = how many where it is several small
-- ones}, the heaviest first. Masses add up to the car's.

local text = require "steelyard.print.text"

local lumps = {}

-- A group is taken apart where its masses lie farther from its CG along the car than this (standard deviation, mm): what lies close
-- together is one thing to whoever lays a car out. A piece of less than this share of the car is small.
local SPREAD, SMALL = 200, 0.015
-- One that is more than this share of it is taken apart even if light masses then go without a name of their own.
local LARGE = 0.12

-- ---- the tree of groups --------------------------------------------------------------------------------------------------------

local function new_node(name, around) return {name = name, around = around, children = {}, by_name = {}, bodies = {}} end

local function child_of(node, name)
  if not node.by_name[name] then
    local child = new_node(name, node)
    node.by_name[name], node.children[#node.children + 1] = child, child
  end
  return node.by_name[name]
end

-- Both pieces of a pair are one: the path that a body counts under.
local function path_of(body)
  if not body.pair then return body.path end
  return body.path:match "^(.*)/"
end

local function tree_of(scene)
  local root = new_node("", nil)
  for _, body in ipairs(scene.bodies) do
    local node = root
    for name in path_of(body):gmatch "[^/]+" do
      node = child_of(node, name)
      node.bodies[#node.bodies + 1] = body
    end
    root.bodies[#root.bodies + 1] = body
  end
  return root
end

local function weigh(node, along)
  local mass, x, y, z, square = 0, 0, 0, 0, 0
  for _, body in ipairs(node.bodies) do
    local m, at = body.mass, body.at
    mass, square = mass + m, square + m * at[along] ^ 2
    x, y, z = x + m * at.x, y + m * at.y, z + m * at.z
  end
  if mass > 0 then
    node.at = {x = x / mass, y = y / mass, z = z / mass}
    node.spread = math.sqrt(math.max(0, square / mass - node.at[along] ^ 2))
  end
  node.mass = mass
  return node
end

-- How many lines of the file.
local function lines_of(bodies)
  local count, seen = 0, {}
  for _, body in ipairs(bodies) do
    local path = path_of(body)
    if not seen[path] then count, seen[path] = count + 1, true end
  end
  return count
end

-- Several as one: "8 small parts of powertrain"
local function joined(list, name, along)
  local node = new_node(name)
  for _, one in ipairs(list) do table.move(one.bodies, 1, #one.bodies, #node.bodies + 1, node.bodies) end
  weigh(node, along)
  node.small, node.parts = true, lines_of(node.bodies)
  return node
end

-- ---- taking apart ----------------------------------------------------------------------------------------------------------------

-- The large pieces of a group, and the small ones as one; nil where nothing of it is large.
local function pieces_of(node, least, along)
  local large, small = {}, {}
  for _, child in ipairs(node.children) do
    weigh(child, along)
    table.insert(child.mass >= least and large or small, child)
  end
  if #large == 0 or #node.children < 2 then return nil end
  if #small == 1 then
    large[#large + 1] = small[1]
  elseif #small > 1 then
    local rest = joined(small, "", along)
    rest.name = ("%s of %s"):format(text.count(rest.parts, "small part"), node.name)
    large[#large + 1] = rest
  end
  return large
end

local function heavier(a, b)
  if a.mass ~= b.mass then return a.mass > b.mass end
  return a.order < b.order
end

local function take_apart(list, most, least, along, large)
  local tried = {}
  while true do
    local pick
    for i, node in ipairs(list) do
      if not tried[node] and not node.small and #node.children > 1 and node.mass > 0 and node.spread > SPREAD and node.mass > 2 * least
        and (not pick or node.mass > list[pick].mass) then
        pick = i
      end
    end
    if not pick then return end
    local node = list[pick]
    tried[node] = true
    local pieces = pieces_of(node, least, along)
    if pieces and (node.mass > large or #list - 1 + #pieces <= most) then
      table.remove(list, pick)
      for k, piece in ipairs(pieces) do table.insert(list, pick + k - 1, piece) end
    end
  end
end

--- See above.
function lumps.of(scene, most)
  local along, root, list = scene.axes.forward.axis, tree_of(scene), {}
  local least = SMALL * scene.mass
  for i, node in ipairs(root.children) do list[i] = weigh(node, along) end
  local heavy = 0
  for _, node in ipairs(list) do heavy = heavy + (node.mass >= least and 1 or 0) end
  take_apart(list, math.max(most, #list - heavy + most), least, along, LARGE * scene.mass)
  local known = {}
  for i, node in ipairs(list) do
    node.order = i
    if node.mass > 0 then known[#known + 1] = node end
  end
  table.sort(known, heavier)
  if #known > most then
    local all_small = known[most].mass < least
    local rest = joined(table.move(known, most, #known, 1, {}), "", along)
    for i = #known, most, -1 do known[i] = nil end
    rest.name, rest.order = text.count(rest.parts, all_small and "small part" or "other part"), #list + 1
    known[most] = rest
    table.sort(known, heavier)
  end
  return known
end

return lumps
