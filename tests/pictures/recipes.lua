--- How each kind of result that has a picture is asked of a car: local recipes = dofile "tests/pictures/recipes.lua".
--
-- recipes[kind](car, place) -> result. place(forward, left, up) is a point in the car's axes from the front axle on the ground, to
-- a millimetre; place.of(word) the middle of what a name says. A car that lacks what is asked for raises, as for everybody. A kind
-- without a recipe is drawn from tests/lua/example_results.lua.

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
function recipes.markout(car) return car:markout() end
function recipes.corners(car) return car:corners() end
function recipes.perches(car) return car:perches{cross_share = 50} end
function recipes.transfer(car) return car:transfer{left_turn = 0.8, braking = 0.3} end
function recipes.stability(car) return car:stability{required = 40} end
function recipes.compare(car) return sy.compare{car, car:move("powertrain", {back = 50})} end
function recipes.sensitivity(car) return sy.sensitivity{car, show = {"front_share", "height"}} end
function recipes.spread(car) return sy.spread{car, draws = 2000, seed = 1, show = {"front_share", "height"}} end
function recipes.book(car) return car:book() end

return recipes
