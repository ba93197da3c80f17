--- How a vehicle file measures and what it stands on: the readers of `axes` and `axles`.

local user_values = require "steelyard.file.user_values"
local most = require "steelyard.file.most"
local placing = require "steelyard.file.placing"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"

local readers, wrong = entries.readers, entries.wrong

local axles = {DEFAULT_AXES = {x = "back", y = "right", z = "up"}}

-- What the first axle of a trailer is called when it is its coupling.
local COUPLINGS = {nose = true, coupling = true, hitch = true}

--- Are these the axles of a trailer, the first one its coupling?
function axles.is_trailer(list) return list[1].wheels == 1 and COUPLINGS[list[1].name] == true end

--- Does the file's coordinate along the car grow to the rear?
function axles.counts_back(ctx) return ctx.axes[ctx.letters.fore_aft] == "back" end

-- ---- axes -----------------------------------------------------------------------------------------------------------

local directions = {"forward", "back", "left", "right", "up", "down"}
local line_of = {forward = "fore_aft", back = "fore_aft", left = "across", right = "across", up = "upright",
                 down = "upright"}

--- Which letter runs along which line of the vehicle.
function axles.use_axes(ctx, axes)
  ctx.axes, ctx.letters, ctx.index = axes, {}, {}
  for i, letter in ipairs {"x", "y", "z"} do
    ctx.letters[line_of[axes[letter]]] = letter
    ctx.index[line_of[axes[letter]]] = i
  end
end

function readers.axes(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value) then return end
  local inside, axes, taken = problems.inside(owner, key), {}, {}
  for k in next, value do
    if k ~= "x" and k ~= "y" and k ~= "z" then
      wrong(ctx, inside, k, "unknown", "the axes are x, y and z")
    end
  end
  local before = #ctx.problems.list
  for _, letter in ipairs {"x", "y", "z"} do
    if value[letter] == nil then
      wrong(ctx, owner, key, "missing", ("has no %s"):format(letter))
    elseif line_of[value[letter]] then
      axes[letter] = value[letter]
    else
      readers.choice(ctx, inside, letter, value[letter], {words = directions})
    end
    local way = axes[letter]
    if way and taken[line_of[way]] then
      wrong(ctx, inside, letter, "clash", ("runs %s, along the same line as %s"):format(way, taken[line_of[way]]))
    elseif way then
      taken[line_of[way]] = letter
    end
  end
  if #ctx.problems.list > before then return end
  axles.use_axes(ctx, axes)
  if placing.determinant(placing.matrix(axes)) < 0 then
    ctx.notes[#ctx.notes + 1] = ("the axes of the file (x %s, y %s, z %s) are left-handed and were mapped by reflection, "
      .. "products of inertia too"):format(axes.x, axes.y, axes.z)
  end
  out[key] = axes
end

-- ---- axles ------------------------------------------------------------------------------------------------------------

function readers.wheels(ctx, owner, key, value, _, out)
  local count = ({one = 1, two = 2, [1] = 1, [2] = 2})[value]
  if not count then
    return wrong(ctx, owner, key, "type", ("must be \"two\" or \"one\", is %s"):format(user_values.what(value)))
  end
  out[key] = count
end

