--- A car and its methods. What is inside, and how one car is made from another: car/contents.lua.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"

local car = {}
local Car, inside = contents.Car, contents.inside
Car.__index = car

--- "First guess (invented), race start, powertrain 50 back"
function car:heading() return contents.heading(inside(self)) end

--- The same car; its headings say `label`, those of cars made from it do not.
function car:named(label)
  local c = inside(self)
  if type(label) ~= "string" or label == "" then
    core.fail{code = "type", message = "car:named needs a text"}
  end
  local d = contents.from(c)
  d.label = label
  return contents.wrap(d)
end

--- The names of the load states, in file order.
function car:states()
  local names = {}
  for i, state in ipairs(inside(self).shared.spec.states or {}) do names[i] = state.name end
  return names
end

--- The car in another load state; nil leaves all states.
function car:state(name)
  local c = inside(self)
  local d = contents.from(c)
  d.fills, d.state = {}, false
  if name ~= nil then
    for _, state in ipairs(c.shared.spec.states or {}) do
      if state.name == name then d.state = state end
    end
    if not d.state then
      local names = self:states()
      local near = core.nearest(tostring(name), names)
      local said = require("steelyard.print.text").named(name)
      core.fail{code = "unknown", message = ("no state is called %s"):format(said), file = c.shared.file,
        hint = near and ("did you mean %q?"):format(near) or #names > 0
          and "the states are " .. require("steelyard.print.text").list_names(names) or "the file states none"}
    end
  end
  return contents.reload(d)
end

-- The body at other heights; left and right alike, by the perches.
local function restand(self, call, words, sign)
  local c = inside(self)
  local heights = require "steelyard.answers.heights"
  local ride_height = require "steelyard.car.ride_height"
  local new, how = heights.changed(c, call, words, sign)
  local d = contents.from(c, how)
  ride_height.set(d, new)
  return contents.reload(d)
end

--- The body lower: car:lower{front = 10, rear = 15}, mm at the axle lines. The wheels stay.
function car:lower(words) return restand(self, "car:lower", words, -1) end

--- The body higher.
function car:raise(words) return restand(self, "car:raise", words, 1) end

--- How far the body stands from its drawn heights.
function car:heights() return require("steelyard.answers.heights").of(inside(self), self) end

-- ---- the others, each in its own file, loaded when first asked for ----------------------------------------------------

-- method = module
local answers = {
  attitude = "answers.attitude",
  balance = "answers.balance",
  ballast = "study.ballast",
  book = "answers.book",
  cg_height = "measure.cg_height.car",
  checks = "answers.checks",
  corners = "answers.corners",
  guesses = "answers.guesses",
  handling = "shop.handling",
  clearances = "shop.clearances",
  dipstick = "answers.dipstick",
  hoist = "shop.hoist",
  inertia = "answers.inertia",
  markout = "shop.markout",
  overlaps = "shop.overlaps",
  perches = "answers.perches",
  person = "answers.person",
  plan_lift = "measure.plan_lift.car",
  reconcile = "measure.reconcile",
  save = "car.save",
  shafts = "shop.shafts",
  stability = "answers.stability",
  stands = "shop.stands",
  stint = "study.stint",
  tank = "answers.tank",
  draw = "draw.draw",
  scene = "draw.scene",
  transfer = "answers.transfer",
  trial = "answers.trial",
}
for method, module in pairs(answers) do
  car[method] = function(self, ...)
    local answer = require("steelyard." .. module).of
    car[method] = function(me, ...) return answer(inside(me), me, ...) end
    return car[method](self, ...)
  end
end

-- method = {module, name}
for method, where in pairs{record = {"measure.records", "one"}, records = {"measure.records", "list"},
                            as_built = {"measure.records.built", "car"}} do
  car[method] = function(self, ...)
    local answer = require("steelyard." .. where[1])[where[2]]
    car[method] = function(me, ...) return answer(inside(me), me, ...) end
    return car[method](self, ...)
  end
end

-- method = module that has it under its own name
for method, module in pairs{move = "car.moves", set = "car.edits", add = "car.edits", without = "car.edits", swap = "car.edits",
                            fill = "car.edits"} do
  car[method] = function(...)
    car[method] = require("steelyard." .. module)[method]
    return car[method](...)
  end
end

function Car:__tostring() return self:heading() end

local beside = {compare = "sy.compare{car, car:move(...)}", changes = "sy.changes(old, new)"}

-- A name that no car has, and what was meant.
setmetatable(car, {__index = function(_, name)
  local methods = {}
  for method in next, car do methods[#methods + 1] = method end
  table.sort(methods, core.before)
  local near = type(name) == "string" and core.nearest(name, methods)
  local answers_it = require("steelyard.reference.quantities").by_name[name]
  core.fail{code = "unknown", message = ("a car has no method %s"):format(require("steelyard.print.text").named(name)),
    hint = beside[name] and "write " .. beside[name] or answers_it and answers_it.set == "balance" and "it is an answer of car:balance()"
      or near and ("did you mean car:%s?"):format(near) or "it has " .. table.concat(methods, ", ")}
end})

return car
