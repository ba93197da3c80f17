--- What if parts move or weigh more: "powertrain 50 back", "driver mass 96"?
-- Step: lay out
-- Usage: steelyard what_if CAR "CHANGE" ... [--state NAME] [--each]

local sy = require "steelyard"
local changed = require "steelyard.command.changed"

local o = sy.options{
  about = "Changes side by side with the car as booked. A change is one of: " .. changed.FORMS,
  usage = 'what_if CAR "CHANGE" ... [--state NAME] [--each]',
  prints = "result", plots = true,
  examples = {'steelyard what_if vehicles/first_guess.lua "powertrain 50 back"',
              'steelyard what_if vehicles/twayblade.lua "driver mass 96" "ballast 6 at splitter lip" '
                .. '--state "race start" --plot what_if.svg'},
  args = {{"car", "vehicle file"}, {"changes", "what changes, in words", many = true}},
  options = {state = {"NAME", "a load state of the file"}, each = {nil, "each change alone too"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local together, cars = car, {car}
for _, phrase in ipairs(o.changes) do
  together = changed.by(together, phrase)
  if o.each and #o.changes > 1 then cars[#cars + 1] = changed.by(car, phrase) end
end
cars[#cars + 1] = together
sy.out(o, sy.compare(cars))
