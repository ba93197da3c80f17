--- Places that a call names: points of the file, which go along with their part, or coordinates as the car is now.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local places = require "steelyard.car.shaft_places"
local text = require "steelyard.print.text"

local named_places = {}

local letters = {"x", "y", "z"}

local function refuse(code, message, field, hint) core.fail{code = code, message = message, field = field, hint = hint} end

--- A number with its uncertainty from a script: number, sd. `field` names it in an error.
function named_places.number(value, unit, field)
  local number, sd, message, hint = user_values.number(value, unit)
  if not number then refuse(sd, message, field, hint) end
  return number, sd or 0
end

--- A switch from a script: true, false, or nil where it is not given.
function named_places.switch(value, field)
  if value ~= nil and type(value) ~= "boolean" then refuse("type", ("is true or false, not %s"):format(text.named(value)), field) end
  return value
end

-- flat: the coordinate that runs up or down may be left out, and is then that of the ground.
local function coordinates(c, value, field, flat)
  local at, sd, count, upright = {}, {}, 0, nil
  for key in pairs(value) do
    count = count + 1
    if not (key == 1 or key == 2 or key == 3 or key == "x" or key == "y" or key == "z") then
      refuse("content", "must be {x, y, z} in mm or the name of a point of the file", field)
    end
  end
  for i = 1, 3 do
    local given = value[i] == nil and value[letters[i]] or value[i]
    local way = c.shared.spec.axes[letters[i]]
    if given == nil and flat and (way == "up" or way == "down") then given, upright = c.shared.spec.ground or 0, true end
    if given == nil then refuse("missing", ("has no %s"):format(letters[i]), field) end
    at[i], sd[i] = named_places.number(given, "mm", field .. "." .. letters[i])
  end
  if count + (upright and 1 or 0) ~= 3 then
    refuse("content", "must be three coordinates", field, count > 3 and "decimals take a point" or nil)
  end
  return at, sd
end

