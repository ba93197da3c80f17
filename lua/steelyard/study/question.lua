--- How the core is asked for the outputs of a study: in groups that one plan answers.
--
-- question.groups(outputs) -> list of {sets = names of sets that the core solves alike, names = what they call the answers, outputs =
--   places in the list, ask = function(inside of a car, settings) -> what the core is asked about it, nil where that cannot be}, and
--   by place of each output that no set has a sentence why.

local asking = require "steelyard.answers.asking"
local settings_of = require "steelyard.study.settings"
local springs = require "steelyard.answers.springs"

local question = {}

-- A car that lacks what the question needs, or does not stand so, is not asked.
local no_question = {missing = true, unavailable = true, geometry = true}

local function try(ask, ...)
  local fine, asked = pcall(ask, ...)
  if fine then return asked end
  if type(asked) ~= "table" or not no_question[asked.code] then error(asked, 0) end
  return nil
end

local function usual(set)
  return function(c)
    local asked = try(asking.car, c, set)
    return asked and not asked.fails and asked or nil
  end
end

-- The car's method of that name, with what the settings say of it.
local function method(set, ask)
  return function(c, given) return try(ask, c, springs.options("car:" .. set, settings_of.for_set(given, set), set)) end
end

local function stability(on_springs)
  return function(c, given)
    return try(require("steelyard.answers.stability").asked_with, c, settings_of.for_set(given, "stability"), on_springs)
  end
end

local standing = {"corners", "attitude"} -- both are the car on its springs

local function shafts(c) return require("steelyard.shop.shafts").joints(c) end
local function clearances(c) return require("steelyard.shop.clearances").gaps_from(c) end

-- by of an output (study/outputs.lua), its set -> sets, how the core is asked
local ways = {
  core = {
    balance = {{"balance"}, usual "balance"},
    corners = {standing, usual "corners"},
    attitude = {standing, usual "corners"},
    stability = {{"stability"}, usual "stability"},
    shafts = {{"shafts"}, shafts},
    clearances = {{"clearances"}, clearances},
  },
  call = {
    corners = {standing, method("corners", function(c, o) return (require("steelyard.answers.corners").asked_with(c, o)) end)},
    attitude = {{"attitude", "corners"}, method("attitude", function(c, o)
      return (require("steelyard.answers.attitude").asked_with(c, o))
    end)},
    transfer = {{"transfer"}, method("transfer", function(c, o) return (require("steelyard.answers.transfer").asked_with(c, o)) end)},
    stability = {{"stability"}, stability(false)},
    ["stability.compliant"] = {{"stability.compliant"}, stability(true)},
  },
}

local SINGLY = "is worked out for one car at a time"

--- See above.
function question.groups(outputs)
  local groups, by_way, why = {}, {}, {}
  for i, out in ipairs(outputs) do
    local set, name = out.set, out.answer
    local on_springs = out.by == "call" and set == "stability" and name:match "^compliant%.(.*)$"
    if on_springs then set, name = "stability.compliant", on_springs end
    local way = ways[out.by] and ways[out.by][set]
    if way then
      local group = by_way[way]
      if not group then
        group = {sets = way[1], ask = way[2], names = {}, outputs = {}}
        by_way[way], groups[#groups + 1] = group, group
      end
      group.names[#group.names + 1], group.outputs[#group.outputs + 1] = name, i
    else
      why[i] = SINGLY
    end
  end
  return groups, why
end

return question
