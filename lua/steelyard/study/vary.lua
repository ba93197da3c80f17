--- sy.vary(what, way, from, to, n), (what, way, {values}), ("state", {names}), (setting, from, to, n): one input of a study.
--
-- What is said here knows no car; study/inputs.lua finds out what it means for one.
--
--   name    of the input in results: item and way ("engine back", "fuel fill"), "state", or the setting
--   what    a name, a list of names or a tag; nil for a state or a setting
--   way     a direction (mm), a turning word (deg), "fill" (litres), "swap", or a field of a part, person, axle, of "chassis" or "vehicle";
--           a piece of one behind a dot ("left.spring_rate", "at.x")
--   kind    "move" "turn" "field" "fill" "swap" "state" "setting"
--   unit    of the values; of a field and a setting it is known once there is a car
--   from, to, n  as given: n values, both ends among them; without n the range of a Latin hypercube, Sobol points or a list
--   values  numbers; of words (states, swaps, bars) 1, 2, ... for `words`

local core = require "steelyard.core"
local directions = require "steelyard.file.directions"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"

local vary = {}
local Vary = {__name = "vary"}
Vary.__index = Vary

local MOST_VALUES = 10000000 -- of one input: more is a slip of the keyboard

function vary.is_vary(value) return getmetatable(value) == Vary end

local function refuse(code, name, message, hint)
  core.fail{code = code, field = name, message = message, hint = hint}
end

local FORMS = 'write sy.vary("engine", "back", -50, 50, 5), sy.vary("driver", "mass", {60, 80, 100}), '
  .. 'sy.vary("state", {"kerb", "race start"}) '
  .. 'or sy.vary("left_turn", 0, 1, 5)'

local units = {fill = "litre"}
for word in pairs(directions.shifts) do units[word] = "mm" end
units.out = "mm"
for _, word in ipairs(directions.turn_words) do units[word] = "deg" end

local function kind_of(way)
  if way == "fill" or way == "swap" then return way end
  return units[way] == "mm" and "move" or units[way] == "deg" and "turn" or "field"
end

-- ---- values --------------------------------------------------------------------------------------------------------------

local function number(v, value, which)
  local found, sd, message, hint = user_values.any(value)
  if not found then refuse(sd, v.name, ("%s %s"):format(which, message), hint) end
  if sd then
    refuse("type", v.name, ("%s has an uncertainty; what is varied is exact"):format(which), "sy.spread draws from stated uncertainties")
  end
  return found
end

local function read_range(v, from, to, n)
  if to == nil then refuse("missing", v.name, "has a first value and no last", FORMS) end
  v.from, v.to = number(v, from, "from"), number(v, to, "to")
  if v.from == v.to then
    refuse("range", v.name, ("from and to are both %s"):format(text.plain(v.from)),
      ("one value is a list, {%s}"):format(text.plain(v.from)))
  end
  v.ranged = true
  if n == nil then return end
  if math.type(n) == "float" and n == math.floor(n) then n = math.tointeger(n) end
  if math.type(n) ~= "integer" then refuse("type", v.name, ("the number of values is %s"):format(user_values.what(n)), FORMS) end
  if n < 2 then
    refuse("range", v.name, ("from %s to %s takes 2 values or more, not %d"):format(text.plain(v.from), text.plain(v.to), n),
      ("one value is a list, {%s}"):format(text.plain(v.from)))
  end
  if n > MOST_VALUES then refuse("limit", v.name, ("has %d values, at most %d are possible"):format(n, MOST_VALUES)) end
  local values, first, width = {}, v.from, v.to - v.from
  for i = 0, n - 1 do values[i + 1] = first + width * i / (n - 1) end -- counted, not added up: both ends are exact
  values[n] = v.to
  v.n, v.values = n, values
end

local function read_words(v, list)
  v.words, v.values = {}, {}
  local seen = {}
  for i, word in ipairs(list) do
    if type(word) ~= "string" then refuse("type", v.name, ("value %d must be a name, is %s"):format(i, user_values.what(word))) end
    if seen[word] then refuse("clash", v.name, ("%s stands twice"):format(text.named(word))) end
    seen[word], v.words[i], v.values[i] = true, word, i
  end
