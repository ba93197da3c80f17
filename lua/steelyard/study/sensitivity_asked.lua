--- What sy.sensitivity was asked, checked: {car, c, outputs, groups, scale, tape, steps, top, inputs}.
--
--   outputs, groups  as uncertain.lua has them    scale: kg, tape: mm    steps: how many to list, nil for all
--   inputs           list (inputs.lua), each with step, low and high; nil where every stated error is asked about

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local inputs_of = require "steelyard.study.inputs"
local options = require "steelyard.reference.options"
local request_of = require "steelyard.study.request"
local text = require "steelyard.print.text"
local uncertain = require "steelyard.study.uncertain"
local user_values = require "steelyard.file.user_values"

local asked = {}

local SCALE, TAPE, TOP = 0.1, 2, 12 -- kg, mm, rows
local MOST_ROWS = 100000

-- A number above 0 under `field`: how well something is then known.
local function known_to(request, field, unit, otherwise)
  local value = request[field]
  if value == nil then return otherwise end
  if type(value) ~= "number" then
    core.fail{code = "type", field = field, message = ("must be a number of %s, is %s"):format(unit, user_values.what(value)),
              hint = ("it is a standard uncertainty, as in %s = %s"):format(field, text.plain(otherwise))}
  end
  if not (value > 0 and value < math.huge) then
    core.fail{code = "range", field = field, message = ("is %s %s, must be above 0"):format(text.plain(value), unit),
              hint = ("it is how well a line is known then, as in %s = %s"):format(field, text.plain(otherwise))}
  end
  return value + 0.0
end

local function count(request, field, otherwise)
  local value = request[field]
  if value == nil then return otherwise end
  local number = math.type(value) == "float" and math.tointeger(value) or value
  if math.type(number) ~= "integer" then
    core.fail{code = "type", field = field, message = ("must be a whole number, is %s"):format(user_values.what(value))}
  end
  if number < 0 or number > MOST_ROWS then
    core.fail{code = "range", field = field, message = ("is %s, must be 0 to %s"):format(text.plain(number), text.plain(MOST_ROWS))}
  end
  return number
end

-- Inputs with numbers a step apart.
local function varied(car, list)
  if list == nil then return nil end
  local inputs = inputs_of.of(car, list)
  for _, input in ipairs(inputs) do
    if input.kind == "setting" then
      core.fail{code = "unavailable", field = input.name, message = "is a setting, and sy.sensitivity asks the car as the file has it",
                hint = "sy.study varies settings"}
    elseif input.words then
      core.fail{code = "type", field = input.name, message = "has names for values, and no step between them", hint = "vary numbers"}
    elseif input.from == input.to then
      core.fail{code = "range", field = input.name, message = "has one value, and no step to another",
                hint = ("as in sy.vary(%q, %q, -50, 50, 5)"):format(text.join(type(input.what) == "table" and input.what or {input.what}),
                  input.way)}
    end
    input.low, input.high = math.min(input.from, input.to), math.max(input.from, input.to)
    input.steps = input.n and input.n > 1 and input.n - 1 or 1
    input.step = (input.high - input.low) / input.steps
  end
  return inputs
end

--- See above.
function asked.of(request)
  request_of.check(request, "sy.sensitivity", '{car, show = {"front_share"}}', options.known("sensitivity", "sensitivity"),
    options.names("sensitivity", "sensitivity"))
  local car = request_of.car(request)
  local c = contents.inside(car)
  require("steelyard.car.loading").need_mass(c)
  local s = {car = car, c = c, outputs = uncertain.outputs(c, request.show, {call = "sy.sensitivity", done = "taken apart"}),
             scale = known_to(request, "scale", "kg", SCALE), tape = known_to(request, "tape", "mm", TAPE),
             steps = count(request, "steps"), top = count(request, "top", TOP), inputs = varied(car, request.vary)}
  s.groups = uncertain.groups(c, s.outputs, "taken apart")
  return s
end

return asked
