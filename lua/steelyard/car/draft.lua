--- What the file of a car is to say: the tables of its vehicle file with all edits in them.
--
-- draft.of(c, raw, bytes, o?) -> {vehicle =, from =, entries =, expanded =, one_sided =, pairs =}
--   vehicle   the item of the vehicle, a copy   from  table of the draft -> the one of the file that it is a copy of
--   o.expand  all tables stand in the file; o.was = the file that says what the car was, for records that name none
--   entries   of each part, group, tank and person in the order of the file: {item = the item of the draft, route = in the car's ledger,
--             list = the list it stands in, table = the from_csv it comes from, or nil}
--   expanded  names of tables whose parts now stand in the file
--   records   names of the records that named no file
--   one_sided route of a pair of which one piece was edited, or nil
--   pairs     list of {route in the car, route in a car that is read from the draft, turned = true where the item was turned}
--
-- Places come from the ledger, seen from the group that the item will stand in; all else from what car:set and car:add were given.

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local user_values = require "steelyard.file.user_values"
local written = require "steelyard.file.written"

local draft = {}
local is_item, is_plain = user_values.is_item, user_values.is_plain

local function index(k) return string.pack("=I4", k) end

-- ---- copies of what was read --------------------------------------------------------------------------------------------

-- A copy of tables and items, which may be changed; values stay what they are.
local function copied(value, from)
  if not (is_item(value) or is_plain(value)) then return value end
  local copy = {}
  for key, inside in next, value do copy[key] = copied(inside, from) end
  from[copy] = value
  return setmetatable(copy, getmetatable(value))
end

-- The items that a table beside the file stands for.
local function table_items(c, marker, bytes)
  local problems = require "steelyard.file.problems"
  local ctx = {problems = problems.new{file = c.shared.file, bytes = bytes, sources = {}}, notes = {}, tables = {}, reached = {},
               axes = c.shared.spec.axes}
  local items = require("steelyard.file.from_csv").items(ctx, marker)
  ctx.problems:raise_first()
  return items
end

local function kind_of(item) return rawget(item, "kind") end
local function fields_of(item) return rawget(item, "fields") end

local Draft = {}
Draft.__index = Draft

