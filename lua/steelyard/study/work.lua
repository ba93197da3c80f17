--- One block of a study after the other: answers, verdicts, and what is folded.
--
-- work.new(s, outer, inner) -> w, with w.run(first, count, stores, at, sums) -> how many cars were solved singly, of what is folded each
-- combination: so many variants from number `first` on, kept as entries `at` and on of stores (stores.lua), and added to sums, core.summary
-- by output; w.sums_alone(o) whether output o needs no column for that; w.all_planned whether none need be asked one by one but for
-- verdicts; w.late whether verdicts may need an uncertainty of one variant by itself.

local core = require "steelyard.core"
local evaluate = require "steelyard.study.evaluate"
local judging = require "steelyard.study.judging"
local stores_of = require "steelyard.study.stores"
local verdicts = require "steelyard.answers.verdicts"

local work = {}

local of_state = {state = true, fill = true} -- a state says these itself

local function picked(list, numbers)
  local some = {}
  for k, j in ipairs(numbers) do some[k] = list[j] end
  return some
end

-- The outputs with an uncertainty where it is wanted, and those that a limit judges marked.
local function with_sd(outputs, wanted, judged_too)
  local list = {}
  for o, out in ipairs(outputs) do
    list[o] = setmetatable({with_sd = wanted(o) or false, judged = judged_too(o)}, {__index = out})
  end
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

-- A column of codes of which none is a verdict yet.
local function clear(codes, from, to)
  core.column_put(codes, from, to, ("\0"):rep(to - from + 1), 1)
  return codes
end

local function scratch_codes(w, n)
  if not w.codes or #w.codes ~= n then w.codes = core.column_codes(n, stores_of.verdicts) end
  return clear(w.codes, 1, n)
end

-- Verdicts of `count` variants in the states that limits name, over those in codes. points: from entry 1 on.
local function judge_states(w, points, count, codes)
  local singly = 0
  for k, entry in ipairs(w.states) do
    local bad = {}
    local columns = scratch_columns(w, "state" .. k .. " ", entry.e.outputs, count, always)
    local sds = scratch_columns(w, "state sd" .. k .. " ", entry.e.outputs, count, always)
    singly = math.max(singly, entry.e:run(1, count, points, columns, sds, bad))
    singly = math.max(singly, entry.judge(points, 1, count, columns, sds, bad, codes))
  end
  return singly
end

-- ---- without folding -----------------------------------------------------------------------------------------------------------

-- Verdicts over states go into the entries from `at` on, where worse.
local function add_states(w, first, count, verdict, at)
  local codes = scratch_codes(w, count)
  local singly = judge_states(w, points_of_block(w, first, count), count, codes)
  for k = 1, count do
    local word, found = verdict[at + k - 1], verdicts.rank[codes[k]]
    if not word or found > verdicts.rank[word] then core.column_code(verdict, at + k - 1, found) end
  end
  return singly
end

