--- Which quantities and fields the views of a page show, in order, and how each is headed. The views know no other list.

local quantities = require "steelyard.reference.quantities"

local columns = {}

--- Of the statement; what the vehicle does not have is left out.
columns.headlines = {"mass", "mass_with_growth", "front_share", "left_share", "cross_share", "cg_behind", "cg_left", "height",
                     "yaw_inertia", "yaw_index", "sprung.mass", "unsprung.mass"}

--- Of load states beside each other.
columns.states = {"mass", "front", "rear", "front_share", "left_share", "cross_share", "cg_behind", "height", "yaw_inertia"}

--- Of the section on what numbers rest on.
columns.rests = {"mass", "front_share", "left_share", "height", "yaw_inertia"}

--- Of the ledger. half: a standard uncertainty, shown as the half-width of its 95 %.
columns.ledger = {
  {path = "path", label = "part", unit = "", name = true},
  {path = "mass", label = "mass", unit = "kg", decimals = 1, number = true},
  {path = "sd.mass", label = "±", unit = "kg", decimals = 1, number = true, half = true},
  {path = "pieces", label = "pieces", unit = "", decimals = 0, number = true},
  {path = "cg.x", label = "x", unit = "mm", decimals = 0, number = true},
  {path = "cg.y", label = "y", unit = "mm", decimals = 0, number = true},
  {path = "cg.z", label = "z", unit = "mm", decimals = 0, number = true},
  {path = "moment", label = "moment", unit = "kg m", decimals = 1, number = true},
  {path = "share", label = "share", unit = "%", decimals = 1, number = true},
  {path = "growth", label = "growth", unit = "kg", decimals = 1, number = true},
  {path = "basis", label = "basis", unit = ""},
  {path = "carrier", label = "carried by", unit = ""},
}

-- What records have that the balance has under another name, along the vehicle's directions.
local of_records = {forward = "cg_behind", left = "cg_left", up = "height"}

local function shown(q)
  return {label = q.label, unit = q.unit, decimals = q.decimals, change = q.change, meaning = q.meaning, grows = q.grows}
end

--- The table of quantities as the page has it, by name.
function columns.quantities()
  local by_name = {}
  for _, q in ipairs(quantities.list) do by_name[q.name] = shown(q) end
  return by_name
end

--- All lists above, as the page has them.
function columns.lists()
  local labels = {roll_inertia = {label = "roll inertia", unit = "kg m2", decimals = 0}}
  for word, name in pairs(of_records) do labels[word] = shown(quantities.find(name)) end
  return {headlines = columns.headlines, states = columns.states, rests = columns.rests, ledger = columns.ledger, record_labels = labels}
end

return columns
