--- The fields of file/language.lua by kind and name, as they are looked up.
--
-- kinds[kind] = rows; names[kind] the names in order, for messages; by_name[kind][name] = row; ready[kind] = what core.read_fields reads
-- by. Each kind is made when it is first read: most files have few of them.

local core = require "steelyard.core"
local kinds = require "steelyard.file.language.kinds"
local language = require "steelyard.file.language"
local most = require "steelyard.file.most"

local fields = {kinds = {}, names = {}, by_name = {}, ready = {}}
local limits = {length = language.MOST_LENGTH, pieces = most.count, text = most.text, texts = most.entries}

local function add_kind(kind)
  local list, by_name, always = kinds[kind](), {}, {}
  for i = 1, #list do
    local row = list[i]
    local options = row[3]
    by_name[row[1]] = row
    if options and (options.required or options.default ~= nil) then always[#always + 1] = i end
  end
  fields.kinds[kind], fields.by_name[kind] = list, by_name
  fields.ready[kind] = core.fields_kind(list, always, language.field_units, limits)
end

for _, of in ipairs{"kinds", "by_name", "ready"} do
  setmetatable(fields[of], {__index = function(t, kind)
    if not kinds[kind] then return nil end
    add_kind(kind)
    return rawget(t, kind)
  end})
end

setmetatable(fields.names, {__index = function(t, kind)
  if not fields.kinds[kind] then return nil end
  local names = {}
  for i, row in ipairs(fields.kinds[kind]) do names[i] = row[1] end
  t[kind] = names
  return names
end})

--- The names of all kinds, sorted.
function fields.all_kinds()
  local list = {}
  for kind in pairs(kinds) do list[#list + 1] = kind end
  table.sort(list)
  return list
end

return fields
