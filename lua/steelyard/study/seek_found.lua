--- A place that sy.seek ended at, as every car is asked: what is reached, and how its limits stand.
--
-- found.at(s, p, values) (s of seek_asked.lua, p of seek_places.lua; values by input sought, nil for the car as it is) ->
--   {car =, settings =, worst = {[number of an output] = {value, sd, fold}}, rows = of limits, the worst of what worst_over folds}
-- Of a target the combination counts that is farthest off, of what is made least the greatest, of what is made most the least.

local core = require "steelyard.core"
local answer = require "steelyard.study.answer"
local contents = require "steelyard.car.contents"
local limits = require "steelyard.answers.limits"
local quantities = require "steelyard.reference.quantities"
local verdicts = require "steelyard.answers.verdicts"

local found = {}

-- Answers with their uncertainties.
local function asker(outputs)
  local list = {}
  for o, out in ipairs(outputs) do list[o] = setmetatable({with_sd = true}, {__index = out}) end
  return answer.new(list)
end

local function answers(ask, car, settings)
  if not car then return {values = {}, sds = {}, fails = {}} end
  local a = {c = contents.inside(car)}
  a.values, a.sds, a.fails = ask(car, settings)
  return a
end

-- How bad an answer is, the more the worse.
local function badness(s, o, value)
  if not value then return 1 / 0 end
  if o == s.aimed then return s.aim == "least" and value or -value end
  for _, target in ipairs(s.targets) do
    if target.out == o then return math.abs(value - target.value) end
  end
  return 0
end

local function add_worst(s, worst, a, f)
  for o in ipairs(s.outputs) do
    local value, kept = a.values[o], worst[o]
    if not kept or badness(s, o, value) > badness(s, o, kept.value) then worst[o] = {value = value, sd = a.sds[o], fold = f} end
  end
end

local function row_of(a, outputs, rule)
  local out, value = outputs[rule.out], a.values[rule.out]
  local shown = {unit = out.unit, decimals = out.decimals}
  if not a.c then
    return {name = rule.name, quantity = rule.quantity, unit = out.unit, min = rule.min, max = rule.max, status = "fail",
      why = "there is no such car"}
  end
  local grows = quantities.limited(rule.quantity).grows
  local said = value and out.q and out.q.says and quantities.verdict(a.c, out.q)
  return limits.row(a.c, grows and core.balance(a.c.now, a.c.geometry) or nil, rule, {value = value, sd = a.sds[rule.out],
    fails = a.fails[rule.out], at_most = said and said.at_most}, shown)
end

local function is_worse(row, other)
  if not other or row.status ~= other.status then return not other or verdicts.rank[row.status] > verdicts.rank[other.status] end
  return (row.margin or 0) < (other.margin or 0)
end

local function add_rows(rows, a, outputs, rules, f)
  for _, rule in ipairs(rules) do
    local row, kept = row_of(a, outputs, rule), rows[rule]
    row.state = rule.state
    if is_worse(row, kept and kept.row) then rows[rule] = {row = row, fold = f} end
  end
end

--- See above.
function found.at(s, p, values)
  local here = {worst = {}}
  local rows, folds = {}, s.inner[1] and p.folds -- one state alone is folded too: the car has others
  here.car, here.settings = p.made(values or {})
  for k = 0, #s.states do
    local entry = s.states[k] or s
    local ask = asker(entry.outputs)
    for f = 1, p.folds do
      local a = answers(ask, p.made(values or {}, folds and f, k))
      if k == 0 then add_worst(s, here.worst, a, folds and f) end
      add_rows(rows, a, entry.outputs, entry.rules, folds and f)
    end
  end
  here.rows, here.row_of = {}, {}
  for k = 0, #s.states do
    for _, rule in ipairs((s.states[k] or s).rules) do
      here.rows[#here.rows + 1] = rows[rule].row
      here.row_of[rule] = rows[rule]
    end
  end
  return here
end

return found
