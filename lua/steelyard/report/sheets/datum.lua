--- Somebody else's datum: places of a car along axes of his own from a zero of his own. Unless stated both are those of the file.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local named_places = require "steelyard.car.named_places"
local text = require "steelyard.print.text"

local datum = {}

-- Component of {forward, left, up} and its sign.
local ways = {forward = {1, 1}, back = {1, -1}, left = {2, 1}, right = {2, -1}, up = {3, 1}, down = {3, -1}}
local WAYS = {"forward", "back", "left", "right", "up", "down"}
local letters = {"x", "y", "z"}

local function refuse(code, message, hint) core.fail{code = code, field = "axes", message = message, hint = hint} end

local function axes_of(c, given)
  if given == nil then
    local axes = c.shared.spec.axes
    return {axes.x, axes.y, axes.z}
  end
  if type(given) ~= "table" or #given ~= 3 then
    refuse("content", "are three words: the ways that x, y and z run", "as in forward,left,up")
  end
  local taken = {}
  for _, word in ipairs(given) do
    local way = ways[word]
    if not way then
      local near = type(word) == "string" and core.nearest(word, WAYS)
      refuse("unknown", ("there is no way %s"):format(text.named(word)), near and ("did you mean %q?"):format(near)
        or text.join(WAYS, "or"))
    end
    if taken[way[1]] then refuse("clash", ("%s and %s run along one line"):format(taken[way[1]], word)) end
    taken[way[1]] = word
  end
  return given
end

--- {axes = {x, y, z words}, zero = {forward, left, up}, name = of the zero}. at: a named point or {x, y, z} of the file; nil for the file's
-- zero.
function datum.of(car, at, axes)
  local c = contents.inside(car)
  local spot = at ~= nil and named_places.find(c, at, "datum") or nil
  return {axes = axes_of(c, axes), zero = spot and spot.at or {c.geometry:point_in(0, 0, 0)}, name = spot and spot.name}
end

--- {forward, left, up} in the file's frame of work -> {x, y, z} from his datum.
function datum.place(d, p)
  local out = {}
  for i = 1, 3 do
    local way = ways[d.axes[i]]
    out[letters[i]] = way[2] * (p[way[1]] - d.zero[way[1]]) + 0.0
  end
  return out
end

--- Uncertainties {forward, left, up} -> {x, y, z}.
function datum.spread(d, sd)
  local out = {}
  for i = 1, 3 do out[letters[i]] = sd[ways[d.axes[i]][1]] end
  return out
end

--- "x back, y right, z up from the file's own zero"
function datum.words(d)
  local list = {}
  for i = 1, 3 do list[i] = letters[i] .. " " .. d.axes[i] end
  return ("%s, from %s"):format(table.concat(list, ", "), d.name and "the point " .. d.name or "the file's own zero")
end

return datum
