--- How car:hoist() prints: the metatable of its result.

local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"
local words = require "steelyard.shop.hoist.words"

local Hoist = require("steelyard.reference.results").kind "hoist"

function Hoist.__tostring(result)
  local rows = {}
  for i, leg in ipairs(result.legs) do
    rows[i] = {leg.point, words.length(result, leg), leg.slack and "slack" or text.plus_minus(leg.tension, leg.sd.tension, 1),
               text.fixed(leg.angle, 0), words.remark(leg)}
  end
  local lines = {
    page.heading(("%s: %s, %s kg"):format(result.heading, result.what, text.plus_minus(result.mass, result.sd.mass, 1))),
    ("Hangs %s."):format(words.attitude(result)),
    text.table({{"leg to", "%s"}, {"length, mm", "%s"}, {"pull, kg", "%s"}, {"from upright, deg", "%s"}, {"", "%s"}}, rows),
  }
  for _, line in ipairs(words.sentences(result)) do lines[#lines + 1] = line end
  lines[#lines + 1] = ("Overall: %s, %s."):format(verdicts.mark[result.status], result.why)
  return page.of(result, lines, {cautions = {words.CAUTION}})
end

return Hoist
