--- Where a car has what sy.seek varies: the value of an input as the car is, or nil where it says none.
--
-- Only which of several places is taken for nearest to the car rests on it.

local contents = require "steelyard.car.contents"
local liquids = require "steelyard.car.liquids"
local springs = require "steelyard.answers.springs"

local now = {}

local function under(t, path)
  for _, key in ipairs(path) do
    if type(t) ~= "table" then return nil end
    t = rawget(t, key)
  end
  return type(t) == "number" and t or nil
end

local kinds = {}

-- A way from where it is.
function kinds.move() return 0 end
kinds.turn = kinds.move

function kinds.fill(car, input) return (liquids.litres(car, type(input.what) == "table" and input.what[1] or input.what)) end

local of_vehicle = {
  torsion = function(c) return c.shared.spec.chassis and c.shared.spec.chassis.torsion end,
  cross_share = function(c) return c.shared.spec.cross_share or 50 end,
  ["lowered.front"] = function(c) return -springs.heights_set(c).front end,
  ["lowered.rear"] = function(c) return -springs.heights_set(c).rear end,
}

function kinds.field(car, input)
  local c = contents.inside(car)
  if not input.found then return of_vehicle[input.way] and of_vehicle[input.way](c) end
  if input.found.axle then return under(c.axles[input.found.axle], input.field.path) end
  if #input.field.path > 1 then return nil end -- places and their like are kept another way
  return under(c.shared.nodes[c.base:item(input.found.routes[1]).number], input.field.path)
end

function kinds.setting(_, input, settings)
  local whole, key = input.name:match "^([^.]+)%.?(.*)$"
  local value = settings[whole]
  if key ~= "" then value = type(value) == "table" and value[key] or nil end
  return type(value) == "number" and value or value == nil and 0 or nil
end

--- See above. settings: those that the car is asked with.
function now.value(car, input, settings)
  local find = kinds[input.kind]
  return find and find(car, input, settings) or nil
end

return now
