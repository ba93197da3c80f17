--- What sy.seek was asked, checked: {car, inputs, outer, inner, outputs, targets, aim, aimed, rules, states, settings, starts, seed}.
--
--   inputs   list (inputs.lua); those in `outer` (numbers) are sought and have low, high, now, per and, where only some values may be,
--            list; those in `inner` are folded by worst_over
--   sought   list of the first
--   outputs  list (outputs.lua) of what targets, the aim and limits are about, with `size`, half a unit of the last place printed
--   targets  list {name, out = number of the output, value, within or nil}, by name
--   aim      "least" or "most" of the output `aimed`, or nil

local core = require "steelyard.core"
local asked_of = require "steelyard.study.asked"
local contents = require "steelyard.car.contents"
local figures = require "steelyard.print.figures"
local inputs_of = require "steelyard.study.inputs"
local now_of = require "steelyard.study.seek_now"
local options = require "steelyard.reference.options"
local outputs_of = require "steelyard.study.outputs"
local request_of = require "steelyard.study.request"
local rules_of = require "steelyard.study.rules"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"

local asked = {}

local MOST = core.seek_most -- inputs, targets, limits, starts
local EXAMPLE = "{car, vary = {...}, target = {front_share = 43}}"

local own = {}
for name in ("car vary target least most limits worst_over settings starts seed"):gmatch "%S+" do own[name] = true end

-- ---- what is sought ----------------------------------------------------------------------------------------------------------

-- What is found is a whole multiple of 1 / per: 0.01 mm, 1 g, and a thousandth of any other unit.
local per_of_unit = {mm = 100}

