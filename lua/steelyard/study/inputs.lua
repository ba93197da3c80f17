--- What sy.vary said, for one car: inputs that make a car from a car and a value.
--
-- inputs.of(car, list of sy.vary's, o?) -> list of
--   {name, label, what, way, kind, unit, values, n, from, to, words,
--    apply = function(car, value) -> car     of a state or a swap the value is the number of its word; a setting leaves the car
--    found = resolve.what's, of parts and axles
--    field = {of = "part" "axle" "chassis" "vehicle" .., path = {"left", "spring_rate"}}, of a field}
-- o.free = true where a function of the caller's takes inputs of names of its own.
--
-- Values are amounts of the way from the car asked about ("back" 50: 50 mm behind where that car has it); of fields, fills and settings
-- what
-- they then are. inputs.order(list) gives the order in which a car takes them: what is aboard first (state, swap), then fields, turns,
-- shifts and fills, as many of a kind in the order of the list.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local fields = require "steelyard.file.fields"
local loading = require "steelyard.car.loading"
local resolve = require "steelyard.car.resolve"
local settings = require "steelyard.study.settings"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local vary = require "steelyard.study.vary"
local vehicle_fields = require "steelyard.study.vehicle_fields"

local inputs = {}

local rank = {state = 1, swap = 2, field = 3, turn = 4, move = 5, fill = 6, setting = 7}

--- Numbers of the inputs in the order in which a car takes them.
function inputs.order(list)
  local order = {}
  for i = 1, #list do order[i] = i end
  table.sort(order, function(a, b)
    local one, other = rank[list[a].kind], rank[list[b].kind]
    if one ~= other then return one < other end
    return a < b
  end)
  return order
end

-- ---- one kind after the other --------------------------------------------------------------------------------------------

local kinds = {}

function kinds.state(input, car)
  for _, name in ipairs(input.words) do car:state(name) end -- refuses what is not one, with the nearest
  function input.apply(from, value) return from:state(input.words[value]) end
end

local function one_part(c, what)
  local found = resolve.parts(c, what)
  if #found.routes ~= 1 then
    core.fail{code = "type", field = found.label, message = "a swap needs one part and the names of those that may stand in its place"}
  end
  return found
end

function kinds.swap(input, car)
  local c = contents.inside(car)
  local role = one_part(c, input.what).routes[1]
  local stays = {}
  for i, name in ipairs(input.words) do
    stays[i] = one_part(c, name).routes[1] == role
    if not stays[i] then car:swap(input.what, name) end
  end
  function input.apply(from, value)
    return stays[value] and from or from:swap(input.what, input.words[value])
  end
end

function kinds.fill(input, car)
  local c = contents.inside(car)
  local found = resolve.parts(c, input.what)
  input.found = found
  for i, share in pairs(input.shares or {}) do
    local node = c.shared.nodes[c.base:item(found.routes[1]).number]
    local fill = require("steelyard.file.vehicle_file").fills({[found.label] = share}, {spec = c.shared.spec})
    input.values[i] = loading.litres(node, fill[found.label])
  end
  if input.shares then
    input.from, input.to = math.min(table.unpack(input.values)), math.max(table.unpack(input.values))
  end
  local names = type(input.what) == "table" and input.what or {input.what}
  function input.apply(from, value)
    local fills = {}
    for _, name in ipairs(names) do fills[name] = value end
    return from:fill(fills)
  end
end

function kinds.move(input, car)
  input.found = resolve.what(contents.inside(car), input.what)
  function input.apply(from, value) return from:move(input.what, {[input.way] = value}) end
end

kinds.turn = kinds.move

local numeric = {mass = true, number = true, ratio = true, fraction = true, within = true, links = true, whole = true, weighed = true,
  point = true,
                 alias = true}

-- The row of a field that a number may stand in, by its path from a kind of thing, or nil.
local function row_of(kind, path)
  local row
  for i, word in ipairs(path) do
    if row and row[2] == "point" and word:find "^[xyz]$" and i == #path then return {word, "number", {unit = "mm"}} end
    if row and row[2] ~= "fields" then return nil end
    row = fields.by_name[row and row[3].kind or kind][word]
    if not row then return nil end
    if row[2] == "alias" then row = fields.by_name[kind][row[3].of] end
  end
  return row and numeric[row[2]] and row or nil
end

local function number_fields(kind)
  local list = {}
  for _, row in ipairs(fields.kinds[kind]) do
    if numeric[row[2]] and row[2] ~= "point" then list[#list + 1] = row[1] end
  end
  return list
end

local function refuse_way(input, kind, known)
  local ways = table.move(known, 1, #known, 1, {})
  for _, word in ipairs(require("steelyard.file.directions").words) do ways[#ways + 1] = word end
  ways[#ways + 1], ways[#ways + 2] = "fill", "swap"
  local near = core.nearest(input.way, ways)
  core.fail{code = "unknown", field = input.name, message = ("%q is neither a direction nor a number that %s %s has"):format(input.way,
    kind:find "^[aeiou]" and "an" or "a", kind), hint = near and ("did you mean %q?"):format(near) or "its numbers are "
      .. text.join(known)}
end

-- What the words behind a name mean of one kind of thing.
local function use_row(input, kind)
  local path = {}
  for word in input.way:gmatch "[^.]+" do path[#path + 1] = word end
  local row = row_of(kind, path)
  if not row then refuse_way(input, kind, number_fields(kind)) end
  input.unit = row[3] and row[3].unit or ""
  input.field = {of = kind, path = path}
end

-- {"left", "spring_rate"}, 42 -> {left = {spring_rate = 42}}
local function nested(path, value)
  for i = #path, 1, -1 do value = {[path[i]] = value} end
  return value
end

function kinds.field(input, car)
  local c = contents.inside(car)
  local of_vehicle = (input.what == "chassis" and input.way == "torsion" or input.what == "vehicle") and input.what
  if of_vehicle then
    use_row(input, of_vehicle)
    input.apply = vehicle_fields.setter(input) or refuse_way(input, of_vehicle, vehicle_fields.names)
    return
  end
  local found = resolve.what(c, input.what)
  input.found = found
  if found.axles then core.fail{code = "type", field = input.name, message = "the fields of axles are varied one by one"} end
  use_row(input, found.axle and "axle" or c.shared.nodes[c.base:item(found.routes[1]).number].kind)
  local path = input.field.path
  function input.apply(from, value) return from:set(input.what, nested(path, value)) end
end

function kinds.setting(input, _, free)
  local row = settings.row(input.name)
  if not row and not free then settings.refuse(input.name) end
  input.free = not row
  input.unit = input.unit or row and row.unit or ""
  if row and row.words and not input.words then
    core.fail{code = "type", field = input.name, message = "takes a list of words", hint = "they are " .. text.join(row.words)}
  end
  for _, word in ipairs(row and input.words or {}) do settings.check_word(row, word) end
  function input.apply(from) return from end
end

-- ---- all of them ---------------------------------------------------------------------------------------------------------

local fields_of_input = {"name", "what", "way", "kind", "unit", "values", "n", "from", "to", "words", "shares", "ranged"}

local function copied(v)
  local input = {}
  for _, field in ipairs(fields_of_input) do input[field] = v[field] end
  if v.values then input.values = table.move(v.values, 1, #v.values, 1, {}) end
  return input
end

-- The ends of the range are tried, so that what no car can have is refused before a study begins.
local function try_ends(input, car)
  if input.kind == "setting" or input.words then return end
  input.apply(car, input.from)
  input.apply(car, input.to)
end

--- See above.
function inputs.of(car, list, o)
  local all, taken = {}, {}
  if not user_values.is_plain(list) or #list == 0 then
    core.fail{code = list == nil and "missing" or "type", field = "vary", message = "must be a list of what sy.vary gives",
              hint = 'as in vary = {sy.vary("engine", "back", -50, 50, 5)}'}
  end
  for i, v in ipairs(list) do
    if not vary.is_vary(v) then
      core.fail{code = "type", field = "vary", message = ("entry %d is %s, not what sy.vary gives"):format(i, user_values.what(v)),
                hint = 'as in vary = {sy.vary("engine", "back", -50, 50, 5)}'}
    end
    if taken[v.name] then
      core.fail{code = "clash", field = "vary", message = ("%q is varied twice"):format(v.name), hint = "give all its values in one list"}
    end
    taken[v.name] = true
    local input = copied(v)
    kinds[input.kind](input, car, o and o.free)
    try_ends(input, car)
    all[i] = input
  end
  return all
end

return inputs
