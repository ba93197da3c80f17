--- What an answer says to do, as changes in the words of `steelyard what_if`, so that it can be tried: command/changed.lua reads them.
--
-- phrases.of_inputs(inputs, values) -> {"powertrain 12.3 forward", "driver mass 96"}, in the order in which a car takes them (inputs.lua)
-- phrases.of_slots(slots, masses)   -> {"ballast 12.6 at nose (-500,0,200)"}; slots as ballast/given.lua has them
--   Both give nil where there are no words for one of them: a setting, a list of parts, a slot inside a group.
-- phrases.lines(list) -> lines of a page, nil for nil and for nothing to change; no line ends within a phrase

local inputs_of = require "steelyard.study.inputs"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local words_of = require "steelyard.study.words"

local phrases = {}

local WIDTH = 100 -- of a page

local kinds = {}

function kinds.move(input, value)
  local way = input.way
  if value < 0 and words_of.opposite[way] and way ~= "out" then value, way = -value, words_of.opposite[way] end
  return ("%s %s %s"):format(input.what, text.plain(value), way)
end

kinds.turn = kinds.move

function kinds.field(input, value) return ("%s %s %s"):format(input.what, input.way, text.plain(value)) end
kinds.fill = kinds.field

local function is_nothing(input, value) return (input.kind == "move" or input.kind == "turn") and value == 0 end

--- See above.
function phrases.of_inputs(inputs, values)
  local list = {}
  for _, i in ipairs(inputs_of.order(inputs)) do
    local input, value = inputs[i], values[i]
    local say = type(input.what) == "string" and kinds[input.kind]
    if not say then return nil end
    if not is_nothing(input, value) then list[#list + 1] = say(input, value) end
  end
  return list
end

-- Coordinates without an uncertainty, as stated.
local function place_words(at)
  local list = {}
  for i, letter in ipairs{"x", "y", "z"} do
    local value = at[i]
    if value == nil then value = at[letter] end
    local x, sd = user_values.any(value)
    if not x or sd then return nil end
    list[i] = text.plain(x)
  end
  return table.concat(list, ",")
end

--- Of one slot: nil without words for it.
function phrases.of_slot(slot, mass)
  local place = not slot.into and not slot.name:find "[()]" and place_words(slot.at)
  return place and ("ballast %s at %s (%s)"):format(text.plain(mass), slot.name, place) or nil
end

--- See above.
function phrases.of_slots(slots, masses)
  local list = {}
  for k, slot in ipairs(slots) do
    local said = masses[k] > 0 and phrases.of_slot(slot, masses[k])
    if said == nil then return nil end
    list[#list + 1] = said or nil
  end
  return list
end

local BEGIN, GOES_ON = "To try it: what_if", " \\" -- as a shell goes on in the next line

--- See above.
function phrases.lines(list)
  if not list or not list[1] then return nil end
  local lines, line = {}, BEGIN
  for _, phrase in ipairs(list) do
    local quoted = (' "%s"'):format(phrase)
    if line ~= BEGIN and text.width(line .. quoted .. GOES_ON) > WIDTH then
      lines[#lines + 1], line = line .. GOES_ON, " "
    end
    line = line .. quoted
  end
  lines[#lines + 1] = line
  return table.concat(lines, "\n")
end

return phrases
