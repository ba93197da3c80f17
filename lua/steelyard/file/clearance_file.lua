--- Clearances in a vehicle file: the two that must not touch, and the way something leaves.

local core = require "steelyard.core"
local directions = require "steelyard.file.directions"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"

local readers, wrong = {}, entries.wrong
local clearance_file = {readers = readers}

local words = {"forward", "back", "left", "right", "up", "down"}
local length = {unit = "mm", above = 0, max = 1e5}

function readers.place(ctx, owner, key, value, options, out)
  if value == "ground" and key == "b" then
    out[key] = {ground = true}
  elseif type(value) == "string" then
    local place = {}
    entries.readers.name(ctx, owner, key, value, options, place)
    out[key] = {part = place[key]}
  elseif entries.table(ctx, owner, key, value) then
    local inside = problems.inside(owner, key)
    local place = entries.read(ctx, inside, "place", value)
    out[key] = place
    if place.part and place.wheel then wrong(ctx, inside, "wheel", "clash", "stands beside part, a place moves with one of them") end
    if place.wheel and not place.at then wrong(ctx, inside, "at", "missing", "is missing: a wheel has no shape of its own") end
    if place.to and not place.at then wrong(ctx, inside, "to", "missing", "has no at, the line begins there") end
    if not (place.at or place.part or place.wheel) then wrong(ctx, inside, nil, "missing", "has neither part nor at") end
  end
end

--- leaves = {up = 600}: the way of a on which it must be free, as forward, left, up in mm.
function readers.leaves(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value) then return end
  local inside, way, any = problems.inside(owner, key), {0, 0, 0}, false
  for word in next, value do
    if type(word) ~= "string" or not directions.shifts[word] then
      wrong(ctx, inside, word, "unknown", "is not a direction", entries.did_you_mean(type(word) == "string" and core.nearest(word, words)
        or nil) or "the directions are " .. table.concat(words, ", "))
    end
  end
  for _, word in ipairs(words) do
    local mm = value[word] ~= nil and entries.exact(ctx, inside, word, value[word], length)
    if mm then
      any = true
      for i = 1, 3 do way[i] = way[i] + mm * directions.shifts[word][i] end
    end
  end
  if any then out[key] = way end
end

return clearance_file
