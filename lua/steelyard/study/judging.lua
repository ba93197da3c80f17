--- Verdicts on a block of variants: in C where a limit stands alike to all of them, one by one where it does not.
--
-- judging.new(e, rules) (e: evaluate.lua) -> judge, can_pass. judge(points, from, to, columns, sds, bad, codes) -> how many variants were
-- asked for an uncertainty: entries from .. to of codes, a column of codes, become the worse of what they are and of how these stand to the
-- rules. columns, sds: lists by output; columns[o] false where no rule needs it, sds[o] where there is none yet (e.late); bad: entries of
-- which the car does not stand so. can_pass(points) -> false where it is known before any answer that none will, since a limit is open
-- whatever the car; points: of which entry 1 is a variant.

local core = require "steelyard.core"
local rules_of = require "steelyard.study.rules"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local judging = {}

-- Whatever the car, all variants alike: the openness of each rule (limits.open); nil where cars differ in it.
local function openness(e, rules, points, from, columns)
  local cars = e:all_contexts(from, points)
  if not cars then return nil end
  local values, all = {}, nil
  for o, column in ipairs(columns) do values[o] = column and column[from] or nil end
  for _, c in ipairs(cars) do
    local open = rules_of.open_in(c, e.outputs, rules, values)
    for k in ipairs(open) do
      if all and all[k] ~= open[k] then return nil end
    end
    all = open
  end
  return all
end

-- Rules as core.judge takes them, {limits, columns, sds}; nil where it cannot judge one so. What is open whatever it is gets a limit
-- more, on
-- a column of which nothing is known.
local function in_core(e, rules, open, columns, sds, to)
  local limits, xs, us = {}, {}, {}
  local function add(limit, x, u) limits[#limits + 1], xs[#xs + 1], us[#us + 1] = limit, x, u end
  for k, rule in ipairs(rules) do
    local x, late = columns[rule.out], e.late[rule.out] and not rule.near
    if open[k] == "more" and not rule.max or open[k] == "less" and not rule.min then return nil end
    if open[k] then add({name = rule.name, max = 0}, core.column_grid({0 / 0}, 1, to), false) end
    if open[k] == "more" then
      add({name = rule.name, max = rule.max, near = 0}, x, false)
    elseif open[k] == "less" then
      add({name = rule.name, min = rule.min, near = 0}, x, false)
    elseif not open[k] then
      add({name = rule.name, min = rule.min, max = rule.max, near = late and 0 or rule.near, share = verdicts.NEAR_SHARE}, x, not late
        and sds[rule.out])
    end
  end
  return {limits, xs, us}
end

local function judge_one(e, rules, points, i, columns, sds, late)
  local values, uncertainties = {}, {}
  for o, column in ipairs(columns) do
    values[o] = column and column[i] or nil
    uncertainties[o] = sds and sds[o] and sds[o][i] or nil
  end
  return rules_of.judge_in(e:context(i, points), e.outputs, rules, values, sds and uncertainties or e:sd(i, points), {}, late)
end

local function worse(codes, i, rank)
  local word = codes[i]
  if not word or rank > verdicts.rank[word] then core.column_code(codes, i, rank) end
end

-- Those that pass so far, where a rule waits for an uncertainty.
local function settle_late(e, rules, points, from, to, columns, codes)
  local asked, i = 0, core.column_next(codes, from, to, verdicts.rank.pass)
  while i do
    worse(codes, i, (judge_one(e, rules, points, i, columns)))
    asked, i = asked + 1, core.column_next(codes, i + 1, to, verdicts.rank.pass)
  end
  return asked
end

local function one_by_one(e, rules, points, from, to, columns, sds, bad, codes)
  local asked = 0
  for i = from, to do
    local rank = 4
    if not bad[i] then
      local _, waits
      rank, _, waits = judge_one(e, rules, points, i, columns, sds, e.any_late and e.late)
      if waits and (codes[i] or "pass") == "pass" then rank, asked = judge_one(e, rules, points, i, columns), asked + 1 end
    end
    worse(codes, i, rank)
  end
  return asked
end

-- Does openness hang on the value, as that of a gap does while others are not known?
local function says(e, rules)
  for _, rule in ipairs(rules) do
    local q = e.outputs[rule.out].q
    if q and q.says then return true end
  end
  return false
end

--- See above.
function judging.new(e, rules)
  local open -- once known for all
  local function can_pass(points)
    if says(e, rules) then return true end
    if open == nil then open = openness(e, rules, points, 1, {}) or false end
    for k in ipairs(open and rules or {}) do
      if open[k] then return false end
    end
    return true
  end
  return function(points, from, to, columns, sds, bad, codes)
    if not rules[1] then return 0 end
    if open == nil then open = openness(e, rules, points, from, columns) or false end
    local given = open and in_core(e, rules, open, columns, sds, to)
    if not given then return one_by_one(e, rules, points, from, to, columns, sds, bad, codes) end
    core.judge(codes, from, to, given[1], given[2], given[3], text.K95)
    for i in pairs(bad) do core.column_code(codes, i, 4) end
    return e.any_late and settle_late(e, rules, points, from, to, columns, codes) or 0
  end, can_pass
end

return judging
