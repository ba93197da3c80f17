--- Readers of values that every kind of table has: numbers, points, turns; those of texts stand in texts.lua. Those
-- that are right are read by core.read_fields; what comes here is what it left: mostly wrong, and said so.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local language = require "steelyard.file.language"
local most = require "steelyard.file.most"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"

local readers, wrong, did_you_mean = {}, entries.wrong, entries.did_you_mean
local type, next, math_type = type, next, math.type

-- What a number is that core.read_fields did not take.
function readers.number(ctx, owner, key, value, options) entries.number(ctx, owner, key, value, options) end
readers.mass = readers.number

function readers.within(ctx, owner, key, value, options, out)
  out.within = entries.exact(ctx, owner, key, value, options)
end

function readers.fraction(ctx, owner, key, value, _, out)
  local fraction, code, message, hint = user_values.fraction(value)
  if not fraction then return wrong(ctx, owner, key, code, message, hint) end
  out[key] = fraction
end

-- core.read_fields takes all flags, words and counts: what comes here is none.

function readers.flag(ctx, owner, key, value)
  wrong(ctx, owner, key, "type", ("must be true or false, is %s"):format(user_values.what(value)))
end

function readers.choice(ctx, owner, key, value, options)
  local words = options.words
  local near = type(value) == "string" and core.nearest(value, words)
  wrong(ctx, owner, key, type(value) == "string" and "unknown" or "type",
    ("must be one of \"%s\", is %s"):format(table.concat(words, "\", \""), user_values.what(value)),
    did_you_mean(near))
end

function readers.count(ctx, owner, key, value)
  wrong(ctx, owner, key, type(value) == "number" and "range" or "type",
    ("must be a whole number from 1 to %d, is %s"):format(most.count, user_values.what(value)))
end

-- ---- points ---------------------------------------------------------------------------------------------------------

local letters = {"x", "y", "z"}
local letter_index = {x = 1, y = 2, z = 3}
local place = {unit = "mm", min = -language.MOST_LENGTH, max = language.MOST_LENGTH}

-- Which coordinate a key of a point stands for: {x, y, z} or {x =, y =, z =}.
local function coordinate(key) return letter_index[key] or (math_type(key) == "integer" and key) end

local function check_point(ctx, owner, key, value)
  if not entries.table(ctx, owner, key, value) then return false end
  local fine, count = true, 0
  for k in next, value do
    local i = coordinate(k)
    if not i or i < 1 or i > 3 then fine = false end
    count = count + 1
  end
  if fine and count <= 3 and (count == #value or #value == 0) then return true end
  wrong(ctx, owner, key, "content", #value > 3 and ("must be three numbers, has %d"):format(#value)
    or "must be {x, y, z} or {x = , y = , z = }", #value > 3 and "decimals take a point" or nil)
  return false
end

local function check_coordinate(ctx, owner, key, k, letter, value)
  local number, code, message, hint = user_values.number(value, "mm")
  if number then code, message = user_values.outside(number, place, "mm") end
  if not code then return end
  local shown = problems.field_name(owner, key) .. "." .. letter
  wrong(ctx, problems.inside(owner, key), k, code, message, hint, shown)
end

-- What a point is that core.read_fields did not take.
function readers.point(ctx, owner, key, value)
  if not check_point(ctx, owner, key, value) then return end
  local named = #value == 0
  for i = 1, 3 do
    local k = named and letters[i] or i
    if value[k] ~= nil then
      check_coordinate(ctx, owner, key, k, letters[i], value[k])
    else
      wrong(ctx, owner, key, "missing", ("has no %s"):format(letters[i]))
    end
  end
end

--- A direction: three plain numbers, not all 0.
function readers.direction(ctx, owner, key, value, _, out)
  if not check_point(ctx, owner, key, value) then return end
  local v, length = {}, 0
  for i = 1, 3 do
    local given = value[i] ~= nil and value[i] or value[letters[i]] or 0
    v[i] = entries.exact(ctx, owner, key, given, {unit = ""}) or 0
    length = length + v[i] * v[i]
  end
  if length == 0 then return wrong(ctx, owner, key, "geometry", "is not a direction, all three numbers are 0") end
  out[key] = v
end

-- ---- turned ---------------------------------------------------------------------------------------------------------

-- word -> the word it is kept under, its sign
local turns = {
  nose_up = {"nose_up", 1}, nose_down = {"nose_up", -1}, left_up = {"left_up", 1}, right_up = {"left_up", -1},
  nose_left = {"nose_left", 1}, nose_right = {"nose_left", -1},
}
local turn_words = {"nose_up", "nose_down", "left_up", "right_up", "nose_left", "nose_right"}

function readers.turned(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value) then return end
  local inside, turned = problems.inside(owner, key), {}
  for word in next, value do
    if not turns[word] then
      local near = type(word) == "string" and core.nearest(word, turn_words)
      wrong(ctx, inside, word, "unknown", "is not a way to turn",
        did_you_mean(near) or "the words are " .. table.concat(turn_words, ", "))
    end
  end
  for _, word in ipairs(turn_words) do
    local degrees = value[word] ~= nil
      and entries.exact(ctx, inside, word, value[word], {unit = "deg", min = -360, max = 360})
    if degrees then
      local kept, sign = turns[word][1], turns[word][2]
      if turned[kept] then
        wrong(ctx, inside, word, "clash", ("stands beside %s, one of the two is enough"):format(kept))
      end
      turned[kept] = sign * degrees
    end
  end
  out[key] = turned
end

return {readers = readers}
