--- What the sides of an axle say, checked against one another and against the axle; and what a script sets of them.
--
-- After `check` an axle of which a side states a half_track has both, and `track` is their sum.

local entries = require "steelyard.file.entries"
local problems = require "steelyard.file.problems"
local sides = require "steelyard.file.sides"
local text = require "steelyard.print.text"

local side_checks = {}
local wrong = entries.wrong

local SAME = 1e-6 -- mm: what decimal fractions lose when they are added

local names = {"left", "right"}

local function mm(x) return text.plain(x) .. " mm" end

-- Does a side say something that was probably meant to be that field?
local function misspelt(ctx, axle, field)
  for _, name in ipairs(names) do
    local meant = axle[name] and ctx.misspelt[axle[name]]
    if meant and meant[field] then return true end
  end
  return false
end

-- The half track of the side that states none, when the other does.
local function rest_of_track(ctx, owner, axle, has, lacks)
  if not axle.track then
    if misspelt(ctx, axle, "half_track") then return end
    return wrong(ctx, owner, "track", "missing", ("is missing: only %s states its half_track"):format(has),
      ("state track, or half_track of %s too"):format(lacks))
  end
  local own, rest = axle[has].half_track, axle.track - axle[has].half_track
  if rest <= 0 then
    return wrong(ctx, problems.inside(owner, has), "half_track", "geometry", ("is %s of a track of %s: nothing is left for the %s wheel")
      :format(mm(own), mm(axle.track), lacks))
  end
  axle[lacks] = axle[lacks] or {}
  axle[lacks].half_track = rest
end

local function check_half_tracks(ctx, owner, axle)
  local left, right = axle.left and axle.left.half_track, axle.right and axle.right.half_track
  if left and right then
    if axle.track and math.abs(left + right - axle.track) > SAME then
      return wrong(ctx, owner, "track", "clash", ("is %s, but the half tracks make %s + %s = %s"):format(mm(axle.track), text.plain(left),
        text.plain(right), mm(left + right)), "leave track out, or correct one of the three")
    end
    axle.track = left + right
  elseif left then
    rest_of_track(ctx, owner, axle, "left", "right")
  elseif right then
    rest_of_track(ctx, owner, axle, "right", "left")
  end
end

-- The axle line runs between its wheels.
local function check_places(ctx, owner, axle)
  local left, right = sides.at(axle, 1), sides.at(axle, -1)
  if not (axle.at and left and right) then return end
  if axle.at < math.min(left, right) or axle.at > math.max(left, right) then
    wrong(ctx, owner, "at", "geometry", ("is %s, not between its wheels: left at %s, right at %s"):format(mm(axle.at), mm(left), mm(right)),
      "at of an axle is its line, which runs between its two wheels; at of a side is that wheel alone")
  end
end

--- Wheels of one side stand in the order of the axles too, where they are off their axle lines. sign: 1 where the file's coordinate counts
-- back.
function side_checks.order(ctx, owner, before, axle, sign)
  local function place(of, side) return sides.at(of, side) - sign * (of.moved or 0) end -- moved: mm forward
  for _, side in ipairs{1, -1} do
    local ahead, behind = place(before, side), place(axle, side)
    if sign * (behind - ahead) <= 0 then
      wrong(ctx, owner, "at", "geometry", ("its %s wheel, at %s, does not stand behind that of \"%s\" at %s"):format(sides.name(side),
        mm(behind), before.name, mm(ahead)))
    end
  end
end

local function check_missing(ctx, owner, axle, meant)
  local stated = axle.track or axle.left and axle.left.half_track or axle.right and axle.right.half_track
  if axle.wheels == 2 and not (stated or meant.track or misspelt(ctx, axle, "half_track")) then
    wrong(ctx, owner, "track", "missing", "is missing")
  end
  if sides.all_have(axle, "loaded_radius") or meant.loaded_radius or misspelt(ctx, axle, "loaded_radius") then return end
  local one = axle.left and axle.left.loaded_radius and "left" or axle.right and axle.right.loaded_radius and "right"
  wrong(ctx, owner, "loaded_radius", "missing", one and ("is missing: only %s states its own"):format(one) or "is missing")
