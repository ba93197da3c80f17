--- How does it stand and ride: heights, rake, ground clearance, frequencies?
-- Step: set up
-- Usage: steelyard ride_height CAR [--state NAME] [--against NAME] [--lower MM | --front MM --rear MM] [--measured POINT=MM,POINT=MM]
--   [--downforce-front KG] [--downforce-rear KG]

local sy = require "steelyard"

local o = sy.options{
  about = "Where the body stands with what is aboard, its CG height, the ground clearance of the file's points, and its ride frequencies. "
    .. "--front and --rear lower it by the perches, --lower both ends alike; a negative value raises it.",
  usage = "ride_height CAR [--state NAME] [--against NAME] [--lower MM | --front MM --rear MM] [--measured POINT=MM,POINT=MM] "
    .. "[--downforce-front KG] [--downforce-rear KG]",
  prints = "result",
  examples = {'steelyard ride_height vehicles/twayblade.lua --state "two up" --against "race start"',
    'steelyard ride_height vehicles/twayblade.lua --state "race start" --front 10 --rear 15'},
  args = {{"car", "vehicle file"}},
  options = {
    state = {"NAME", "a load state of the file"}, against = {"NAME", "another load state: changes against it"},
    lower = {"MM", "body lower at both axles", number = true}, front = {"MM", "body lower at the front axle", number = true},
    rear = {"MM", "body lower at the rear axle", number = true},
    measured = {"POINT=MM,...", "height above the floor of two points of the file, as measured: their rake", list = true},
    downforce_front = {"KG", "downforce over the front axle", number = true},
    downforce_rear = {"KG", "downforce over the rear axle", number = true}},
  apart = {{"lower", "front"}, {"lower", "rear"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
if o.lower or o.front or o.rear then car = car:lower{front = o.front or o.lower or 0, rear = o.rear or o.lower or 0} end
sy.out(o, car:attitude{against = o.against, measured = require("steelyard.answers.springs").named_numbers(o.measured, "measured"),
  downforce = (o.downforce_front or o.downforce_rear) and {front = o.downforce_front or 0, rear = o.downforce_rear or 0} or nil})