-- Answers as the car has what is folded; verdicts where nothing is.
local function run_plain(w, first, count, stores, at, sums)
  local bad, sds = {}, {}
  local points = at == first and w.outer.columns or points_of_block(w, first, count)
  for o, out in ipairs(w.plain.outputs) do
    sds[o] = stores.sds[o] or out.with_sd and scratch(w, "sd" .. o, #stores.verdict) or false
  end
  local singly = w.plain:run(at, count, points, stores.values, sds, bad, sums, first)
  if w.folds or not w.judges then return singly end
  local last = at + count - 1
  clear(stores.verdict, at, last)
  singly = math.max(singly, w.judge(points, at, last, stores.values, sds, bad, stores.verdict))
  return w.states[1] and math.max(singly, add_states(w, first, count, stores.verdict, at)) or singly
end

-- ---- folding -------------------------------------------------------------------------------------------------------------------

local function run_folds(w, first, count, stores, at)
  local folds = w.inner.n
  local n, bad = count * folds, {}
  local points = points_of_block(w, first, count, true)
  local columns = scratch_columns(w, "value", w.folds.outputs, n, always)
  local sds = scratch_columns(w, "folded sd", w.folds.outputs, n, function(o) return w.folds.outputs[o].with_sd end)
  local singly = w.folds:run(1, n, points, columns, sds, bad)
  for o, column in ipairs(columns) do
    core.fold(column, 1, folds, count, at, stores.lowest[o], stores.highest[o], stores.lowest_at[o], stores.highest_at[o])
  end
  if w.judges then
    local codes = scratch_codes(w, n)
    singly = math.max(singly, w.judge(points, 1, n, columns, sds, bad, codes), (judge_states(w, points, n, codes)))
    core.fold_verdict(codes, 1, folds, count, at, stores.verdict)
  end
  return singly
end

-- ---- making ----------------------------------------------------------------------------------------------------------------------

-- Variants that all say something of the inputs of `outer`; outer.one: the number of one of them, if that is not 1.
local function of_all(s, outer, inner)
  local w = {s = s, outer = outer, inner = inner, states = {}, scratch = {}, judges = s.rules[1] ~= nil or s.states[1] ~= nil}
  local outer_inputs, all_inputs = picked(s.inputs, s.outer), picked(s.inputs, s.outer)
  for _, j in ipairs(s.inner) do all_inputs[#all_inputs + 1] = s.inputs[j] end
  local folds = s.inner[1] ~= nil
  local cars = (outer.count or outer.n) * inner.n
  local points = s.method ~= "grid" and (outer.taken or outer.columns) or nil -- what inputs take is not what sy.vary lists
  local function new(car, inputs, outputs, skip)
    return evaluate.new{car = car, inputs = inputs, outputs = outputs, settings = s.settings, change = s.change, skip = skip,
      points = points, singly = s.singly, threads = s.threads, count = cars}
  end
  local is_judged = judged(s.rules)
  w.plain = new(s.car, outer_inputs, with_sd(s.outputs, function(o)
    return s.uncertainty and o <= s.shown or not folds and is_judged(o) and "judged"
  end, folds and function() return false end or is_judged))
  w.folds = folds and new(s.car, all_inputs, with_sd(s.outputs, function(o) return is_judged(o) and "judged" end, is_judged)) or nil
  local can_pass
  w.judge, can_pass = judging.new(w.folds or w.plain, s.rules)
  for k, entry in ipairs(s.states) do
    local e = new(s.car:state(entry.state), all_inputs, with_sd(entry.outputs, function() return "judged" end, always), of_state)
    local judge, its_can_pass = judging.new(e, entry.rules)
    w.states[k] = {e = e, judge = judge, can_pass = its_can_pass}
  end
  w.all_planned = w.plain.all_planned and (not w.folds or w.folds.all_planned)
  local one = points_of_block(w, outer.one or 1, 1, folds) -- variant
  w.late = (w.plain.any_late or folds and w.folds.any_late) and can_pass(one)
  for _, entry in ipairs(w.states) do
    w.all_planned = w.all_planned and entry.e.all_planned
    w.late = w.late or entry.e.any_late and entry.can_pass(one)
  end
  function w.sums_alone(o) return w.plain:sums_alone(o) end
  function w.run(first, count, stores, at, sums)
    local singly = run_plain(w, first, count, stores, at, sums)
    return w.folds and math.max(singly, run_folds(w, first, count, stores, at)) or singly
  end
  return w
end

-- Rows that leave out the same inputs go together, each with an evaluation of its own: what is left out is as the car has it and not set to
-- that, which would be another statement. {said = numbers in s.outer of what they say, count =, [variants]}, and of which each variant is.
local function by_what_is_said(outer, count)
  local sets, by_key, of = {}, {}, {}
  for u = 1, outer.n do
    local said = {}
    for k = 1, count do
      if outer.columns[k][u] ~= nil then said[#said + 1] = k end
    end
    local key = table.concat(said, " ")
    local set = by_key[key]
    if not set then
      set = {said = said}
      by_key[key], sets[#sets + 1] = set, set
    end
    set[#set + 1], of[u] = u, set
  end
  return sets, of
end

local FEW = 16 -- cars: a plan takes as many to be made

-- The study of one set.
local function of_set(s, outer, inner, set)
  local part, columns, taken = {n = outer.n, count = #set, columns = {}, one = set[1]}, {}, {}
  local numbers = picked(s.outer, set.said)
  for m, k in ipairs(set.said) do
    local values = {}
    for i, u in ipairs(set) do values[i] = outer.columns[k][u] end
    columns[m], taken[m] = outer.columns[k], core.column_of(values, #values)
  end
  part.columns, part.taken = columns, taken
  return of_all(setmetatable({outer = numbers, singly = s.singly or #set * inner.n < FEW}, {__index = s}), part, inner)
end

local function of_sets(s, outer, inner)
  local sets, of = by_what_is_said(outer, #s.outer)
  if not sets[2] and #sets[1].said == #s.outer then return of_all(s, outer, inner) end
  local w = {all_planned = true, late = false}
  for _, set in ipairs(sets) do
    set.work = of_set(s, outer, inner, set)
    w.all_planned, w.late = w.all_planned and set.work.all_planned, w.late or set.work.late
  end
  function w.sums_alone(o)
    local alone = true
    for _, set in ipairs(sets) do alone = alone and set.work.sums_alone(o) end
    return alone
  end
  function w.run(first, count, stores, at, sums)
    local singly, u, last = 0, first, first + count - 1
    while u <= last do -- as many as follow each other in one set
      local set, to = of[u], u
      while to < last and of[to + 1] == set do to = to + 1 end
      singly = singly + set.work.run(u, to - u + 1, stores, at + u - first, sums)
      u = to + 1
    end
    return singly
  end
  return w
end

--- See above.
function work.new(s, outer, inner)
  return (outer.as_asked and of_sets or of_all)(s, outer, inner)
end

return work
