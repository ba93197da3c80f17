--- Of an axle whose wheels differ: where it stands and what radius it has as a whole, each wheel counted by the load that it carries as
-- booked. Moments of the axle's load are then those of its two wheels.

local core = require "steelyard.core"
local sides = require "steelyard.file.sides"

local axle_means = {}

-- The part of an axle's load that each of its wheels carries, by side; halves where one carries none.
local function shares_of(c, index)
  local keys, at = {}, {}
  for _, wheel in ipairs(c.geometry:wheels()) do
    if wheel.axle == index then keys[#keys + 1], at[#at + 1] = wheel.key, wheel.side end
  end
  local loads = core.answers(c.now, c.geometry, keys)
  if #keys == 1 or not (loads[1] > 0 and loads[2] > 0) then return {[1] = 0.5, [-1] = 0.5} end
  return {[at[1]] = loads[1] / (loads[1] + loads[2]), [at[2]] = loads[2] / (loads[1] + loads[2])}
end

--- A number of an axle's wheels ("at" counts in the file's coordinate): value and standard uncertainty or nil. Where the axle has one
-- statement for both, that one.
function axle_means.number(c, index, field)
  local axle = c.axles[index]
  local value, sd = sides.mean(axle, field)
  if sides.alike(axle, {field}) then return value, sd end
  local share, variance = shares_of(c, index), 0
  value = 0
  for _, side in ipairs{1, -1} do
    local own, own_sd = sides.number(axle, side, field)
    value, variance = value + share[side] * own, variance + (share[side] * (own_sd or 0)) ^ 2
  end
  return value, variance > 0 and math.sqrt(variance) or nil
end

--- Where an axle's load acts, mm forward, and the standard uncertainty of that place or nil.
function axle_means.forward(c, index)
  local line, axle = c.geometry:axle_lines()[index], c.axles[index]
  local at, sd = axle_means.number(c, index, "at")
  if at == axle.at then return line, sd end
  local way = c.axles[#c.axles].at > c.axles[1].at and -1 or 1 -- of the file's coordinate, forward
  return line + way * (at - axle.at), sd
end

return axle_means
