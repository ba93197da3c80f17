--- What a study says beside its numbers.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local notes = require "steelyard.answers.notes"
local text = require "steelyard.print.text"

local study_notes = {}

-- What follows what is varied, as car:move and the others say of one car: of each input alone at the end of its range.
local function of_inputs(s, list, said)
  for _, input in ipairs(s.inputs) do
    if input.kind ~= "setting" and input.kind ~= "state" then
      local value = input.words and #input.words or input.to ~= 0 and input.to or input.from
      for _, note in ipairs(notes.edits(contents.inside(input.apply(s.car, value)))) do
        if not said[note] then list[#list + 1] = note end
        said[note] = true
      end
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

local function unknown_outputs(s, r, list)
  for o = 1, s.shown do
    local count = r.outputs[o].unknown
    if count > 0 then
      list[#list + 1] = ("%s is unknown in %s"):format(r.outputs[o].name, count == r.n and "every variant"
        or ("%d of %s"):format(count, text.count(r.n, "variant")))
    end
  end
end

--- The list; r: the result so far.
function study_notes.of(s, r)
  local c = contents.inside(s.car)
  local b, list, said = core.balance(c.now, c.geometry), {}, {}
  if r.n_done then list[1] = ("stopped after %d of %d variants; the others are unknown"):format(r.n_done, r.n) end
  if r.counts and r.feasible == 0 then
    list[#list + 1] = r.counts.unknown == r.n and "no variant is known to keep the limits" or "no variant keeps the limits"
  end
  if shows_wheels(s) then list[#list + 1] = notes.corner_basis(c) end
  for _, note in ipairs(list) do said[note] = true end
  of_inputs(s, list, said)
  unknown_outputs(s, r, list)
  if s.why then list[#list + 1] = s.why end
  at_least(s, b, list)
  for _, note in ipairs(notes.gaps(c, b)) do
    if not said[note] then list[#list + 1] = note end
    said[note] = true
  end
  return list
end

return study_notes
