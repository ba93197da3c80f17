--- What will the scales read: corner loads on the springs, ride heights?
-- Step: set up
-- Usage: steelyard predict_corners CAR [--state NAME] [--pads WHEEL=MM,...] [--perches WHEEL=TURNS,...] [--bars connected]
--                                     [--slope WAY=DEG,...]

local sy = require "steelyard"
local springs = require "steelyard.answers.springs"

local o = sy.options{
  about = "Corner loads of a car on its springs, changes of height from its design state, and the effect of one turn of each perch and of "
    .. "one millimetre under each pad. --pads are heights above level, --perches turns up from where they stand.",
  usage = "predict_corners CAR [--state NAME] [--pads WHEEL=MM,...] [--perches WHEEL=TURNS,...] [--bars WORD] [--slope WAY=DEG,...]",
  prints = "result", plots = true,
  examples = {'steelyard predict_corners vehicles/twayblade.lua --state "two up"',
    'steelyard predict_corners vehicles/twayblade.lua --state "race start" --pads lf=2 --perches rr=-0.5,lf=0.5 --plot corners.svg'},
  args = {{"car", "vehicle file"}},
  options = {
    state = {"NAME", "a load state of the file"}, pads = {"WHEEL=MM,...", "pads higher than the rest, lower with -", list = true},
    perches = {"WHEEL=TURNS,...", "perches turned up, down with -", list = true},
    slope = {"WAY=DEG,...", "the ground slopes: nose_up, nose_down, left_up, right_up", list = true, words = true},
    bars = {"WORD", "anti-roll bars", choices = {"off", "connected"}, default = "off"}},
}
local pads, perches = springs.pairs_of(o.pads, "pads"), springs.pairs_of(o.perches, "perches")
local slope = springs.pairs_of(o.slope, "slope")
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
sy.out(o, car:corners{pads = pads, perches = perches, bars = o.bars, slope = slope})
