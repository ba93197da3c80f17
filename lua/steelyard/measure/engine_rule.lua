--- Where the CG of an engine lies beside its crankshaft, and the rule of thumb for flat engines beside that.

local measurement = require "steelyard.measure.measurement"
local options = require "steelyard.reference.options"
local part_axes = require "steelyard.measure.part_axes"
local text = require "steelyard.print.text"

local engine_rule = {}

local letters = {"x", "y", "z"}
local kinds = {"flat engine", "inline engine", "vee engine", "engine", "gearbox", "part"}

local RULE = "rule of thumb (common practice, no source): the CG of a flat engine lies close to the crankshaft centreline"

--- {kind =, crank = {y =, z =}} of the fields of a measurement; where: what an error calls them.
function engine_rule.read(t, where)
  local said = {kind = measurement.text(t, "kind", where, kinds)}
  if t.crank ~= nil then
    measurement.fields(t.crank, options.names("measuring", "crank"), where .. ", crank")
    said.crank = {}
    for _, letter in ipairs(letters) do said.crank[letter] = measurement.number(t.crank, letter, "mm", nil, where, "crank." .. letter) end
  end
  return said
end

local side = {up = "above", down = "below", left = "left of", right = "right of", forward = "ahead of", back = "behind"}

-- "14 mm above and 9 mm right of the crankshaft centreline"; heights first. Without axes the part's own letters.
local function place_of(cg, crank, axes)
  local list = {}
  for _, i in ipairs{3, 2, 1} do
    local letter = letters[i]
    if crank[letter] and cg[letter] then
      local away = cg[letter] - crank[letter]
      local mm = text.fixed(math.abs(away), 0)
      if mm ~= "0" then
        list[#list + 1] = axes and ("%s mm %s"):format(mm, side[part_axes.way(axes, i, away)])
          or ("%s mm in %s from"):format(text.signed(away, 0), letter)
      end
    end
  end
  if #list == 0 then return "on the crankshaft centreline" end
  return text.join(list) .. " the crankshaft centreline"
end

--- Puts before a result's notes how far the CG lies from the crankshaft, where that is stated, and for a flat engine the rule. said: of
-- engine_rule.read; axes: of part_axes.read, nil where the part's own are not stated.
function engine_rule.add(result, said, axes)
  local flat = said.kind == "flat engine"
  local compared = false
  for _, letter in ipairs(letters) do compared = compared or said.crank and said.crank[letter] and result.cg[letter] and true end
  local note
  if compared then
    note = ("the CG lies %s"):format(place_of(result.cg, said.crank, axes))
    if flat then note = note .. "; " .. RULE end
  elseif flat then
    note = RULE .. "; crank.y and crank.z in the readings compare it"
  end
  if note then table.insert(result.notes, 1, note) end
end

return engine_rule
