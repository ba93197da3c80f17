--- Liquids that move when a car is tilted: their centroids as stated, level and at some tilts, or as a function of the tilt.

local measurement = require "steelyard.measure.measurement"
local options = require "steelyard.reference.options"
local text = require "steelyard.print.text"

local liquids = {}
local refuse, number = measurement.refuse, measurement.number

-- Where a liquid's centroid stands at a tilt (degrees, nose up): between the stated ones, straight.
local function centroid_at(list, tilt)
  for i = 2, #list do
    local a, b = list[i - 1], list[i]
    if tilt >= a.tilt and tilt <= b.tilt then
      local share = (tilt - a.tilt) / (b.tilt - a.tilt)
      return a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2])
    end
  end
end

local function read_tank(entry, where, read_point)
  local tank = measurement.fields(entry, options.names("lift", "lift_tank"), where)
  local mass = number(tank, "mass", "kg", {min = 0, max = 1e5, need = true}, where)
  if tank.centre ~= nil then
    if type(tank.centre) ~= "function" then
      refuse(where, "centre", "type", "must be a function of degrees nose up that gives back and height")
    end
    local back, height = tank.centre(0)
    return {mass = mass, level = {back, height}, centre = tank.centre, where = where, name = measurement.text(tank, "name", where)}
  end
  if tank.at == nil then refuse(where, "at", "missing", "is missing: the level liquid's centre, as in at = {back = 1290, height = 310}") end
  local level = read_point(tank, "at", where)
  level.tilt = 0
  local list = {level}
  for i, tilted in ipairs(measurement.list(tank, "tilted", where) or {}) do
    local here = ("%s, tilted %d"):format(where, i)
    local one = measurement.fields(tilted, options.names("lift", "tilted_place"), here)
    local up = number(one, "nose_up", "deg", {above = 0, max = 89}, here)
    local down = number(one, "nose_down", "deg", {above = 0, max = 89}, here)
    if (up == nil) == (down == nil) then refuse(here, "nose_up", "missing", "needs one of nose_up and nose_down") end
    local point = read_point({at = {back = one.back, forward = one.forward, height = one.height}}, "at", here)
    point.tilt = up or -down
    list[#list + 1] = point
  end
  table.sort(list, function(a, b) return a.tilt < b.tilt end)
  return {mass = mass, level = level, list = list, where = where, name = measurement.text(tank, "name", where)}
end

--- The tanks of a session; read_point as in measure/cg_height/read.lua.
function liquids.read(t, read_point)
  local tanks = {}
  if t.tanks == "full" or t.tanks == "empty" then return tanks end -- then nothing moves
  for i, entry in ipairs(measurement.list(t, "tanks", "CG height") or {}) do
    tanks[i] = read_tank(entry, ("tank %d"):format(i), read_point)
  end
  return tanks
end

--- Moment (kg m) by which liquids have moved at a tilt of so many degrees, nose up; core/measure/lift.h, sy_lift_liquid.
function liquids.shift(tanks, tilt, where)
  local sum, angle = 0, math.rad(tilt)
  for _, tank in ipairs(tanks) do
    local back, height
    if tank.centre then back, height = tank.centre(tilt) else back, height = centroid_at(tank.list, tilt) end
    if not back then
      refuse(tank.where, "tilted", "missing", ("says nothing about %s degrees nose %s, which %s needs"):format(
        text.fixed(math.abs(tilt), 1), tilt > 0 and "up" or "down", where), "fill the tank up or empty it, then nothing moves")
    end
    sum = sum + tank.mass * 1e-3 * (-(back - tank.level[1]) * math.cos(angle) - (height - tank.level[2]) * math.sin(angle))
  end
  return sum
end

return liquids
