--- What sy.closure is given, checked: from its table to plain lines.
--
--   lines.read(given) -> {title =, whole = {value =, sd =} or nil, scale = {bias_sd =, gain_sd =}, [i] = line}
--     line as measure/closure/slips.lua wants it, with assembly = "engine" or "", includes = {...}, stated = boolean
--     notes = {sentences} on weighing records

local core = require "steelyard.core"
local options = require "steelyard.reference.options"
local user_values = require "steelyard.file.user_values"
local language = require "steelyard.file.language"
local most = require "steelyard.file.most"
local text = require "steelyard.print.text"

local lines = {}

local LIMIT = language.MOST_MASS
local units = user_values.in_kg

local function refuse(code, message, part, field, hint)
  core.fail{code = code, message = message, part = part, field = field, hint = hint}
end

local function one_of(word, list, message, part, field)
  for _, name in ipairs(list) do
    if name == word then return end
  end
  local near = type(word) == "string" and core.nearest(word, list)
  refuse("unknown", message, part, field, near and ("did you mean %q?"):format(near) or "known are " .. text.join(list))
end

local holders = {closure = "sy.closure", closure_line = "a line of a closure", closure_scale = "scale"}

-- Of several wrong keys the same one is reported in every run.
local function check_keys(from, kind, part)
  local keys = {}
  for key in pairs(from) do keys[#keys + 1] = key end
  table.sort(keys, function(a, b) return core.before(tostring(a), tostring(b)) end)
  for _, key in ipairs(keys) do
    local field = type(key) == "string" and key or "[" .. text.named(key) .. "]"
    one_of(key, options.names("whole", kind), "there is no such field in " .. holders[kind], part,
      kind == "closure_scale" and "scale." .. field or field)
  end
end

-- value, sd or nil
local function mass_of(value, part, field, limits, unit)
  local number, sd, message, hint = user_values.number(value, "kg")
  if not number then
    return refuse(sd, message, part, field, hint)
  end
  local code, outside = user_values.outside(number, limits, unit or "kg")
  if code then return refuse(code, outside, part, field) end
  return number, sd
end

local function text_of(value, part, field)
  if value == nil then return nil end
  if type(value) ~= "string" or value == "" then
    return refuse("type", ("must be a text in quotes, is %s"):format(value == "" and "empty" or user_values.what(value)), part, field)
  end
  return value
end

local function texts_of(value, part)
  if value == nil then return nil end
  if type(value) == "string" then value = {value} end
  if not user_values.is_plain(value) then
    return refuse("type", ("must be a list of texts, is %s"):format(user_values.what(value)), part, "includes")
  end
  local list = {}
  for i, entry in ipairs(value) do list[i] = text_of(entry, part, ("includes[%d]"):format(i)) end
  return list
end

local function count_of(value, part)
  if value == nil then return 1 end
  local count = type(value) == "number" and math.tointeger(value)
  if count and count >= 1 and count <= most.count then return count end
  return refuse("range", ("must be a whole number from 1 to %d, is %s"):format(most.count, user_values.what(value)), part, "count")
end

local function estimate_of(value, part)
  if value == nil then return nil end
  local number, sd = mass_of(value, part, "was", {above = 0, max = LIMIT})
  return {value = number, sd = sd ~= 0 and sd or nil}
end

-- Into `line`: what a scale read, and the mass that comes of it.
local function add_record(line, from, part, notes)
  if from.mass ~= nil or from.unit ~= nil then
    refuse("clash", "stands beside a weighing record, which says what was read and in which unit", part, from.mass ~= nil and "mass"
      or "unit")
  end
  if not user_values.is_plain(from.weighed) then
    refuse("type", ("must be a table { reading = ... }, is %s"):format(user_values.what(from.weighed)), part, "weighed")
  end
  local result, record, remarks = require("steelyard.file.weighings").alone(from.weighed, part)
  line.unit, line.factor, line.per = record.unit, units[record.unit], record.pieces or 1
  line.reading, line.mass = result.gross, result.mass * line.pieces
  line.sd, line.stated = (result.sd or 0) * line.pieces, result.sd ~= nil
  table.move(remarks, 1, #remarks, #notes + 1, notes)
  return line
end

local function line_of(from, part, extra, notes)
  check_keys(from, "closure_line", part)
  local unit = from.unit == nil and "kg" or from.unit
  if not units[unit] then one_of(unit, language.mass_units, ("%s is not a unit of mass"):format(user_values.what(unit)), part, "unit") end
  local pieces, factor = count_of(from.count, part), units[unit]
  local line = {name = part, unit = unit, factor = factor, per = 1, pieces = pieces, extra = extra, assembly = text_of(from.assembly,
    part, "assembly") or "", includes = texts_of(from.includes, part), was = estimate_of(from.was, part), mass = 0}
  if from.weighed ~= nil then return add_record(line, from, part, notes) end
  if from.mass == nil then return refuse("missing", "has no mass", part, "mass", "sy.unknown is a mass nobody knows") end
  if user_values.is_unknown(from.mass) then
    line.unknown = true
    return line
  end
  local heaviest = LIMIT / factor
  local reading, sd = mass_of(from.mass, part, "mass", {min = -heaviest, max = heaviest}, unit)
  line.reading, line.mass, line.stated = reading, reading * factor * pieces, sd ~= nil
  line.sd = (sd or 0) * factor * pieces
  return line
end

local function add_parts(out, list, field, extra)
  for i, from in ipairs(list) do
    local place = ("%s[%d]"):format(field, i)
    if not user_values.is_plain(from) then
      if not extra then
        refuse("type", ("must be a table { name = ..., mass = ... }, is %s"):format(user_values.what(from)), nil, place)
      end
      from = {name = "extra " .. text.plain(i), mass = from}
    end
    if from.name == nil then
      check_keys(from, "closure_line", place) -- a misspelt name
      refuse("missing", "has no name", nil, place)
    end
    out[#out + 1] = line_of(from, text_of(from.name, nil, place .. ".name"), extra, out.notes)
  end
end

-- {["fastener bag"] = 2.4, ...} in the order of the names
local function add_named(out, named)
  local names = {}
  for name in pairs(named) do
    if type(name) == "string" then names[#names + 1] = name end
  end
  table.sort(names, core.before)
  for _, name in ipairs(names) do
    local value = named[name]
    if user_values.is_plain(value) then
      refuse("type", "is a mass, or a list of tables with names", name, "extra")
    end
    out[#out + 1] = line_of({name = name, mass = value}, name, true, out.notes)
  end
end

local function read_scale(given)
  local scale = given == nil and {} or given
  if not user_values.is_plain(scale) then
    refuse("type", ("must be a table { bias_sd = ..., gain_sd = ... }, is %s"):format(user_values.what(scale)), nil, "scale")
  end
  check_keys(scale, "closure_scale")
  local function uncertainty(field, unit)
    local number, code, message, hint = user_values.number(scale[field] == nil and 0 or scale[field], unit)
    if not number then refuse(code, message, nil, "scale." .. field, hint) end
    code, message = user_values.outside(number, {min = 0}, unit)
    if code then refuse(code, message, nil, "scale." .. field) end
    return number
  end
  return {bias_sd = uncertainty("bias_sd", "kg"), gain_sd = uncertainty("gain_sd", "")}
end

--- The lines, parts first, then extras.
function lines.read(given)
  if not user_values.is_plain(given) then
    refuse("type", ("sy.closure needs a table { whole = ..., parts = {...} }, got %s"):format(given == nil and "nothing"
      or user_values.what(given)))
  end
  check_keys(given, "closure")
  local out = {title = text_of(given.title, nil, "title"), scale = read_scale(given.scale), notes = {}}
  if given.whole ~= nil then
    local value, sd = mass_of(given.whole, nil, "whole", {above = 0, max = LIMIT})
    out.whole = {value = value, sd = sd}
  end
  if not user_values.is_plain(given.parts) then
    refuse(given.parts == nil and "missing" or "type", given.parts == nil and "sy.closure has no parts"
      or ("must be a list of tables, is %s"):format(user_values.what(given.parts)), nil, "parts")
  end
  add_parts(out, given.parts, "parts", false)
  if #out == 0 then refuse("missing", "is an empty list", nil, "parts") end
  local extra = given.extra
  if user_values.is_plain(extra) then
    add_parts(out, extra, "extra", true)
    add_named(out, extra)
  elseif extra ~= nil then
    out[#out + 1] = line_of({name = "extra", mass = extra}, "extra", true, out.notes)
  end
  return out
end

return lines
