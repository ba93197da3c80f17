--- Does everything clear: as drawn, at bump and droop, steered, rocking?
-- Step: lay out
-- Usage: steelyard clearance CAR [--at design,bump,...] [--steer DEG] [--all] [--gap MM] [--move PART] [--back MM] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "Each clearance of the file against the gap it asks for. A moved part takes its shape along. In a load state the car stands on "
    .. "its springs as ride_height says, where the file states them; at bump the body comes down on wheels that stay on the road.",
  usage = "clearance CAR [--at design,bump,...] [--steer DEG] [--move PART] [--back MM] [--state NAME]",
  prints = "result", plots = true,
  examples = {"steelyard clearance vehicles/twayblade.lua --all --gap 5",
              "steelyard clearance vehicles/twayblade.lua --at design,bump --plot gaps.svg"},
  args = {{"car", "vehicle file"}},
  options = {at = {"NAME,...", 'design, "as loaded", bump, "front bump", "rear bump", droop, steer, rock; "as loaded" with --state, '
               .. "else design", list = true, words = true},
             all = {nil, "every two shapes that overlap, bolted ones left out"},
             gap = {"MM", "the same, and those nearer than that", number = true},
             steer = {"DEG", "steer angle, each way", number = true}, state = {"NAME", "a load state of the file"},
             move = {"PART", "what moves", default = "powertrain"}, back = {"MM", "how far, negative forward", number = true}},
  apart = {{"all", "at"}, {"all", "steer"}, {"gap", "at"}, {"gap", "steer"}},
}
if o.plot and (o.all or o.gap) then
  require("steelyard.core").fail{code = "usage", message = "--plot draws the clearances of the file: it does not go with --all and --gap"}
end
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
if o.back and o.back ~= 0 then car = car:move(o.move, o.back > 0 and {back = o.back} or {forward = -o.back}) end
if o.all or o.gap then return sy.out(o, car:overlaps{gap = o.gap}) end
local at = o.at or (o.state and require("steelyard.shop.clearances.poses").usual(car))
sy.out(o, car:clearances{at = at or "design", steer = o.steer})
