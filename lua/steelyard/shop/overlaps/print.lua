--- How car:overlaps() prints: the metatable of its result.

local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local Overlaps = require("steelyard.reference.results").kind "overlaps"

function Overlaps.__tostring(result)
  local rows, crossed = {}, 0
  for i, row in ipairs(result) do
    if row.overlap == true then crossed = crossed + 1 end
    rows[i] = {("%s and %s"):format(row.a, row.b), row.overlap == true and "overlap" or text.plus_minus(row.overlap, result.sd[i], 1),
               text.fixed(row.mass, 1)}
  end
  local lines = {page.heading(result.heading)}
  lines[2] = #rows > 0 and text.table({{"between", "%s"}, {"gap, mm", "%s"}, {"lighter body, kg", "%s"}}, rows) or nil
  local near = result.gap > 0 and ("; %d nearer than %s mm"):format(#rows - crossed, text.plain(result.gap)) or ""
  lines[#lines + 1] = ("Of %s, %s%s."):format(text.count(result.bodies, "body", "bodies"),
    crossed == 0 and "none overlap" or text.count(crossed, "pair") .. (crossed == 1 and " overlaps" or " overlap"), near)
  return page.of(result, lines)
end

return Overlaps