end

local function read_list(v, list)
  local count = #list
  if count == 0 then
    refuse("range", v.name, next(list) == nil and "has no values" or "has values that are not in a list", "as in {60, 80, 100}")
  end
  for key in pairs(list) do
    if math.type(key) ~= "integer" or key < 1 or key > count then
      refuse("type", v.name, ("has the value %s beside its list"):format(text.named(key)), "as in {60, 80, 100}")
    end
  end
  v.n = count
  if v.kind == "state" or v.kind == "swap" or (v.kind == "setting" and type(list[1]) == "string") then return read_words(v, list) end
  v.values = {}
  for i = 1, count do
    if v.kind == "fill" and type(list[i]) == "string" then
      v.shares = v.shares or {}
      v.shares[i], v.values[i] = list[i], 0 -- "90 %": litres once the tank is known
    else
      v.values[i] = number(v, list[i], ("value %d"):format(i))
    end
  end
  v.from, v.to = math.min(table.unpack(v.values, 1, math.min(count, 200))), math.max(table.unpack(v.values, 1, math.min(count, 200)))
  for i = 201, count do v.from, v.to = math.min(v.from, v.values[i]), math.max(v.to, v.values[i]) end
end

local function read_values(v, from, to, n, more)
  if user_values.is_plain(from) then
    if to ~= nil then refuse("type", v.name, "has a list of values and something behind it", FORMS) end
    return read_list(v, from)
  end
  if from == nil then refuse("missing", v.name, "has no values", FORMS) end
  if more ~= nil then refuse("type", v.name, "has more than from, to and the number of values", FORMS) end
  if v.kind == "state" or v.kind == "swap" then refuse("type", v.name, "takes a list of names", FORMS) end
  read_range(v, from, to, n)
end

-- ---- what is varied ------------------------------------------------------------------------------------------------------

local function label(what)
  if type(what) == "string" then return what end
  for i = 1, #what do -- one may be missing
    if type(what[i]) ~= "string" then
      core.fail{code = "type", message = ("sy.vary: name %d in the list is %s"):format(i, user_values.what(what[i]))}
    end
  end
  return table.concat(what, " and ")
end

-- Settings that are a table by end or by way: "downforce.front", or "downforce", "front".
local in_pieces = {slope = true, downforce = true, preload = true, pads = true, perches = true}

--- sy.vary
function vary.of(what, ...)
  local way = (...)
  if type(what) == "table" and #what == 0 then core.fail{code = "missing", message = "sy.vary: the list of parts is empty",
    hint = FORMS} end
  if type(what) ~= "string" and not user_values.is_plain(what) then
    core.fail{code = "type", message = ("sy.vary begins with a name, not %s"):format(user_values.what(what)), hint = FORMS}
  end
  local v = setmetatable({}, Vary)
  if type(way) == "string" and in_pieces[what] then
    v.kind, v.name = "setting", what .. "." .. way
    read_values(v, select(2, ...))
  elseif type(way) == "string" then
    v.what, v.way, v.kind, v.unit, v.name = what, way, kind_of(way), units[way], label(what) .. " " .. way
    read_values(v, select(2, ...))
  else
    if type(what) ~= "string" then core.fail{code = "missing", message = "sy.vary: parts without a way to vary them", hint = FORMS} end
    v.kind, v.name = what == "state" and "state" or "setting", what
    read_values(v, ...)
  end
  return v
end

function Vary.__tostring(v)
  if v.words then return ("%s: %s"):format(v.name, text.list_names(v.words)) end
  local unit = v.unit and v.unit ~= "" and " " .. v.unit or ""
  if not v.values then return ("%s: %s to %s%s"):format(v.name, text.plain(v.from), text.plain(v.to), unit) end
  return ("%s: %s%s, %s"):format(v.name, #v.values == 1 and text.plain(v.values[1]) or
    ("%s to %s"):format(text.plain(v.from), text.plain(v.to)), unit, text.count(#v.values, "value"))
end

return vary
