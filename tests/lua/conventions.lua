--- conventions.lua - one vehicle file, stated along other axes and from another datum.
--
--   local conventions = dofile "tests/lua/conventions.lua"
--   local car  = conventions.read "vehicles/bistort.lua"                       -- the file as a tree, with plain Lua
--   local to   = conventions.new({x = "back", y = "left", z = "down"}, {front = 300, centre = -20, ground = 55})
--   local map  = conventions.map(conventions.of(car), to)
--   file:write(conventions.text(conventions.restated(car, map)))
--
-- It knows the vehicle file from vehicles/README.md alone and nothing of the loader: what is a place, a step from the group's own
-- zero, a direction, a letter or a tensor is said once, by the field's name, in the tables below. Words, angles, sizes and amounts
-- stay as they are.

local conventions = {}

-- ---- axes and zeros -------------------------------------------------------------------------------------------------

local lines = {fore_aft = {forward = 1, back = -1}, across = {left = 1, right = -1}, upright = {up = 1, down = -1}}
local letters = {"x", "y", "z"}

--- axes = {x = word, ...}; datum = {front =, centre =, ground =}, mm: what the file reads at the front axle, the centre plane, the ground.
function conventions.new(axes, datum)
  local c = {axes = axes, front = datum.front, centre = datum.centre, ground = datum.ground}
  local zero = {fore_aft = datum.front, across = datum.centre, upright = datum.ground}
  for line, ways in pairs(lines) do
    for i, letter in ipairs(letters) do
      local sign = ways[axes[letter]]
      if sign then c[line] = {index = i, letter = letter, sign = sign, zero = zero[line]} end
    end
  end
  return c
end

--- What a file that was read says of itself.
function conventions.of(vehicle)
  local v = vehicle.fields
  return conventions.new(v.axes, {front = v.axles[1].at, centre = v.centre or 0, ground = v.ground or 0})
end

local function moved(value, shift, sign) -- a number, or sd(...) and within(...) about it
  if type(value) == "table" then return {word = value.word, moved(value[1], shift, sign), value[2]} end
  return sign * value + shift + 0.0 -- no -0
end

