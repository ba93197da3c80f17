-- Cars around a tank, for the tests of what is in it.

local sy = require "steelyard"

local tank_cars = {}

function tank_cars.car_of(parts, more)
  local fields = {title = "liquids", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = parts}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

--- A box of 30 litres of fuel, with other fields; false takes one out.
function tank_cars.fuel(fields)
  local tank = {shape = sy.box {420, 300, 320}, at = {1290, 40, 310}, density = 0.75, fill = 30}
  for key, value in pairs(fields or {}) do
    if value == false then tank[key] = nil else tank[key] = value end
  end
  return sy.tank "fuel" (tank)
end

return tank_cars
