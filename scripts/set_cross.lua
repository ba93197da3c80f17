--- How far must the perches be turned for a cross weight?
-- Step: set up
-- Usage: steelyard set_cross CAR PERCENT [--state NAME] [--hold WORDS] [--notch TURNS] [--front MM] [--rear MM]

local sy = require "steelyard"

local o = sy.options{
  about = "Turns of each spring perch for a cross weight (right front and left rear, percent of the total), rounded to the notch, with "
    .. "the loads afterwards, also with nobody aboard. --front and --rear set the heights of the body too, from the design heights.",
  usage = "set_cross CAR PERCENT [--state NAME] [--hold WORDS] [--notch TURNS] [--front MM] [--rear MM]",
  prints = "result",
  examples = {'steelyard set_cross vehicles/twayblade.lua 51.5 --state "race start"',
    'steelyard set_cross vehicles/twayblade.lua 50 --state "two up" --front 0 --rear 0'},
  args = {{"car", "vehicle file"}, {"percent", "cross weight wanted, percent", number = true, min = 0, max = 100, field = "cross_share"}},
  options = {
    state = {"NAME", "a load state of the file"},
    hold = {"WORDS", "what stays", default = "heights",
            choices = {"heights", "front heights", "rear heights", "least turns", "all heights"}},
    notch = {"TURNS", "smallest step of a perch, 0 for any", number = true, min = 0, max = 10, default = 0.25},
    front = {"MM", "height at the front axle, up from the drawn one", number = true, field = "heights.front"},
    rear = {"MM", "height at the rear axle, likewise", number = true, field = "heights.rear"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local heights = (o.front or o.rear) and {front = o.front, rear = o.rear} or nil
local answer = car:perches{cross_share = o.percent, hold = o.hold, notch = o.notch, heights = heights}
sy.out(o, answer, answer.possible and "pass" or "fail")