end

--- What an axle says of its sides, when it does; problems go to ctx. Fills in the half track that follows from the others. meant: fields
-- that a misspelt one was probably to be, which are not called missing.
function side_checks.check(ctx, owner, axle, meant)
  check_missing(ctx, owner, axle, meant)
  if axle.wheels == 1 then
    for _, name in ipairs(names) do
      if axle[name] then
        wrong(ctx, owner, name, "geometry", "is a side of two wheels, this axle has one", "state its numbers for the axle")
      end
    end
    return
  end
  check_half_tracks(ctx, owner, axle)
  check_places(ctx, owner, axle)
end

-- ---- what a script sets ---------------------------------------------------------------------------------------------------

local function copy(t)
  local new = {}
  for key, value in pairs(t) do new[key] = value end
  return new
end

-- "A plain number keeps the old standard uncertainty": for both wheels the axle's, or the larger of those that its sides stated.
local function old_sd(axle, field)
  local sd = axle[field] ~= nil and axle[field .. "_sd"] or nil
  for _, name in ipairs(names) do
    local own = axle[name]
    if own and own[field] ~= nil and own[field .. "_sd"] then sd = math.max(sd or 0, own[field .. "_sd"]) end
  end
  return sd
end

-- A number set for the axle is of both wheels.
local function set_both(axle, field, value, sd)
  axle[field .. "_sd"] = sd or old_sd(axle, field)
  axle[field] = value
  for _, name in ipairs(names) do
    if axle[name] then axle[name][field], axle[name][field .. "_sd"] = nil, nil end
  end
end

-- A wider track moves both wheels out alike.
local function set_track(axle, track)
  local by = (track - axle.track) / 2
  for _, name in ipairs(names) do
    if axle[name] and axle[name].half_track then axle[name].half_track = axle[name].half_track + by end
  end
end

local function set_side(axle, name, said)
  local side = name == "left" and 1 or -1
  axle[name] = axle[name] or {}
  for _, key in ipairs{"half_track", "at", table.unpack(sides.fields)} do
    local value = said[key]
    if value ~= nil then
      local _, sd = sides.number(axle, side, key)
      axle[name][key], axle[name][key .. "_sd"] = value, said[key .. "_sd"] or sd
    end
  end
end

local of_each = {}
for _, field in ipairs(sides.fields) do of_each[field] = true end

--- The axle with changes that a script gave, read and checked one by one; problems of all together go to ctx. What is set for the axle
-- is of both wheels, what is set for a side of that wheel alone; the other stays.
function side_checks.changed(ctx, owner, axle, changes)
  local new = copy(axle)
  for _, name in ipairs(names) do new[name] = axle[name] and copy(axle[name]) end
  if changes.track and new.track then set_track(new, changes.track) end
  for key, value in pairs(changes) do
    if key ~= "left" and key ~= "right" and not of_each[key:match "^(.*)_sd$"] then new[key] = value end
  end
  for _, field in ipairs(sides.fields) do
    if changes[field] ~= nil then set_both(new, field, changes[field], changes[field .. "_sd"]) end
  end
  local places = (changes.left or {}).half_track or (changes.right or {}).half_track
  if places then
    for _, name in ipairs(names) do
      new[name] = new[name] or {}
      new[name].half_track = new[name].half_track or new.track and new.track / 2
    end
    if changes.track then new.left.half_track, new.right.half_track = nil, nil end -- then the rest follows, as in a file
    new.track = changes.track
  end
  for _, name in ipairs(names) do
    if changes[name] then set_side(new, name, changes[name]) end
  end
  if new.left or new.right then side_checks.check(ctx, owner, new, {}) end
  return new
end

return side_checks
