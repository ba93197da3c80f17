--- What does another driver change?
-- Step: lay out
-- Usage: steelyard driver_swap CAR [--driver NAME] [--for NAME | --masses KG,KG,...] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "The driver in the file beside another one: a spare person by name, or the same seat with other masses.",
  usage = "driver_swap CAR [--driver NAME] [--for NAME | --masses KG,KG,...] [--state NAME]",
  prints = "result", plots = true,
  examples = {"steelyard driver_swap vehicles/first_guess.lua --masses 60,100",
              'steelyard driver_swap vehicles/twayblade.lua --for "tall driver" --state "race start" --plot swap.svg'},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"}, driver = {"NAME", "whose seat it is", default = "driver"},
             ["for"] = {"NAME", "a spare to take the seat"},
             masses = {"KG,...", "other masses in the same seat", default = {60, 100}, number = true, list = true}},
  apart = {{"for", "masses"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local sitting = require("steelyard.answers.person").sitting(car, o.driver)
local cars = {car, show = {"mass", "front", "rear", "front_share", "left_share", "cg_behind", "cg_left", "height", "yaw_inertia"}}
if o["for"] then
  cars[2] = car:swap(sitting, o["for"])
else
  for _, mass in ipairs(o.masses) do cars[#cars + 1] = car:set(sitting, {mass = mass}) end
end
sy.out(o, sy.compare(cars))
