--- sy.sensitivity{car, show = {...}}: what answers rest on, and which line to weigh or measure next. See
-- reference/calls/sensitivity.lua for what it takes and gives.
--
-- The core knows every stated error by itself (core/study/sensitivity.h, weigh_next.h). Of inputs that sy.vary names the car is made at
-- both
-- ends of their range, and asked.

local answer = require "steelyard.study.answer"
local asked_of = require "steelyard.study.sensitivity_asked"
local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local loading = require "steelyard.car.loading"
local made = require "steelyard.study.made"
local names_of = require "steelyard.study.sensitivity_names"
local notes_of = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local outputs_of = require "steelyard.study.outputs"
local results = require "steelyard.reference.results"
local study_notes = require "steelyard.study.notes"
local text = require "steelyard.print.text"
local uncertain = require "steelyard.study.uncertain"

local sensitivity = {}

local ALL = 1 << 30 -- steps: more than there can be

local Sensitivity = results.kind "sensitivity"
local Quantity = results.kind "sensitivity_quantity"

-- r.front_share is r.quantities.front_share.
local declared = Sensitivity.__index
function Sensitivity.__index(r, key)
  local quantities = rawget(r, "quantities")
  local one = quantities and quantities[key]
  if one ~= nil then return one end
  return declared(r, key)
end

function Sensitivity.__tostring(r) return require("steelyard.study.sensitivity_print").page(r) end

-- ---- inputs ------------------------------------------------------------------------------------------------------------------

-- By stated errors: rows, the largest first, what others have of the variance, and the answer.
local function stated_rows(s, o)
  local found, list = core.sensitivity_answer(s.plan, s.answer_of[o], s.top)
  local rows = {}
  for i, moved in ipairs(list) do
    local name = s.name(moved.source, moved.both)
    local change, low, high = moved.change, moved.low, moved.high
    if name.against then change, low, high = -change, high, low end
    rows[i] = {what = name.what, path = name.path, field = name.field, sigma = name.sigma, input_unit = name.unit, change = change,
               low = low, high = high, variance_share = 100 * moved.share}
  end
  return rows, found
end

local function reach(row, value)
  local size = 0
  for _, one in ipairs{row.high and row.low and row.high - row.low or 0, row.high and value and row.high - value or 0,
                       row.low and value and row.low - value or 0} do
    size = math.max(size, math.abs(one))
  end
  return size
end

-- By what was varied, of all outputs: the answers at both ends.
local function varied_rows(s)
  local ask, by_output = answer.new(s.outputs), {}
  for o in ipairs(s.outputs) do by_output[o] = {} end
  for _, input in ipairs(s.inputs) do
    local low, high = ask(input.apply(s.car, input.low), {}), ask(input.apply(s.car, input.high), {})
    for o in ipairs(s.outputs) do
      table.insert(by_output[o], {what = input.name, path = "", field = input.way, step = input.step, input_unit = input.unit,
        from = input.low, to = input.high, low = low[o], high = high[o],
        change = low[o] and high[o] and (high[o] - low[o]) / input.steps or nil})
    end
  end
  return by_output
end

local function sort_rows(rows, value)
  local place = {}
  for i, row in ipairs(rows) do place[row] = i end
  table.sort(rows, function(a, b)
    local one, other = reach(a, value), reach(b, value)
    if one ~= other then return one > other end
    return place[a] < place[b]
  end)
  return rows
end

local function quantities_of(s)
  local by_output, list, any = s.inputs and varied_rows(s), {}, false
  for o, out in ipairs(s.outputs) do
    local rows, found = stated_rows(s, o)
    if not found.value then
      core.fail{code = "unavailable", field = "show", message = ("%s is not known of this vehicle"):format(out.name)}
    end
    local q = by_output and sort_rows(by_output[o], found.value) or rows
    q.unit, q.value, q.sd = out.unit, found.value, found.sd
    if not by_output then q.rest_share = 100 * found.rest end
    any = any or found.sd and found.sd > 0
    list[o] = setmetatable(q, Quantity)
  end
  return list, any
