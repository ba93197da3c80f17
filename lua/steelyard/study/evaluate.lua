--- Answers of many variants of one car: by a plan (plan.lua) what that covers, one by one what it does not.
--
-- evaluate.new{car =, inputs =, outputs =, settings =, count = how many cars will be asked (else many), change =, skip = kinds of inputs
-- that are not applied, points = columns by input where some lie outside what the inputs say, singly = true: no plan} -> e, with
--   e.all_planned  whether the plan answers all outputs; those that have with_sd with their uncertainties
--   outputs        of outputs.lua, with with_sd and, where a limit judges them, judged = true
--   e.late         outputs whose uncertainty only a verdict may need (with_sd = "judged") and the plan does not have: it is asked for
--   with e:sd
--   e:run(first, count, points, columns, sds, bad, sums?, number?) -> how many variants were solved singly.
--       points: columns by input (nil entries: as the car has it); columns, sds: lists by output, entries first .. first + count - 1
--       of which are written; sds[o] false where nobody wants
--       it.
--       bad[i] becomes true where a car does not stand as it is asked about, or cannot be made.
--       sums: list by output of core.summary of nothing so far, or false; the answers are added, of variants from `number` on. A column may
--       be false where e:sums_alone(o)
--   e:context(i, points) -> inside of a car of which as much is known as of variant i

local core = require "steelyard.core"
local answer = require "steelyard.study.answer"
local contents = require "steelyard.car.contents"
local plan = require "steelyard.study.plan"
local variants = require "steelyard.study.variants"

local evaluate = {}
local Evaluate = {}
Evaluate.__index = Evaluate

-- Of fewer cars as built than that, asking each for its uncertainties takes less time than making a plan that has them.
local FEW_AS_BUILT = 100

