--- What a result must say of edits: bolted parts that were moved apart, and what was changed of a part that is not aboard.

local loading = require "steelyard.car.loading"
local states = require "steelyard.car.states"

local edit_notes = {}

-- Where bolted parts sit to one another, as filed: anything else means a move has torn them apart.
local function bolts(c)
  local list, any = {}, false
  for _, node in ipairs(c.shared.nodes) do any = any or node.bolted_to ~= nil end
  local items = any and c.base:items(true) or {} -- a list of all parts is not made for nothing
  local only = {} -- name -> the route of the one that has it, false of several: looking each up in the ledger goes through all parts
  for _, item in ipairs(items) do only[item.name] = only[item.name] == nil and item.route end
  for _, item in ipairs(items) do
    local node = not item.side and c.shared.nodes[item.number]
    for _, other in ipairs(node and node.bolted_to or {}) do
      local route = only[other]
      if other:find("/", 1, true) then
        local found = c.base:find(other)
        route = #found == 1 and found[1]
      end
      if route then list[#list + 1] = {a = item.route, b = route, names = {item.name, other}} end
    end
  end
  c.structure.bolts = list
  return list
end

local function apart(ledger, bolt)
  local ax, ay, az = ledger:origin(bolt.a)
  local bx, by, bz = ledger:origin(bolt.b)
  return ax - bx, ay - by, az - bz
end

-- mm; far below any tape, far above rounding
local TORN = 1e-3

-- Sentences for bolted parts that moves have torn apart, to the end of `found`.
--- Adds to a list which bolted parts edits moved apart.
function edit_notes.add_torn(c, found)
  if not c.changes then return end
  local list = c.structure.bolts or bolts(c)
  for _, bolt in ipairs(list) do
    local x, y, z = apart(c.base, bolt)
    if not bolt.filed then bolt.filed = {apart(c.shared.filed, bolt)} end
    local f = bolt.filed
    if math.abs(x - f[1]) > TORN or math.abs(y - f[2]) > TORN or math.abs(z - f[3]) > TORN then
      found[#found + 1] = ("%s and %s are bolted together and were moved apart"):format(bolt.names[1], bolt.names[2])
    end
  end
end

--- "luggage is not aboard (kerb)"
function edit_notes.not_aboard(state, label) return ("%s is not aboard (%s)"):format(label, state) end

local NOT_COUNTED = "%s: what was changed of it does not count here"

--- The same as a note.
function edit_notes.not_counted(said) return NOT_COUNTED:format(said) end

--- Is none of what a name means aboard? Kept for all cars that only moves tell apart.
function edit_notes.is_absent(c, found)
  local kept = c.aboard.absent
  if not kept then
    kept = {}
    c.aboard.absent = kept
  end
  if kept[found] == nil then
    local absent = #found.routes > 0
    for _, route in ipairs(found.routes) do absent = absent and not c.now:item(route).aboard end
    kept[found] = absent
  end
  return kept[found]
end

local is_absent = edit_notes.is_absent

-- Is anything that was edited not aboard in this state? Most cars are moved and asked once: no table is made for that.
local function any_absent(c)
  local edit = c.touched
  while edit do
    if is_absent(c, edit.found) then return true end
    edit = edit.before
  end
  return next(c.fills) ~= nil
end

-- Sentences for what was edited or filled and is not aboard in this state.
local function absent(c, list)
  local labels, seen = {}, {}
  local function add(label)
    if not seen[label] then labels[#labels + 1] = label end
    seen[label] = true
  end
  local edit = c.touched
  while edit do
    if is_absent(c, edit.found) then add(edit.found.label) end
    edit = edit.before
  end
  for _, what in ipairs(loading.sorted_keys(c.fills)) do
    local any = false
    for _, route in ipairs(states.filled_by(c, what)) do any = any or c.now:item(route).aboard end
    if not any then add(what) end
  end
  for i = #labels, 1, -1 do list[#list + 1] = edit_notes.not_counted(edit_notes.not_aboard(loading.title(c), labels[i])) end
end

--- Adds to a list what edits did and did not do; gives it back.
function edit_notes.add(c, found)
  edit_notes.add_torn(c, found)
  if any_absent(c) then absent(c, found) end
  return found
end

return edit_notes
