--- What sy.study was asked, checked: {car, inputs, folded, outputs, shown, rules, states, settings, ...}.
--
--   inputs   list (inputs.lua); those in `outer` (numbers) make the variants, those in `inner` are folded by worst_over
--   outputs  list (outputs.lua), the first `shown` of them are shown, the others only judged or in the front

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local inputs_of = require "steelyard.study.inputs"
local options = require "steelyard.reference.options"
local outputs_of = require "steelyard.study.outputs"
local request_of = require "steelyard.study.request"
local rules_of = require "steelyard.study.rules"
local settings_of = require "steelyard.study.settings"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local vary = require "steelyard.study.vary"

local asked = {}

local study_own = {}
for name in ([[car vary show limits worst_over method points seed uncertainty reduce front settings change to shard replace
  quiet threads]]):gmatch "%S+" do
  study_own[name] = true
end

--- Settings that stand directly, and those under `settings`. own: set of the call's own options.
function asked.settings(request, own)
  local all = {}
  if request.settings ~= nil and not user_values.is_plain(request.settings) then
    core.fail{code = "type", field = "settings", message = "must be a table such as {left_turn = 1}"}
  end
  for name, value in pairs(request.settings or {}) do
    if type(name) ~= "string" or not settings_of.known(name) then settings_of.refuse(tostring(name)) end
    all[name] = value
  end
  for name, value in pairs(request) do
    if type(name) == "string" and not own[name] then
      if all[name] ~= nil then core.fail{code = "clash", field = name, message = "is given twice"} end
      all[name] = value
    end
  end
  return all
end

-- ---- worst_over ----------------------------------------------------------------------------------------------------------

