--- How car:handling() prints: the metatable of its result.

local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local Handling = require("steelyard.reference.results").kind "handling"

local CAUTION = "Guidance for one lift in good posture, never permission: carrying, stairs, heat, sharp edges and a part that swings ask "
  .. "for less. Local codes and licensed practice decide."

local MOST_NAMED = 4

local function strip_text(row)
  if #row.strip == 0 then return "" end
  local list = {}
  for i = 1, math.min(#row.strip, MOST_NAMED) do list[i] = row.strip[i].name end
  list = text.names(list)
  for i, name in ipairs(list) do list[i] = ("%s %s"):format(name, text.fixed(row.strip[i].kg, 1)) end
  if #row.strip > MOST_NAMED then list[#list + 1] = ("%d more"):format(#row.strip - MOST_NAMED) end
  return ("%s: leaves %s, %s"):format(table.concat(list, ", "), text.fixed(row.left, 1), row.left_lift)
end

function Handling.__tostring(result)
  local rows = {}
  for i, row in ipairs(result) do
    local name = ("  "):rep(row.depth) .. row.name .. (row.pieces > 1 and (" (one of %d)"):format(row.pieces) or "")
    rows[i] = {name, row.mass and text.plus_minus(row.mass, row.sd.mass, 1) or "unknown", row.lift .. (row.near and ", near" or ""),
      strip_text(row)}
  end
  local lines = {page.heading(result.heading)}
  if #rows > 0 then
    lines[2] = text.table({{"as lifted", "%s"}, {"mass, kg", "%s"}, {"lift", "%s"}, {"lighter by taking off, kg", "%s"}}, rows)
  end
  return page.of(result, lines, {cautions = {CAUTION}})
end

return Handling
