--- How each kind of result that has a picture is asked of a car: local recipes = dofile "tests/pictures/recipes.lua".
--
-- recipes[kind](car, place) -> result. place(forward, left, up) is a point in the car's axes from the front axle on the ground, to
-- a millimetre; place.of(word) the middle of what a name says. A car that lacks what is asked for raises, as for everybody. A kind
-- without a recipe is drawn from tests/lua/example_results.lua.

local trend = require "steelyard.answers.changes.trend"
local page = require "steelyard.print.page"
local sy = require "steelyard"

local recipes = {}

function recipes.balance(car) return car:balance() end

function recipes.hoist(car, place)
  local forward, left, up = place.of "powertrain"
  return car:hoist("powertrain", {points = {place(forward + 260, left + 20, up + 230), place(forward - 300, left - 40, up + 210)},
                                  legs = {430, 450}, boom = {{800, 600}, {1000, 450}, {1200, 250}, {1400, 150}}, reach = 950, tackle = 20})
end

function recipes.stands(car, place)
  local wheelbase = car:balance().wheelbase
  return car:stands{at = {place(-250, 380, 0), place(-250, -380, 0), place(300 - wheelbase, 350, 0), place(300 - wheelbase, -350, 0)},
                    without = {"powertrain"}}
end

function recipes.clearances(car) return car:clearances() end
function recipes.shafts(car) return car:shafts() end

-- With a front, and a map as well.
function recipes.study(car)
  return sy.study{car, vary = {sy.vary("powertrain", "back", -60, 80, 15), sy.vary("driver", "back", -100, 100, 9)},
                  show = {"yaw_inertia", "front_share"}, front = {yaw_inertia = "least", front_share = "most"}, quiet = true}
end

-- The document of the command of that name.
function recipes.half_shafts(car)
  local booked, positions = car:shafts(), {}
  for i, back in ipairs{-50, 0, 50, 100} do
    local moved = car:move("powertrain", {back = back})
    local shafts = moved:shafts()
    positions[i] = {back = back, front_share = moved:balance().front_share, status = shafts.status, shafts = shafts}
  end
  return page.result("half_shafts", {as_booked = booked, part = "powertrain", positions = positions, state = booked.state}, booked)
end

-- None of the four cars has propshafts: those of the one that has.
function recipes.propshaft()
  local booked = sy.load("vehicles/teasel.lua"):shafts()
  return page.result("propshaft", {as_booked = booked, positions = {}, state = booked.state}, booked)
end

function recipes.trend(car)
  local later = car:move("powertrain", {back = 40})
  return trend.of({car, later, later:set("driver", {mass = 91})}, {dates = {"first", "second", "third"}})
end

-- A history is of files: that of the car which has one.
function recipes.track() return sy.track({"vehicles/history", "vehicles/sedge.lua"}, {car = "sedge", state = "race start"}) end

function recipes.markout(car) return car:markout() end
function recipes.corners(car) return car:corners() end
function recipes.perches(car) return car:perches{cross_share = 50} end
function recipes.transfer(car) return car:transfer{left_turn = 0.8, braking = 0.3} end
function recipes.stability(car) return car:stability{required = 40} end
function recipes.compare(car) return sy.compare{car, car:move("powertrain", {back = 50})} end
function recipes.sensitivity(car) return sy.sensitivity{car, show = {"front_share", "height"}} end
function recipes.spread(car) return sy.spread{car, draws = 2000, seed = 1, show = {"front_share", "height"}, quiet = true} end
function recipes.book(car) return car:book() end

return recipes
