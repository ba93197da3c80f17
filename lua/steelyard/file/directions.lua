--- Words for moving and turning things: {back = 50, down = 20}, {nose_up = 2, about = "cg"}.
-- Shifts are mm along the vehicle's own directions, turns are degrees. Signs are allowed but words are clearer.

local core = require "steelyard.core"
local text = require "steelyard.print.text"

local directions = {}

-- word -> forward, left, up
local shifts = {
  forward = {1, 0, 0}, back = {-1, 0, 0}, left = {0, 1, 0}, right = {0, -1, 0}, up = {0, 0, 1}, down = {0, 0, -1},
}
directions.shifts = shifts
-- the order in which headings name them
local shift_order = {"forward", "back", "left", "right", "up", "down"}
local turn_order = {"nose_up", "nose_down", "left_up", "right_up", "nose_left", "nose_right"}
directions.turn_words = turn_order

local known, all_words = {about = true, out = true}, {"out", "about"}
for _, list in ipairs{shift_order, turn_order} do
  for _, word in ipairs(list) do known[word] = true; all_words[#all_words + 1] = word end
end

directions.words = all_words

local function refuse(code, message, field, hint)
  core.fail{code = code, message = message, field = field, hint = hint}
end

local function check_number(word, value)
  if type(value) ~= "number" then
    refuse("type", ("must be a number, is a %s"):format(type(value)), word)
  elseif value ~= value or value == math.huge or value == -math.huge then
    refuse("range", "must be a finite number", word)
  end
  return value
end

-- 50 -> "50", 12.5 -> "12.5"
local short = text.plain

local only_number = core.only_number

--- The usual case, one shift: {back = 50} -> forward, left, up in mm, and 50 and "back"; nil for all others, and for what
-- directions.read refuses.
function directions.single(words)
  local word, distance = only_number(words)
  local unit = word and shifts[word]
  if not unit then return nil end
  return unit[1] * distance, unit[2] * distance, unit[3] * distance, distance, word
end

--- What such a shift is called: "engine 50 back".
function directions.said(label, distance, word) return label .. " " .. short(distance) .. " " .. word end

--- What {back = 50, nose_up = 2} means: forward, left, up and out in mm, `turn` (words to degrees) or nil, `about`, and
-- `text` for headings ("50 back, nose up 2").
function directions.read(words)
  if type(words) ~= "table" then
    refuse("type", ("directions are a table such as {back = 50}, not %s"):format(require("steelyard.print.text").named(words)))
  end
  for word in pairs(words) do
    if not known[word] then
      local near = type(word) == "string" and core.nearest(word, all_words)
      refuse("unknown", ("no direction is called %s"):format(text.named(word)), nil,
        near and ("did you mean %q?"):format(near) or "directions are " .. table.concat(all_words, ", "))
    end
  end
  local result, said = {forward = 0, left = 0, up = 0, out = 0, about = words.about}, {}
  for _, word in ipairs(shift_order) do
    if words[word] ~= nil then
      local distance, unit = check_number(word, words[word]), directions.shifts[word]
      result.forward = result.forward + unit[1] * distance
      result.left = result.left + unit[2] * distance
      result.up = result.up + unit[3] * distance
      said[#said + 1] = short(distance) .. " " .. word
    end
  end
  if words.out ~= nil then
    result.out = check_number("out", words.out)
    said[#said + 1] = short(words.out) .. " out"
  end
  for _, word in ipairs(turn_order) do
    if words[word] ~= nil then
      result.turn = result.turn or {}
      result.turn[word] = check_number(word, words[word])
      said[#said + 1] = word:gsub("_", " ") .. " " .. short(words[word])
    end
  end
  if #said == 0 then
    refuse("missing", "no direction given", nil, "write for instance {back = 50} or {nose_up = 2}")
  end
  result.text = table.concat(said, ", ")
  return result
end

--- One direction word as forward, left, up.
function directions.unit(word)
  local unit = directions.shifts[word]
  if not unit then
    local near = type(word) == "string" and core.nearest(word, shift_order)
    refuse("unknown", ("no direction is called %s"):format(text.named(word)), nil,
      near and ("did you mean %q?"):format(near) or "directions are " .. table.concat(shift_order, ", "))
  end
  return unit[1], unit[2], unit[3]
end

-- The number a word means, the same in every locale, which tonumber is not.
local function number(word) return word and core.number(word) end

-- "30" and "30mm"; nil for anything else
local function millimetres(word) return word and (number(word) or number(word:match "^(.+)mm$")) end

-- One change at the end of the words up to `last`: "back 50", "50 back" or "50 mm back", also "50mm"; nil when there is none.
local function last_change(words, last)
  local a, b = words[last - 1], words[last]
  if known[a] and millimetres(b) then return a, millimetres(b), last - 2 end
  if a == "mm" and known[b] and number(words[last - 2]) then return b, number(words[last - 2]), last - 3 end
  if b == "mm" and known[words[last - 2]] and number(a) then return words[last - 2], number(a), last - 3 end
  if known[b] and millimetres(a) then return b, millimetres(a), last - 2 end
end

local EXAMPLE = 'write a part, millimetres and a direction, as in "powertrain 50 back", or a field and its value, as in "driver mass 96"'

-- Why the words that end at `last` do not make a change: message, hint. Which of them stands where a direction or a number belongs.
local function why_no_change(phrase, words, last)
  local a, b = words[last - 1], words[last]
  local direction, amount_word = known[b] and b or known[a] and a, millimetres(b) and b or millimetres(a) and a
  if direction then
    local other = direction == b and a or b
    if not other or last == 1 then return ("%q has no number beside %q"):format(phrase, direction), EXAMPLE end
    local before = words[last - 2]
    local amount = other:match "^[-+]?[%d.,]+" and other or before and number(before) and before .. " " .. other
    if amount then
      return ("%q: %q is not a number of millimetres"):format(phrase, amount), "lengths are in mm with a decimal point, turns in degrees"
    end
    return ("%q has no number beside %q"):format(phrase, direction), ("write the millimetres, as in \"%s 50 %s\""):format(
      table.concat(words, " ", 1, direction == b and last - 1 or last - 2), direction)
  end
  local wrong = amount_word and (amount_word == b and (a == "mm" and words[last - 2] or a) or b) or b
  if not wrong then return "the change is empty", EXAMPLE end
  local near = core.nearest(wrong, all_words)
  return ("%q: %q is not a direction"):format(phrase, wrong), near and ("did you mean %q?"):format(near) or EXAMPLE
end

local function words_of(phrase)
  local words = {}
  for word in phrase:gmatch "%S+" do words[#words + 1] = word end
  return words
end

--- Does a phrase end in a number and a direction?
function directions.is_change(phrase)
  local words = words_of(phrase)
  return last_change(words, #words) ~= nil
end

--- "powertrain back 50", "driver 20 forward 5 up", "gearbox 30 mm down" -> "gearbox", {down = 30}. For the command line; mm
-- and degrees. is_name(words): is this a name of the car? Then no change is looked for in it.
function directions.parse(phrase, is_name)
  local words = words_of(phrase)
  local last, change, found = #words, {}, false
  while not (found and is_name and is_name(table.concat(words, " ", 1, last))) do
    local word, value, before = last_change(words, last)
    if not word then break end
    if change[word] then refuse("usage", ("%q says %s twice"):format(phrase, word)) end
    change[word], last, found = value, before, true
  end
  if not found or last < 1 then
    if found then refuse("usage", ("%q names no part in front of the change"):format(phrase), nil, EXAMPLE) end
    local message, hint = why_no_change(phrase, words, #words)
    refuse("usage", message, nil, hint)
  end
  return table.concat(words, " ", 1, last), change
end

return directions
