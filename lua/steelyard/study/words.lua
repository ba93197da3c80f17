--- How inputs and their values are written: "50 forward", "60 kg", "as booked".

local text = require "steelyard.print.text"

local words = {}

local opposite = {forward = "back", back = "forward", left = "right", right = "left", up = "down", down = "up", out = "in",
                  nose_up = "nose_down", nose_down = "nose_up", left_up = "right_up", right_up = "left_up", nose_left = "nose_right",
                  nose_right = "nose_left"}

local shown_unit = {litre = "L", ["%"] = "%"}

local function plain_words(name) return (name:gsub("_", " ")) end

local function item(input) return type(input.what) == "table" and table.concat(input.what, " and ") or input.what end

--- The word for the other way; "in" is none of what_if and car:move.
words.opposite = opposite

--- What is varied, as it is called: "powertrain", "engine and gearbox"; nil for a state or a setting.
words.item = item

--- "powertrain back", "driver mass", "left turn".
function words.label(input) return plain_words(input.name) end

--- Above a column of its values: "powertrain, mm", "driver mass, kg".
function words.heading(input)
  local name = (input.kind == "move" or input.kind == "turn" or input.kind == "fill" or input.kind == "swap") and item(input)
    or plain_words(input.name)
  local unit = input.unit or ""
  return unit ~= "" and ("%s, %s"):format(name, unit) or name
end

--- A value in such a column.
function words.value(input, value)
  if value == nil then return "as booked" end
  if input.words then return input.words[value] or value end
  if input.kind ~= "move" and input.kind ~= "turn" then return text.plain(value) end
  if value == 0 then return "as booked" end
  return ("%s %s"):format(text.plain(math.abs(value)), plain_words(value > 0 and input.way or opposite[input.way]))
end

--- The same where no heading says what it is: "60 kg", "powertrain 50 forward", "race start".
function words.beside(input, value)
  if value == nil then return "as booked" end
  if input.words then return input.words[value] end
  local shown = words.value(input, value)
  if input.kind == "move" or input.kind == "turn" then return shown == "as booked" and shown or ("%s %s"):format(item(input), shown) end
  local unit = shown_unit[input.unit] or input.unit or ""
  return unit ~= "" and ("%s %s"):format(shown, unit) or shown
end

return words
