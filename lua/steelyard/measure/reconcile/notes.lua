--- Sentences that stand below a reconciliation.

local core = require "steelyard.core"
local plausible = require "steelyard.answers.plausible"
local text = require "steelyard.print.text"

local notes = {}

notes.caution = "A car on pads: wheels chocked, nobody under it, straps and stands where one end was lifted; local codes and licensed "
  .. "practice decide"

local function exact_lines(lines)
  local names = {}
  for _, line in ipairs(lines) do
    if line.mass.before == 0 then names[#names + 1] = line.name end
  end
  return names
end

local function below_nothing(lines)
  local names = {}
  for _, line in ipairs(lines) do
    if line.stated + line.mass.change < 0 then names[#names + 1] = line.name end
  end
  return names
end

--- All that this result rests on.
function notes.list(c, given, result, lines)
  local list = table.move(given.assumed, 1, #given.assumed, 1, {})
  local function note(words) list[#list + 1] = words end
  local exact, below = exact_lines(lines), below_nothing(lines)
  if #exact > 0 then
    note(("%s no stated uncertainty of mass, %s as exact and %s"):format(text.count(#exact, "line has", "lines have"),
      #exact == 1 and "counts" or "count", #exact == 1 and "stays" or "stay"))
  end
  if #below > 0 then
    note(("%s would have a negative mass: what the scales say does not belong to this ledger"):format(text.join_names(below)))
  end
  for _, sentence in ipairs(plausible.masses(c)) do note(sentence) end
  for _, sentence in ipairs(plausible.of_car(c, given.height or result.sums[4].both, result.mass)) do note(sentence) end
  local unknown = core.balance(c.now, c.geometry).unknown
  if unknown > 0 then
    note(("%s no known mass and %s in no sum: what is missing may be %s"):format(text.count(unknown, "part has", "parts have"),
      unknown == 1 and "is" or "are", unknown == 1 and "that" or "those"))
  end
  note "all places along one axis act through one sum and have the same sigmas: no weighing pins a wrong place on one part"
  note "what was adjusted now errs together: the sum is better known than its lines, so take its uncertainty from here"
  if result.warp then note "how the corners share a diagonal is springs and floor, not mass, and was left free" end
  note(notes.caution)
  return list
end

return notes
