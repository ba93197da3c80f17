--- At what angle does the first wheel lift, and when does the car tip?
-- Step: prove
-- Usage: steelyard tilt_table CAR [--required DEG] [--mu N] [--braking G | --drive G] [--brake-front PERCENT] [--drive-front PERCENT]
--   [--downforce-front KG] [--downforce-rear KG] [--bars WORD] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "Wheel lift-off on a tilt table, rigid and on springs, against a required angle; tip lines in cornering with braking or drive; "
    .. "grades; traction by driven axle; the ideal brake split, and where a fixed one locks the rear first. Exit code 4 when a wheel "
    .. "lifts before the required angle.",
  usage = "tilt_table CAR [--required DEG] [--mu N] [--braking G | --drive G] [--brake-front PERCENT] [--drive-front PERCENT] "
    .. "[--downforce-front KG] [--downforce-rear KG] [--bars WORD] [--state NAME]",
  prints = "result", plots = true,
  examples = {'steelyard tilt_table vehicles/twayblade.lua --state "two up" --brake-front 58',
    'steelyard tilt_table vehicles/burnet.lua --state "driver only" --required 35 --braking 0.4 --plot tilt.svg'},
  args = {{"car", "vehicle file"}},
  options = {
    required = {"DEG", "angle that every wheel must stay down to", number = true, default = 60},
    mu = {"N", "friction coefficient of the tyres", number = true, default = 1},
    braking = {"G", "deceleration beside the turn", number = true}, drive = {"G", "acceleration beside the turn", number = true},
    drive_front = {"PERCENT", "front share of the drive, of a car that splits it in a fixed ratio", number = true,
                   field = "drive_front_share"},
    brake_front = {"PERCENT", "front share of the brakes", number = true, field = "brake_front_share"},
    downforce_front = {"KG", "downforce over the front axle, for turns, traction and brakes", number = true},
    downforce_rear = {"KG", "the same over the rear axle", number = true},
    bars = {"WORD", "anti-roll bars", choices = {"off", "connected"}, default = "connected"},
    state = {"NAME", "a load state of the file"}},
  apart = {{"braking", "drive"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
sy.out(o, car:stability{required = o.required, mu = o.mu, braking = o.braking, drive = o.drive, brake_front_share = o.brake_front,
  drive_front_share = o.drive_front, bars = o.bars,
  downforce = (o.downforce_front or o.downforce_rear) and {front = o.downforce_front or 0, rear = o.downforce_rear or 0} or nil})
