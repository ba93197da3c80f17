--- What sy.study and sy.spread are asked alike: a table of known fields with a car in it.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"

local request = {}

local MOST_THREADS = 64 -- as the core has them

--- Refuses what is not a table, and fields that the call has not. call: "sy.study"; example: "{car, vary = {...}}"; known: set of names,
-- which `names` lists.
function request.check(given, call, example, known, names)
  if type(given) ~= "table" then core.fail{code = "type", message = ("%s takes a table: %s%s"):format(call, call, example)} end
  for key in pairs(given) do
    if key ~= 1 and not known[key] then
      local near = type(key) == "string" and core.nearest(key, names)
      core.fail{code = "unknown", message = ("%s has no field %s"):format(call, text.named(key)),
                hint = near and ("did you mean %q?"):format(near) or "they are " .. text.join(names)}
    end
  end
end

--- The car, which stands first or under its name.
function request.car(given)
  local car = given[1] == nil and given.car or given[1]
  if given[1] ~= nil and given.car ~= nil then core.fail{code = "clash", field = "car", message = "is given twice"} end
  if not contents.is_car(car) then
    core.fail{code = car == nil and "missing" or "type", field = "car", message = ("must be a car, is %s"):format(user_values.what(car)),
              hint = type(car) == "string" and ("sy.load(%q) makes a car of a file"):format(car) or nil}
  end
  return car
end

--- True or false, false where nothing is said.
function request.flag(given, name)
  local value = given[name]
  if value ~= nil and type(value) ~= "boolean" then
    core.fail{code = "type", field = name, message = ("must be true or false, is %s"):format(user_values.what(value))}
  end
  return value == true
end

--- A whole number from low to high under `field`; `missing` where none is given, and where that is nil it must be. example: "100000".
function request.whole(given, field, low, high, missing, example)
  local value = given[field]
  if value == nil and missing then return missing end
  if value == nil then
    core.fail{code = "missing", field = field, message = "is missing", hint = ("as in %s = %s"):format(field, example)}
  end
  local number = math.type(value) == "float" and value == math.floor(value) and math.abs(value) < 2 ^ 53 and math.tointeger(value) or value
  if math.type(number) ~= "integer" then
    core.fail{code = "type", field = field, message = ("must be a whole number, is %s"):format(user_values.what(value))}
  end
  if number < low or number > high then
    core.fail{code = number > high and field == "draws" and "limit" or "range", field = field,
              message = ("is %s, must be %s to %s"):format(core.fixed(number, 0), core.fixed(low, 0), core.fixed(high, 0))}
  end
  return number
end

--- How many work at once: as many as there are processors, unless it is said.
function request.threads(given) return request.whole(given, "threads", 1, MOST_THREADS, core.processors()) end

return request
