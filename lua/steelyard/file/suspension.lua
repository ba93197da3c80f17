--- What an axle says of springs whose rate at the wheel changes with travel, and of links that carry load past them: readers and checks.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local problems = require "steelyard.file.problems"
local sides = require "steelyard.file.sides"
local entries = require "steelyard.file.entries"
local text = require "steelyard.print.text"

local suspension = {readers = {}}
local readers, wrong = suspension.readers, entries.wrong

-- ---- motion_ratio -----------------------------------------------------------------------------------------------------------

local MOST_POINTS = 8 -- core/vehicle/ratio.h
local EXAMPLE = "as in motion_ratio = {{-60, 0.82}, {0, 0.80}, {60, 0.74}}: wheel travel in mm, and the ratio there"
local travel = {unit = "mm", min = -1e3, max = 1e3}

-- One number of a point; nil after a problem.
local function exact(ctx, owner, key, value, options, shown)
  local number, sd, message, hint = user_values.number(value, options.unit)
  if not number then return wrong(ctx, owner, key, sd, message, hint, shown) end
  local code, outside = user_values.outside(number, options, options.unit)
  if code then return wrong(ctx, owner, key, code, outside, nil, shown) end
  if not sd then return number end
  wrong(ctx, owner, key, "type", "has an uncertainty, which a point of a curve cannot state",
    "state it in spring_rate: 1 % of the ratios does at the wheel what 2 % of the spring's rate does", shown)
end

local function read_point(ctx, inside, i, value, options)
  local shown = problems.field_name(inside, i)
  if not user_values.is_plain(value) or #value ~= 2 or next(value, 2) ~= nil then
    return wrong(ctx, inside, i, "content", ("must be {travel, ratio}, is %s"):format(user_values.what(value)), EXAMPLE)
  end
  local own = problems.inside(inside, i)
  local at = exact(ctx, own, 1, value[1], travel, shown .. ", travel")
  local ratio = exact(ctx, own, 2, value[2], options, shown .. ", ratio")
  return at and ratio and {at, ratio}
end

--- A curve: core.read_fields takes what is one number.
function readers.ratio(ctx, owner, key, value, options, out)
  if type(value) == "string" and not core.number(value) then
    return wrong(ctx, owner, key, "type", ("must be a number or a curve, is %s"):format(user_values.what(value)), EXAMPLE)
  end
  if not user_values.is_plain(value) then return entries.number(ctx, owner, key, value, options) end
  local list, before = {}, #ctx.problems.list
  if #value < 2 or #value > MOST_POINTS then
    return wrong(ctx, owner, key, "range", ("has %s, a curve has 2 to %d"):format(text.count(#value, "point"), MOST_POINTS), EXAMPLE)
  end
  entries.list(ctx, owner, key, value, function(i, entry, inside) list[i] = read_point(ctx, inside, i, entry, options) end)
  if #ctx.problems.list > before then return end
  for i = 2, #list do
    if list[i][1] <= list[i - 1][1] then
      return wrong(ctx, problems.inside(owner, key), i, "geometry", ("is at %s mm of travel, after a point at %s mm"):format(
        text.plain(list[i][1]), text.plain(list[i - 1][1])), "points are listed from droop, which counts below 0, to bump")
    end
  end
  out[key] = list
end

--- The ratio at a wheel travel, mm, of a motion_ratio as it was read; beyond its points that of the nearest one.
function suspension.ratio_at(ratio, at)
  if type(ratio) ~= "table" then return ratio or 1 end
  if at <= ratio[1][1] then return ratio[1][2] end
  for i = 2, #ratio do
    local from, to = ratio[i - 1], ratio[i]
    if at <= to[1] then return from[2] + (to[2] - from[2]) * (at - from[1]) / (to[1] - from[1]) end
  end
  return ratio[#ratio][2]
end

--- The same as seen by a body that was set higher: design travels are `up` mm more bump away.
function suspension.shifted(entry, up)
  local stop, ratio = entry.bump_stop, entry.motion_ratio
  if stop then
    entry.bump_stop = {gap = stop.gap + up, rate = stop.rate, gap_sd = stop.gap_sd, rate_sd = stop.rate_sd}
  end
  if type(ratio) ~= "table" then return end
  entry.motion_ratio = {}
  for i, point in ipairs(ratio) do entry.motion_ratio[i] = {point[1] + up, point[2]} end
end

-- ---- links ------------------------------------------------------------------------------------------------------------------

local percent = {unit = "%", min = -100, max = 200}

--- Percent, or {angle = degrees}.
function readers.links(ctx, owner, key, value, _, out)
  if user_values.is_plain(value) then
    local before = #ctx.problems.list
    local said = entries.read(ctx, problems.inside(owner, key), "instant_centre", value)
    if #ctx.problems.list == before then out[key] = said end
    return
  end
  local number, sd = entries.number(ctx, owner, key, value, percent)
  out[key], out[key .. "_sd"] = number, number and sd or nil
end

local names = {"anti_dive", "anti_lift", "anti_squat"}

--- Does the axle have any of the fields that `check` looks at?
function suspension.needs_check(axle)
  return axle.bump_stop ~= nil or axle.anti_dive ~= nil or axle.anti_lift ~= nil or axle.anti_squat ~= nil
end

--- The fields of an axle against one another; i: which of `count` axles it is.
function suspension.check(ctx, owner, axle, i, count)
  local stop = axle.bump_stop
  for _, side in ipairs(stop and stop.gap and sides.of(axle) or {}) do
    local bump = sides.number(axle, side, "bump")
    if bump and stop.gap >= bump then
      wrong(ctx, problems.inside(owner, "bump_stop"), "gap", "range", ("is %s mm, but bump ends at %s mm: the stop would never be touched")
        :format(text.plain(stop.gap), text.plain(bump)))
      break
    end
  end
  for _, name in ipairs(names) do
    if axle[name] ~= nil and count ~= 2 then
      wrong(ctx, owner, name, "geometry", ("is known of vehicles with two axles, this one has %d"):format(count))
    end
  end
  if count ~= 2 then return end
  if i == 2 and axle.anti_dive ~= nil then
    wrong(ctx, owner, "anti_dive", "geometry", "belongs to the first axle", "what keeps the tail from rising under braking is anti_lift")
  elseif i == 1 and axle.anti_lift ~= nil then
    wrong(ctx, owner, "anti_lift", "geometry", "belongs to the last axle", "what keeps the nose from diving under braking is anti_dive")
  end
end

return suspension
