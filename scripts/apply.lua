--- How do I write a change down: a vehicle file of the changed car?
-- Step: keep
-- Usage: steelyard apply CAR "CHANGE" ... --to NEW.lua [--replace]

local sy = require "steelyard"
local changed = require "steelyard.command.changed"
local contents = require "steelyard.car.contents"
local save = require "steelyard.car.save"
local out = require "steelyard.command.out"

local o = sy.options{
  about = "Writes the changed car as a vehicle file: the text of CAR with other numbers in it, its comments, order and units as they are. "
    .. "What comes out is read again and compared with the car before it is written. A change is one of: " .. changed.FORMS,
  usage = 'apply CAR "CHANGE" ... --to NEW.lua [--replace]',
  examples = {'steelyard apply vehicles/first_guess.lua "powertrain 50 back" --to first_guess_2.lua',
              'steelyard apply vehicles/twayblade.lua "driver 20 back" "ballast 6 at splitter lip" --to twayblade_2.lua --replace'},
  args = {{"car", "vehicle file"}, {"changes", "what changes, in words", many = true}},
  options = {to = {"FILE", "the vehicle file to write"},
             replace = {nil, "writes over a file that is there; it is first kept as history/NAME-n.lua beside it"}},
  needs = {{"to"}},
}
local car = sy.load(o.car)
for _, phrase in ipairs(o.changes) do car = changed.by(car, phrase) end
local inside = contents.inside(car)
local plan = save.plan(inside, o.to, {replace = o.replace})
for _, path in ipairs(plan.rewritten) do out.remark(o, ("%s: %s is written anew."):format(o.to, path)) end
sy.out(o, save.result(inside, car, plan, save.write(plan)))
