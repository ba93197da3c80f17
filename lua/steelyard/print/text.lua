--- Numbers, sentences and columns as text, the same in every locale.

local core = require "steelyard.core"
local width = require "steelyard.print.width"

local text = {}

--- Coverage factor of everything printed after "+-": 95 % of a normal distribution.
-- JCGM 100:2008 (GUM), Table G.1.
text.K95 = 1.96
text.coverage = "+- covers 95 %"

--- fixed(12.5, 2) -> "12.50"; what rounds to zero has no sign.
text.fixed = core.fixed

local TYPED, SURE = 12, 10 -- characters that somebody types; digits of a number that was worked out

--- A number as somebody typed it. One that was worked out has more digits than that: it is rounded to ten, so that neither
-- 350.00000000000006 nor -975.50258869303 is printed.
function text.plain(x)
  local shown = core.shortest(x)
  if #shown <= TYPED or math.type(x) == "integer" or x - x ~= 0 then return shown end
  local places = SURE - 1 - math.floor(math.log(math.abs(x), 10))
  if places < 0 or places > 30 then return shown end
  return core.shortest(core.number(core.fixed(x, places)))
end

--- signed(4.686, 2) -> "+4.69": for changes.
function text.signed(x, decimals)
  local shown = core.fixed(x, decimals)
  return shown:sub(1, 1) == "-" and shown or "+" .. shown
end

--- plus_minus(770.8, 13.8, 1) -> "770.8 +- 27.0": a value and the half-width of its 95 %, from a standard uncertainty.
-- An uncertainty that is there never prints as zero: it is rounded up to the last decimal (JCGM 100:2008, 7.2.6, lets uncertainties be
-- rounded up).
function text.plus_minus(value, sd, decimals)
  local shown = core.fixed(value, decimals)
  if not sd or sd == 0 then return shown end -- nothing is known of its uncertainty: "+- 0.0" would claim too much
  local uncertainty = core.fixed(text.K95 * sd, decimals)
  if not uncertainty:find "[1-9]" then uncertainty = core.fixed(10 ^ -decimals, decimals) end
  return shown .. " +- " .. uncertainty
end

--- worded(-20, 0, "ahead", "behind") -> "20 behind": a word instead of a sign, "0" when there is nothing to say.
function text.worded(x, decimals, plus, minus)
  local shown = core.fixed(x, decimals)
  if not shown:find "[1-9]" then return shown end
  if shown:sub(1, 1) == "-" then return shown:sub(2) .. " " .. minus end
  return shown .. " " .. plus
end

--- way(-20, 0, "ahead", "behind") -> "behind": the word that stands for a sign beside a number printed without it. What prints as zero
-- takes the first word: the sign of a residue of rounding depends on where the file's axes start and run.
function text.way(x, decimals, plus, minus)
  return core.fixed(x, decimals):sub(1, 1) == "-" and minus or plus
end

--- How a message names a value that was given where a word belongs: "nope" in its quotes, 5, true, a table. Never an address, which
-- changes from run to run.
function text.named(value)
  local kind = type(value)
  if kind == "string" then return ("%q"):format(value) end
  if kind == "number" then return text.plain(value) end
  if kind == "boolean" then return tostring(value) end
  return kind == "nil" and "nothing" or "a " .. kind
end

--- join({"a", "b", "c"}, "or") -> "a, b or c"; the word is "and" unless given.
function text.join(list, word)
  local n = #list
  if n < 2 then return list[1] or "" end
  return table.concat(list, ", ", 1, n - 1) .. " " .. (word or "and") .. " " .. list[n]
end

--- Names as a list shows them: in quotes where one of them holds a comma itself. Three coordinates are not a name.
function text.names(list)
  local quoted
  for _, name in ipairs(list) do quoted = quoted or name:find(",", 1, true) and name:find "[^-%d., ]" end
  if not quoted then return list end
  local shown = {}
  for i, name in ipairs(list) do shown[i] = ("%q"):format(name) end
  return shown
end

--- One name in a list of other words.
function text.name(name) return text.names{name}[1] end

--- join of names, and the same with nothing but commas.
function text.join_names(list, word) return text.join(text.names(list), word) end
function text.list_names(list) return table.concat(text.names(list), ", ") end

--- count(1, "part") -> "1 part", count(23, "part") -> "23 parts"; an irregular plural is the third argument.
function text.count(n, one, many)
  return core.shortest(n) .. " " .. (n == 1 and one or many or one .. "s")
end

--- grouped(1000000) -> "1,000,000": a whole number.
function text.grouped(n)
  local shown, more = core.fixed(n, 0), 1
  while more > 0 do shown, more = shown:gsub("^(%-?%d+)(%d%d%d)", "%1,%2") end
  return shown
end

--- A capital in front, a full stop at the end unless there is a mark already.
function text.sentence(words)
  words = words:gsub("^%l", string.upper)
  return words:find "[.!?:]$" and words or words .. "."
end

text.width, text.left, text.right, text.words, text.wrap = width.of, width.left, width.right, width.words, width.wrap

--- sy.table: see print/table.lua, loaded when first used.
function text.table(headings, rows) return require("steelyard.print.table").print(headings, rows) end

return text
