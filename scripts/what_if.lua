--- What if something moves: "powertrain 50 back", "driver 20 forward"?
-- Step: lay out
-- Usage: steelyard what_if CAR "PART MM DIRECTION" ... [--state NAME] [--each]

local sy = require "steelyard"
local directions = require "steelyard.file.directions"

local o = sy.options{
  about = "Changes side by side with the car as booked. Directions: forward back left right up down out (mm), nose_up nose_down left_up "
    .. "right_up nose_left nose_right (degrees).",
  usage = 'what_if CAR "PART MM DIRECTION" ... [--state NAME] [--each]',
  prints = "result",
  examples = {'steelyard what_if vehicles/first_guess.lua "powertrain 50 back"',
              'steelyard what_if vehicles/first_guess.lua "transaxle 30 down" "driver 20 forward" --state "race start"'},
  args = {{"car", "vehicle file"}, {"changes", "what moves, how far and where to", many = true}},
  options = {state = {"NAME", "a load state of the file"}, each = {nil, "each change alone too"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local together, cars = car, {car}
for _, phrase in ipairs(o.changes) do
  local part, way = directions.parse(phrase)
  together = together:move(part, way)
  if o.each and #o.changes > 1 then cars[#cars + 1] = car:move(part, way) end
end
cars[#cars + 1] = together
sy.out(o, sy.compare(cars))