end

-- ---- what to weigh next ----------------------------------------------------------------------------------------------------------

local function by_name(s, of_answer)
  local found = {}
  for o, out in ipairs(s.outputs) do found[out.name] = of_answer[s.answer_of[o]] end
  return found
end

-- Steps as the core has them, by name; what each line is, for the page.
local function weigh(s, r)
  local steps, left = core.weigh_next(s.plan, s.scale, s.tape, s.steps or ALL)
  local before = {}
  for name, sd in pairs(r.sd) do before[name] = sd end
  for i, step in ipairs(steps) do
    local line, place = s.name(step.source), step.what == "place"
    local entry = {name = line.what, path = line.path, field = line.whole and "whole" or step.what, with = place and "tape" or "scale",
                   before = before, after = by_name(s, step.after), drop = 100 * step.drop,
                   share = 100 * step.share}
    r.weigh_next[i], s.lines[entry] = entry, line
    before = entry.after
  end
  r.left = by_name(s, left)
end

-- ---- all of it --------------------------------------------------------------------------------------------------------------------

local found_sets = {shafts = true, clearances = true, usable = true}

local function notes(s, b, any)
  local list, linear = {}, false
  for _, group in ipairs(s.groups) do linear = linear or found_sets[group.set] end
  if not any then list[#list + 1] = "nothing that is stated with an uncertainty moves these: there is nothing to weigh" end
  if s.c.measured and any then
    list[#list + 1] = "what is weighed next is taken as stated in the file, and the records as read again; car:set on this car makes it "
      .. "another part, which no record weighed"
  end
  if any and #s.outputs > 1 then
    list[#list + 1] = "what comes next lowers most the mean, over the quantities, of what is left of each variance"
  end
  for _, said in ipairs(study_notes.absent(s.inputs or {}, {s.c})) do list[#list + 1] = said .. ": what is varied of it moves nothing" end
  if linear then list[#list + 1] = "shafts, clearances and what can be drawn from tanks move by the first-order effect of each error" end
  for _, out in ipairs(s.outputs) do
    if out.grows == "inertia" and b.points > 0 then
      list[#list + 1] = ("%s counts %d of %d parts as points: read it as \"at least\""):format(out.label, b.points, b.parts)
      break
    end
  end
  local gaps = notes_of.gaps(s.c, b)
  return table.move(gaps, 1, #gaps, #list + 1, list)
end

local function refuse_certain(s)
  local names = {}
  for o, out in ipairs(s.outputs) do names[o] = out.name end
  core.fail{code = "missing", field = "show",
            message = ("nothing that is stated with an uncertainty moves %s"):format(text.join(names, "or")),
            hint = outputs_of.why_unmoved(s.outputs[1].name)
              or 'say how well masses and places are known, as in mass = sd(118, 0.5), or assume = {estimate = "15 %"} for all'}
end

--- sy.sensitivity
function sensitivity.of(request)
  local s = asked_of.of(request)
  s.answer_of = uncertain.numbers(s.groups)
  s.plan = core.sensitivity(s.groups)
  s.name = names_of.of(s.c, uncertain.ledgers(s.groups), core.sensitivity_sources(s.plan))
  s.lines, s.more = {}, figures.of(s.c)
  local b = core.balance(s.c.now, s.c.geometry)
  local quantities, any = quantities_of(s)
  if not any and not s.inputs then refuse_certain(s) end
  local r = {heading = s.car:heading(), state = loading.title(s.c), names = {}, quantities = {}, rest_share = {}, sd = {}, weigh_next = {},
             left = {}, scale = s.scale, tape = s.tape, lines = b.parts, notes = notes(s, b, any)}
  for o, out in ipairs(s.outputs) do
    local q = quantities[o]
    r.names[o], r.quantities[out.name], r.sd[out.name], r.rest_share[out.name] = out.name, q, q.sd, q.rest_share
  end
  weigh(s, r)
  made.from[r] = {s = s}
  return origin.of_car(setmetatable(r, Sensitivity), s.c)
end

return sensitivity
