--- The fields of a result, with the quantities a balance answers where they belong.

local docs_fields = {}

function docs_fields.of(result)
  local list = {}
  if result.answers then
    for _, q in ipairs(require("steelyard.quantities").list) do
      if q.from == "core" or q.from == "balance" then list[#list + 1] = {q.name, "number", q.unit, q.meaning} end
    end
  end
  return table.move(result.fields, 1, #result.fields, #list + 1, list)
end

return docs_fields
