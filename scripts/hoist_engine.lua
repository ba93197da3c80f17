--- How will the engine hang on the hoist, and what does each leg carry?
-- Step: build
-- Usage: steelyard hoist_engine CAR POINT ... [--what PART] [--legs MM,MM,...] [--hook X,Y,Z] [--boom MM=KG,...] [--reach MM]

local sy = require "steelyard"
local core = require "steelyard.core"
local named_places = require "steelyard.car.named_places"

local o = sy.options{
  about = "Up to four lifting points, each a name from the file or X,Y,Z in its axes. Without --legs or --hook: the leg lengths that hang "
    .. "it as drawn.",
  usage = "hoist_engine CAR POINT ... [--what PART] [--legs MM,MM,...] [--hook X,Y,Z] [--boom MM=KG,...] [--reach MM]",
  prints = "result", plots = true,
  examples = {'steelyard hoist_engine vehicles/twayblade.lua "lifting eye, front" "lifting eye, rear"',
              "steelyard hoist_engine vehicles/twayblade.lua 1605,-55,565 1955,70,590 --legs 420,380 --plot rigging.svg"},
  args = {{"car", "vehicle file"}, {"points", "where the legs hold on", many = true}},
  options = {state = {"NAME", "a load state of the file"}, what = {"PART", "what is lifted", default = "engine"},
             legs = {"MM,...", "lengths, one for each point", number = true, list = true},
             hook = {"X,Y,Z", "where the hook is, instead of lengths", number = true, list = true},
             boom = {"MM=KG,...", "ratings by reach, as stamped on the boom", list = true}, reach = {"MM", "reach of the boom",
               number = true, min = 0},
             tackle = {"KG", "tackle and leveller on the boom", number = true, min = 0},
             hang = {"DEG", "nose down when fitted, negative nose up", number = true}},
  apart = {{"legs", "hook"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local points = {}
for i, word in ipairs(o.points) do points[i] = named_places.word(word) end
local boom
for i, word in ipairs(o.boom or {}) do
  local reach, kg = word:match "^(.-)=(.*)$"
  boom = boom or {}
  boom[i] = {reach and core.number(reach) or word, kg and core.number(kg)}
end
local hang = o.hang and (o.hang < 0 and {nose_up = -o.hang} or {nose_down = o.hang})
sy.out(o, car:hoist(o.what, {points = points, legs = o.legs, hook = o.hook, boom = boom, reach = o.reach, tackle = o.tackle, hang = hang}))
