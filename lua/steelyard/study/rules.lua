--- The limits that judge the variants of a study: those of the file, also in the states they name, and those of the study itself.
--
-- rules.of(car, given, outputs, taken) -> list of {name, quantity, min, max, near, out = number of the output, from = "file" or
-- "study"}, and
-- list of {state =, outputs =, taken =, rules = list}: what is judged in a state that a limit of the file names. Outputs that are judged
-- and
-- not shown are added to the lists.
--
-- rules.judge(c, outputs, rules, values, sds, fails) -> the worst verdict as a number (verdicts.rank), and why verdicts are unknown: texts.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local limits = require "steelyard.answers.limits"
local outputs_of = require "steelyard.study.outputs"
local quantities = require "steelyard.reference.quantities"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local verdicts = require "steelyard.answers.verdicts"

local rules = {}

local bounds = {min = true, max = true, near = true, [1] = true, [2] = true}

local function bound(name, value, which)
  if value == nil then return nil end
  local number, sd, message, hint = user_values.any(value)
  if not number then core.fail{code = sd, field = "limits", message = ("%s, %s %s"):format(name, which, message), hint = hint} end
  return number
end

local function read_one(name, given)
  if not user_values.is_plain(given) then
    core.fail{code = "type", field = "limits", message = ("%s must be {from, to} or {min =, max =}, is %s"):format(name,
      user_values.what(given))}
  end
  for key in pairs(given) do
    if not bounds[key] then
      local near = type(key) == "string" and core.nearest(key, {"min", "max", "near"})
      core.fail{code = "unknown", field = "limits", message = ("%s has no %s"):format(name, text.named(key)),
                hint = near and ("did you mean %q?"):format(near) or "a limit is {from, to} or {min =, max =, near =}"}
    end
  end
  if given[1] ~= nil and given.min ~= nil or given[2] ~= nil and given.max ~= nil then
    core.fail{code = "clash", field = "limits", message = ("%s has a limit twice"):format(name)}
  end
  local rule = {quantity = name, from = "study", min = bound(name, given[1] == nil and given.min or given[1], "min"),
                max = bound(name, given[2] == nil and given.max or given[2], "max"), near = bound(name, given.near, "near")}
  if not (rule.min or rule.max) then
    core.fail{code = "missing", field = "limits", message = ("%s has neither min nor max"):format(name)}
  end
  if rule.min and rule.max and rule.min > rule.max then
    core.fail{code = "clash", field = "limits", message = ("%s must be %s or more and %s or less: nothing can be both"):format(name,
      text.plain(rule.min), text.plain(rule.max))}
  end
  return rule
end

local function of_study(given)
  if given == nil then return {} end
  if not user_values.is_plain(given) then
    core.fail{code = "type", field = "limits", message = "must be a table by quantity, as in limits = {front_share = {41, 43}}"}
  end
  local names, list = {}, {}
  for name in pairs(given) do
    if type(name) ~= "string" then
      core.fail{code = "type", field = "limits", message = "must be a table by quantity, as in limits = {front_share = {41, 43}}"}
    end
    names[#names + 1] = name
  end
  table.sort(names, core.before)
  for i, name in ipairs(names) do list[i] = read_one(name, given[name]) end
  return list
end

local function said_by(rule) return rule.from == "study" and "this call" or ("the file's limit %q"):format(rule.name) end

-- Two limits that no car can keep both of.
local function check_pair(a, b)
  if a.quantity ~= b.quantity or a.state ~= b.state or not (a.min and b.max) or a.min <= b.max then return end
  core.fail{code = "clash", field = "limits", message = ("%s must be %s or more by %s and %s or less by %s: nothing can be both"):format(
    a.quantity, text.plain(a.min), said_by(a), text.plain(b.max), said_by(b))}
end

local function is_same(a, b) return a.quantity == b.quantity and a.min == b.min and a.max == b.max and (b.near == nil
  or a.near == b.near) end

local function state_entry(states, name)
  for _, entry in ipairs(states) do
    if entry.state == name then return entry end
  end
  states[#states + 1] = {state = name, outputs = {}, taken = {}, rules = {}}
  return states[#states]
end

--- See above.
function rules.of(c, given, outputs, taken)
  local list, states = {}, {}
  for _, limit in ipairs(c.shared.spec.limits or {}) do
    for _, state in ipairs(limit.state or {false}) do
      local rule = {name = limit.name, quantity = limit.quantity, min = limit.min, max = limit.max, near = limit.near, from = "file"}
      if state then
        local entry = state_entry(states, state)
        rule.state, rule.out = state, outputs_of.add(c, entry.outputs, entry.taken, limit.quantity)
        entry.rules[#entry.rules + 1] = rule
      else
        list[#list + 1] = rule
      end
    end
  end
  for _, rule in ipairs(of_study(given)) do
    local known = false
    for _, other in ipairs(list) do
      if is_same(other, rule) then known, other.from = true, "study" end
      check_pair(rule, other)
      check_pair(other, rule)
    end
    if not known then list[#list + 1] = rule end
  end
  for _, rule in ipairs(list) do
    rule.out = outputs_of.add(c, outputs, taken, rule.quantity)
    rule.name = rule.name or outputs[rule.out].label
  end
  return list, states
end

local sheets = setmetatable({}, {__mode = "k"}) -- inside of a car -> its core.balance: several variants have one such car in common

local function sheet_of(c)
  sheets[c] = sheets[c] or core.balance(c.now, c.geometry)
  return sheets[c]
end

-- Is the value only "at most that", as a gap is while others are not known?
local function at_most(c, out, value)
  local said = value and out.q and out.q.says and quantities.verdict(c, out.q)
  return said and said.at_most
end

--- How each limit is open for a car (limits.open): list by rule, false where it is not.
function rules.open_in(c, outputs, list, values)
  local open = {}
  for k, rule in ipairs(list) do
    local b = quantities.limited(rule.quantity).grows and sheet_of(c) or nil
    open[k] = limits.open(c, b, rule, at_most(c, outputs[rule.out], values[rule.out])) or false
  end
  return open
end

--- See above; c: the inside of the car; outputs: what the values are of. late: {[output] = true} whose uncertainty is not there yet;
-- then, third,
-- whether a verdict waits for one: what is inside a limit may still be near it.
function rules.judge_in(c, outputs, list, values, sds, fails, late)
  local worst, b, unknown, waits = 1, nil, nil, false
  for _, rule in ipairs(list) do
    local out, value = outputs[rule.out], values[rule.out]
    if quantities.limited(rule.quantity).grows then b = b or sheet_of(c) end
    local status, why = limits.verdict(c, b, rule, value, sds[rule.out], fails[rule.out], at_most(c, out, value))
    local open = late and late[rule.out] and not rule.near and (status == "pass" or status == "near")
    local rank = open and 1 or verdicts.rank[status]
    waits = waits or open
    if rank > worst then worst = rank end
    if status == "unknown" then
      unknown = unknown or {}
      unknown[#unknown + 1] = ("%s%s: not decided, %s"):format(rule.name, rule.state and (" (%s)"):format(rule.state) or "", why)
    end
  end
  return worst, unknown or {}, waits and worst == 1
end

function rules.judge(car, ...) return rules.judge_in(contents.inside(car), ...) end

return rules
