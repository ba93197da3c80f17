--- The result of a search: what to do, what it reaches, what binds; where it is impossible, the nearest and what is in the way.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local found_of = require "steelyard.study.seek_found"
local limits = require "steelyard.answers.limits"
local loading = require "steelyard.car.loading"
local made = require "steelyard.study.made"
local notes = require "steelyard.answers.notes"
local notes_of = require "steelyard.study.notes"
local origin = require "steelyard.print.origin"
local phrases = require "steelyard.study.phrases"
local text = require "steelyard.print.text"
local words_of = require "steelyard.study.words"

local result = {}
local Seek = require("steelyard.reference.results").kind "seek"

local function label_of(out) return out.label end

-- ---- pieces ------------------------------------------------------------------------------------------------------------------

local function moves_of(s, values)
  local list = {}
  for k, j in ipairs(s.outer) do
    local input = s.inputs[j]
    list[k] = {name = input.name, value = values[k], unit = input.unit or "", words = words_of.beside(input, values[k])}
  end
  return list
end

-- By name of the quantities asked for: what is reached, its uncertainty, and in which combination of what is folded.
local function reached_of(s, here, fold_words)
  local reached, sd, at = {}, {}, fold_words and {} or nil
  local function add(o)
    local kept, name = here.worst[o], s.outputs[o].name
    reached[name], sd[name] = kept.value, kept.sd
    if at and kept.fold then at[name] = fold_words[kept.fold] end
  end
  for _, target in ipairs(s.targets) do add(target.out) end
  if s.aimed then add(s.aimed) end
  return reached, sd, at
end

local function misses_of(s, here)
  local misses = {}
  for _, target in ipairs(s.targets) do
    local value = here.worst[target.out].value
    misses[target.name] = value and value - target.value or nil
  end
  return misses
end

-- Texts of all that is folded: "60 kg, 5 L".
local function fold_words_of(s, p)
  if not s.inner[1] then return nil end
  local list = {}
  for f = 1, p.folds do
    local pieces = {}
    for k, j in ipairs(s.inner) do pieces[k] = words_of.beside(s.inputs[j], p.fold_points[k][f]) end
    list[f] = table.concat(pieces, ", ")
  end
  return list
end

local named = {}

function named.bound(s, entry)
  local input = s.inputs[s.outer[entry.number]]
  return input.name, input.unit or ""
end

function named.limit(s, entry)
  local rule = s.limit_rules[entry.number]
  local out = (rule.state and nil or s.outputs)
  for _, state in ipairs(s.states) do
    if rule.state and state.state == rule.state then out = state.outputs end
  end
  return rule.state and ("%s (%s)"):format(rule.name, rule.state) or rule.name, out[rule.out].unit
end

function named.target(s, entry)
  local target = s.targets[entry.number]
  return target.name, s.outputs[target.out].unit
end

-- What binds; `gains` is the name of the quantity that more room would better.
local function binding_of(s, found, gains)
  local list = {}
  for k, entry in ipairs(found.binding) do
    local name, unit = named[entry.kind](s, entry)
    list[k] = {kind = entry.kind, name = name, value = entry.value, unit = unit, gain = entry.gain, gains = entry.gain and gains}
  end
  return list
end

-- ---- why not -----------------------------------------------------------------------------------------------------------------

