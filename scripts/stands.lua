--- Does the car stay on its stands when the engine comes out?
-- Step: build
-- Usage: steelyard stands CAR STAND ... [--without PART,PART,...] [--state NAME] [--nose WHERE] [--tail WHERE]

local sy = require "steelyard"
local named_places = require "steelyard.car.named_places"

local o = sy.options{
  about = "Three stands or more: names of points, wheels (lf, rr ...) that stay on the ground, or X,Y,Z. Parts named by --without come "
    .. "out one after the other, in that order.",
  usage = "stands CAR STAND ... [--without PART,PART,...] [--state NAME] [--nose WHERE] [--tail WHERE]",
  prints = "result", plots = true,
  examples = {'steelyard stands vehicles/twayblade.lua "front jack, left" "front jack, right" "rear jack, left" "rear jack, right" '
                .. "--without engine,transaxle,battery --state kerb",
              "steelyard stands vehicles/teasel.lua lf rf 1900,-300,150 1900,300,150 --state empty --plot stands.svg"},
  args = {{"car", "vehicle file"}, {"stands", "where it stands", many = true, field = "at"}},
  options = {state = {"NAME", "a load state of the file"}, without = {"PART,...", "what comes out, one after the other", list = true},
             nose = {"WHERE", "where somebody may pull in front, a name or X,Y,Z; the foremost point unless given"},
             tail = {"WHERE", "the same behind; the rearmost point unless given"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local at = {}
for i, word in ipairs(o.stands) do at[i] = named_places.word(word) end
sy.out(o, car:stands{at = at, without = o.without, nose = o.nose and named_places.word(o.nose),
                     tail = o.tail and named_places.word(o.tail)})
