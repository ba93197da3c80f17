--- How sy.survey() prints: the metatable of its result.

local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local Survey = require("steelyard.reference.results").kind "survey"

local function verdict(result)
  if result.suspect then
    local more = result.others and (" Without it the others agree within %s mm."):format(text.fixed(result.others.miss, 1)) or ""
    return ("Does not fit: %s."):format(result.suspect) .. more
  elseif result.tied then
    return ("Something does not fit, and it may be any of %s."):format(text.join_names(result.tied))
  end
  return "All points fit."
end

function Survey.__tostring(result)
  local rows, heights = {}, false
  for _, row in ipairs(result.rows) do heights = heights or row.rise ~= nil end
  for i, row in ipairs(result.rows) do
    rows[i] = {row.name, text.fixed(row.x, 1), text.fixed(row.y, 1), text.signed(row.off.x, 1), text.signed(row.off.y, 1),
      text.fixed(row.miss, 1),
               row.sigmas and text.fixed(row.sigmas, 1) or "-"}
    if heights then table.insert(rows[i], 7, row.rise and text.worded(row.rise, 1, "high", "low") or "-") end
  end
  local headings = {{"point", "%s"}, {"x", "%s"}, {"y, mm", "%s"}, {"off in x", "%s"}, {"off in y", "%s"}, {"miss, mm", "%s"}, {"sigmas",
    "%s"}}
  if heights then table.insert(headings, 7, {"height", "%s"}) end
  local lines = {
    page.heading(("Turned %s deg from x towards y, shifted %s in x and %s mm in y"):format(text.plus_minus(result.turn, result.sd.turn, 2),
      text.plus_minus(result.shift.x, result.sd.shift.x, 1), text.plus_minus(result.shift.y, result.sd.shift.y, 1))),
    text.table(headings, rows), verdict(result),
  }
  return page.of(result, lines)
end

return Survey
