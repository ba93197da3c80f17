--- How car:shafts() prints: the metatable of its result.

local page = require "steelyard.print.page"
local row_check = require "steelyard.shop.shafts.row_check"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local Shafts = require("steelyard.reference.results").kind "shafts"

local function judged(value, sd, check)
  if not value then return "unknown" end
  local shown = text.plus_minus(value, sd, 1)
  if not check or not check.limit then return shown end
  return ("%s  %s <%s%s"):format(shown, verdicts.mark[check.status], text.plain(check.limit), check.basis == "file" and "" or "*")
end

-- "60 up, outer joint"; a shaft that nothing moves has no travel to tell
local function where(row)
  local at = row.worst_at
  if not at then return "" end
  local travel = text.worded(at.travel, 0, "up", "down")
  if travel == "0" then travel = "at ride height" end
  return ("%s, %s joint%s"):format(travel, at.joint, at.steer and ", steered" or "")
end

local function plunge(row)
  if not row.plunge_used then return "unknown" end
  local check = row_check.named(row, "plunge")
  if not check.limit then return text.plus_minus(row.plunge_used, row.sd.plunge_used, 1) .. "  unknown" end
  return judged(row.plunge_used, row.sd.plunge_used, check)
end

local function main_row(row)
  if not row.at then return {row.name, verdicts.mark[row.status], "", "", "", "", "", ""} end
  return {row.name, judged(row.static_angle, row.sd.static_angle, row_check.named(row, "static angle")),
          judged(row.worst_angle, row.sd.worst_angle, row_check.named(row, "worst angle")), where(row), text.fixed(row.at.ride.length, 1),
          row.cut_for and text.fixed(row.cut_for, 1) or "", plunge(row), row.offset}
end

-- Ripple of joints that do not turn evenly, and where to cut.
local function more(row, lines)
  if row.ripple then
    lines[#lines + 1] = ("%s: speed ripple %s %% at the inner joint, %s %% at the outer; together %s %%, as one joint of %s deg."):format(
      row.name, text.fixed(row.ripple.inner, 2), text.fixed(row.ripple.outer, 2), text.fixed(row.ripple.both, 2),
      text.fixed(row.equivalent_angle, 2))
    lines[#lines + 1] = ("%s: runs ahead of and behind an even turn by %s deg at most after the inner joint and %s after both."):format(
      row.name, text.fixed(row.lead.inner, 2), text.fixed(row.lead.both, 2))
  end
  if row.cut_length then
    local off = row.at and row.at.ride.length - row.cut_length
    if off then
      lines[#lines + 1] = ("%s: cut to %s mm between joint centres; at ride height the joints stand %s."):format(row.name,
        text.fixed(row.cut_length, 1), text.worded(off, 1, "mm further apart", "mm closer"))
    end
  end
end

local LENGTHS = 5 -- columns before are angles

function Shafts.__tostring(result)
  local rows, lines = {}, {page.heading(result.heading)}
  for i, row in ipairs(result) do rows[i] = main_row(row) end
  if #rows > 0 then
    lines[2] = page.table({{"shaft", "%s"}, {"ride, deg", "%s"}, {"worst, deg", "%s"}, {"where", "%s"}, {"length, mm", "%s"},
      {"to cut, mm", "%s"}, {"plunge, mm", "%s"}, {"outer joint lies", "%s"}}, rows, LENGTHS)
  end
  for _, row in ipairs(result) do
    if row.status ~= "pass" then lines[#lines + 1] = ("%s: %s, %s."):format(row.name, verdicts.mark[row.status], row.why) end
    more(row, lines)
  end
  if #rows > 0 then
    lines[#lines + 1] = "Lengths are between joint centres; cut so, the plunge is shared evenly about the middle of the travel."
  end
  lines[#lines + 1] = ("Overall: %s."):format(verdicts.mark[result.status])
  local starred = false
  for _, row in ipairs(result) do
    for _, check in ipairs(row.checks) do starred = starred or check.limit and check.basis ~= "file" end
  end
  return page.of(result, lines, {note = function(note)
    return (starred and note:find "common practice$" and "* " or "") .. text.sentence(note)
  end})
end

return Shafts
