--- One block of a study after the other: answers, verdicts, and what is folded.
--
-- work.new(s, outer, inner) -> w, with w.run(first, count, stores, at) -> how many variants were asked one by one: so many from number `first` on,
-- kept as entries `at` and on of stores (stores.lua); w.all_planned whether none need be but for verdicts; w.late whether verdicts may
-- need an uncertainty of one variant by itself.

local core = require "steelyard.core"
local evaluate = require "steelyard.study.evaluate"
local rules = require "steelyard.study.rules"
local stores_of = require "steelyard.study.stores"

local work = {}

local of_state = {state = true, fill = true} -- a state says these itself

local function picked(list, numbers)
  local some = {}
  for k, j in ipairs(numbers) do some[k] = list[j] end
  return some
end

-- The outputs with an uncertainty where it is wanted.
local function with_sd(outputs, wanted)
  local list = {}
  for o, out in ipairs(outputs) do list[o] = setmetatable({with_sd = wanted(o) or false}, {__index = out}) end
  return list
end

local function judged(list)
  local numbers = {}
  for _, rule in ipairs(list) do numbers[rule.out] = true end
  return function(o) return numbers[o] == true end
end

-- ---- columns of one block ----------------------------------------------------------------------------------------------------

-- A column of that many entries under a key, the same again while the size stays.
local function scratch(w, key, n)
  local kept = w.scratch[key]
  if not kept or #kept ~= n then
    kept = core.column(n)
    w.scratch[key] = kept
  end
  return kept
end

local function scratch_columns(w, name, outputs, n, wanted)
  local list = {}
  for o in ipairs(outputs) do list[o] = wanted(o) and scratch(w, name .. o, n) or false end
  return list
end

local function always() return true end

