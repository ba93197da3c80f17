--- From what a user wrote to plain numbers in workshop units: 27.4, 30*lb, sd(27.4, 0.1), "90 %", {0, 725, 285}.
--
-- A reader returns its result, or nil, code, message, hint. Messages read on from "part "x", mass: ".

local core = require "steelyard.core"
local language = require "steelyard.file.language"
local text = require "steelyard.print.text"

local user_values = {}

local marked = core.vocabulary_functions.marked
local Item, Shape, Uncertainty = marked "item", marked "shape", marked "uncertainty"
local Amount, Unknown, Strange = marked "amount", marked "unknown", marked "strange"
local getmetatable, type = getmetatable, type
local number_of = core.number_of

function user_values.is_item(value) return getmetatable(value) == Item end
function user_values.is_shape(value) return getmetatable(value) == Shape end
function user_values.is_unknown(value) return getmetatable(value) == Unknown end

--- A table of the user's own, without meaning yet?
function user_values.is_plain(value) return type(value) == "table" and getmetatable(value) == nil end

local LONGEST_SHOWN = 60 -- bytes of a text in a message

local dims_in_words, units = language.words.dimensions, language.field_units

--- "the text "12"", "a mass", "a part": what a value is, for messages.
function user_values.what(value)
  local kind, meta = type(value), getmetatable(value)
  if kind == "string" then
    if #value > LONGEST_SHOWN then value = value:sub(1, utf8.offset(value, 0, LONGEST_SHOWN) - 1) .. "..." end
    return "the text \"" .. value .. "\""
  end
  if kind == "number" then return "the number " .. text.plain(value) end
  if kind == "boolean" then return value and "true" or "false" end
  if meta == Amount then return dims_in_words[value.dims] or "a quantity of another kind" end
  if meta == Uncertainty then return "a number with its uncertainty" end
  if meta == Unknown then return "the word unknown" end
  if meta == Item then return ("the %s %q"):format(value.kind, value.name) end
  if meta == Shape then return "a " .. value.shape end
  if meta == Strange then return "a " .. value.what end
  return kind == "nil" and "not given" or "a " .. kind
end

--- "-5 kg"
function user_values.with_unit(number, unit)
  return text.plain(number) .. (unit ~= "" and " " .. unit or "")
end
local with_unit = user_values.with_unit

local function bad_number(value, unit)
  local want = unit == "" and "a number" or "a number in " .. unit
  local hint
  if type(value) == "string" then
    if value:find "^%s*[-+]?%d+,%d+%s*$" then
      hint = "decimals take a point, and numbers no quotes"
    elseif core.number(value) then
      hint = "write it without quotes"
    end
  end
  return "type", ("must be %s, is %s"):format(want, user_values.what(value)), hint
end

-- What core.number_of found wrong with a value or with a part of it, in words: code, message, hint.
local function fault_of(fault, value, unit)
  if fault == "no number" then return bad_number(value, unit) end
  if fault == "other unit" then
    return "type", ("must be %s%s, is %s"):format(dims_in_words[units[unit].dims], unit ~= "" and " in " .. unit or "",
      user_values.what(value))
  end
  if fault == "sd" then return "range", "has an uncertainty below 0" end
  return "range", fault == "not a number" and "is not a number (0/0)" or "is not finite"
end

--- number, standard uncertainty or nil; or nil, code, message, hint.
function user_values.number(value, unit)
  local u = units[unit]
  local number, sd, part = number_of(value, u.dims, u.factor)
  if number then return number, sd end
  return nil, fault_of(sd, part, unit)
end

--- true for a number that was stated with its limits, within(27.4, 3); else nil.
function user_values.has_limits(value) return getmetatable(value) == Uncertainty and value.limits or nil end

--- Is this a unit that user_values.number reads in?
function user_values.knows(unit) return units[unit] ~= nil end

--- A number, or an amount of any kind in its workshop unit: mm, kg, deg, N/mm, kg m2 ...
function user_values.any(value)
  local unit = ""
  if getmetatable(value) == Amount then
    for name, u in pairs(units) do
      if u.dims == value.dims and u.dims ~= "" then unit = name end
    end
  end
  return user_values.number(value, unit)
end

