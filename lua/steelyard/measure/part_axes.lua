--- The axes of a part that was measured by itself, as its readings state them: {x = "back", y = "right", z = "up"}.

local directions = require "steelyard.file.directions"
local measurement = require "steelyard.measure.measurement"
local options = require "steelyard.reference.options"

local part_axes = {}

local letters = {"x", "y", "z"}
local opposite = {forward = "back", back = "forward", left = "right", right = "left", up = "down", down = "up"}

--- axes[i] = {index of the library's axis (x forward, y left, z up), sign, word} of the part's axis i; forward, left, up unless stated.
-- t: fields with `axes`; where: what an error calls them.
function part_axes.read(t, where)
  local said = t.axes == nil and {x = "forward", y = "left", z = "up"}
    or measurement.fields(t.axes, options.names("measuring", "part_axes"), where .. ", axes")
  local axes, taken = {}, {}
  for i, letter in ipairs(letters) do
    if said[letter] == nil then
      measurement.refuse(where, "axes." .. letter, "missing", "is missing: forward back left right up or down")
    end
    local unit = {directions.unit(said[letter])}
    for k = 1, 3 do
      if unit[k] ~= 0 then axes[i] = {index = k, sign = unit[k], word = said[letter]} end
    end
    if taken[axes[i].index] then measurement.refuse(where, "axes", "clash", "has two axes along one line") end
    taken[axes[i].index] = true
  end
  return axes
end

--- Which way a coordinate of axis i lies by its sign: "right" for 9 where y is right, "left" for -9.
function part_axes.way(axes, i, value)
  local word = axes[i].word
  return value >= 0 and word or opposite[word]
end

return part_axes
