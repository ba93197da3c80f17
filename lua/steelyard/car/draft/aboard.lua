--- Who is aboard, into the tables of a file: what was taken out stands among the spares, a swap exchanges the two, and states name who
-- stands there now.

local resolve = require "steelyard.car.resolve"
local user_values = require "steelyard.file.user_values"

local aboard = {}
local is_item, is_plain = user_values.is_item, user_values.is_plain

local function kind_of(item) return rawget(item, "kind") end
local function fields_of(item) return rawget(item, "fields") end

-- An item of a table that goes elsewhere brings the whole table into the file.
local function take_out(entry)
  if entry.table then entry.table.touched = true end
  for i, item in ipairs(entry.list) do
    if item == entry.item then
      table.remove(entry.list, i)
      return i
    end
  end
end

local function put_in(entry, list, place)
  table.insert(list, math.min(place or #list + 1, #list + 1), entry.item)
  entry.list = list
end

-- Does it stand among the spares?
local function is_spare(d, entry) return d.by_route[entry.route:sub(1, 4)].list == d.spares or entry.list == d.spares end

local function sorted_routes(set)
  local list = {}
  for route in pairs(set) do list[#list + 1] = route end
  table.sort(list, function(a, b)
    for at = 1, math.min(#a, #b), 4 do
      local x, y = string.unpack("=I4", a, at), string.unpack("=I4", b, at)
      if x ~= y then return x < y end
    end
    return #a < #b
  end)
  return list
end

local function swap(d, role, who)
  local old, new = d.by_route[role], d.by_route[who]
  if not d.c.base:item(who).aboard then return end
  local list, into = old.list, role:sub(1, -5)
  local place_old, other = take_out(old), new.list
  local place_new = take_out(new)
  d.into[who] = into
  put_in(new, list, place_old)
  if #role > 4 then d.into[role] = "" end
  if other == d.spares then put_in(old, other, place_new) else put_in(old, d.spares) end
end

local function take(d, route)
  local entry = d.by_route[route]
  if is_spare(d, entry) then return end
  take_out(entry)
  put_in(entry, d.spares)
  if #route > 4 then d.into[route] = "" end
end

--- Settles who stands where. d: the draft, see car/draft.lua; d.into says where an item came to stand in another group.
function aboard.settle(d)
  local c = d.c
  for _, role in ipairs(sorted_routes(c.held.swaps)) do swap(d, role, c.held.swaps[role]) end
  for _, route in ipairs(sorted_routes(c.held.out)) do
    if d.by_route[route] and not c.base:item(route).aboard then
      take(d, route)
    elseif not d.by_route[route] then
      d.one_sided = d.one_sided or route:sub(1, -5)
    end
  end
end

-- ---- names in states ----------------------------------------------------------------------------------------------------------

-- The path of an entry in the draft.
local function path(d, entry)
  local names, at = {rawget(entry.item, "name")}, entry
  while true do
    local group
    for _, other in ipairs(d.entries) do
      if kind_of(other.item) == "group" and fields_of(other.item) == at.list then group = other end
    end
    if not group then break end
    table.insert(names, 1, rawget(group.item, "name"))
    at = group
  end
  return table.concat(names, "/")
end

local function names_in(value) return type(value) == "string" and {value} or value or {} end

-- The one item a word of the file means in the car, or nil.
local function meant(d, word)
  local fine, found = pcall(resolve.what, d.c, word)
  if not fine or found.axle or found.axles or #found.routes ~= 1 then return nil end
  return found.routes[1]
end

local function is_out(c, route)
  for last = 4, #route, 4 do
    if c.held.out[route:sub(1, last)] ~= nil then return true end
  end
  return false
end

-- A word of a state for who stands there now.
local function renamed(d, word)
  local route = meant(d, word)
  if not route then return word end
  local who = d.c.held.swaps[route] or route
  local entry = d.by_route[who]
  if not entry or who == route and not word:find("/", 1, true) then return word end
  return path(d, entry)
end

local function filtered(value, keep)
  local list = {}
  for _, word in ipairs(names_in(value)) do list[#list + 1] = keep(word) end
  return list
end

local function put_names(inside, key, list)
  local old, same = names_in(inside[key]), true
  for i = 1, math.max(#old, #list) do same = same and old[i] == list[i] end
  if not same then inside[key] = #list > 0 and list or nil end
end

-- Has car:set stated the fill of a tank, which then holds under all states?
local function is_filled(c, route)
  return route and (c.held.fills[route] or c.held.fills[route .. string.pack("=I4", 0)] or c.held.fills[route .. string.pack("=I4", 1)])
end

-- Edits hold under all states: what is out stays out, and who took a place has it in each.
local function settle_state(d, state)
  local c, inside = d.c, fields_of(state)
  if not inside then return end
  local without = filtered(inside.without, function(word) return renamed(d, word) end)
  put_names(inside, "with", filtered(inside.with, function(word)
    local route = meant(d, word)
    if route and (is_out(c, route) or is_out(c, c.held.swaps[route] or route)) then return nil end
    return renamed(d, word)
  end))
  if is_plain(inside.swap) then
    local swaps, changed = {}, false
    for old, new in pairs(inside.swap) do
      local role, who = meant(d, old), meant(d, new)
      if role and (c.held.swaps[role] or is_out(c, role)) then
        changed = true
      elseif who and is_out(c, who) then
        changed, without[#without + 1] = true, old
      else
        swaps[old] = new
      end
    end
    if changed then inside.swap = next(swaps) and swaps or nil end
  end
  put_names(inside, "without", without)
  if not is_plain(inside.fill) then return end
  local fill, other = {}, false
  for word, value in pairs(inside.fill) do
    local new = renamed(d, word)
    if is_filled(c, meant(d, word)) then new = nil else fill[new] = value end
    other = other or new ~= word
  end
  if other then inside.fill = next(fill) and fill or nil end
end

--- The word for an item that came to stand in another group; any other word as it is.
function aboard.name_now(d, word)
  local route = type(word) == "string" and word:find("/", 1, true) and meant(d, word)
  if not route then return word end
  for last = 4, #route, 4 do
    if d.into[route:sub(1, last)] then return path(d, d.by_route[route]) end
  end
  return word
end

--- Settles the names in states.
function aboard.settle_states(d)
  local c = d.c
  local states = fields_of(d.vehicle).states
  if next(c.held.swaps) == nil and next(c.held.out) == nil and next(c.held.fills) == nil then return end
  for _, state in ipairs(is_plain(states) and states or {}) do
    if is_item(state) then settle_state(d, state) end
  end
end

return aboard
