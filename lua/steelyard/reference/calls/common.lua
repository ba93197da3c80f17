--- What the tables of calls share. See calls.lua for what an entry says.

local common = {}

common.status = "pass, near, fail or unknown"

--- The fields of a car's result, behind those that every one has.
function common.stated(...)
  return {
    {"state", "text", "", "the load state"}, {"heading", "text", "", "title, state and changes"},
    {"notes", "text[]", "", "assumptions, warnings and cautions, each a sentence"}, ...,
  }
end

return common
