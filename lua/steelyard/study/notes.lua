--- What a study says beside its numbers.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local edit_notes = require "steelyard.answers.edit_notes"
local loading = require "steelyard.car.loading"
local moves = require "steelyard.car.moves"
local notes = require "steelyard.answers.notes"
local text = require "steelyard.print.text"

local study_notes = {}

-- Where an axle goes what its wheels carry goes along, and the outer joints of its shafts.
local function of_axle(s, input)
  local index = input.found and input.found.axle
  if not index or input.kind ~= "move" then return nil end
  local parts, shafts = moves.along(contents.inside(s.car), index)
  local list = table.move(parts, 1, #parts, 1, {})
  if shafts[1] then list[#list + 1] = ("the outer %s of %s"):format(#shafts == 1 and "joint" or "joints", text.join_names(shafts)) end
  if #list == 0 then return ("%s: nothing goes along with it"):format(input.found.label) end
  return ("with the %s go %s; all else stays"):format(input.found.label, text.join(list))
end

-- The insides of a car in the states that are varied or folded; in its own without any.
local function in_states(s, car)
  local list = {}
  for _, input in ipairs(s.inputs) do
    for i in ipairs(input.kind == "state" and input.words or {}) do list[i] = contents.inside(input.apply(car, i)) end
  end
  return list[1] and list or {contents.inside(car)}
end

--- Adds what edits did and did not do where several states count: what is not aboard in one of them may be in another.
-- car: as edited; inputs: what was varied.
function study_notes.add_edits(s, car, inputs, list)
  local cars = in_states(s, car)
  if #cars == 1 then return notes.edits(contents.inside(car), list) end
  edit_notes.add_torn(contents.inside(car), list)
  for _, said in ipairs(study_notes.absent(inputs, cars)) do list[#list + 1] = edit_notes.not_counted(said) end
end

-- What follows what is varied, as car:move and the others say of one car: of each input alone at the end of its range.
local function of_inputs(s, list)
  for _, input in ipairs(s.inputs) do
    if input.kind ~= "setting" and input.kind ~= "state" then
      list[#list + 1] = of_axle(s, input)
      local value = input.words and #input.words or input.to ~= 0 and input.to or input.from
      study_notes.add_edits(s, input.apply(s.car, value), {input}, list)
    end
  end
end

local function shows_wheels(s)
  for _, key in ipairs(contents.inside(s.car).shared.spec.wheel_keys) do
    for o = 1, s.shown do
      if s.outputs[o].name == key then return true end
    end
  end
  return false
end

-- More can only come while parts have no shape.
local function at_least(s, b, list)
  for o = 1, s.shown do
    local out = s.outputs[o]
    if out.q and out.q.grows == "inertia" and b.points > 0 then
      list[#list + 1] = ("%s counts %d of %d parts as points: read it as \"at least\""):format(out.label, b.points, b.parts)
      return
    end
  end
end

local function once(list)
  local kept, said = {}, {}
  for _, note in ipairs(list) do
    if not said[note] then kept[#kept + 1] = note end
    said[note] = true
  end
  return kept
end
study_notes.once = once

--- Inputs about what is aboard in none of these cars (insides), in words: {"passenger is not aboard (kerb, race start)"}.
function study_notes.absent(inputs, cars)
  local list = {}
  for _, input in ipairs(inputs) do
    local titles, absent = {}, input.found ~= nil and not input.found.axle and not input.found.axles
    for i, c in ipairs(absent and cars or {}) do
      absent = absent and edit_notes.is_absent(c, input.found)
      titles[i] = loading.title(c)
    end
    if absent then list[#list + 1] = edit_notes.not_aboard(table.concat(once(titles), ", "), input.found.label) end
  end
  return once(list)
end

--- What is known before any variant is.
function study_notes.of_car(s)
  local c = contents.inside(s.car)
  local b, list = core.balance(c.now, c.geometry), {}
  table.move(s.whys, 1, #s.whys, 1, list)
  if shows_wheels(s) then list[#list + 1] = notes.corner_basis(c) end
  of_inputs(s, list)
  at_least(s, b, list)
  for _, note in ipairs(notes.gaps(c, b)) do list[#list + 1] = note end
  return once(list)
end

--- What is known once all are: a (about.lua), r the result so far.
function study_notes.of_result(a, r)
  local list = {}
  if r.n_done then list[1] = ("stopped after %d of %s; the others are not known"):format(r.n_done, text.count(a.n, "variant")) end
  if r.feasible == 0 and r.n_done ~= 0 then
    list[#list + 1] = r.counts.unknown == (r.n_done or r.n) and "no variant is known to keep the limits" or "no variant keeps the limits"
  end
  for o = 1, a.shown do
    local count = r.outputs[o].unknown
    if count > 0 then
      list[#list + 1] = ("%s is unknown in %s"):format(a.outputs[o].label, count == r.n and (r.n == 1 and "the variant" or "every variant")
        or ("%d of %s"):format(count, text.count(r.n, "variant")))
    end
  end
  table.move(a.notes, 1, #a.notes, #list + 1, list)
  return once(list)
end

return study_notes