-- Inputs that a word names: by what is varied, or by the whole name.
local function inputs_named(inputs, word)
  local list = {}
  for j, input in ipairs(inputs) do
    local label = type(input.what) == "table" and table.concat(input.what, " and ") or input.what
    if input.name == word or label == word then list[#list + 1] = j end
  end
  return list
end

local function refuse_fold(word, states, inputs)
  local list = table.move(states, 1, #states, 1, {})
  for _, input in ipairs(inputs) do list[#list + 1] = type(input.what) == "string" and input.what or input.name end
  local near = type(word) == "string" and core.nearest(word, list)
  core.fail{code = "unknown", field = "worst_over", message = ("%s is neither a state nor an item that is varied"):format(text.named(word)),
            hint = near and ("did you mean %q?"):format(near) or "it could be " .. text.list_names(list)}
end

--- Numbers of the inputs that are folded as a set; states that are named become one more.
function asked.fold(car, words, inputs)
  if words == nil then return {} end
  if not user_values.is_plain(words) or #words == 0 then
    core.fail{code = "type", field = "worst_over", message = "must be a list of states, or of items that are varied",
              hint = 'as in worst_over = {"driver", "fuel"}'}
  end
  local states, is_state, folded, chosen = car:states(), {}, {}, {}
  for _, name in ipairs(states) do is_state[name] = true end
  for _, word in ipairs(words) do
    local items = inputs_named(inputs, word)
    if is_state[word] and items[1] then
      core.fail{code = "clash", field = "worst_over", message = ("%q is a state of the file and an item that is varied"):format(word),
                hint = ("write %q for what is varied"):format(inputs[items[1]].name)}
    end
    if is_state[word] then chosen[#chosen + 1] = word
    elseif not items[1] then refuse_fold(word, states, inputs) end
    for _, j in ipairs(items) do folded[j] = true end
  end
  if chosen[1] then
    for _, input in ipairs(inputs) do
      if input.kind == "state" then
        core.fail{code = "clash", field = "worst_over", message = "names states, and the state is varied",
          hint = 'write "state" to fold what is varied'}
      end
    end
    inputs[#inputs + 1] = inputs_of.of(car, {vary.of("state", chosen)})[1]
    folded[#inputs] = true
  end
  return folded
end

-- ---- settings and what takes them ------------------------------------------------------------------------------------------

local pushes = {"left_turn", "right_turn", "braking", "drive", "downforce"}

--- Settings, given or varied, that nothing asked for takes, and quantities that need one. asks: which option names these, and an example
-- of it by a quantity.
function asked.check_settings(s, asks, example)
  local used, said = {}, {}
  for _, out in ipairs(s.outputs) do
    if out.by == "call" then used[out.set] = true end
  end
  for name in pairs(s.settings) do said[name] = true end
  for _, input in ipairs(s.inputs) do
    if input.kind == "setting" and not input.free then said[input.name:match "^[^.]+"] = true end
  end
  for name in pairs(said) do
    local takes, any = {}, false
    for _, set in ipairs(settings_of.sets) do
      if settings_of.takes(set, name) then takes[#takes + 1], any = set, any or used[set] end
    end
    if not any then
      core.fail{code = "clash", field = name, message = ("changes nothing that %s"):format(asks == "show" and "is shown" or "is asked for"),
        hint = ("it acts on %s, as in %s"):format(text.join(takes), example:format(takes[1] == "transfer" and "transfer.roll"
          or takes[1] == "stability" and "stability.side_g" or takes[1] .. ".height"))}
    end
  end
  if used.transfer then
    for _, name in ipairs(pushes) do
      if said[name] then return end
    end
    core.fail{code = "missing", field = asks, message = "quantities of transfer need left_turn, right_turn, braking, drive or downforce",
              hint = ("as in %s{car, ..., left_turn = 0.8}, in g"):format(asks == "show" and "sy.study" or "sy.seek")}
  end
end

local function check_front(s, front)
  if front == nil then return nil end
  if not user_values.is_plain(front) or next(front) == nil then
    core.fail{code = "type", field = "front", message = "must be a table by quantity",
      hint = 'as in front = {mass = "least", height = "least"}'}
  end
  local list = {}
  for name, word in pairs(front) do
    if word ~= "least" and word ~= "most" then
      core.fail{code = "type", field = "front", message = ("%s must be \"least\" or \"most\", is %s"):format(text.named(name),
        user_values.what(word))}
    end
    list[#list + 1] = name
  end
  table.sort(list, function(a, b) return core.before(tostring(a), tostring(b)) end)
  for i, name in ipairs(list) do
    list[i] = {out = outputs_of.add(contents.inside(s.car), s.outputs, s.taken, name), most = front[name] == "most"}
  end
  table.sort(list, function(a, b) return a.out < b.out end) -- the first output first
  if s.reduce then core.fail{code = "clash", field = "front", message = "needs the columns, which reduce does not keep"} end
  return list
end

-- What draws by chance has a seed; it is 1 unless another is given.
local function seed_of(method, seed)
  if seed ~= nil and math.type(seed) ~= "integer" then
    core.fail{code = "type", field = "seed", message = ("must be a whole number, is %s"):format(user_values.what(seed))}
  end
  return method == "latin" and (seed or 1) or nil
end

-- Where it goes, and which part of it this run is.
local function check_file(s, request)
  s.to, s.shard = request.to, request.shard ~= nil and require("steelyard.study.shards").read(request.shard) or nil
  if s.to ~= nil and type(s.to) ~= "string" then
    core.fail{code = "type", field = "to", message = ("must be the path of a file, is %s"):format(user_values.what(s.to))}
  end
end

--- See above.
function asked.of(request)
  request_of.check(request, "sy.study", "{car, vary = {...}, show = {...}}", options.known("study", "study"),
    options.names("study", "study"))
  local s = {car = request_of.car(request)}
  local c = contents.inside(s.car)
  if request.change ~= nil and type(request.change) ~= "function" then
    core.fail{code = "type", field = "change",
      message = ("must be a function(car, row) -> car, is %s"):format(user_values.what(request.change))}
  end
  s.change, s.settings = request.change, asked.settings(request, study_own)
  for _, name in ipairs{"uncertainty", "reduce", "quiet"} do s[name] = request_of.flag(request, name) end
  s.replace, s.threads = request_of.flag(request, "replace"), request_of.threads(request)
  s.inputs = inputs_of.of(s.car, request.vary, {free = s.change ~= nil})
  local folded = asked.fold(s.car, request.worst_over, s.inputs)
  s.outer, s.inner = {}, {}
  for j = 1, #s.inputs do table.insert(folded[j] and s.inner or s.outer, j) end
  s.outputs, s.taken = outputs_of.of(c, request.show)
  s.shown = #s.outputs
  s.front = check_front(s, request.front)
  s.rules, s.states = rules_of.of(c, request.limits, s.outputs, s.taken)
  asked.check_settings(s, "show", "show = {%q}")
  s.method, s.points = request.method or "grid", request.points
  check_file(s, request)
  s.seed = seed_of(s.method, request.seed)
  return s
end

return asked
