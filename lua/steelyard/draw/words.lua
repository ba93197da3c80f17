--- Numbers and sentences as a picture sets them: true minus and plus-minus, and no-break spaces between a number and its unit.

local aboard = require "steelyard.car.aboard"
local isolated = require("steelyard.draw.svg").isolated
local quantities = require "steelyard.reference.quantities"
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

-- What a sentence calls a quantity whose label leans on its unit, or on the table it stands in.
local nouns = {
  front = "load on the front", rear = "load on the rear", left = "load on the left", right = "load on the right",
  front_share = "front share", left_share = "left share", cross_share = "cross weight",
  lf = "left front load", rf = "right front load", lr = "left rear load", rr = "right rear load", f = "load on the front wheel",
  r = "load on the rear wheel", ["cg.x"] = "CG along x", ["cg.y"] = "CG along y", ["cg.z"] = "CG along z",
  cg_behind = "distance of the CG behind the front axle", cg_left = "distance of the CG left of centre", yaw_index = "yaw index",
  ["inertia.xx"] = "inertia about x", ["inertia.yy"] = "inertia about y", ["inertia.zz"] = "inertia about z",
  ["inertia.xy"] = "product of inertia xy", ["inertia.xz"] = "product of inertia xz", ["inertia.yz"] = "product of inertia yz",
  ["corners.lf"] = "left front load on springs", ["corners.rf"] = "right front load on springs",
  ["corners.lr"] = "left rear load on springs", ["corners.rr"] = "right rear load on springs",
  ["stability.side_g"] = "sideways acceleration that tips it", ["shafts.static_angle"] = "half-shaft angle at ride",
  ["shafts.worst_angle"] = "worst half-shaft angle",
}

--- A quantity in a sentence or as an axis is named: noun("front_share") is "front share", where a row of a table says "front, %". label: of
-- what the table does not have, such as the load of a wheel of three axles or a figure of a call.
function words.noun(name, label)
  if nouns[name] then return nouns[name] end
  local tank = name:match "^usable%.(.+)$"
  if tank then return "usable " .. tank end
  local q = quantities.find(name)
  return q and q.label or label == name and "load on " .. name or label or name
end

--- "the front share and the CG height", of names; labels: by name, of what has no noun.
function words.nouns(names, labels)
  local list = {}
  for i, name in ipairs(names) do list[i] = "the " .. words.noun(name, labels and labels[name]) end
  return text.join(list)
end

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

--- A name of the file in one line; one that runs to the left is isolated, and three coordinates have true minus signs.
function words.name(name)
  if name:find "^[-%d., ]+$" then return (name:gsub("%-(%d)", "−%1")) end
  return isolated((name:gsub("[ \t\r\n]+", " ")))
end

--- What is aboard, as a sentence.
function words.aboard(list) return ("Aboard: %s."):format(words.sentence(aboard.text(list))) end

--- Signs and blanks of print for a terminal, which has neither.
function words.plain(s)
  for letter, other in pairs(in_plain) do s = s:gsub(letter, other) end
  return s
end

return words
