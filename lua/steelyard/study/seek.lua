--- sy.seek{car, vary = {...}, target = {front_share = 43}}: values of what is varied that reach targets, or make an answer least or
-- most. See reference/calls/seek.lua for what it takes and gives.
--
-- The core searches (core/study/seek.h), by a solver that is a module of its own; the plan of a study answers it, and what is found is
-- made as a car and judged as every car is.

local core = require "steelyard.core"
local asked_of = require "steelyard.study.seek_asked"
local notes = require "steelyard.study.notes"
local outputs_of = require "steelyard.study.outputs"
local places_of = require "steelyard.study.seek_places"
local result_of = require "steelyard.study.seek_result"
local text = require "steelyard.print.text"

local seek = {}

local SOLVER = "steelyard.seek_nlopt"

local function solver()
  local fine, found = pcall(require, SOLVER)
  if fine and type(found) == "userdata" then return found end
  core.fail{code = "unavailable", message = "sy.seek is not built in: it needs the library NLopt, with which this steelyard was not built"}
end

-- Rules of the car and of all states, in order, with the numbers of their quantities.
local function limits_of(s, p)
  local list, rules = {}, {}
  local function add(rule, before)
    list[#list + 1], rules[#rules + 1] = {quantity = before + rule.out, min = rule.min, max = rule.max}, rule
  end
  for _, rule in ipairs(s.rules) do add(rule, 0) end
  for k, entry in ipairs(s.states) do
    for _, rule in ipairs(entry.rules) do add(rule, p.first[k]) end
  end
  return list, rules
end

local function spec_of(s, p)
  local spec = {folds = p.folds, quantities = p.quantities, inputs = {}, targets = {}, starts = s.starts, seed = s.seed,
                aim = s.aim == "least" and -1 or s.aim == "most" and 1 or 0, aimed = s.aimed or 1}
  for k, j in ipairs(s.outer) do
    local input = s.inputs[j]
    spec.inputs[k] = {low = input.low, high = input.high, now = input.now, per = input.per, values = input.list, column = p.columns[k]}
  end
  for k, target in ipairs(s.targets) do
    spec.targets[k] = {quantity = target.out, value = target.value, within = target.within}
  end
  spec.limits, s.limit_rules = limits_of(s, p)
  return spec
end

-- What is sought of what is aboard in none of the states that count, in words; nil where all of it is.
local function absent_of(s, p)
  local cars = {}
  for f = 1, p.folds do cars[#cars + 1] = p.inside({}, nil, f) end
  local list = notes.absent(s.sought, cars)
  return list[1] and text.join(list) or nil
end

-- A quantity that nothing moves, or that is not known: then nothing was sought.
local function refuse(s, p, found)
  local out, field, target = s.outputs[found.which], s.aim, nil
  for _, each in ipairs(s.targets) do
    if each.out == found.which then field, target = "target", each end
  end
  if found.outcome == "unknown" then
    core.fail{code = "missing", field = field, message = ("%s is not known of this car, whatever is varied"):format(out.name)}
  end
  local here = require("steelyard.study.seek_found").at(s, p, nil).worst[found.which]
  local absent = absent_of(s, p)
  core.fail{code = "clash", field = field, message = ("nothing that is varied moves %s: %sit stays at %s%s"):format(out.name,
    absent and absent .. "; " or "", text.fixed(here.value, out.decimals),
    target and (", and %s is asked for"):format(text.plain(target.value)) or ""), hint = outputs_of.why_unmoved(out.name)}
end

--- sy.seek
function seek.of(request)
  local s = asked_of.of(request)
  local p = places_of.new(s)
  local found = core.seek(spec_of(s, p), solver(), p.ask, p.exact)
  if found.outcome == "unmoved" or found.outcome == "unknown" then refuse(s, p, found) end
  return result_of.new(s, p, found)
end

return seek