--- What scales read in, in kg.
user_values.in_kg = {}
for _, unit in ipairs(language.mass_units) do user_values.in_kg[unit] = language.size_of[unit] end

-- number, unit of a number or an amount of mass
local function plain_as_read(value)
  if type(value) == "number" then return user_values.number(value, "") end
  if getmetatable(value) ~= Amount or value.dims ~= "M" or type(value.value) ~= "number" then
    local code, _, hint = bad_number(value, "")
    return nil, code, "must be what a scale shows, a number or a mass, is " .. user_values.what(value), hint
  end
  for unit, factor in pairs(user_values.in_kg) do
    if factor == value.factor then return value.value, unit end
  end
  return value.value * value.factor, "kg"
end

--- A mass in a unit of in_kg, as a vehicle file has it: 31.4*lb.
function user_values.of_mass(number, unit)
  return setmetatable({value = number, factor = user_values.in_kg[unit], dims = "M"}, Amount)
end

--- A number in a unit word of the files, as a vehicle file has it: 210*lb; nil for another word.
function user_values.amount(number, word)
  for _, unit in ipairs(language.words.units) do
    if unit[1] == word then return setmetatable({value = number, factor = unit[3], dims = unit[2]}, Amount) end
  end
end

--- A reading as it was read, 31.4 or 31.4*lb: {value =, sd = or nil, unit = or nil}; or nil, code, message, hint.
function user_values.as_read(value)
  local uncertainty = getmetatable(value) == Uncertainty and value or nil
  local number, unit, message, hint = plain_as_read(uncertainty and uncertainty.value or value)
  if not number then return nil, unit, message, hint end
  if number - number ~= 0 then return nil, "range", "is not finite" end -- an amount may have become so
  local sd
  if uncertainty then
    sd = plain_as_read(uncertainty.sd)
    if not sd or sd < 0 then return nil, "range", "has an uncertainty that is not a number of 0 or more" end
  end
  return {value = number, sd = sd, unit = unit}
end

--- nil when the number keeps to the limits {min =, above =, max =, below =}, else code, message.
function user_values.outside(number, limits, unit)
  if limits.above and not (number > limits.above) then
    return "range", ("must be above %s, is %s"):format(with_unit(limits.above, unit), with_unit(number, unit))
  end
  if limits.min and not (number >= limits.min) then
    return "range", ("must be %s or more, is %s"):format(with_unit(limits.min, unit), with_unit(number, unit))
  end
  if limits.max and not (number <= limits.max) then
    return "range", ("must be %s or less, is %s"):format(with_unit(limits.max, unit), with_unit(number, unit))
  end
end

--- "15 %" as 0.15; a plain number from 0 to 1 is a fraction already.
function user_values.fraction(value)
  if type(value) == "number" then
    if value >= 0 and value <= 1 then return value + 0.0 end
    return nil, "range", ("is %s; a share is a text such as \"15 %%\" or a fraction from 0 to 1"):format(
      text.plain(value))
  end
  local digits = type(value) == "string" and value:match "^%s*([%d.,+-]+)%s*%%%s*$"
  if not digits then
    return nil, "type", ("must be a share such as \"15 %%\", is %s"):format(user_values.what(value))
  end
  local percent = core.number(digits)
  if not percent then
    return nil, "type", ("must be a share such as \"15 %%\", is %s"):format(user_values.what(value)),
      digits:find(",", 1, true) and "decimals take a point" or nil
  end
  if percent < 0 then return nil, "range", ("must be 0 %% or more, is %s"):format(value) end
  return percent / 100
end

--- Is this a share of something, as in fill = "90 %"?
function user_values.is_share(value) return type(value) == "string" and value:find("%", 1, true) ~= nil end

--- Litres for a message: a volume worked out from sizes has digits that nobody stated.
function user_values.litres_text(litres) return text.plain(core.number(core.fixed(litres, 6))) end

local OVERFULL = 1e-9 -- of the capacity: a sum of fills rounds (0.1 + 0.2 litres), more is an error; as in core/mass/tank.h

--- `litres` where a tank of `capacity` (nil: not stated) holds them, at most brim-full to the bit; else nil.
function user_values.held(litres, capacity)
  if not capacity or litres <= capacity then return litres end
  return litres <= capacity * (1 + OVERFULL) and capacity or nil
end

return user_values
