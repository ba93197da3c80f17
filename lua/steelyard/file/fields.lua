--- The fields of file/language.lua by kind and name, as they are looked up.
--
-- kinds[kind] = rows; names[kind] the names in order; by_name[kind][name] = row; always[kind] the rows that are required or have a
-- default, nil without any. Each kind is made when it is first read: most files have few of them.

local language = require "steelyard.file.language"

local fields = {kinds = {}, names = {}, by_name = {}, always = {}}

local function add_kind(kind)
  local list, names, by_name, always = language.kinds[kind](), {}, {}, {}
  for i = 1, #list do
    local row = list[i]
    local options = row[3]
    names[i], by_name[row[1]] = row[1], row
    if options and (options.required or options.default ~= nil) then always[#always + 1] = row end
  end
  fields.kinds[kind], fields.names[kind], fields.by_name[kind], fields.always[kind] = list, names, by_name, always
end

for _, of in ipairs{"kinds", "names", "by_name", "always"} do
  setmetatable(fields[of], {__index = function(t, kind)
    if not language.kinds[kind] then return nil end
    add_kind(kind)
    return rawget(t, kind)
  end})
end

return fields
