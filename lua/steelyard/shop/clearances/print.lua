--- How car:clearances() prints: the metatable of its result.

local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local Clearances = require("steelyard.reference.results").kind "clearances"

local function gap_text(row)
  if not row.gap then return "unknown" end
  if row.overlap then return "overlap" end
  return text.plus_minus(row.gap, row.sd, 1)
end

function Clearances.__tostring(result)
  local rows, lines = {}, {page.heading(result.heading)}
  for i, row in ipairs(result) do
    rows[i] = {row.name, row.at, gap_text(row), row.asked and text.plain(row.asked) or "", verdicts.mark[row.status], row.why}
  end
  if #rows > 0 then
    lines[2] = text.table({{"between", "%s"}, {"at", "%s"}, {"gap, mm", "%s"}, {"asked", "%s"}, {"", "%s"}, {"", "%s"}}, rows)
  end
  lines[#lines + 1] = ("Overall: %s."):format(verdicts.mark[result.status])
  return page.of(result, lines)
end

return Clearances
