--- How somebody sits: from the hips, the stature and the angles of the joints to CG and inertia in the file's axes.

local core = require "steelyard.core"
local placing = require "steelyard.file.placing"
local entries = require "steelyard.file.entries"
local text = require "steelyard.print.text"

local posture = {}
local wrong = entries.wrong

local needed = {"stature", "torso", "knee"}
-- Common practice for a driver at the wheel, no source; said with every result.
local usual = {thigh = 15, ankle = 90, shoulder = 40, elbow = 120}
local optional = {"thigh", "ankle", "shoulder", "elbow", "head"}
-- all that shapes a body but its mass, in the order it is reported
posture.numbers = {"stature", "torso", "thigh", "knee", "ankle", "shoulder", "elbow", "head"}

-- a hundredth of a degree or of a millimetre: what is left out is of the second order, some 1e-4 of the uncertainty
local STEP = 0.01

--- What core.person gives for a node that has all numbers, with `mass`; instead: other numbers than the node's.
function posture.body(node, mass, instead)
  local given = {mass = mass, women = node.segments == "women"}
  for _, name in ipairs(posture.numbers) do given[name] = node[name] end
  for name, value in pairs(instead or {}) do given[name] = value end
  return core.person(given)
end

--- A vector forward, left, up along the file's axes.
function posture.along(axes, v)
  local m, out = placing.matrix(axes), {}
  for i = 1, 3 do out[i] = m[1][i] * v[1] + m[2][i] * v[2] + m[3][i] * v[3] end
  return out
end

local tensor_names = {{"xx", 1, 1}, {"yy", 2, 2}, {"zz", 3, 3}, {"xy", 1, 2}, {"xz", 1, 3}, {"yz", 2, 3}}

-- A^T J A
local function tensor_along(axes, j)
  local m, out = placing.matrix(axes), {}
  local full = {{j[1], j[4], j[5]}, {j[4], j[2], j[6]}, {j[5], j[6], j[3]}}
  for _, entry in ipairs(tensor_names) do
    local sum = 0.0
    for k = 1, 3 do
      for l = 1, 3 do sum = sum + m[k][entry[2]] * full[k][l] * m[l][entry[3]] end
    end
    out[entry[1]] = sum
  end
  return out
end

--- What core.person gives for a node a little off in one of its stated numbers, and by how much: to the side that stays inside what a body
-- does.
function posture.beside(node, mass, name)
  local step = node[name] >= 90 and -STEP or STEP
  return posture.body(node, mass, {[name] = node[name] + step}), step
end

-- Standard uncertainties of the CG along the file's axes where the hips or the posture state any; within_mm is of the hips, and was
-- spread over the coordinates already.
local function uncertainties(ctx, node)
  local variance, stated = {0, 0, 0}, {}
  for i = 1, 3 do
    local hip = node.hip_sd and node.hip_sd[i] or node.at_sd and node.at_sd[i]
    if hip then variance[i], stated[i] = hip ^ 2, true end
  end
  for _, name in ipairs(posture.numbers) do
    local sd = node[name .. "_sd"]
    if sd then
      local a, beside, step = posture.body(node, 1).cg, posture.beside(node, 1, name)
      local b = beside.cg
      local sensitivity = posture.along(ctx.axes, {(b[1] - a[1]) / step, (b[2] - a[2]) / step, (b[3] - a[3]) / step})
      for i = 1, 3 do
        if sensitivity[i] ~= 0 then variance[i], stated[i] = variance[i] + (sensitivity[i] * sd) ^ 2, true end
      end
    end
  end
  local sd = {}
  for i = 1, 3 do sd[i] = stated[i] and math.sqrt(variance[i]) or nil end
  return next(sd) and sd or nil
end

local function take_usual(ctx, owner, node)
  local taken = {}
  for _, name in ipairs(optional) do
    if node[name] == nil then
      node[name] = usual[name] or node.torso / 2
      taken[#taken + 1] = name .. " " .. text.plain(node[name])
    end
  end
  if not node.segments then
    node.segments = "men"
    taken[#taken + 1] = "segments of men"
  end
  if #taken > 0 then
    node.taken = ("%s: how the person sits is taken as usual where nothing is said: %s"):format(owner.part or node.name,
      table.concat(taken, ", "))
    ctx.notes[#ctx.notes + 1] = node.taken
  end
end

-- The first field that belongs to `hip`, in the order of this page.
local function first_of(from)
  for _, name in ipairs(posture.numbers) do
    if from[name] ~= nil then return name end
  end
  return from.segments ~= nil and "segments" or nil
end

local function check_change(ctx, owner, from)
  local changed = from.hip ~= nil and "hip" or first_of(from)
  if changed then
    wrong(ctx, owner, changed, "unavailable", "stays as the file says", "take the person out and add another")
  end
  if not (ctx.node or {}).per_kg then return end
  for _, name in ipairs{"at", "inertia", "shape"} do
    if from[name] ~= nil then
      wrong(ctx, owner, name, "unavailable", "is worked out from hip", name == "at" and "car:move moves the person" or nil)
    end
  end
end

--- Completes a person that was read.
function posture.finish(ctx, owner, node, from)
  if ctx.partial then return check_change(ctx, owner, from) end
  if from.hip == nil then
    local stray = first_of(from)
    if stray then wrong(ctx, owner, stray, "missing", "needs hip, the point midway between the hip joints") end
    return
  end
  local fine = node.hip ~= nil and node.hip[1] ~= nil and node.hip[2] ~= nil and node.hip[3] ~= nil -- a point that lacks one was reported
  for _, name in ipairs{"at", "inertia", "shape"} do
    if from[name] ~= nil then
      fine = wrong(ctx, owner, name, "clash", "stands beside hip, from which it is worked out")
    end
  end
  for _, name in ipairs(needed) do
    if from[name] == nil then wrong(ctx, owner, name, "missing", "is missing, hip needs it") end
    fine = fine and node[name] ~= nil
  end
  for _, name in ipairs(optional) do fine = fine and (from[name] == nil or node[name] ~= nil) end
  if not fine then return end
  take_usual(ctx, owner, node)
  local body = posture.body(node, 1)
  local cg = posture.along(ctx.axes, body.cg)
  node.at = {node.hip[1] + cg[1], node.hip[2] + cg[2], node.hip[3] + cg[3]}
  node.at_sd = uncertainties(ctx, node)
  node.per_kg = tensor_along(ctx.axes, body.inertia)
end

return posture
