--- Variants one by one: each car made by the ordinary edits and asked as a script would ask it.
--
-- singly.new(s) (s: study/asked.lua) -> function(values) -> values, sds of s.outputs, rank of the worst verdict (verdicts.rank). values: by
-- input, nil as asked.

local answer = require "steelyard.study.answer"
local contents = require "steelyard.car.contents"
local rules = require "steelyard.study.rules"
local variants = require "steelyard.study.variants"

local singly = {}

local of_state = {state = true, fill = true} -- a state says these itself

-- The same car asked again, as often in a row, is asked once.
local function kept(ask)
  local last_car, last_given, values, sds, fails
  return function(car, given)
    local c = contents.inside(car)
    if c ~= last_car or given ~= last_given then
      values, sds, fails = ask(car, given)
      last_car, last_given = c, given
    end
    return values, sds, fails
  end
end

-- An axle that would pass another: such a car is not there to be asked.
local function made(make, values)
  local fine, car, given = pcall(make, values)
  if fine then return car, given end
  if type(car) == "table" and car.code == "geometry" then return nil end
  error(car, 0)
end

local IMPOSSIBLE = 4 -- verdicts.rank.fail

--- See above.
function singly.new(s)
  local make = variants.new{car = s.car, inputs = s.inputs, settings = s.settings, change = s.change}
  local ask, states = kept(answer.new(s.outputs)), {}
  for k, entry in ipairs(s.states) do
    states[k] = {entry = entry, ask = kept(answer.new(entry.outputs)), make = variants.new{car = s.car:state(entry.state), inputs = s.inputs,
      settings = s.settings, skip = of_state, change = s.change}}
  end
  return function(values)
    local car, given = made(make, values)
    if not car then return {}, {}, IMPOSSIBLE end
    local found, sds, fails = ask(car, given)
    local worst = rules.judge(car, s.outputs, s.rules, found, sds, fails)
    for _, state in ipairs(states) do
      local there, with = state.make(values)
      local its, its_sds, its_fails = state.ask(there, with)
      local rank = rules.judge(there, state.entry.outputs, state.entry.rules, its, its_sds, its_fails)
      if rank > worst then worst = rank end
    end
    return found, sds, worst
  end
end

return singly
