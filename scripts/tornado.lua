--- What do balance and CG height rest on, and which errors move them most?
-- Step: book
-- Usage: steelyard tornado CAR ["WHAT WAY FROM to TO by STEP" ...] [--for QUANTITY,...] [--top N] [--as-built] [--state NAME]

local sy = require "steelyard"
local core = require "steelyard.core"

local o = sy.options{
  about = "Every stated error by itself: how far one sigma of it moves each answer, worked out anew and not only to first order, and what "
    .. "it has of the variance. With inputs of your own these instead, from one end to the other and by a step.",
  usage = 'tornado CAR ["WHAT WAY FROM to TO by STEP" ...] [--for QUANTITY,...] [--top N] [--as-built] [--state NAME]',
  prints = "page",
  examples = {'steelyard tornado vehicles/first_guess.lua --state "race start"',
              'steelyard tornado vehicles/sedge.lua "engine back -50 to 50 by 25" "driver mass 60 to 100 by 10" --for front_share'},
  args = {{"car", "vehicle file"}, {"inputs", "what is varied: part, way or field, from, to, step", many = true, optional = true}},
  options = {state = {"NAME", "a load state of the file"},
             ["for"] = {"QUANTITY,...", "quantities, as results have them", default = {"front_share", "height"}, list = true},
             top = {"N", "how many rows of each", default = 12, number = true, whole = true, min = 0, max = 100000},
             as_built = {nil, "the car as its records leave it"}},
}
local function input(words)
  local what, way, from, to, step = words:match "^%s*(.-)%s+(%S+)%s+(%S+)%s+to%s+(%S+)%s+by%s+(%S+)%s*$"
  local first, last, by = core.number(from or ""), core.number(to or ""), core.number(step or "")
  if not (first and last and by and by > 0) then
    core.fail{code = "usage", message = ("%q is not an input"):format(words), hint = 'as in "engine back -50 to 50 by 25"'}
  end
  return sy.vary(what, way, first, last, math.max(2, math.floor(math.abs(last - first) / by + 0.5) + 1))
end
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
local vary = {}
for i, words in ipairs(o.inputs or {}) do vary[i] = input(words) end
sy.out(o, sy.sensitivity{o.as_built and car:as_built() or car, show = o["for"], vary = vary[1] and vary or nil, top = o.top})
