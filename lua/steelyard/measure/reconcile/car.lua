--- The car as the scales leave it: a ledger to go on with, whose lines are corrected and remembered together (measure/as_built.lua).

local as_built = require "steelyard.measure.as_built"
local contents = require "steelyard.car.contents"
local measurement = require "steelyard.measure.measurement"

local reconcile_car = {}

-- What was given to car:reconcile, as a record.
local function record_of(car, given)
  local loads, covariance, n = {}, {}, #given.keys
  for i, key in ipairs(given.keys) do
    loads[key], covariance[i] = given.supports[i].load, {}
    for j = 1, n do
      covariance[i][j] = given.covariance and given.covariance[(i - 1) * n + j] or i == j and given.supports[i].sd ^ 2 or 0
    end
  end
  return {name = "the scales", kind = given.lateral and "corners" or "axles", car = car, keys = given.keys, loads = loads,
          covariance = covariance, height = given.height, height_sd = given.height_sd}
end

--- The corrected car.
function reconcile_car.of(c, car, given)
  if c.state and c.state.stand_ins then
    measurement.refuse("reconcile", "correct", "clash", "is asked of a state with stand-ins, whose masses the file states for themselves",
      "choose a state of the car itself")
  end
  local heading = car:heading()
  return contents.retold(as_built.of(car, {record_of(car, given)}), c, "reconciled"):named(heading .. ", reconciled")
end

return reconcile_car