-- Targets that are missed, the farthest off first by what each allows.
local function missed_of(s, here, found)
  local list = {}
  for k, target in ipairs(s.targets) do
    local value = here.worst[target.out].value
    local off = value and math.abs(value - target.value) or 1 / 0
    if off > found.within[k] * (1 + 1e-9) then list[#list + 1] = {target = target, value = value, off = off / found.within[k]} end
  end
  table.sort(list, function(a, b) return a.off > b.off end)
  return list
end

local function missed_text(s, entry)
  local out = s.outputs[entry.target.out]
  local unit = out.unit ~= "" and " " .. out.unit or ""
  if not entry.value then return ("%s is not known there"):format(label_of(out)) end
  return ("%s comes no nearer to %s than %s%s"):format(label_of(out), text.plain(entry.target.value), text.fixed(entry.value, out.decimals),
    unit)
end

local function why_of(s, here, found, missed)
  local list = {}
  for _, row in ipairs(here.rows) do
    if row.status == "fail" then
      list[#list + 1] = ("the limit %s%s is broken: %s"):format(row.name, row.state and (" (%s)"):format(row.state) or "", row.why)
    end
  end
  if found.outcome ~= "broken" or not list[1] then
    for _, entry in ipairs(missed) do list[#list + 1] = missed_text(s, entry) end
  end
  return table.concat(list, "; ")
end

-- ---- notes -------------------------------------------------------------------------------------------------------------------

local function notes_on(s, found, here)
  local c, list = contents.inside(here.car or s.car), {}
  local b = core.balance(c.now, c.geometry)
  notes_of.add_edits(s, here.car or s.car, s.sought, list)
  for _, out in ipairs(s.outputs) do
    for _, key in ipairs(c.shared.spec.wheel_keys) do
      if out.name == key then list[#list + 1] = notes.corner_basis(c) end
    end
    if out.q and out.q.grows == "inertia" and b.points > 0 then
      list[#list + 1] = ("%s counts %d of %d parts as points: read it as \"at least\""):format(out.label, b.points, b.parts)
    end
  end
  if s.starts > 1 and found.agree == 1 then
    list[#list + 1] = "only one start led here, so another place may be better: ask for more starts"
  end
  for _, note in ipairs(notes.gaps(c, b)) do list[#list + 1] = note end
  return notes_of.once(list)
end

-- ---- the result -----------------------------------------------------------------------------------------------------------------

local function asked_at(s, p)
  local here = found_of.at(s, p, nil)
  local values, sds = {}, {}
  for o, out in ipairs(s.outputs) do values[out.name], sds[out.name] = here.worst[o].value, here.worst[o].sd end
  return values, sds
end

local function within_of(s, found)
  local within = {}
  for k, target in ipairs(s.targets) do within[target.name] = found.within[k] end
  return within
end

--- See above.
function result.new(s, p, found)
  local here, fold_words = found_of.at(s, p, found.values), fold_words_of(s, p)
  local missed, status = missed_of(s, here, found), limits.status(here.rows)
  local possible = found.outcome == "reached" and not missed[1] and status ~= "fail" and here.car ~= nil
  local r = {possible = possible, why = not possible and why_of(s, here, found, missed) or nil, moves = {}, reached = {}, sd = {},
             misses = {}, binding = {}, within = within_of(s, found), limits = here.rows,
             tried = {starts = s.starts, agree = found.agree}, seed = s.seed,
             method = found.by_values and "COBYLA" or "SLSQP", state = loading.title(s.c), heading = s.car:heading(),
             status = not possible and "fail" or status or "pass"}
  local what_if = phrases.of_inputs(s.sought, found.values)
  local moves, reached = moves_of(s, found.values), table.pack(reached_of(s, here, fold_words))
  local misses, better = misses_of(s, here), p.quantities[found.gains].out
  local binding = binding_of(s, found, better.name)
  if possible then
    r.car, r.moves, r.reached, r.sd, r.reached_at = here.car, moves, reached[1], reached[2], reached[3]
    r.misses, r.binding, r.what_if = misses, binding, what_if
  else
    r.sd = reached[2]
    r.nearest = {what_if = what_if, car = here.car, moves = moves, reached = reached[1], reached_at = reached[3], misses = misses,
                 hinders = binding}
  end
  r.asked, r.asked_sd = asked_at(s, p)
  r.notes = notes_on(s, found, here)
  made.from[r] = {s = s, moves = moves, missed = missed, better = better}
  setmetatable(r, Seek)
  return origin.of_car(r, s.c)
end

local not_in_json = {car = true}

function Seek.__json(r)
  local copy = {}
  require("steelyard.reference.results").complete(r)
  origin.complete(r)
  for key, value in pairs(r) do
    if not not_in_json[key] then copy[key] = value end
  end
  if r.nearest then
    copy.nearest = {}
    for key, value in pairs(r.nearest) do copy.nearest[key] = not not_in_json[key] and value or nil end
  end
  return setmetatable(copy, {__name = "seek"})
end

function Seek.__tostring(r) return require("steelyard.study.seek_print").page(r) end

return result
