--- How each kind of result that has a picture is asked of a car: local recipes = dofile "tests/pictures/recipes.lua".
--
-- recipes[kind](car, place) -> result. place(forward, left, up) is a point in the car's axes from the front axle on the ground, to
-- a millimetre; place.of(word) the middle of what a name says; place.moves the name of what drives it; place.decided the car as
-- recipes.decided has it. A car that lacks what is asked for raises, as for everybody. A kind without a recipe is drawn from
-- tests/lua/example_results.lua.

local core = require "steelyard.core"
local trend = require "steelyard.answers.changes.trend"
local page = require "steelyard.print.page"
local sy = require "steelyard"
local weigh = require "steelyard.study.sensitivity_weigh"

local recipes = {}

function recipes.balance(car) return car:balance() end

function recipes.hoist(car, place)
  local forward, left, up = place.of(place.moves)
  return car:hoist(place.moves, {points = {place(forward + 260, left + 20, up + 230), place(forward - 300, left - 40, up + 210)},
                                  legs = {430, 450}, boom = {{800, 600}, {1000, 450}, {1200, 250}, {1400, 150}}, reach = 950, tackle = 20})
end

function recipes.stands(car, place)
  local wheelbase = car:balance().wheelbase
  return car:stands{at = {place(-250, 380, 0), place(-250, -380, 0), place(300 - wheelbase, 350, 0), place(300 - wheelbase, -350, 0)},
                    without = {place.moves}}
end

function recipes.clearances(car) return car:clearances() end
function recipes.shafts(car) return car:shafts() end

-- The car of a file with each unknown mass stated, and without the limit of an inertia that some parts have no shape for: of it every
-- limit is decided. path: of a file to write it to, which is not kept.
function recipes.decided(path, to)
  local words = core.read_file(path):gsub('(mass"?%]? = )unknown', "%1sd(12, 3)"):gsub('\n[^\n]*"yaw_index"[^\n]*', "")
  core.write_file(to, words, true)
  local car = sy.load(to)
  os.remove(to)
  return car
end

-- With a front and a map, of limits that are decided and that some variants break.
function recipes.study(_, place)
  local car = place.decided
  local share = car:balance().front_share
  return sy.study{car, vary = {sy.vary(place.moves, "back", -60, 80, 15), sy.vary("driver", "back", -100, 100, 9)}, quiet = true,
                  show = {"yaw_inertia", "front_share"}, front = {yaw_inertia = "least", front_share = "most"},
                  limits = {front_share = {math.floor(10 * share - 6) / 10, math.ceil(10 * share + 3) / 10}}}
end

-- The document of the command of that name.
function recipes.half_shafts(car, place)
  local booked, positions = car:shafts(), {}
  for i, back in ipairs{-50, 0, 50, 100} do
    local moved = car:move(place.moves, {back = back})
    local shafts = moved:shafts()
    positions[i] = {back = back, front_share = moved:balance().front_share, status = shafts.status, shafts = shafts}
  end
  return page.result("half_shafts", {as_booked = booked, part = place.moves, positions = positions, state = booked.state}, booked)
end

-- None of the four cars has propshafts: those of the one that has.
function recipes.propshaft()
  local booked = sy.load("vehicles/teasel.lua"):shafts()
  return page.result("propshaft", {as_booked = booked, positions = {}, state = booked.state}, booked)
end

function recipes.trend(car, place)
  local later = car:move(place.moves, {back = 40})
  return trend.of({car, later, later:set("driver", {mass = 91})}, {dates = {"first", "second", "third"}})
end

-- A history is of files: that of the car which has one.
function recipes.track() return sy.track({"vehicles/history", "vehicles/sedge.lua"}, {car = "sedge", state = "race start"}) end

function recipes.markout(car) return car:markout() end
function recipes.corners(car) return car:corners() end
function recipes.perches(car) return car:perches{cross_share = 50} end
function recipes.transfer(car) return car:transfer{left_turn = 0.8, braking = 0.3} end
function recipes.stability(car) return car:stability{required = 40} end

function recipes.comparison(car, place)
  return sy.compare{car, car:move(place.moves, {back = 50}), car:set("driver", {mass = 96})}
end

function recipes.changes(car, place) return sy.changes(car, car:move(place.moves, {back = 40}):set("driver", {mass = 91})) end

function recipes.weigh_next(car)
  return weigh.document(sy.sensitivity{car, show = {"front_share", "height"}, steps = 10, top = 0})
end

function recipes.stint(car)
  local litres = car:tank("fuel").litres
  return car:stint{fuel = {from = litres, to = litres / 5}, drivers = {{name = "driver"}}}
end

-- The documents of the commands of those names.
function recipes.fuel_burn(car)
  local litres, stint = car:tank("fuel").litres, {}
  for i = 0, 8 do
    local b = car:fill{fuel = litres * (9 - i) / 9}:balance()
    stint[i + 1] = {litres = litres * (9 - i) / 9, mass = b.mass, front_share = b.front_share, height = b.height,
                    left_share = b.left_share}
  end
  return page.result("fuel_burn", {tank = "fuel", stint = stint, notes = {}}, car)
end

function recipes.drivers(car)
  local drivers = {}
  for i, who in ipairs{{"small", 50}, {"median", 78}, {"large", 98}} do
    local b = car:set("driver", {mass = who[2]}):balance()
    drivers[i] = {name = who[1], mass = who[2], car_mass = b.mass, front_share = b.front_share, left_share = b.left_share,
                  height = b.height}
  end
  return page.result("drivers", {drivers = drivers, notes = {}}, car)
end

function recipes.engine_back(car, place)
  local rows = {}
  for i = 0, 6 do
    local back = 100 - 25 * i
    local b = car:move(place.moves, {back = back}):balance()
    rows[i + 1] = {back = back, front = b.front, rear = b.rear, front_share = b.front_share, cg_behind = b.cg_behind,
                   yaw_inertia = b.yaw_inertia}
  end
  return page.result("engine_back", {part = place.moves, rows = rows, notes = {}}, car)
end

function recipes.sensitivity(car) return sy.sensitivity{car, show = {"front_share", "height"}} end
function recipes.spread(car) return sy.spread{car, draws = 2000, seed = 1, show = {"front_share", "height"}, quiet = true} end
function recipes.book(car) return car:book() end

return recipes
