--- How far must the perches be turned for a cross weight?
-- Step: set up
-- Usage: steelyard set_cross CAR PERCENT [--reading LF,RF,LR,RR] [--state NAME] [--hold WORDS] [--notch TURNS] [--front MM] [--rear MM]

local sy = require "steelyard"

local o = sy.options{
  about = "Turns of each spring perch for a cross weight (right front and left rear, percent of the total), rounded to the notch. With "
    .. "--reading they start from what scales read, and the loads that follow are what they read next, with and without the driver; "
    .. "without it from the springs as set for the file. --front and --rear set the heights of the body too, from the design heights.",
  usage = "set_cross CAR PERCENT [--reading LF,RF,LR,RR [--reading-state NAME]] [--state NAME] [--hold WORDS] [--notch TURNS] "
    .. "[--front MM] [--rear MM] [--roll DEG]",
  prints = "result", plots = true,
  examples = {'steelyard set_cross vehicles/twayblade.lua 50 --reading 134.1,133.0,206.6,199.2 --reading-state kerb',
    'steelyard set_cross vehicles/twayblade.lua 50 --state "two up" --front 0 --rear 0 --plot setup.svg'},
  args = {{"car", "vehicle file"}, {"percent", "cross weight wanted, percent", number = true, min = 0, max = 100, field = "cross_share"}},
  options = {
    reading = {"KG,KG,...", "what the scales read, left before right, front to rear; or a record of the file by its name"},
    reading_state = {"NAME", "load state in which they read it; without --state the cross weight is wanted there too",
                     field = "reading.state"},
    reading_front = {"MM", "height of the body measured at the front axle, up from the drawn one", number = true,
                     field = "reading.heights.front"},
    reading_rear = {"MM", "at the rear axle, likewise", number = true, field = "reading.heights.rear"},
    sd = {"KG", "standard uncertainty of one reading, 0.5 unless stated", number = true, min = 0},
    state = {"NAME", "a load state of the file"},
    hold = {"WORDS", "what stays", default = "heights",
            choices = {"heights", "front heights", "rear heights", "least turns", "all heights"}},
    notch = {"TURNS", "smallest step of a perch, 0 for any", number = true, min = 0, max = 10, default = 0.25},
    front = {"MM", "height at the front axle, up from the drawn one", number = true, field = "heights.front"},
    rear = {"MM", "height at the rear axle, likewise", number = true, field = "heights.rear"},
    roll = {"DEG", "roll of the body, left side up", number = true}},
}
local car = sy.load(o.car)
local read = require "steelyard.answers.perches.reading"
local state = o.state or o.reading_state or read.state_of(car, o.reading)
if state then car = car:state(state) end
local heights = (o.front or o.rear) and {front = o.front, rear = o.rear} or nil
local reading = read.typed(car, o)
local answer = car:perches{cross_share = o.percent, hold = o.hold, notch = o.notch, heights = heights, roll = o.roll, reading = reading}
sy.out(o, answer, answer.possible and "pass" or "fail")
