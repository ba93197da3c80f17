--- What a study is of, without its car: what its result and its page need, and what a file of its blocks carries for sy.merge.
--
-- about.of(s) -> a table that is JSON:
--   heading, state, aboard, file     of the car asked about
--   inputs   list {name, label, kind, unit, values, words, from, to, ranged, what (as headings have it), way}; `outer` and `inner` are
--            numbers of those that make variants and of those that are folded
--   outputs  list {name, label, unit, decimals, change, grows}; the first `shown` are shown
--   rules    list {name, quantity, min, max, out = number of the output, from, state}; of those judged in a state there is no `out`
--   asked, asked_sd   {[name] = answer of the car itself}
--   folds    texts of the combinations that are folded, or nil
--   columns  of a list of rows: what they say, by input, null where they do not; of other methods `points` is how many
--   front    list {out, most}    method, seed, uncertainty, reduce, n, hash, notes

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local figures = require "steelyard.print.figures"
local json = require "steelyard.print.json"
local loading = require "steelyard.car.loading"
local notes_of = require "steelyard.study.notes"
local origin = require "steelyard.print.origin"
local points_of = require "steelyard.study.points"
local quantities = require "steelyard.reference.quantities"
local words_of = require "steelyard.study.words"

local about = {}

local function inputs_of(s)
  local list = {}
  for j, input in ipairs(s.inputs) do
    list[j] = {name = input.name, kind = input.kind, unit = input.unit or "", values = input.values, words = input.words, from = input.from,
               to = input.to, ranged = input.ranged, way = input.way, what = words_of.item(input)}
    list[j].label = words_of.label(list[j])
  end
  return list
end

local function outputs_of(s)
  local more, list = figures.of(contents.inside(s.car)), {}
  for o, out in ipairs(s.outputs) do
    local finer = more[out.unit] or 0
    list[o] = {name = out.name, label = out.label, unit = out.unit, decimals = out.decimals + finer, grows = out.q and out.q.grows,
               change = (out.q and out.q.change or out.decimals) + finer}
  end
  return list
end

local function rules_of(s)
  local list = {}
  local function add(rule, out)
    list[#list + 1] = {name = rule.name, quantity = rule.quantity, unit = quantities.limited(rule.quantity).unit, min = rule.min,
      max = rule.max, out = out, from = rule.from,
                       state = rule.state}
  end
  for _, rule in ipairs(s.rules) do add(rule, rule.out) end
  for _, entry in ipairs(s.states) do
    for _, rule in ipairs(entry.rules) do add(rule) end
  end
  return list
end

local function by_name(s, list)
  local named = {}
  for o, out in ipairs(s.outputs) do named[out.name] = list[o] end
  return named
end

-- Texts of all that is folded: "60 kg, 5 L".
local function folds_of(a, inner)
  if not a.inner[1] then return nil end
  local list = {}
  for f = 1, inner.n do
    local pieces = {}
    for k, j in ipairs(a.inner) do pieces[k] = words_of.beside(a.inputs[j], inner.columns[k][f]) end
    list[f] = table.concat(pieces, ", ")
  end
  return list
end

-- What the rows of a list say, by input; what a row does not say is null.
local function columns_of(s, outer)
  if s.method ~= "list" then return nil end
  local list = {}
  for k = 1, #s.outer do
    list[k] = {}
    for u = 1, outer.n do
      local value = outer.columns[k][u]
      list[k][u] = value == nil and json.null or value
    end
  end
  return list
end

local function of_columns(columns)
  local list = {}
  for k, column in ipairs(columns) do
    local entries = {}
    for u, value in ipairs(column) do entries[u] = value ~= json.null and value or nil end
    list[k] = core.column_of(entries, #column)
  end
  return {n = #columns[1], columns = list, as_asked = true}
end

local function picked(list, numbers)
  local some = {}
  for k, j in ipairs(numbers) do some[k] = list[j] end
  return some
end

--- Points of the inputs that make variants, and of those that are folded; from what was asked, or from what `about` gave.
function about.points(a)
  local outer, inner = {n = 1, shape = {}, columns = {}}, {n = 1, columns = {}}
  if a.columns then
    outer = of_columns(a.columns)
  elseif a.outer[1] then
    outer = points_of.of{method = a.method, inputs = picked(a.inputs, a.outer), points = a.points, seed = a.seed}
  end
  if a.inner[1] then inner = points_of.grid(picked(a.inputs, a.inner)) end
  return outer, inner
end

--- See above; asked, asked_sd: lists by output.
function about.of(s, outer, inner, asked, asked_sd)
  local c = contents.inside(s.car)
  local a = {heading = s.car:heading(), state = loading.title(c), aboard = origin.aboard_of(c), file = origin.file_of(c),
    inputs = inputs_of(s),
             outer = s.outer, inner = s.inner, outputs = outputs_of(s), shown = s.shown, rules = rules_of(s), asked = by_name(s, asked),
             asked_sd = by_name(s, asked_sd), front = s.front, method = s.method, points = s.method ~= "list" and s.points or nil,
               columns = columns_of(s, outer), seed = s.seed, n = outer.n,
             uncertainty = s.uncertainty, reduce = s.reduce, hash = s.hash}
  a.folds = folds_of(a, inner)
  a.notes = notes_of.of_car(s)
  return a
end

return about