local function rising(values)
  local list = table.move(values, 1, #values, 1, {})
  table.sort(list)
  local kept = {}
  for _, value in ipairs(list) do if value ~= kept[#kept] then kept[#kept + 1] = value end end
  return kept
end

-- Bounds, and the values between them where only some may be.
local function sought(car, input, settings)
  if input.words then
    core.fail{code = "type", field = input.name, message = "is a choice of words; what is sought lies between two bounds",
              hint = "fold it by worst_over, compare by sy.study, or seek once with each"}
  end
  if input.ranged and input.from > input.to then
    core.fail{code = "range", field = input.name, message = ("has the bounds the wrong way round: %s is above %s"):format(
      text.plain(input.from), text.plain(input.to)), hint = ("write %s, %s"):format(text.plain(input.to), text.plain(input.from))}
  end
  input.list = input.values and rising(input.values) or nil
  input.low, input.high = (input.list and input.list[1] or input.from) + 0.0, (input.list and input.list[#input.list] or input.to) + 0.0
  if input.low == input.high then
    core.fail{code = "range", field = input.name, message = ("has one value, %s: there is nothing to seek"):format(text.plain(input.low)),
              hint = "car:set, car:move and the others give the car with it"}
  end
  input.now = now_of.value(car, input, settings) or 0.5 * (input.low + input.high)
  input.per = per_of_unit[input.unit] or 1000
end

local function read_inputs(s, request)
  s.inputs = inputs_of.of(s.car, request.vary)
  local folded = asked_of.fold(s.car, request.worst_over, s.inputs)
  s.outer, s.inner, s.sought = {}, {}, {}
  for j, input in ipairs(s.inputs) do
    table.insert(folded[j] and s.inner or s.outer, j)
    if not folded[j] then
      sought(s.car, input, s.settings)
      s.sought[#s.sought + 1] = input
    end
  end
  if not s.outer[1] then
    core.fail{code = "missing", field = "vary", message = "has nothing left to seek: worst_over folds all of it"}
  end
  if #s.outer > MOST.inputs then
    core.fail{code = "limit", field = "vary", message = ("has %d inputs to seek, at most %d are possible"):format(#s.outer, MOST.inputs)}
  end
end

-- ---- what is wished for ------------------------------------------------------------------------------------------------------

local function number(name, value, what)
  local found, code, message, hint = user_values.any(value)
  if not found then core.fail{code = code, field = "target", message = ("%s, %s %s"):format(name, what, message), hint = hint} end
  return found
end

-- 43 or {43, 0.05}
local function read_target(name, given)
  if not user_values.is_plain(given) then return number(name, given, "the value") end
  for key in pairs(given) do
    if key ~= 1 and key ~= 2 then
      core.fail{code = "unknown", field = "target", message = ("%s has %s beside its value"):format(name, text.named(key)),
                hint = ("as in target = {%s = {43, 0.05}}: the value, and how far off counts as reached"):format(name)}
    end
  end
  local value, within = number(name, given[1], "the value"), nil
  if given[2] ~= nil then
    within = number(name, given[2], "within")
    if within <= 0 then
      core.fail{code = "range", field = "target", message = ("%s is to be reached within %s; that must be above 0"):format(name,
        text.plain(within))}
    end
  end
  return value, within
end

local function read_targets(s, given)
  s.targets = {}
  if given == nil then return end
  if not user_values.is_plain(given) or next(given) == nil then
    core.fail{code = "type", field = "target", message = "must be a table by quantity", hint = "as in target = {front_share = 43}"}
  end
  local names = {}
  for name in pairs(given) do
    if type(name) ~= "string" then
      core.fail{code = "type", field = "target", message = ("must be a table by quantity, and has %s"):format(text.named(name)),
                hint = "as in target = {front_share = 43}"}
    end
    names[#names + 1] = name
  end
  table.sort(names, core.before)
  if #names > MOST.targets then
    core.fail{code = "limit", field = "target", message = ("has %d targets, at most %d are possible"):format(#names, MOST.targets)}
  end
  for k, name in ipairs(names) do
    local out = outputs_of.add(s.c, s.outputs, s.taken, name, "target")
    for _, other in ipairs(s.targets) do
      if other.out == out then
        core.fail{code = "clash", field = "target", message = ("%s and %s are one quantity"):format(other.given, name)}
      end
    end
    local value, within = read_target(name, given[name])
    s.targets[k] = {name = s.outputs[out].name, given = name, out = out, value = value, within = within}
  end
end

local function read_aim(s, request)
  for _, word in ipairs{"least", "most"} do
    local name = request[word]
    if name ~= nil then
      if type(name) ~= "string" then
        core.fail{code = "type", field = word, message = ("must be the name of one quantity, is %s"):format(user_values.what(name)),
                  hint = ('as in %s = "yaw_inertia"'):format(word)}
      end
      s.aim, s.aimed = word, outputs_of.add(s.c, s.outputs, s.taken, name, word)
    end
  end
  if request.least ~= nil and request.most ~= nil then
    core.fail{code = "clash", field = "most", message = "is given beside least: one answer can be made least or most at a time",
              hint = "the other can be a limit; sy.study's front shows both"}
  end
  if not s.aim and not s.targets[1] then
    core.fail{code = "missing", message = "sy.seek needs a target, or what is to be least or most",
              hint = 'as in target = {front_share = 43}, or least = "yaw_inertia"'}
  end
  for _, target in ipairs(s.targets) do
    if target.out == s.aimed then
      core.fail{code = "clash", field = s.aim, message = ("%s is a target as well"):format(target.name)}
    end
  end
end

-- A target that a limit rules out.
local function check_targets(s)
  for _, target in ipairs(s.targets) do
    for _, rule in ipairs(s.rules) do
      local off = target.within or 0
      if rule.out == target.out and (rule.min and target.value + off < rule.min or rule.max and target.value - off > rule.max) then
        core.fail{code = "clash", field = "target", message = ("%s is to be %s, and %s asks for %s: nothing can be both"):format(
          target.name, text.plain(target.value), rule.from == "study" and "a limit" or ("the file's limit %q"):format(rule.name),
          rule.min and target.value < rule.min and ("%s or more"):format(text.plain(rule.min))
            or ("%s or less"):format(text.plain(rule.max)))}
      end
    end
  end
end

local function add_sizes(s)
  local more = figures.of(s.c)
  local function add(list)
    for _, out in ipairs(list) do
      out.decimals = out.decimals + (more[out.unit] or 0)
      out.size = 0.5 * 10.0 ^ -out.decimals
    end
  end
  add(s.outputs)
  for _, entry in ipairs(s.states) do add(entry.outputs) end
end

-- ---- all of it -------------------------------------------------------------------------------------------------------------------

local function whole(request, field, low, high, usual)
  local value = request[field]
  if value == nil then return usual end
  if math.type(value) == "float" and value == math.floor(value) then value = math.tointeger(value) or value end
  if math.type(value) ~= "integer" then
    core.fail{code = "type", field = field, message = ("must be a whole number, is %s"):format(user_values.what(request[field]))}
  end
  if value < low or value > high then
    core.fail{code = "range", field = field, message = ("is %d, must be %d to %d"):format(value, low, high)}
  end
  return value
end

--- See above.
function asked.of(request)
  request_of.check(request, "sy.seek", EXAMPLE, options.known("seek", "seek"), options.names("seek", "seek"))
  local s = {car = request_of.car(request), outputs = {}, taken = {}}
  s.c = contents.inside(s.car)
  require("steelyard.car.loading").need_mass(s.c)
  s.settings = asked_of.settings(request, own)
  read_targets(s, request.target)
  read_aim(s, request)
  read_inputs(s, request)
  s.rules, s.states = rules_of.of(s.c, request.limits, s.outputs, s.taken)
  check_targets(s)
  local count = #s.rules
  for _, entry in ipairs(s.states) do count = count + #entry.rules end
  if count > MOST.limits then
    core.fail{code = "limit", field = "limits", message = ("are %d with the file's, at most %d are possible"):format(count, MOST.limits)}
  end
  asked_of.check_settings(s, s.targets[1] and "target" or s.aim, s.targets[1] and "target = {[%q] = 1}" or s.aim .. " = %q")
  s.starts = whole(request, "starts", 1, MOST.starts, 8)
  s.seed = whole(request, "seed", math.mininteger, math.maxinteger, 1)
  add_sizes(s)
  return s
end

return asked