-- What the plan is asked: the inputs that are applied.
local function plan_of(self, o)
  if o.singly or o.change then return nil end
  local inputs, points, with_sd = {}, o.points and {}, false
  for k, input in ipairs(o.inputs) do
    if not (o.skip and o.skip[input.kind]) then
      inputs[#inputs + 1], self.applied[#self.applied + 1] = input, k
      if points then points[#inputs] = o.points[k] end
    end
  end
  for _, out in ipairs(o.outputs) do with_sd = with_sd or out.with_sd end
  with_sd = with_sd and not (o.count and o.count < FEW_AS_BUILT and contents.inside(o.car).measured)
  return plan.make{car = o.car, inputs = inputs, outputs = o.outputs, settings = o.settings, uncertainty = with_sd, points = points,
                   threads = o.threads}
end

-- Does the uncertainty take much longer than the answer? That of a balance is at hand with it, but for inertia.
local function is_dear(out) return out.set ~= "balance" or out.q ~= nil and out.q.grows == "inertia" end

-- Outputs by who answers them.
local function share_out(self, o)
  local covered, p = {}, plan_of(self, o)
  for k, out in ipairs(o.outputs) do
    local value = p and p.covers[out.name] == true
    local no_sd = value and out.with_sd and p.covers_sd[out.name] ~= true
    covered[k] = value and (not no_sd or out.with_sd == "judged")
    if no_sd and covered[k] then self.late[k], self.any_late = true, true end
  end
  self.plan, self.covered, self.rest, self.rest_outputs = p, covered, {}, {}
  for k, out in ipairs(o.outputs) do
    if covered[k] then
      self.planned = true
    else
      local late = out.with_sd == "judged" and is_dear(out)
      if late then self.late[k], self.any_late = true, true end
      self.rest[#self.rest + 1] = k
      self.rest_outputs[#self.rest] = late and setmetatable({with_sd = false}, {__index = out}) or out
    end
  end
  self.all_planned = #self.rest == 0
end

--- See above.
function evaluate.new(o)
  local self = setmetatable({inputs = o.inputs, outputs = o.outputs, planned = false, applied = {}, late = {}, any_late = false,
    contexts = {}, values = {}, changed = o.change ~= nil, cars = {}}, Evaluate)
  share_out(self, o)
  self.make = variants.new{car = o.car, inputs = o.inputs, settings = o.settings, change = o.change, skip = o.skip}
  self.ask_rest, self.ask_all = answer.of_inside(self.rest_outputs), answer.of_inside(o.outputs)
  return self
end

-- The inside of variant i, and its settings; nil of a car that is not there to be asked: an axle would pass another.
local function made(self, i, points)
  local values = self.values
  for k = 1, #points do values[k] = points[k][i] end
  local fine, car, given = pcall(self.make, values)
  if fine then return contents.inside(car), given end
  if type(car) == "table" and car.code == "geometry" then return nil end
  error(car, 0)
end

local nothing = {}

-- The same car asked again, as often in a row of what is folded, is asked once.
local function asked(self, which, c, given)
  if self.last ~= c or self.last_given ~= given or self.last_which ~= which then
    self.found, self.found_sds, self.found_fails = self[which](c, given)
    self.last, self.last_given, self.last_which = c, given, which
  end
  return self.found, self.found_sds, self.found_fails
end

local function put(numbers, i, found, sds_found, columns, sds)
  for k = 1, #numbers do
    local o = numbers[k]
    core.column_set(columns[o], i, found[k])
    if sds[o] then core.column_set(sds[o], i, sds_found[k]) end
  end
end

-- Outputs that the plan leaves, variant by variant.
local function run_rest(self, first, count, points, columns, sds, bad)
  for i = first, first + count - 1 do
    local c, given = made(self, i, points)
    local found, sds_found, fails = nothing, nothing, nothing
    if self.changed then self.cars[i] = c end
    if c then found, sds_found, fails = asked(self, "ask_rest", c, given) end
    if not c or next(fails) then bad[i] = true end
    put(self.rest, i, found, sds_found, columns, sds)
  end
  return count
end

local function any_unknown(column, first, count, sum)
  return (sum or core.summary():add(column, first, first + count - 1, 1)):unknown() > 0
end

-- What a limit judges and the plan has no answer for: is it unknown, or does the car not stand so?
local function run_unknown(self, first, count, points, columns, bad, sums)
  local open, singly = {}, 0
  for k, out in ipairs(self.outputs) do
    if out.judged and self.covered[k] and any_unknown(columns[k], first, count, sums[k]) then open[#open + 1] = columns[k] end
  end
  for i = first, open[1] and first + count - 1 or first - 1 do
    local unknown = false
    for _, column in ipairs(open) do unknown = unknown or column[i] == nil end
    if unknown then
      local c, given = made(self, i, points)
      singly = singly + 1
      if not c then
        bad[i] = true
      else
        local _, _, fails = asked(self, "ask_all", c, given)
        bad[i] = bad[i] or next(fails) ~= nil or nil
      end
    end
  end
  return singly
end

--- Does a summary of that output need no column?
function Evaluate:sums_alone(o) return self.covered[o] and not self.outputs[o].judged end

local none = {}

--- See above.
function Evaluate:run(first, count, points, columns, sds, bad, sums, number)
  local singly = 0
  sums = sums or none
  self.cars = {}
  if self.planned then
    local by_name, sds_by_name, sums_by_name = {}, {}, {}
    for k, out in ipairs(self.outputs) do
      if self.plan.covers[out.name] == true then by_name[out.name] = columns[k] end
      if self.covered[k] and sds[k] and not self.late[k] then sds_by_name[out.name] = sds[k] end
      if self.covered[k] then sums_by_name[out.name] = sums[k] end
    end
    local applied = {}
    for k, of in ipairs(self.applied) do applied[k] = points[of] end
    singly = math.max(self.plan:run(first, count, applied, by_name, sds_by_name, sums_by_name, number),
      run_unknown(self, first, count, points, columns, bad, sums))
  end
  if #self.rest > 0 then singly = run_rest(self, first, count, points, columns, sds, bad) end
  for _, k in ipairs(self.rest) do
    if sums[k] then sums[k]:add(columns[k], first, first + count - 1, number) end
  end
  return singly
end

--- See above. What is known of a car and what has a shape goes by what is aboard: the first variant with the same words stands for all, but
-- where a function of the caller's makes them.
function Evaluate:context(i, points)
  if self.changed then return self.cars[i] end
  local key = ""
  for k, input in ipairs(self.inputs) do
    local value = input.words and points[k][i]
    if value then key = ("%s %d.%d"):format(key, k, value // 1) end
  end
  if not self.contexts[key] then self.contexts[key] = made(self, i, points) end
  return self.contexts[key]
end

local MOST_CONTEXTS = 64

--- A car for each combination of words, their other values those of variant i; nil where there are too many, or where a function of the
-- caller's
-- makes the cars.
function Evaluate:all_contexts(i, points)
  if self.changed then return nil end
  local columns, words, count = table.move(points, 1, #points, 1, {}), {}, 1
  for k, input in ipairs(self.inputs) do
    if input.words then words[#words + 1], count = k, count * #input.words end
  end
  if count > MOST_CONTEXTS then return nil end
  local list = {}
  for at = 0, count - 1 do
    local rest = at
    for _, k in ipairs(words) do
      local n = #self.inputs[k].words
      columns[k], rest = {[i] = rest % n + 1}, rest // n
    end
    local c = made(self, i, columns)
    if not c then return nil end
    list[#list + 1] = c
  end
  return list
end

--- Uncertainties of the outputs that are late, of variant i by itself: list by output.
function Evaluate:sd(i, points)
  local _, sds = asked(self, "ask_all", made(self, i, points))
  return sds
end

return evaluate
