--- What the records of a file speak of: the car as it stood. A record without `file` speaks of the file it stands in, which is another
-- once a changed car is saved: it gets the name of the file that says what the car was.

local user_values = require "steelyard.file.user_values"

local records = {}

local function each(d, visit)
  local list = rawget(d.vehicle, "fields").records
  for _, record in ipairs(user_values.is_plain(list) and list or {}) do
    local fields = user_values.is_item(record) and rawget(record, "fields")
    if fields then visit(rawget(record, "name"), fields) end
  end
end

--- The files that records name: a list of {record = name, field =, file =}.
function records.files(d)
  local files = {}
  each(d, function(name, fields)
    for _, field in ipairs{"from", "file"} do
      if type(fields[field]) == "string" then files[#files + 1] = {record = name, field = field, file = fields[field]} end
    end
  end)
  return files
end

--- Names of the records without a file of their own; their `file` becomes `name` where one is given. d: the draft, see car/draft.lua.
function records.settle(d, name)
  local names = {}
  each(d, function(record, fields)
    if fields.file ~= nil then return end
    names[#names + 1] = record
    fields.file = name
  end)
  return names
end

return records
