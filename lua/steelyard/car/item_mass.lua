--- What is lifted: mass and CG of a part, a group, a tag or a list as it is in the present state, aboard or not.

local core = require "steelyard.core"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"

local item_mass = {}

-- Paths of the parts aboard at these routes, as car:scene has them: a part of a pair once.
local function paths_at(c, routes)
  local outer, list, seen = {}, {}, {}
  for _, item in ipairs(c.now:items(true)) do
    local around = outer[item.route:sub(1, -5)]
    local path = around and around .. "/" .. item.name or item.name
    outer[item.route] = path
    for _, route in ipairs(item.form == "part" and item.aboard and not seen[path] and routes or {}) do
      if item.route:sub(1, #route) == route and not seen[path] then
        list[#list + 1], seen[path] = path, true
      end
    end
  end
  return list
end

--- {label, mass, mass_sd, cg = {forward, left, up} or nil, cg_sd, parts, unstated, unknown, paths = of the parts aboard}
function item_mass.of(c, what)
  local found = resolve.parts(c, what)
  local joint = {label = found.label, mass = 0, parts = 0, unstated = 0, unknown = 0, paths = paths_at(c, found.routes)}
  local variance, moment, spread = 0, {0, 0, 0}, {0, 0, 0}
  for _, route in ipairs(found.routes) do
    local t = core.item_totals(c.now, c.geometry, route)
    joint.mass, variance = joint.mass + t.mass, variance + t.sd.mass ^ 2
    for _, count in ipairs{"parts", "unstated", "unknown"} do joint[count] = joint[count] + t[count] end
    if t.cg then
      local cg = {c.geometry:point_in(t.cg.x, t.cg.y, t.cg.z)}
      local sd = {c.geometry:vector_in(t.sd.cg.x, t.sd.cg.y, t.sd.cg.z)}
      for i = 1, 3 do
        moment[i] = moment[i] + t.mass * cg[i]
        spread[i] = spread[i] + (t.mass * sd[i]) ^ 2
      end
      joint[#joint + 1] = {mass = t.mass, sd = t.sd.mass, cg = cg}
    end
  end
  joint.mass_sd = math.sqrt(variance)
  if joint.mass > 0 then
    joint.cg, joint.cg_sd = {}, {}
    for i = 1, 3 do
      joint.cg[i] = moment[i] / joint.mass
      local sum = spread[i] -- of the places; of several parts the masses shift the joint CG as well
      for _, one in ipairs(joint) do sum = sum + (#joint > 1 and one.sd * (one.cg[i] - joint.cg[i]) or 0) ^ 2 end
      joint.cg_sd[i] = math.sqrt(sum) / joint.mass
    end
  end
  return joint
end

--- Sentences on what counts as exact and what is not known.
function item_mass.notes(joint)
  local list = {}
  if joint.unstated > 0 then
    list[1] = ("%d of %s of %s %s no stated uncertainty and %s as exact"):format(joint.unstated, text.count(joint.parts, "part"),
      joint.label, joint.unstated == 1 and "has" or "have", joint.unstated == 1 and "counts" or "count")
  end
  return list
end

return item_mass