-- Lists with a from_csv hold its items while the draft is made; it stands there again when none of them was touched.
function Draft:open_tables(list)
  local open = {}
  for _, item in ipairs(list) do
    if kind_of(item) == "from_csv" then
      local record = {marker = item, list = list, items = {}}
      for _, read in ipairs(table_items(self.c, self.from[item] or item, self.bytes)) do
        local copy = copied(read, {})
        record.items[#record.items + 1] = copy
        open[#open + 1] = copy
        self.table_of[copy] = record
      end
      self.tables[#self.tables + 1] = record
    else
      open[#open + 1] = item
      if kind_of(item) == "group" then self:open_tables(fields_of(item)) end
    end
  end
  for i = 1, math.max(#list, #open) do list[i] = open[i] end
end

-- Notes of each item by its route. Children of a group count from 0 in the order of the file.
function Draft:enter(list, prefix, first, of_table)
  for i, item in ipairs(list) do
    local route = prefix .. index(first + i - 1)
    local entry = {item = item, route = route, list = list, table = of_table or self.table_of[item]}
    self.by_route[route], self.entries[#self.entries + 1] = entry, entry
    if kind_of(item) == "group" then self:enter(fields_of(item), route, 0, entry.table) end
  end
end

local function list_of(vehicle, key)
  local value = fields_of(vehicle)[key]
  if is_item(value) then return {value} end
  return value
end

-- ---- changing it ----------------------------------------------------------------------------------------------------------

function Draft:note(words, ...) self.notes[#self.notes + 1] = words:format(...) end

-- An item of a table that is changed brings the whole table into the file.
local function touch(entry)
  if entry.table then entry.table.touched = true end
end

local function put(entry, key, value)
  touch(entry)
  fields_of(entry.item)[key] = value
end

-- One more item, as car:add was given it, at the end of its group.
function Draft:add(said)
  local group = said.into ~= "" and self.by_route[said.into] or nil
  local list = group and fields_of(group.item) or self.parts
  if group then touch(group) end
  local item = copied(said.item, {})
  list[#list + 1] = item
  local entry = {item = item, route = said.route, list = list, table = group and group.table}
  self.by_route[said.route], self.entries[#self.entries + 1] = entry, entry
  if kind_of(item) == "group" then self:enter(fields_of(item), said.route, 0, entry.table) end
end

-- ---- places -----------------------------------------------------------------------------------------------------------------

--- The node of an entry as it now reads.
function Draft:node(entry) return self.c.shared.nodes[self.c.base:item(entry.route).number] end

-- Where an entry lies in a ledger, seen from its own group or from that at `into`.
function Draft:stated(ledger, entry, into)
  local c = self.c
  local item = ledger:item(entry.route)
  local node = c.shared.nodes[item.number]
  local piece = loading.pieces(ledger, item)[1]
  local liquid = node.kind == "tank" and loading.liquid_in(c, ledger, item, node) or nil
  local alone = ledger == c.base and c.turned[piece.route] or nil
  return core.stated(ledger, piece.route, c.geometry, {into = into, liquid = liquid, turned = node.turned, alone = alone})
end

local LEAST_MM, LEAST_DEG = 4e-10, 1e-11 -- below half a picometre a length is kept as the same, and an angle moves nothing by one

local function place(entry, want, node)
  local inside = fields_of(entry.item)
  local key = inside.hip ~= nil and "hip" or "at"
  local old, list, other = inside[key] or {0, 0, 0}, {}, false
  for i = 1, 3 do
    local value = written.coordinate(old, i)
    local is = (user_values.number(value, "mm"))
    local new = written.length(want[i])
    if key == "hip" then new = written.length(is + (want[i] - node.at[i])) end
    list[i] = value
    if math.abs(new - is) > LEAST_MM then
      other = true
      list[i] = written.number_over(value, new, "mm", LEAST_MM)
    end
  end
  if not other then return end
  if old.x ~= nil then list = {x = list[1], y = list[2], z = list[3]} end
  put(entry, key, list)
end

local turn_words = {nose_up = "nose_down", left_up = "right_up", nose_left = "nose_right"}

local function turn(entry, words)
  local old, new, other = fields_of(entry.item).turned or {}, {}, false
  for word, opposite in pairs(turn_words) do
    local is = (user_values.number(old[word] or 0, "deg")) - (user_values.number(old[opposite] or 0, "deg"))
    local angle = core.number(core.fixed(words[word], 12)) -- 2e-14 rad
    if math.abs(angle - is) > LEAST_DEG then other = true end
    if angle ~= 0 then new[angle > 0 and word or opposite] = math.abs(angle) end
  end
  if other then put(entry, "turned", next(new) and new or nil) end
  return other
end

-- into: the route of the group that it comes to stand in, "" for none; nil where it stays.
function Draft:settle_place(entry, into)
  local c = self.c
  local want, words = self:stated(c.base, entry, into)
  local node = self:node(entry)
  place(entry, want, node)
  local filed = self.filed_routes[entry.route] and c.shared.filed or nil
  local _, before = nil, nil
  if filed and not into then _, before = self:stated(filed, entry) end
  if before and before.nose_up == words.nose_up and before.left_up == words.left_up and before.nose_left == words.nose_left then return end
  if turn(entry, words) then self.turned[entry.route] = true end
end

-- Was an item turned, or a group that it is in?
function Draft:is_turned(route)
  for last = 4, #route, 4 do
    if self.turned[route:sub(1, last)] then return true end
  end
  return false
end

-- ---- the vehicle --------------------------------------------------------------------------------------------------------------

function Draft:settle_axles()
  local c = self.c
  for i, axle in ipairs(c.axles) do
    local moved = axle.moved or 0
    if moved ~= 0 then
      local raw = self.axles[i]
      local way = c.shared.spec.axes
      local forward = (way.x == "forward" or way.y == "forward" or way.z == "forward") and 1 or -1
      raw.at = written.number_over(raw.at, written.length(axle.at + forward * moved), "mm", LEAST_MM)
    end
  end
end

local function height_number(mm, sd)
  mm = written.length(-mm)
  return sd and sd > 0 and written.uncertain(mm, sd) or mm
end

function Draft:settle_heights()
  local inside, set_to = fields_of(self.vehicle), self.c.heights_set
  if not set_to then
    inside.lowered = nil
    return
  end
  local filed = self.c.shared.spec.lowered
  if filed and filed.front == -set_to.front and filed.rear == -set_to.rear and (filed.front_sd or 0) == (set_to.front_sd or 0)
    and (filed.rear_sd or 0) == (set_to.rear_sd or 0) then return end
  inside.lowered = {front = height_number(set_to.front, set_to.front_sd), rear = height_number(set_to.rear, set_to.rear_sd)}
end

-- The routes of the entries in a car that is read from the draft.
function Draft:number()
  local entry_of = {}
  for _, entry in ipairs(self.entries) do entry_of[entry.item] = entry end
  local function walk(list, prefix, first)
    for i, item in ipairs(list) do
      local route = prefix .. index(first + i - 1)
      self.pairs[#self.pairs + 1] = {entry_of[item].route, route, turned = self:is_turned(entry_of[item].route)}
      if kind_of(item) == "group" then walk(fields_of(item), route, 0) end
    end
  end
  walk(self.parts, "", 0)
  walk(self.spares, "", #self.parts)
end

-- Tables of which nothing was touched are named again; the others stand in the file from now on.
function Draft:close_tables()
  for _, record in ipairs(self.tables) do
    if record.touched then
      self.expanded[#self.expanded + 1] = rawget(record.marker, "name")
    else
      local list, at = record.list, nil
      for i, item in ipairs(list) do at = at or item == record.items[1] and i or nil end
      for _ = 1, #record.items do table.remove(list, at) end
      table.insert(list, at, record.marker)
    end
  end
end

local function as_was(self, key, list)
  local inside = fields_of(self.vehicle)
  local bare = is_item(inside[key])
  if bare and #list == 1 and list[1] == inside[key] then return end
  if #list > 0 or inside[key] ~= nil then inside[key] = list end
end

--- See above. raw: the vehicle's item; bytes: its text, or nil for a car from a table.
function draft.of(c, raw, bytes, o)
  local self = setmetatable({c = c, bytes = bytes, from = {}, entries = {}, by_route = {}, notes = {}, expanded = {}, tables = {},
                             table_of = {}, into = {}, filed_routes = {}, pairs = {}, turned = {}}, Draft)
  self.vehicle = copied(raw, self.from)
  self.parts, self.spares = list_of(self.vehicle, "parts"), list_of(self.vehicle, "spares") or {}
  self.axles = fields_of(self.vehicle).axles
  self:open_tables(self.parts)
  self:open_tables(self.spares)
  for _, record in ipairs(self.tables) do record.touched = o and o.expand or false end
  self:enter(self.parts, "", 0)
  self:enter(self.spares, "", #self.parts)
  for _, entry in ipairs(self.entries) do self.filed_routes[entry.route] = true end
  require("steelyard.car.draft.said").replay(self)
  require("steelyard.car.draft.aboard").settle(self)
  for _, entry in ipairs(self.entries) do self:settle_place(entry, self.into[entry.route]) end
  self:settle_axles()
  self:settle_heights()
  require("steelyard.car.draft.fixed").settle(self)
  self.records = require("steelyard.car.draft.records").settle(self, o and o.was)
  self:number()
  self:close_tables()
  as_was(self, "parts", self.parts)
  as_was(self, "spares", self.spares)
  return self
end

return draft
