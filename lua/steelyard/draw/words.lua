--- Numbers and sentences as a picture sets them: true minus and plus-minus, and no-break spaces between a number and its unit.

local aboard = require "steelyard.car.aboard"
local isolated = require("steelyard.draw.svg").isolated
local text = require "steelyard.print.text"

local words = {}

local NO_BREAK = "\u{A0}"
local in_plain = {["\u{A0}"] = " ", ["±"] = "+-", ["−"] = "-", ["–"] = "-", ["…"] = "...", ["\u{2068}"] = "", ["\u{2069}"] = ""}

--- "743.1 +- 26.5", "kg" -> with the signs and blanks of print
function words.set(shown, unit)
  shown = shown:gsub(" %+%- ", NO_BREAK .. "±" .. NO_BREAK):gsub("^%-", "−")
  return unit and shown .. NO_BREAK .. unit or shown
end

local wheels = {lf = "left front", rf = "right front", lr = "left rear", rr = "right rear", f = "front", r = "rear"}

--- What a wheel's key stands for: "left front"; of vehicles with more than two axles the key itself.
function words.wheel(key) return wheels[key] or key end

--- A value with its 95 %, decimals and unit.
function words.value(value, sd, decimals, unit) return words.set(text.plus_minus(value, sd, decimals), unit) end

--- A sign by a word: "19 right". Nothing to say is "on the centre plane" or whatever `none` says.
function words.way(value, sd, decimals, plus, minus)
  return words.set(text.plus_minus(math.abs(value), sd, decimals)) .. NO_BREAK .. text.way(value, decimals, plus, minus)
end

--- A sentence whose numbers stay with their units.
function words.sentence(s)
  return (words.set(s):gsub("(%d) (kg%f[%A])", "%1" .. NO_BREAK .. "%2"):gsub("(%d) (L%f[%A])", "%1" .. NO_BREAK .. "%2"):gsub(
    "(%d) (mm%f[%A])", "%1" .. NO_BREAK .. "%2"):gsub("(%d) (%%)", "%1" .. NO_BREAK .. "%2"))
end

--- A name of the file in one line; one that runs to the left is isolated.
function words.name(name) return isolated((name:gsub("[ \t\r\n]+", " "))) end

--- What is aboard, as a sentence.
function words.aboard(list) return ("Aboard: %s."):format(words.sentence(aboard.text(list))) end

--- Signs and blanks of print for a terminal, which has neither.
function words.plain(s)
  for letter, other in pairs(in_plain) do s = s:gsub(letter, other) end
  return s
end

return words