--- The keys of the wheels, axle by axle, left before right.
function axles.wheel_keys(list)
  local keys = {}
  for i, axle in ipairs(list) do
    local last = #list == 2 and (i == 1 and "f" or "r") or tostring(i)
    if axle.wheels == 1 then
      keys[#keys + 1] = #list == 2 and last or "c" .. last
    else
      keys[#keys + 1] = "l" .. last
      keys[#keys + 1] = "r" .. last
    end
  end
  return keys
end

--- Wheels by the other order of their letters; rr is rr in both.
axles.also_called = {fl = "lf", fr = "rf", rl = "lr"}

--- What `unsprung` and shafts may name: axles and wheels.
function axles.use_axles(ctx, list)
  ctx.axles, ctx.carriers, ctx.carrier_names, ctx.wheels = list, {}, {}, {}
  local keys, order = axles.wheel_keys(list), 0
  local function add(name, carrier)
    order = order + 1
    carrier.name, carrier.order = name, order
    ctx.carriers[name] = carrier
    ctx.carrier_names[#ctx.carrier_names + 1] = name
  end
  for i, axle in ipairs(list) do add(axle.name, {axle = i}) end
  local k = 0
  for i, axle in ipairs(list) do
    for wheel = 1, axle.wheels do
      k = k + 1
      ctx.wheels[keys[k]] = keys[k]
      local side = axle.wheels == 1 and 0 or wheel == 1 and 1 or -1
      if not ctx.carriers[keys[k]] then add(keys[k], {axle = i, side = side}) end
    end
  end
  for other, key in pairs(axles.also_called) do
    if ctx.wheels[key] then
      ctx.wheels[other] = key
      ctx.carriers[other] = ctx.carriers[other] or ctx.carriers[key]
    end
  end
  ctx.wheel_keys = keys
end

local function check_order(ctx, inside, list)
  local way = ctx.axes[ctx.letters.fore_aft]
  local sign = axles.counts_back(ctx) and 1 or -1
  for i = 2, #list do
    local before, axle = list[i - 1], list[i]
    local owner = problems.inside(inside, i, axle.name, "axle")
    if before.at and axle.at then
      local step = sign * (axle.at - before.at)
      if step == 0 then
        wrong(ctx, owner, "at", "geometry", ("is where \"%s\" is: the wheelbase is 0"):format(before.name))
      elseif step < 0 then
        wrong(ctx, owner, "at", "geometry", ("lies ahead of \"%s\""):format(before.name),
          ("the file's %s counts %s, axles are listed from the front"):format(ctx.letters.fore_aft, way))
      elseif before.left or before.right or axle.left or axle.right then
        require("steelyard.file.side_checks").order(ctx, owner, before, axle, sign)
      end
    end
  end
end

-- Uncertainties that answers make use of.
local used = {at_sd = true, track_sd = true, half_track_sd = true, bump_sd = true, droop_sd = true, spring_rate_sd = true,
              tyre_rate_sd = true, motion_ratio_sd = true, bar_rate_sd = true, roll_centre_sd = true, anti_dive_sd = true,
              anti_lift_sd = true, anti_squat_sd = true, tyre_lateral_rate_sd = true}

local function note_unused(ctx, said)
  for k, value in pairs(said) do
    if k == "left" or k == "right" then note_unused(ctx, value) elseif k:find "_sd$" and not used[k] then ctx.axle_uncertainties = true end
  end
end

local function check_axle(ctx, owner, axle, taken, meant)
  if axle.wheels == 1 and (axle.bar_rate or 0) > 0 then
    wrong(ctx, owner, "bar_rate", "geometry", "a bar joins two wheels, this axle has one")
  end
  if axle.left or axle.right then
    require("steelyard.file.side_checks").check(ctx, owner, axle, meant)
  else
    if axle.wheels == 2 and not axle.track and not meant.track then wrong(ctx, owner, "track", "missing", "is missing") end
    if not axle.loaded_radius and not meant.loaded_radius then wrong(ctx, owner, "loaded_radius", "missing", "is missing") end
  end
  if axle.name and taken[axle.name] then wrong(ctx, owner, "name", "clash", "the name is taken by another axle") end
  if axle.name then taken[axle.name] = true end
end

function readers.axles(ctx, owner, key, value, _, out)
  ctx.ground = out.ground or 0
  local list, taken, wheels, named = {}, {}, 0, true
  local count = user_values.is_plain(value) and #value or 2
  if count < 2 or count > most.axles then
    wrong(ctx, owner, key, "range", ("has %d, a vehicle has 2 to %d axles"):format(count, most.axles))
    if count > most.axles then
      out[key] = list
      return
    end
  end
  entries.list(ctx, owner, key, value, function(i, entry, inside)
    local name = user_values.is_plain(entry) and type(entry.name) == "string" and entry.name or nil
    local own = problems.inside(inside, i, name, name and "axle")
    if not user_values.is_plain(entry) then
      return wrong(ctx, own, nil, "type", ("must be a table { ... }, is %s"):format(user_values.what(entry)))
    end
    local axle, meant = entries.read(ctx, own, "axle", entry)
    list[#list + 1] = axle
    check_axle(ctx, own, axle, taken, meant)
    if axle.bump_stop or axle.anti_dive or axle.anti_lift or axle.anti_squat then
      require("steelyard.file.suspension").check(ctx, own, axle, i, count)
    end
    wheels, named = wheels + (axle.wheels or 2), named and axle.name ~= nil and axle.wheels ~= nil
  end)
  if count >= 2 and #list == count and wheels < 3 then
    wrong(ctx, owner, key, "geometry", "two wheels do not stand by themselves, three are needed")
  end
  if named and #list == count then
    check_order(ctx, problems.inside(owner, key), list)
    axles.use_axles(ctx, list)
  end
  for _, axle in ipairs(list) do
    note_unused(ctx, axle)
  end
  out[key] = list
end

function readers.wheel(ctx, owner, key, value, _, out)
  local wheel = ctx.wheels and ctx.wheels[value]
  if wheel then
    out[key] = wheel
  elseif ctx.wheels then
    wrong(ctx, owner, key, "unknown", ("must be a wheel of this file, is %s"):format(user_values.what(value)),
      "they are " .. table.concat(ctx.wheel_keys, ", "))
  end
end

return axles
