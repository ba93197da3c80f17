--- Which positions keep 41 to 43 % on the front for every driver and fuel load?
-- Step: lay out
-- Usage: steelyard window CAR [--move PART] [--back FROM,TO,N] [--front FROM,TO] [--driver FROM,TO,N] [--fuel FROM,TO,N] [--state NAME]

local sy = require "steelyard"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local resolve = require "steelyard.car.resolve"

local o = sy.options{
  about = "One line for each position of a part or group; of all drivers and fuel loads the worst counts.",
  usage = "window CAR [--move PART] [--back FROM,TO,N] [--front FROM,TO] [--driver FROM,TO,N] [--fuel FROM,TO,N] [--state NAME]",
  examples = {'steelyard window vehicles/first_guess.lua --state "race start"',
              "steelyard window vehicles/sedge.lua --move engine --back -40,40,5 --fuel 5,25,2 --front 42,46 --plot window.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"}, move = {"PART", "what moves, the powertrain unless stated"},
             back = {"FROM,TO,N", "positions in mm, negative forward", default = {-50, 75, 6}, number = true, list = true, count = 3},
             front = {"FROM,TO", "the window, % on the front", default = {41, 43}, number = true, list = true, count = 2},
             driver = {"FROM,TO,N", "mass of the driver, kg", default = {60, 100, 3}, number = true, list = true, count = 3},
             fuel = {"FROM,TO,N", "litres in the tank", default = {5, 40, 2}, number = true, list = true, count = 3}},
  study = true, plots = true,
}
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
local what, why = resolve.asked_or_usual(contents.inside(car), o.move, "powertrain", "move")
if not what then core.fail{code = "missing", message = why} end
local vary, fold = {sy.vary(what, "back", table.unpack(o.back))}, {}
for _, item in ipairs{{"driver", "mass"}, {"fuel", "fill"}} do -- not every file has both
  if resolve.has(contents.inside(car), item[1]) then
    vary[#vary + 1], fold[#fold + 1] = sy.vary(item[1], item[2], table.unpack(o[item[1]])), item[1]
  end
end
sy.out(o, sy.study{car, vary = vary, show = {"front_share", "height", "yaw_inertia"}, limits = {front_share = o.front},
                   worst_over = fold[1] and fold, to = o.to, replace = o.replace, shard = o.shard, threads = o.threads,
                   quiet = o.quiet})
