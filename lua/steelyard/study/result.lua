--- The result of a study: its columns by name, counts, what is lowest and highest, and the cars behind them.
--
-- result.new(a, kept, done, live): a of about.lua, kept of kept.lua, done how many variants there are of one that was stopped; live = {s,
-- outer, inner, planned = whether a plan covers all outputs} where the study ran here, nil of one that was put together of files; shard
-- {k, n} of a run that is a part of the whole: its counts alone are known.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local about_of = require "steelyard.study.about"
local front_of = require "steelyard.study.front"
local json = require "steelyard.print.json"
local made = require "steelyard.study.made"
local notes_of = require "steelyard.study.notes"
local origin = require "steelyard.print.origin"
local points_of = require "steelyard.study.points"
local results = require "steelyard.reference.results"
local stores_of = require "steelyard.study.stores"
local tally_of = require "steelyard.study.tally"
local user_values = require "steelyard.file.user_values"
local variants = require "steelyard.study.variants"

local result = {}

local methods = {}

local function check_number(r, i)
  if math.type(i) == "float" and i == math.floor(i) then i = math.tointeger(i) end
  if math.type(i) ~= "integer" or i < 1 or i > r.n then
    core.fail{code = "range", message = ("a variant is a number from 1 to %d, not %s"):format(r.n, user_values.what(i))}
  end
  return i
end

--- The car of variant i, as the study asked it; what worst_over folds is as in the car asked about. Second, the settings it was asked with.
function methods:variant(i)
  i = check_number(self, i)
  local from, values = made.from[self], {}
  if not from.live then
    core.fail{code = "unavailable", message = "a result put together of files has no cars", hint = "load the vehicle and run the study"}
  end
  local s = from.live.s
  for k, j in ipairs(s.outer) do values[j] = from.outer.columns[k][i] end
  return variants.new{car = s.car, inputs = s.inputs, settings = s.settings, change = s.change}(values)
end

function methods:csv(path) return require("steelyard.study.export").csv(self, path) end
function methods:json(path) return require("steelyard.study.export").json(self, path) end

local Study = results.kind("study", methods)

local function add_outputs(r, a, k)
  for o = 1, a.shown do
    local out, t = a.outputs[o], k.tally.outputs[o]
    local summary, unknown = tally_of.summary(t)
    r.outputs[o] = {name = out.name, label = out.label, unit = out.unit, decimals = out.decimals, unknown = unknown}
    r.summary[out.name] = summary
    r.asked[out.name], r.asked_sd[out.name] = a.asked[out.name], a.asked_sd[out.name]
    if k.stores then
      r.columns[out.name] = k.stores.values[o]
      if a.uncertainty then r.sd[out.name] = k.stores.sds[o] end
    end
  end
end

local function add_inputs(r, a, k, outer)
  for j, input in ipairs(a.inputs) do
    r.inputs[j] = {name = input.name, label = input.label, unit = input.unit, kind = input.kind,
                   values = input.words or input.values or {input.from, input.to}}
  end
  for c, j in ipairs(a.outer) do
    if k.stores then r.columns[a.inputs[j].name] = points_of.shown(outer, c, a.inputs[j]) end
  end
end

local function add_verdicts(r, a, k)
  if not a.rules[1] then return end
  r.verdict, r.counts = k.stores and k.stores.verdict, tally_of.counts(k.tally)
  r.feasible = r.counts.pass + r.counts.near
  r.status = r.feasible == 0 and "fail" or r.counts.pass > 0 and "pass" or "near"
  r.judged = {}
  for i, rule in ipairs(a.rules) do
    r.judged[i] = {name = rule.name, quantity = rule.quantity, unit = rule.unit, min = rule.min, max = rule.max, from = rule.from,
                   state = rule.state}
  end
end

local function add_folded(r, a, k)
  if not a.folds then return end
  r.folded = {}
  for c, j in ipairs(a.inner) do r.folded[c] = a.inputs[j].name end
  for _, which in ipairs(k.stores and stores_of.of_folds or {}) do
    r[which] = {}
    for o = 1, a.shown do r[which][a.outputs[o].name] = k.stores[which][o] end
  end
end

--- See above.
function result.new(a, k, stopped, live, shard)
  local outer = live and live.outer or about_of.points(a)
  if shard then k = {tally = k.tally} end
  if stopped and k.stores then stores_of.cut(k.stores, stopped) end
  local r = {n = a.n, shape = outer.shape, method = a.method, seed = a.seed, inputs = {}, outputs = {}, columns = {}, sd = {}, summary = {},
             asked = {}, asked_sd = {}, solved_singly = k.tally.singly, n_done = stopped, shard = shard, hash = a.hash, state = a.state,
               heading = a.heading}
  add_outputs(r, a, k)
  add_inputs(r, a, k, outer)
  add_verdicts(r, a, k)
  add_folded(r, a, k)
  if shard then r.status, r.feasible = nil, nil end
  if a.front and k.stores then r.front, r.wishes = front_of.of(a, k.stores), front_of.wishes(a) end
  r.notes = notes_of.of_result(a, r)
  made.from[r] = {a = a, stores = k.stores, tally = k.tally, outer = outer, live = live}
  setmetatable(r, Study)
  if live then return origin.of_car(r, contents.inside(live.s.car)) end
  r.aboard = a.aboard
  return origin.of_file(r, a.file)
end

-- Columns as lists; what is not known is null.
local function list_of(column)
  local list = {}
  for i = 1, #column do
    local value = column[i]
    list[i] = value == nil and json.null or value
  end
  return list
end

local in_columns = {columns = true, sd = true, lowest = true, highest = true, lowest_at = true, highest_at = true}

-- What the numbers of the document are in, by their paths.
local function units_of(r)
  local units = {["aboard[].mass"] = "kg", ["aboard[].litres"] = "litre"}
  local function note(path, unit)
    if unit ~= "" then units[path] = unit end
  end
  for _, input in ipairs(r.inputs) do
    if r.columns[input.name] and type(input.values[1]) == "number" then note(("columns.%s[]"):format(input.name), input.unit) end
  end
  for _, out in ipairs(r.outputs) do
    for _, path in ipairs{"columns.%s[]", "lowest.%s[]", "highest.%s[]", "asked.%s", "asked_sd.%s", "summary.%s.min", "summary.%s.max",
                          "summary.%s.mean"} do
      note(path:format(out.name), out.unit)
    end
  end
  return units
end

function Study.__json(r)
  local copy = {}
  results.complete(r)
  origin.complete(r)
  for key, value in pairs(r) do
    if in_columns[key] then
      copy[key] = {}
      for name, column in pairs(value) do copy[key][name] = list_of(column) end
    else
      copy[key] = key == "verdict" and list_of(value) or value
    end
  end
  copy.units = units_of(r)
  return setmetatable(copy, {__name = "study"})
end

function Study.__tostring(r) return require("steelyard.study.print").page(r) end

return result
