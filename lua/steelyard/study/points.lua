--- The points of a study: which value each input takes in each variant.
--
-- points.of{method =, inputs =, points =, seed =} -> {n =, shape = list or nil, columns = a column an input, of words their numbers,
-- as_asked =
-- true where an entry may be nil: the input is then as the car asked about has it}
--   "grid"           every value with every other; the last input changes fastest
--   "one at a time"  each input in turn takes its values, the others are as the car has them
--   "latin" "sobol"  `points` of them over the ranges of the inputs; of words and lists each is as likely as the others
--   "list"           `points` is a list of rows, {["engine back"] = 20, state = "kerb"} or values in the order of the inputs

local core = require "steelyard.core"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"

local points = {}

points.methods = {"grid", "one at a time", "latin", "sobol", "list"}

local MOST = 1 << 53 -- whole numbers of a double

local function need_values(inputs)
  for _, input in ipairs(inputs) do
    if not input.values then
      core.fail{code = "missing", field = input.name, message = ("has a range, %s to %s, and no number of values"):format(
        text.plain(input.from), text.plain(input.to)), hint = "a fifth argument of sy.vary says how many; Latin and Sobol points need none"}
    end
  end
end

--- How many variants a grid of these inputs has; more than can be counted is an error.
function points.count(inputs)
  local n = 1
  for _, input in ipairs(inputs) do
    if n > MOST // #input.values then
      core.fail{code = "limit", field = "vary", message = "is a grid of more than 9e15 variants",
        hint = "Latin or Sobol points cover many inputs"}
    end
    n = n * #input.values
  end
  return n
end

--- Columns of a grid, the last input fastest.
function points.grid(inputs)
  need_values(inputs)
  local n, each, list, shape, steps = points.count(inputs), 1, {}, {}, {}
  for j = #inputs, 1, -1 do
    list[j], shape[j] = core.column_grid(inputs[j].values, each, n), #inputs[j].values
    steps[j], each = each, each * #inputs[j].values
  end
  return {n = n, shape = shape, columns = list, each = steps}
end

local by = {}

function by.grid(o) return points.grid(o.inputs) end

by["one at a time"] = function(o)
  need_values(o.inputs)
  local n, list = 0, {}
  for _, input in ipairs(o.inputs) do n = n + #input.values end
  local first = 0
  for j, input in ipairs(o.inputs) do
    local entries = {}
    for k, value in ipairs(input.values) do entries[first + k] = value end
    list[j], first = core.column_of(entries, n), first + #input.values
  end
  return {n = n, columns = list, as_asked = true}
end

local function count_asked(o)
  local n = o.points
  if math.type(n) == "float" and n == math.floor(n) then n = math.tointeger(n) end
  if math.type(n) ~= "integer" or n < 1 then
    core.fail{code = n == nil and "missing" or "range", field = "points", message = ("must be how many points, 1 or more, is %s"):format(
      user_values.what(o.points))}
  end
  return n
end

-- Shares of the way from 0 to 1, input by input, as values; of words and of lists each is as likely as the others.
local function spread(o, shares)
  local n, list = count_asked(o), {}
  for j, input in ipairs(o.inputs) do
    local u = shares(j, n)
    list[j] = input.ranged and core.points_between(u, input.from, input.to) or core.points_pick(u, input.values)
  end
  return {n = n, columns = list}
end

function by.latin(o)
  return spread(o, function(j, n) return core.points_latin(o.seed, j, n, 1, n) end)
end

function by.sobol(o)
  return spread(o, function(j, n) return core.points_sobol(j, 1, n) end)
end

local function entry(input, value, i)
  if value == nil then return nil end
  if input.words then
    for k, word in ipairs(input.words) do
      if word == value then return k end
    end
    local near = type(value) == "string" and core.nearest(value, input.words)
    core.fail{code = "unknown", field = "points", message = ("row %d: %s is not a value of %s"):format(i, text.named(value), input.name),
              hint = near and ("did you mean %q?"):format(near) or "they are " .. text.list_names(input.words)}
  end
  local number, code, message, hint = user_values.any(value)
  if not number then
    core.fail{code = code, field = "points", message = ("row %d: %s %s"):format(i, input.name, message), hint = hint}
  end
  return number
end

function by.list(o)
  local rows = o.points
  if not user_values.is_plain(rows) or #rows == 0 then
    core.fail{code = rows == nil and "missing" or "type", field = "points", message = "must be a list of rows for the method \"list\"",
              hint = ("as in points = {{[%q] = 20}, {[%q] = 30}}"):format(o.inputs[1].name, o.inputs[1].name)}
  end
  local entries, names, index = {}, {}, {}
  for j, input in ipairs(o.inputs) do entries[j], names[j], index[input.name] = {}, input.name, j end
  for i, row in ipairs(rows) do
    if not user_values.is_plain(row) then
      core.fail{code = "type", field = "points", message = ("row %d is %s, not a table"):format(i, user_values.what(row))}
    end
    for key in pairs(row) do
      if not (index[key] or math.type(key) == "integer" and o.inputs[key]) then
        local near = type(key) == "string" and core.nearest(key, names)
        core.fail{code = "unknown", field = "points", message = ("row %d: nothing called %s is varied"):format(i, text.named(key)),
                  hint = near and ("did you mean %q?"):format(near) or "inputs are " .. text.list_names(names)}
      end
    end
    for j, input in ipairs(o.inputs) do
      local value = row[input.name]
      if value == nil then value = row[j] end
      entries[j][i] = entry(input, value, i)
    end
  end
  local list = {}
  for j in ipairs(o.inputs) do list[j] = core.column_of(entries[j], #rows) end
  return {n = #rows, columns = list, as_asked = true}
end

--- The column of input k as results show it: words where it has any.
function points.shown(found, k, input)
  if not input.words then return found.columns[k] end
  if found.each then return core.column_grid(input.values, found.each[k], found.n, input.words) end
  return core.column_of(found.columns[k]:list(), found.n, input.words)
end

--- See above.
function points.of(o)
  local method = o.method or "grid"
  if not by[method] then
    local near = type(method) == "string" and core.nearest(method, points.methods)
    core.fail{code = "unknown", field = "method", message = ("no method is called %s"):format(text.named(method)),
              hint = near and ("did you mean %q?"):format(near) or "they are " .. text.list_names(points.methods)}
  end
  if o.points ~= nil and (method == "grid" or method == "one at a time") then
    core.fail{code = "clash", field = "points", message = ("says nothing for the method %q: sy.vary counts the values"):format(method)}
  end
  return by[method](o)
end

return points
