--- Quantities whose errors the core knows one by one: what sy.spread draws and sy.sensitivity takes apart.
--
-- uncertain.outputs(c, names, o) -> list as of outputs.lua, each with change, grows and decimals as fine as the car needs.
--   o.call = the call that asks, o.done = what it does to an uncertainty, "drawn"; c: the inside of the car
-- uncertain.groups(c, outputs, done, stand?) -> list {set =, asked =, names =, outputs = numbers of the outputs}, as the core takes them.
--   stand: function(set, asked) -> asked, how the car stands for a set
-- uncertain.numbers(groups) -> answer_of, output_of: the core's answers in the order of the groups, by output and back
-- uncertain.ledgers(groups) -> list: the ledgers that are asked, each once

local asking = require "steelyard.answers.asking"
local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local outputs_of = require "steelyard.study.outputs"
local quantities = require "steelyard.reference.quantities"
local text = require "steelyard.print.text"

local uncertain = {}

local MOST = 64 -- answers that the core takes (core/study/montecarlo.h)

local core_sets = {corners = true, attitude = true, stability = true}

local function refuse(o, out)
  if out.set == "transfer" then
    core.fail{code = "unavailable", field = "show",
              message = ("%s is worked out under a force, and %s takes none"):format(out.name, o.call),
              hint = "car:transfer{left_turn = 1} has its uncertainty to first order"}
  end
  core.fail{code = "unavailable", field = "show", message = out.by == "nothing" and ("%s is not known of this vehicle"):format(out.name)
    or ("%s has no uncertainty that could be %s"):format(out.name, o.done),
    hint = "balance, corners, attitude, stability, shafts, clearances and usable can be"}
end

--- See above.
function uncertain.outputs(c, names, o)
  local list, more = outputs_of.of(c, names), figures.of(c)
  if #list == 0 then
    core.fail{code = "type", field = "show", message = "must be a list of names of quantities, its first entry is nothing",
              hint = 'as in show = {"front_share"}'}
  end
  if #list > MOST then
    core.fail{code = "limit", field = "show", message = ("names %s quantities, at most %d are possible"):format(text.plain(#list), MOST)}
  end
  for _, out in ipairs(list) do
    if out.by == "call" and core_sets[out.set] then
      local q = quantities.find(out.name)
      out.by, out.q = "core", q
      if q and q.set then out.set, out.answer = q.set, q.answer end
    end
    if out.set == "transfer" or out.by ~= "core" then refuse(o, out) end
    local finer = more[out.unit] or 0
    out.decimals, out.change = out.decimals + finer, (out.q and out.q.change or out.decimals) + finer
    out.grows = out.q and out.q.grows
  end
  return list
end

-- What the core is asked about the car for a set.
local function asked_of(c, group, stand)
  local asked_car = asking.car(c, group.set, group.of)
  if not asked_car or asked_car.fails then
    core.fail{code = asked_car and "geometry" or "missing", field = "show",
              message = ("%s cannot be asked of this car%s"):format(group.set, asked_car and ": " .. asked_car.fails or "")}
  end
  return stand and stand(group.set, asked_car) or asked_car
end

-- Has the core an answer of that name about this vehicle?
local function check_answer(group, out, done)
  local fine, why = pcall(core.ask, group.set, group.asked, {out.answer})
  if fine then return end
  if type(why) ~= "string" then error(why, 0) end
  core.fail{code = "unavailable", field = "show",
            message = ("%s is not known of this vehicle, or has no uncertainty that could be %s"):format(out.name, done)}
end

--- See above.
function uncertain.groups(c, outputs, done, stand)
  local groups, rows = {}, {}
  for o, out in ipairs(outputs) do rows[o] = {set = out.set, of = out.q and out.q.of} end
  for g, group in ipairs(asking.groups(rows)) do
    groups[g] = {set = group.set, asked = asked_of(c, group, stand), names = {}, outputs = {}}
    for o, out in ipairs(outputs) do
      if rows[o].set == group.set and rows[o].of == group.of then
        check_answer(groups[g], out, done)
        table.insert(groups[g].names, out.answer)
        table.insert(groups[g].outputs, o)
      end
    end
  end
  return groups
end

--- See above.
function uncertain.numbers(groups)
  local answer_of, output_of = {}, {}
  for _, group in ipairs(groups) do
    for _, o in ipairs(group.outputs) do
      output_of[#output_of + 1] = o
      answer_of[o] = #output_of
    end
  end
  return answer_of, output_of
end

--- See above.
function uncertain.ledgers(groups)
  local list, seen = {}, {}
  for _, group in ipairs(groups) do
    for _, key in ipairs{"now", "drawn"} do
      local ledger = group.asked[key]
      if ledger and not seen[ledger] then
        list[#list + 1], seen[ledger] = ledger, true
      end
    end
  end
  return list
end

return uncertain
