--- How one stated error is written: which field of its line, and how large, as somebody would write it.

local text = require "steelyard.print.text"

local errors = {}

local DIGITS = 3

local words = {dry_mass = "dry mass", forward = "place forward", left = "place to the left", up = "place up", out = "place out"}

--- "place forward", "spring rate"
function errors.field(field) return words[field] or (field:gsub("[_.]", " ")) end

--- Three digits.
function errors.few(x)
  if x == 0 then return "0" end
  local places = math.max(0, DIGITS - 1 - math.floor(math.log(math.abs(x), 10)))
  return text.plain(tonumber(text.fixed(x, math.min(places, 9))))
end

return errors