local function named(c, name, field)
  local names = {}
  for i, point in ipairs(c.shared.spec.points or {}) do
    if point.name == name then return point end
    names[i] = point.name
  end
  local near = core.nearest(name, names)
  refuse("unknown", ("no point is called %q"):format(name), field, near and ("did you mean %q?"):format(near)
    or #names > 0 and "the points are " .. text.join_names(names) or "the file states no points")
end

local function inward(c, at, sd)
  local spread = {c.geometry:vector_in(sd[1], sd[2], sd[3])}
  for i = 1, 3 do spread[i] = math.abs(spread[i]) end
  return {c.geometry:point_in(at[1], at[2], at[3])}, spread
end

--- A coordinate as a name of its place: to 0.001 mm, so that one worked out (0.35 * 1000) reads as it was meant.
function named_places.coordinate(x) return text.plain(core.number(core.fixed(x, 3))) end

--- {name =, at = {forward, left, up}, sd = the same way, named = true for a point of the file}. value: the name of a point, or
-- {x, y, z} in the file's axes, with `flat` also {x, y} on the ground; field: what an error calls it.
function named_places.find(c, value, field, flat)
  if type(value) == "string" then
    local point = named(c, value, field)
    local stated = point.at_sd or {}
    local at, sd = inward(c, point.at, {stated[1] or 0, stated[2] or 0, stated[3] or 0})
    if point.part then
      local frame, why = places.part_frame(c, point.part, at)
      if not frame then refuse("geometry", why, field) end
      at = places.went(frame, at)
    elseif c.heights_set then
      at = require("steelyard.car.ride_height").point(c, at) -- lowered or raised with the body
    end
    return {name = value, at = at, sd = sd, named = true}
  end
  if not user_values.is_plain(value) then
    refuse("type", ("must be {x, y, z} in mm or the name of a point of the file, is %s"):format(user_values.what(value)), field)
  end
  local at, sd = coordinates(c, value, field, flat)
  local name = {}
  for i = 1, #value > 0 and #value or 3 do name[i] = named_places.coordinate(at[i]) end
  at, sd = inward(c, at, sd)
  return {name = table.concat(name, ", "), at = at, sd = sd}
end

--- The places of a list, or of a table {name = {x, y, z}} in the order of the names. find(value, field) -> place is named_places.find
-- unless given.
function named_places.list(c, given, field, flat, find)
  find = find or function(value, where) return named_places.find(c, value, where, flat) end
  local found, names = {}, {}
  for i, value in ipairs(given) do found[i] = find(value, ("%s[%d]"):format(field, i)) end
  for name in pairs(given) do
    if type(name) == "string" then names[#names + 1] = name end
  end
  if #names > 0 and #found > 0 then refuse("content", "is a list or has names, not both", field) end
  table.sort(names, core.before)
  for i, name in ipairs(names) do
    found[i] = find(given[name], ("%s[%s]"):format(field, name))
    found[i].name = name
  end
  return found
end

--- forward, left, up in mm as {x =, y =, z =} in the file's axes.
function named_places.out(c, p)
  local x, y, z = c.geometry:point_out(p[1], p[2], p[3])
  return {x = x, y = y, z = z}
end

--- A shift in mm along forward, left, up in words: "23 back, 4 right"; nil when it rounds to nothing.
function named_places.words(d)
  local pairs_of, list = {{"forward", "back"}, {"left", "right"}, {"up", "down"}}, {}
  for i = 1, 3 do
    local shown = text.worded(d[i], 0, pairs_of[i][1], pairs_of[i][2])
    if shown ~= "0" then list[#list + 1] = shown end
  end
  return #list > 0 and table.concat(list, ", ") or nil
end

local of_point = {[1] = true, [2] = true, [3] = true, x = true, y = true, z = true}

--- Refuse what is not a coordinate of a point {x, y, z}.
function named_places.check_point(p, field)
  local strange
  for key in pairs(p) do
    local shown = not of_point[key] and (type(key) == "string" and key or text.named(key))
    if shown and (not strange or core.before(shown, strange)) then strange = shown end -- the same one in every run
  end
  if strange then refuse("unknown", ("a point is {x, y, z} and has no %s"):format(strange), field) end
end

--- Two points on the floor that tapes start at: {{x, y}, {x, y}}.
function named_places.tapes(given)
  if type(given) == "table" and given.A and given.B then
    named_places.check_fields(given, "tapes", require("steelyard.reference.options").known("shop", "tapes"))
    given = {given.A, given.B}
  end
  if type(given) ~= "table" or #given ~= 2 then refuse("content", "are two points {x, y} on the floor", "tapes") end
  local tapes = {}
  for i, p in ipairs(given) do
    local field = ("tapes[%d]"):format(i)
    if type(p) ~= "table" then refuse("type", "must be a point {x, y} on the floor", field) end
    named_places.check_point(p, field)
    tapes[i] = {named_places.number(p[1] or p.x, "mm", field), named_places.number(p[2] or p.y, "mm", field)}
  end
  if tapes[1][1] == tapes[2][1] and tapes[1][2] == tapes[2][2] then refuse("geometry", "start at one point", "tapes") end
  return tapes
end

--- A place as the command line writes it: "1600,-55,565" becomes {x, y, z}, anything else is a name.
function named_places.word(word)
  local x, y, z = word:match "^(%S-),(%S-),(%S-)$"
  x, y, z = x and core.number(x), y and core.number(y), z and core.number(z)
  return x and y and z and {x, y, z} or word
end

--- Refuse fields of an argument table that a call does not have. known = {name = true}.
function named_places.check_fields(o, call, known)
  if o == nil then return {} end
  if type(o) ~= "table" then refuse("type", ("%s takes a table of fields, not %s"):format(call, text.named(o))) end
  local names = {}
  for name in pairs(known) do names[#names + 1] = name end
  table.sort(names, core.before)
  local bad = {}
  for key in pairs(o) do
    if not known[key] then bad[#bad + 1] = type(key) == "string" and key or text.named(key) end
  end
  if #bad > 0 then
    table.sort(bad, core.before) -- the same one in every run
    local near = core.nearest(bad[1], names)
    refuse("unknown", ("%s has no field %q"):format(call, bad[1]), nil, near and ("did you mean %q?"):format(near)
      or "it has " .. text.join(names))
  end
  return o
end

return named_places
