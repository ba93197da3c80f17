--- Where does the mock-up go on the floor, and what do its trolleys carry?
-- Step: build
-- Usage: steelyard mockup CAR [--state NAME] [--trolleys MM,MM] [--tapes X,Y,X,Y] [--what PART]

local sy = require "steelyard"
local contents = require "steelyard.car.contents"

local o = sy.options{
  about = "Floor coordinates, heights and distances from two tape points for everything to chalk out, and the loads of two trolleys.",
  usage = "mockup CAR [--state NAME] [--trolleys MM,MM] [--tapes X,Y,X,Y] [--what PART]",
  prints = "result", plots = true,
  examples = {"steelyard mockup vehicles/twayblade.lua --trolleys -150,2600",
              "steelyard mockup vehicles/twayblade.lua --state mock-up --tapes 0,-1500,2400,-1500 --plot floor.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "load state; the file's mock-up unless given"}, what = {"PART", "only this part, group or tag"},
             trolleys = {"MM,MM", "places along the car, in the file's coordinate", number = true, list = true},
             tapes = {"X,Y,X,Y", "the two floor points; left of the car unless given", number = true, list = true},
             tape_sd = {"MM", "standard uncertainty of a tape", number = true, min = 0}},
}
local car = sy.load(o.car)
local state = o.state
for _, stated in ipairs(contents.inside(car).shared.spec.states or {}) do
  if stated.stand_ins then state = state or stated.name end
end
local tapes = o.tapes and {{o.tapes[1], o.tapes[2]}, {o.tapes[3], o.tapes[4]}}
sy.out(o, car:markout{state = state, trolleys = o.trolleys, tapes = tapes, tape_sd = o.tape_sd, what = o.what})