--- From one convention to another: map.place and map.step of three, map.tensor of six,
-- map.letter (of `from`, gives that of `to`), map.along (a number of the fore-aft axis) and what is said below.
function conventions.map(from, to)
  local place, source = {}, {} -- by index in `to`: what a value becomes; index in `from`
  for line in pairs(lines) do
    local a, b = from[line], to[line]
    local sign = a.sign * b.sign
    place[b.index] = {sign = sign, shift = b.zero - sign * a.zero}
    source[b.index] = a.index
  end
  local map = {from = from, to = to}
  local function three(list, shifted)
    local out = {}
    for i = 1, 3 do
      local value = list[source[i]] == nil and list[letters[source[i]]] or list[source[i]]
      out[i] = moved(value, shifted and place[i].shift or 0, place[i].sign)
    end
    return out
  end
  function map.place(list) return three(list, true) end
  function map.step(list) return three(list, false) end
  function map.along(value)
    local p = place[to.fore_aft.index]
    return moved(value, p.shift, p.sign)
  end
  function map.letter(letter)
    for i = 1, 3 do if letters[source[i]] == letter then return letters[i] end end
  end
  local index = {x = 1, y = 2, z = 3}
  --- For a letter of `to`: the letter of `from` along the same line, +1 or -1 for the same way or against it, a coordinate restated.
  function map.letter_from(letter) return letters[source[index[letter]]] end
  function map.sign(letter) return place[index[letter]].sign end
  function map.coordinate(letter, value) return moved(value, place[index[letter]].shift, place[index[letter]].sign) end
  --- The two letters of a convention that lie level, in their order.
  function map.level(convention)
    local list = {}
    for _, letter in ipairs(letters) do if letter ~= convention.upright.letter then list[#list + 1] = letter end end
    return list
  end
  function map.tensor(list)
    local order, at, out = {"xx", "yy", "zz", "xy", "xz", "yz"}, {}, {}
    for i, key in ipairs(order) do at[key] = list[i] == nil and list[key] or list[i] or 0 end
    for i, key in ipairs(order) do
      local p, q = key:byte(1) - 119, key:byte(2) - 119 -- x is 1
      local a, b = letters[source[p]], letters[source[q]]
      out[i] = moved(at[a .. b] or at[b .. a], 0, place[p].sign * place[q].sign)
    end
    return out
  end
  return map
end

-- ---- a vehicle file as a tree -----------------------------------------------------------------------------------------

local named = {part = true, group = true, tank = true, person = true, state = true, limit = true, shaft = true, clearance = true,
               instrument = true, record = true}

--- {word = "vehicle", fields = {...}}: every word of the file stays as a table with its `word`.
function conventions.read(path)
  local vehicle
  local env = setmetatable({}, {__index = function(_, word)
    if word == "unknown" then return {word = "unknown"} end
    if word == "sd" or word == "within" then return function(value, amount) return {word = word, value, amount} end end
    if named[word] then
      return function(name) return function(fields) return {word = word, name = name, fields = fields} end end
    end
    return function(fields) -- vehicle, and the shapes
      local node = {word = word, fields = fields}
      if word == "vehicle" then vehicle = node end
      return node
    end
  end})
  assert(loadfile(path, "t", env))()
  return assert(vehicle, path)
end

local function number_text(value)
  if math.type(value) == "integer" then return ("%d"):format(value) end
  if value == math.floor(value) and math.abs(value) < 1e15 then return ("%.0f"):format(value) end
  return (("%.17g"):format(value):gsub(",", "."))
end

local function sorted_keys(t)
  local keys = {}
  for key in pairs(t) do if type(key) == "string" then keys[#keys + 1] = key end end
  table.sort(keys)
  return keys
end

local function text_of(value, indent)
  if type(value) == "number" then return number_text(value) end
  if type(value) ~= "table" then return type(value) == "string" and ("%q"):format(value) or tostring(value) end
  if value.word == "unknown" then return "unknown" end
  if value.word == "sd" or value.word == "within" then
    return ("%s(%s, %s)"):format(value.word, text_of(value[1]), text_of(value[2]))
  end
  if value.word then
    return value.word .. " " .. (value.name and ("%q "):format(value.name) or "") .. text_of(value.fields, indent)
  end
  local pieces, inner = {}, indent .. "  "
  for _, entry in ipairs(value) do pieces[#pieces + 1] = text_of(entry, inner) end
  for _, key in ipairs(sorted_keys(value)) do
    pieces[#pieces + 1] = ("[%q] = %s"):format(key, text_of(value[key], inner))
  end
  return #pieces == 0 and "{}" or "{\n" .. inner .. table.concat(pieces, ",\n" .. inner) .. "\n" .. indent .. "}"
end

--- The tree as a vehicle file.
function conventions.text(vehicle) return text_of(vehicle, "") .. "\n" end

-- ---- a file restated --------------------------------------------------------------------------------------------------

local function copy(t)
  local out = {}
  for key, value in pairs(t) do out[key] = value end
  return out
end

local function shape_of(shape, map)
  local fields = copy(shape.fields)
  local across = map.from.across.letter
  local round = shape.word == "cylinder" or shape.word == "tube" or shape.word == "rod" or shape.word == "cone"
  if round then fields.axis = map.letter(fields.axis or across) end
  if fields.normal then fields.normal = map.letter(fields.normal) end
  return {word = shape.word, fields = fields}
end

-- A line of `parts` or `spares`. inside: how a place is read there, on the vehicle or from the zero of its group.
local function line_of(node, map, inside)
  local fields = copy(node.fields)
  if node.word == "group" then
    if fields.at then
      fields.at = inside(fields.at)
    elseif fields.turned and inside == map.place then -- it turns about the file's zero, which is not a zero elsewhere
      fields.at = inside{0, 0, 0}
    end
    local within = fields.at and map.step or inside
    for i, child in ipairs(fields) do fields[i] = line_of(child, map, within) end
    return {word = "group", name = node.name, fields = fields}
  end
  if fields.at then fields.at = inside(fields.at) end
  if fields.hip then fields.hip = inside(fields.hip) end
  if fields.pick_up then fields.pick_up = map.step(fields.pick_up) end
  if fields.inertia then fields.inertia = map.tensor(fields.inertia) end
  if fields.shape then fields.shape = shape_of(fields.shape, map) end
  if fields.stand_in and fields.stand_in.at then
    fields.stand_in = copy(fields.stand_in)
    fields.stand_in.at = inside(fields.stand_in.at)
  end
  return {word = node.word, name = node.name, fields = fields}
end

local function each(list, f)
  local out = {}
  for i, entry in ipairs(list or {}) do out[i] = f(entry) end
  return list and out
end

local function fields_of(entry) return entry.word and entry.fields or entry end

local function joint_of(joint, map)
  local out = copy(joint)
  for _, key in ipairs{"at", "pivot"} do out[key] = joint[key] and map.place(joint[key]) end
  for _, key in ipairs{"axis", "hinge"} do out[key] = joint[key] and map.step(joint[key]) end
  out.path = each(joint.path, function(row)
    local place = map.place{row[2], row[3], row[4]}
    return {row[1], place[1], place[2], place[3]}
  end)
  return out
end

local function shaft_of(shaft, map)
  local out = copy(fields_of(shaft))
  out.name, out.axis = out.name or shaft.name, out.axis and map.step(out.axis)
  out.inner, out.outer = out.inner and joint_of(out.inner, map), out.outer and joint_of(out.outer, map)
  return out
end

local function clearance_of(clearance, map)
  local out = copy(fields_of(clearance))
  out.name = out.name or clearance.name
  for _, side in ipairs{"a", "b"} do
    if type(out[side]) == "table" then
      out[side] = copy(out[side])
      for _, key in ipairs{"at", "to"} do out[side][key] = out[side][key] and map.place(out[side][key]) end
    end
  end
  return out
end

local function points_of(points, map)
  local out = {}
  for name, point in pairs(points) do
    if point.at then
      out[name] = copy(point)
      out[name].at = map.place(point.at)
    else
      out[name] = map.place(point)
    end
  end
  return out
end

local function record_of(record, map)
  local fields = copy(record.fields)
  if fields.cg then fields.cg = map.place(fields.cg) end
  if fields.inertia then
    local tensor, keys = map.tensor(fields.inertia), {"xx", "yy", "zz", "xy", "xz", "yz"}
    fields.inertia = {}
    for i, key in ipairs(keys) do if tensor[i] ~= 0 then fields.inertia[key] = tensor[i] end end
  end
  return {word = "record", name = record.name, fields = fields}
end

--- The same car in the convention `map` leads to.
function conventions.restated(vehicle, map)
  local v = copy(vehicle.fields)
  v.axes, v.ground, v.centre = map.to.axes, map.to.ground, map.to.centre
  v.axles = each(v.axles, function(axle)
    local out = copy(axle)
    out.at = map.along(axle.at)
    for _, side in ipairs{"left", "right"} do
      if axle[side] and axle[side].at then
        out[side] = copy(axle[side])
        out[side].at = map.along(axle[side].at)
      end
    end
    return out
  end)
  for _, key in ipairs{"parts", "spares"} do v[key] = each(v[key], function(line) return line_of(line, map, map.place) end) end
  v.shafts = each(v.shafts, function(shaft) return shaft_of(shaft, map) end)
  v.clearances = each(v.clearances, function(clearance) return clearance_of(clearance, map) end)
  v.records = each(v.records, function(record) return record_of(record, map) end)
  v.points = v.points and points_of(v.points, map)
  return {word = "vehicle", fields = v}
end

return conventions