-- The points of variants first .. by input, entry 1 being the first: outer ones each `times` in a row, inner ones in turn.
local function points_of_block(w, first, count, with_inner)
  local list, times = {}, with_inner and w.inner.n or 1
  for k in ipairs(w.s.outer) do list[k] = core.column_part(w.outer.columns[k], first, count, times) end
  for k, j in ipairs(with_inner and w.s.inner or {}) do
    list[#list + 1] = core.column_grid(w.s.inputs[j].values, w.inner.each[k], count * times)
  end
  return list
end

-- ---- verdicts ------------------------------------------------------------------------------------------------------------------

-- Ranks of entries from .. to by one evaluation, where worse than what stands there; how many had to be asked for an uncertainty.
local function judge(e, list, points, from, to, columns, sds, bad, ranks)
  local values, uncertainties, none, asked = {}, {}, {}, 0
  for i = from, list[1] and to or from - 1 do
    local rank, _, waits = 4, nil, false
    if not bad[i] then
      local c = e:context(i, points)
      for o, column in ipairs(columns) do
        values[o] = column[i]
        uncertainties[o] = sds[o] and sds[o][i] or nil
      end
      rank, _, waits = rules.judge_in(c, e.outputs, list, values, uncertainties, none, e.any_late and e.late)
      if waits and ranks[i] == 1 then
        rank, asked = rules.judge_in(c, e.outputs, list, values, e:sd(i, points), none), asked + 1
      end
    end
    if rank > ranks[i] then ranks[i] = rank end
  end
  return asked
end

-- The same for the states that limits name. points: from entry 1 on.
local function judge_states(w, points, count, ranks)
  local singly = 0
  for k, entry in ipairs(w.states) do
    local bad = {}
    local columns = scratch_columns(w, "state" .. k .. " ", entry.e.outputs, count, always)
    local sds = scratch_columns(w, "state sd" .. k .. " ", entry.e.outputs, count, always)
    singly = math.max(singly, entry.e:run(1, count, points, columns, sds, bad))
    singly = math.max(singly, judge(entry.e, entry.rules, points, 1, count, columns, sds, bad, ranks))
  end
  return singly
end

-- ---- without folding -----------------------------------------------------------------------------------------------------------

local function fresh(count)
  local ranks = {}
  for i = 1, count do ranks[i] = 1 end
  return ranks
end

-- Answers as the car has what is folded; verdicts where nothing is.
local function run_plain(w, first, count, stores, at)
  local bad, wanted = {}, judged(w.s.rules)
  local points = at == first and w.outer.columns or points_of_block(w, first, count)
  local columns, sds = stores.values, {}
  if at ~= first and at ~= 1 then error("a block begins where it is kept, or at the first entry") end
  for o in ipairs(w.plain.outputs) do
    sds[o] = stores.sds[o] or not w.folds and wanted(o) and scratch(w, "sd" .. o, #stores.verdict) or false
  end
  local singly = w.plain:run(at, count, points, columns, sds, bad)
  if w.folds or not w.judges then return singly end
  local ranks = setmetatable({}, {__index = function() return 1 end})
  singly = math.max(singly, judge(w.plain, w.s.rules, points, at, at + count - 1, columns, sds, bad, ranks))
  if w.states[1] then
    local of_states = fresh(count)
    singly = math.max(singly, judge_states(w, points_of_block(w, first, count), count, of_states))
    for k = 1, count do
      if of_states[k] > ranks[at + k - 1] then ranks[at + k - 1] = of_states[k] end
    end
  end
  for i = at, at + count - 1 do core.column_code(stores.verdict, i, ranks[i]) end
  return singly
end

-- ---- folding -------------------------------------------------------------------------------------------------------------------

-- The least and the greatest of `folds` entries of a column, and which they are; nothing where one is not known.
local function ends(column, from, folds)
  local low, high, low_at, high_at = nil, nil, nil, nil
  for f = 1, folds do
    local value = column[from + f]
    if not value then return nil end
    if not low or value < low then low, low_at = value, f end
    if not high or value > high then high, high_at = value, f end
  end
  return low, high, low_at, high_at
end

local function run_folds(w, first, count, stores, at)
  local folds = w.inner.n
  local n, bad = count * folds, {}
  local points = points_of_block(w, first, count, true)
  local columns = scratch_columns(w, "value", w.folds.outputs, n, always)
  local sds = scratch_columns(w, "folded sd", w.folds.outputs, n, judged(w.s.rules))
  local singly, ranks = w.folds:run(1, n, points, columns, sds, bad), w.judges and fresh(n)
  if w.judges then
    singly = math.max(singly, judge(w.folds, w.s.rules, points, 1, n, columns, sds, bad, ranks))
    singly = math.max(singly, judge_states(w, points, n, ranks))
  end
  for u = 0, count - 1 do
    for o, column in ipairs(columns) do
      local found = table.pack(ends(column, u * folds, folds))
      for k, which in ipairs(stores_of.of_folds) do core.column_set(stores[which][o], at + u, found[k]) end
    end
    local worst = 1
    for f = 1, ranks and folds or 0 do worst = math.max(worst, ranks[u * folds + f]) end
    if ranks then core.column_code(stores.verdict, at + u, worst) end
  end
  return (singly + folds - 1) // folds
end

-- ---- making ----------------------------------------------------------------------------------------------------------------------

-- Columns of a list may hold what no input says, and nothing.
local function has_gaps(outer)
  for _, column in ipairs(outer.as_asked and outer.columns or {}) do
    for i = 1, outer.n do
      if column[i] == nil then return true end
    end
  end
  return false
end

--- See above.
function work.new(s, outer, inner)
  local w = {s = s, outer = outer, inner = inner, states = {}, scratch = {}, judges = s.rules[1] ~= nil or s.states[1] ~= nil}
  local outer_inputs, all_inputs = picked(s.inputs, s.outer), picked(s.inputs, s.outer)
  for _, j in ipairs(s.inner) do all_inputs[#all_inputs + 1] = s.inputs[j] end
  local gaps, folds = has_gaps(outer), s.inner[1] ~= nil
  local points = s.method == "list" and not gaps and not folds and outer.columns or nil
  local single = s.singly or gaps or outer.as_asked and folds
  local function new(car, inputs, outputs, skip)
    return evaluate.new{car = car, inputs = inputs, outputs = outputs, settings = s.settings, change = s.change, skip = skip, points = points,
                        singly = single}
  end
  local is_judged = judged(s.rules)
  w.plain = new(s.car, outer_inputs, with_sd(s.outputs, function(o)
    return s.uncertainty and o <= s.shown or not folds and is_judged(o) and "judged"
  end))
  w.folds = folds and new(s.car, all_inputs, with_sd(s.outputs, function(o) return is_judged(o) and "judged" end)) or nil
  for k, entry in ipairs(s.states) do
    w.states[k] = {e = new(s.car:state(entry.state), all_inputs, with_sd(entry.outputs, function() return "judged" end), of_state), rules = entry.rules}
  end
  w.all_planned = w.plain.all_planned and (not w.folds or w.folds.all_planned)
  w.late = w.plain.any_late or w.folds and w.folds.any_late
  for _, entry in ipairs(w.states) do
    w.all_planned, w.late = w.all_planned and entry.e.all_planned, w.late or entry.e.any_late
  end
  function w.run(first, count, stores, at)
    local singly = run_plain(w, first, count, stores, at)
    return w.folds and math.max(singly, run_folds(w, first, count, stores, at)) or singly
  end
  return w
end

return work
