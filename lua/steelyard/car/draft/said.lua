--- What car:set and car:add were given, into the tables of a file.

local loading = require "steelyard.car.loading"
local fields = require "steelyard.file.fields"
local user_values = require "steelyard.file.user_values"
local written = require "steelyard.file.written"

local said_edits = {}
local is_plain = user_values.is_plain

local function kind_of(item) return rawget(item, "kind") end
local function fields_of(item) return rawget(item, "fields") end

-- An item of a table that is changed brings the whole table into the file.
local function put(entry, key, value)
  if entry.table then entry.table.touched = true end
  fields_of(entry.item)[key] = value
end

-- The unit of a field that is a number.
local function unit_of(kind, key)
  local row = fields.by_name[kind] and fields.by_name[kind][key]
  return row and row[3] and row[3].unit
end

-- "A plain number keeps the old uncertainty": what car:set does, said in the file's words.
local keeps_sd = {fill = false, whole = false, was = false}

local function number_over(kind, key, old, new)
  local unit = unit_of(kind, key)
  if not unit or keeps_sd[key] == false or not written.is_uncertain(old) or type(new) ~= "number" then return new end
  return written.number_over(old, new, unit, 0)
end

-- A point of which a change states some coordinates. anew: the old uncertainties are over.
local function point_over(old, new, anew)
  local list = {}
  for i = 1, 3 do
    local was, value = old and written.coordinate(old, i), (written.coordinate(new, i))
    if type(value) == "number" and was ~= nil and not anew then value = written.number_over(was, value, "mm", 0) end
    if value == nil then value = anew and written.is_uncertain(was) and was.value or was end
    list[i] = value
  end
  return list
end

local function stated_mass(node)
  local key = node.kind == "tank" and "dry_mass" or "mass"
  if node.unknown or node[key] == nil then return nil end
  return node[key .. "_sd"] and written.uncertain(node[key], node[key .. "_sd"], node[key .. "_limits"]) or node[key]
end

-- A field under the name that the file gives it.
local other_names = {instrument = "scale", scale = "instrument"}
local function named(inside, key)
  local other = other_names[key]
  return other and inside[key] == nil and inside[other] ~= nil and other or key
end

-- A mass over a weighing record: the record goes, and what it came to is what was booked before.
local function over_record(entry, was)
  if not fields_of(entry.item).weighed then return end
  put(entry, "weighed", nil)
  put(entry, "was", stated_mass(was))
end

-- A record over a mass: the mass beside it says what was thought before, unless that was weighed too.
local function record_over(entry, was)
  local inside = fields_of(entry.item)
  local key = was.kind == "tank" and "dry_mass" or "mass"
  if inside.weighed or inside.basis == "weighed" then
    put(entry, "was", stated_mass(was))
    put(entry, key, nil)
    if inside.basis == "weighed" then put(entry, "basis", nil) end
  elseif inside[key] ~= nil then
    put(entry, "was", nil)
  end
  put(entry, named(inside, "instrument"), nil)
end

local function is_empty(value) return is_plain(value) and next(value) == nil end

-- What one car:set said of an item. was: the node before.
local function set(entry, given, was)
  local inside, kind = fields_of(entry.item), kind_of(entry.item)
  if given.mass ~= nil and not given.weighed then over_record(entry, was) end
  if given.weighed then record_over(entry, was) end
  for _, given_key in ipairs(loading.sorted_keys(given)) do
    local key = named(inside, given_key)
    local new, old = given[given_key], inside[key]
    if key == "at" then
      put(entry, key, point_over(old, new, given.within_mm ~= nil))
    elseif is_empty(new) then
      put(entry, key, nil)
    else
      put(entry, key, number_over(kind, key, old, new))
    end
  end
  if given.within_mm and not given.at and inside.at then -- one limit for all, over what each coordinate said
    local at = {}
    for i = 1, 3 do
      local value = written.coordinate(inside.at, i)
      at[i] = written.is_uncertain(value) and value.value or value
    end
    put(entry, "at", at)
  end
end

-- A mass whose uncertainty came from `assume`, its basis and its scale go on as they were.
local function settle_node(entry, node)
  local inside = fields_of(entry.item)
  if inside.weighed or node.kind == "group" then return end
  local mass, sd = nil, nil
  if node.kind ~= "tank" and not node.unknown and inside.mass ~= nil then mass, sd = user_values.number(inside.mass, "kg") end
  if mass and sd ~= node.mass_sd then
    local plain = written.is_uncertain(inside.mass) and inside.mass.value or inside.mass
    if node.mass_sd then plain = written.uncertain(type(plain) == "number" and plain or mass, node.mass_sd, node.mass_limits) end
    put(entry, "mass", plain)
  end
  local usual = node.kind ~= "person" and "estimate" or nil
  if node.basis ~= (inside.basis or usual) then put(entry, "basis", node.basis) end
  local key = named(inside, "instrument")
  if (node.instrument or nil) ~= inside[key] then put(entry, key, node.instrument or nil) end
end

-- Fields of the vehicle itself, over those of the file under the names that it gives them.
local function set_vehicle(vehicle, given)
  local inside = fields_of(vehicle)
  for _, key in ipairs(loading.sorted_keys(given)) do
    local value, name = given[key], key == "cross_share" and inside.cross_weight ~= nil and "cross_weight" or key
    if is_plain(value) and is_plain(inside[name]) then
      for word, own in pairs(value) do inside[name][word] = own end
    else
      inside[name] = value
    end
  end
end

--- All edits, the first first. d: the draft, see car/draft.lua.
function said_edits.replay(d)
  local list, said = {}, d.c.said
  while said do
    list[#list + 1] = said
    said = said.before
  end
  local set_items = {}
  for i = #list, 1, -1 do
    said = list[i]
    if said.axle then
      local axle = d.axles[said.axle]
      for key, value in pairs(said.fields) do axle[key] = number_over("axle", key, axle[key], value) end
    elseif said.vehicle then
      set_vehicle(d.vehicle, said.fields)
    elseif said.item then
      d:add(said)
    elseif d.by_route[said.route] then
      local entry = d.by_route[said.route]
      set(entry, said.fields, d.c.shared.nodes[said.was])
      set_items[entry] = true
    else
      local pair = said.route:sub(1, -5)
      d.one_sided = d.one_sided or d.by_route[pair] and pair
    end
  end
  for _, entry in ipairs(d.entries) do
    if set_items[entry] then settle_node(entry, d:node(entry)) end
  end
end


return said_edits
