--- Shafts in a vehicle file: joints, the paths of wheels, and what no shaft can be.

local user_values = require "steelyard.file.user_values"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"

local readers, wrong = {}, entries.wrong
local shaft_file = {readers = readers}

local SHORTEST = 1 -- mm, as core/shop/driveline.h

function readers.joint(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value) then return end
  local inside = problems.inside(owner, key)
  local joint = entries.read(ctx, inside, "joint", value)
  out[key] = joint
  if joint.part and joint.wheel then
    wrong(ctx, inside, "wheel", "clash", "stands beside part, a joint moves with one of them")
  end
  if key == "inner" then
    for _, field in ipairs{"wheel", "pivot", "path", "steer"} do
      if value[field] ~= nil then
        wrong(ctx, inside, field, "clash", "belongs to the outer joint", "inner is the joint that stays with the body")
      end
    end
  end
  if joint.pivot and joint.path then
    wrong(ctx, inside, "path", "clash", "stands beside pivot, the joint moves along one of them")
  elseif joint.hinge and not joint.pivot then
    wrong(ctx, inside, "hinge", "missing", "has no pivot", "the arc is about the line through pivot along hinge")
  end
end

local place = {unit = "mm"}

-- One line of a path: {travel, x, y, z} in mm.
local function read_line(ctx, inside, i, line)
  if not user_values.is_plain(line) or #line ~= 4 then
    return wrong(ctx, inside, i, "content", "must be {travel, x, y, z}, four numbers in mm")
  end
  local own, read = problems.inside(inside, i), {}
  for k = 1, 4 do read[k] = entries.exact(ctx, own, k, line[k], place) end
  return #read == 4 and read or nil
end

--- path = {{-60, x, y, z}, {0, x, y, z}, {60, x, y, z}}: the joint's centre by wheel travel.
function readers.path(ctx, owner, key, value, _, out)
  local path, inside = {}, problems.inside(owner, key)
  entries.list(ctx, owner, key, value, function(i, line) path[#path + 1] = read_line(ctx, inside, i, line) end)
  if not user_values.is_plain(value) or #path ~= #value then return end
  if #path < 2 then return wrong(ctx, owner, key, "content", "needs two points or more") end
  for i = 2, #path do
    if path[i][1] <= path[i - 1][1] then
      return wrong(ctx, inside, i, "content", "is not above the line before it", "lines go from droop, negative, to bump")
    end
  end
  if path[1][1] > 0 or path[#path][1] < 0 then
    return wrong(ctx, owner, key, "content", "does not reach the ride height, travel 0")
  end
  out[key] = path
end

-- Cosine of the angle between the shaft and an axis.
local function along(line, length, axis)
  local dot, size = 0, 0
  for i = 1, 3 do dot, size = dot + line[i] * axis[i], size + axis[i] ^ 2 end
  return math.abs(dot) / (length * math.sqrt(size))
end

--- The axis of a joint as drawn, in file directions.
function shaft_file.axis(ctx, shaft, joint)
  if joint.axis or shaft.axis then return joint.axis or shaft.axis end
  local axis = {0, 0, 0}
  axis[ctx.index[shaft.outer.wheel and "across" or "fore_aft"]] = 1
  return axis
end

local ROUNDING = 1e-12 -- of a cosine: far above what doubles lose, far below any angle that is meant

--- A shaft as a whole: joints apart from one another and not across it.
function shaft_file.check(ctx, owner, shaft)
  local inner, outer = shaft.inner, shaft.outer
  if not (inner and outer and inner.at and outer.at and #inner.at == 3 and #outer.at == 3) then return end
  local line, length = {}, 0
  for i = 1, 3 do
    line[i] = outer.at[i] - inner.at[i]
    length = length + line[i] ^ 2
  end
  length = math.sqrt(length)
  if length < SHORTEST then
    return wrong(ctx, problems.inside(owner, "outer"), "at", "geometry", "lies where the inner joint is: there is no shaft between them")
  end
  for _, name in ipairs{"inner", "outer"} do
    local joint = shaft[name]
    if along(line, length, shaft_file.axis(ctx, shaft, joint)) <= ROUNDING then
      local given = joint.axis and problems.inside(owner, name) or owner
      wrong(ctx, given, "axis", "geometry", ("stands at 90 degrees to the shaft at the %s joint: no joint turns there"):format(name),
        not (joint.axis or shaft.axis) and ("unless given it is %s"):format(shaft.outer.wheel and "across the car" or "fore-aft"))
    end
  end
  if shaft.phase and shaft.joint ~= "cardan" then
    wrong(ctx, owner, "phase", "clash", "is of cardan joints, constant-velocity joints have none")
  end
end

return shaft_file
