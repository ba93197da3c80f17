--- The fields of a result, with the quantities a balance answers where they belong, and those of its uncertainties.

local docs_fields = {}

--- Keys of the wheels of two axles, and which they are.
docs_fields.wheels = {{"lf", "left front"}, {"rf", "right front"}, {"lr", "left rear"}, {"rr", "right rear"}, {"f", "single front wheel"},
                      {"r", "single rear wheel"}}

function docs_fields.of(result)
  local list = {}
  if result.answers then
    for _, q in ipairs(require("steelyard.reference.quantities").list) do
      if q.set == "balance" or q.from == "balance" then
        list[#list + 1] = {q.name .. (q.optional and "?" or ""), "number", q.unit, q.meaning}
      end
    end
  end
  table.move(result.fields, 1, #result.fields, #list + 1, list)
  local common = require "steelyard.reference.calls.common"
  if result.limits then
    table.move(common.limits, 1, #common.limits, #list + 1, list)
    list[#list + 1] = {"status?", "text", "", "the worst of its limits"}
  end
  if result.apart then return list end
  return table.move(common.origin, 1, #common.origin, #list + 1, list)
end

--- The fields of its sd, typed as those of the same names; nil where a field of the result says itself what its sd is. `wheels`: it has
-- those of all wheels too.
function docs_fields.sd(result)
  if result.apart or result.exact then return nil end
  local list, types, units, own = {}, {}, {}, false
  for _, field in ipairs(docs_fields.of(result)) do
    local path = field[1]:gsub("%?", "")
    types[path], units[path] = field[2], field[3]
    own = own or path == "sd" or path:find "^sd%."
  end
  if own then return nil end
  local says = require("steelyard.reference.calls.sd")[result[1]] or ""
  for word in (type(says) == "table" and says[1] or says):gmatch "%S+" do
    local path = word:gsub("%?", "")
    if path == "WHEELS" then list.wheels = true
    else list[#list + 1] = {word, assert(types[path], path), units[path], "standard uncertainty"} end
  end
  for i = 2, type(says) == "table" and #says or 0 do list[#list + 1] = says[i] end
  return list
end

return docs_fields
