--- The result of a study: its columns by name, counts, what is lowest and highest, and the cars behind them.

local columns = require "steelyard.study.columns"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local front_of = require "steelyard.study.front"
local json = require "steelyard.print.json"
local loading = require "steelyard.car.loading"
local notes_of = require "steelyard.study.notes"
local origin = require "steelyard.print.origin"
local results = require "steelyard.reference.results"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local variants = require "steelyard.study.variants"
local words_of = require "steelyard.study.words"

local result = {}

local made_from = setmetatable({}, {__mode = "k"}) -- result -> {s =, outer =, inner =}

local words = {"pass", "near", "unknown", "fail"} -- by verdicts.rank

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
  local from, values = made_from[self], {}
  for k, j in ipairs(from.s.outer) do values[j] = from.outer.columns[k][i] end
  return variants.new{car = from.s.car, inputs = from.s.inputs, settings = from.s.settings, change = from.s.change}(values)
end

function methods:csv(path) return require("steelyard.study.export").csv(self, path) end
function methods:json(path) return require("steelyard.study.export").json(self, path) end

local Study = results.kind("study", methods)

local function inputs_shown(s)
  local list = {}
  for j, input in ipairs(s.inputs) do
    list[j] = {name = input.name, label = words_of.label(input), unit = input.unit or "", kind = input.kind,
               values = input.words or input.values or {input.from, input.to}}
  end
  return list
end

local function count_unknown(column, n)
  local count = 0
  for i = 1, n do
    if column[i] == nil then count = count + 1 end
  end
  return count
end

local SUMMED = 256 -- numbers in a partial sum: the sum is the same however the study was run

local function summary_of(column, n)
  local low, high, low_at, high_at, sum, part, count = nil, nil, nil, nil, 0.0, 0.0, 0
  for i = 1, n do
    local value = column[i]
    if value then
      if not low or value < low then low, low_at = value, i end
      if not high or value > high then high, high_at = value, i end
      part, count = part + value, count + 1
    end
    if i % SUMMED == 0 then sum, part = sum + part, 0.0 end
  end
  if count == 0 then return nil end
  return {min = low, max = high, mean = (sum + part) / count, at_min = low_at, at_max = high_at}
end

local function by_name(s, list, n)
  local named = {}
  for o = 1, s.shown do named[s.outputs[o].name] = list[o] end
  return named, n
end

local function counts_of(column, n)
  local counts = {pass = 0, near = 0, fail = 0, unknown = 0}
  for i = 1, n do
    local word = words[column[i]]
    counts[word] = counts[word] + 1
  end
  return counts
end

local function has_limits(s) return s.rules[1] ~= nil or s.states[1] ~= nil end

local function add_verdicts(r, s, stores, done)
  if not has_limits(s) then return end
  local whole = {}
  for i = 1, #words do whole[i] = words[i] end
  r.verdict = columns.of_words(stores.verdict, function(rank) return whole[rank] end)
  r.counts = counts_of(stores.verdict, done)
  r.feasible = r.counts.pass + r.counts.near
  r.status = r.feasible == 0 and "fail" or r.counts.pass > 0 and "pass" or "near"
  r.judged = {}
  for i, rule in ipairs(s.rules) do
    r.judged[i] = {name = rule.name, quantity = rule.quantity, min = rule.min, max = rule.max, from = rule.from}
  end
  for _, entry in ipairs(s.states) do
    for _, rule in ipairs(entry.rules) do
      table.insert(r.judged, {name = rule.name, quantity = rule.quantity, min = rule.min, max = rule.max, from = rule.from, state = rule.state})
    end
  end
end

-- "60 kg, 5 L": the combination f of what is folded.
local function folded_text(s, inner, f)
  local pieces = {}
  for k, j in ipairs(s.inner) do pieces[k] = words_of.beside(s.inputs[j], inner.columns[k][f]) end
  return table.concat(pieces, ", ")
end

local function add_folded(r, s, stores, inner)
  if not s.inner[1] then return end
  r.folded = {}
  for k, j in ipairs(s.inner) do r.folded[k] = s.inputs[j].name end
  local function at(list)
    local named = {}
    for o = 1, s.shown do named[s.outputs[o].name] = columns.of_words(list[o], function(f) return folded_text(s, inner, f) end) end
    return named
  end
  r.lowest, r.highest = by_name(s, stores.lowest), by_name(s, stores.highest)
  r.lowest_at, r.highest_at = at(stores.lowest_at), at(stores.highest_at)
end

local function add_outputs(r, s, stores, done)
  for o = 1, s.shown do
    local out = s.outputs[o]
    r.outputs[o] = {name = out.name, label = out.label, unit = out.unit, decimals = out.decimals, unknown = count_unknown(stores.values[o], done)}
    r.columns[out.name], r.summary[out.name] = stores.values[o], summary_of(stores.values[o], done)
    if s.uncertainty then r.sd[out.name] = stores.sds[o] end
    r.asked[out.name], r.asked_sd[out.name] = s.asked[o], s.asked_sd[o]
  end
end

local function add_inputs(r, s, outer)
  for k, j in ipairs(s.outer) do
    local input = s.inputs[j]
    if r.columns[input.name] then
      core.fail{code = "clash", field = "vary", message = ("%q is the name of an input and of a quantity"):format(input.name)}
    end
    r.columns[input.name] = input.words and columns.of_words(outer.columns[k], function(i) return input.words[i] end) or outer.columns[k]
  end
end

--- The result; done: how many variants there are of one that was stopped.
function result.new(s, outer, inner, stores, done)
  local c = contents.inside(s.car)
  local r = {n = outer.n, shape = outer.shape, method = s.method, seed = (s.method == "latin") and s.seed or nil, inputs = inputs_shown(s),
             outputs = {}, columns = {}, sd = {}, summary = {}, asked = {}, asked_sd = {}, solved_singly = done or outer.n, n_done = done,
             hash = s.hash, state = loading.title(c), heading = s.car:heading()}
  add_outputs(r, s, stores, done or outer.n)
  add_inputs(r, s, outer)
  add_verdicts(r, s, stores, done or outer.n)
  add_folded(r, s, stores, inner)
  if s.front then r.front = front_of.of(s, stores, done or outer.n) end
  made_from[r] = {s = s, outer = outer, inner = inner, stores = stores}
  r.notes = notes_of.of(s, r)
  return origin.of_car(setmetatable(r, Study), c)
end

--- What a result was made from: {s, outer, inner, stores}.
function result.made_from(r) return made_from[r] end

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

function Study.__json(r)
  local copy = {}
  results.complete(r)
  for key, value in pairs(r) do
    if in_columns[key] then
      copy[key] = {}
      for name, column in pairs(value) do copy[key][name] = list_of(column) end
    else
      copy[key] = key == "verdict" and list_of(value) or value
    end
  end
  return setmetatable(copy, {__name = "study"})
end

function Study.__tostring(r) return require("steelyard.study.print").page(r) end

result.count = text.count

return result
