--- What the records of a file speak of: the car as it stood. A record without `file` speaks of the file it stands in, which is another once a
-- changed car is saved: it gets the name of the file that says what the car was.

local user_values = require "steelyard.file.user_values"

local records = {}

--- Names of the records without a file of their own; their `file` becomes `name` where one is given. d: the draft, see car/draft.lua.
function records.settle(d, name)
  local list, names = rawget(d.vehicle, "fields").records, {}
  for _, record in ipairs(user_values.is_plain(list) and list or {}) do
    local fields = user_values.is_item(record) and rawget(record, "fields")
    if fields and fields.file == nil then
      names[#names + 1] = rawget(record, "name")
      fields.file = name
    end
  end
  return names
end

return records
