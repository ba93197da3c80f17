--- What results may be asked and in which units they answer, by the fields that calls.lua declares for each kind.
--
-- results.kind(name, methods?)   the metatable of a kind of result. A field that the kind does not have is refused with the nearest
--                                one; a declared field that this result leaves out is nil, as in any table. Nothing is looked up for
--                                fields that are there, and pairs and next see the plain table.
-- results.schema(name)           {units = {[path] = unit}, types = {[path] = type}, inside = {[path] = unit} in tables by name, tables =
--                                {[path] = true}, top = {[name] = true}, names = list of these}, or nil for a kind without declared
--                                fields. Paths as in calls.lua, without "?".

local core = require "steelyard.core"
local pictures = require "steelyard.reference.pictures"

local results = {}

-- What every result may have.
local common = {"state", "heading", "notes", "sd", "status", "aboard", "file", "readings_file", "version", "other_files", "limits"}

local schemas = {}

-- A table by name, a record or a result of another kind: what stands as {} in JSON when it is empty.
local function is_table(kind) return kind == "table" or kind:find "^table<" ~= nil end

local function note_path(schema, path, kind, unit)
  schema.units[path], schema.types[path] = unit, kind
  if is_table(kind) then schema.tables[path] = true end
  for last in path:gmatch "()%." do
    local around = path:sub(1, last - 1)
    if not around:find "%[%]$" then schema.tables[around] = true end
  end
end

local function make_schema(entry)
  local schema = {units = {}, types = {}, inside = {}, tables = {}, top = {}, names = {}}
  local function top(name)
    if name ~= "" and not schema.top[name] then
      schema.top[name] = true
      schema.names[#schema.names + 1] = name
    end
  end
  for _, field in ipairs(require("steelyard.reference.docs.fields").of(entry)) do
    local path = field[1]:gsub("%?", "")
    note_path(schema, path, field[2], field[3])
    top(path:match "^[^.%[]*")
  end
  for _, name in ipairs(common) do top(name) end
  table.sort(schema.names, core.before)
  return schema
end

--- What a kind of result declares.
function results.schema(name)
  if schemas[name] ~= nil then return schemas[name] or nil end
  local calls = require "steelyard.reference.calls"
  schemas[name] = false
  for _, list in ipairs{calls.results, calls.documents} do
    for _, entry in ipairs(list) do
      if entry[1] == name then
        schemas[name] = make_schema(entry)
        schemas[name].inside = calls.inside[name] or {}
      end
    end
  end
  return schemas[name] or nil
end

-- Wheels of vehicles with more than two axles: l1, c2, r3 ...
local function is_wheel(key) return key:find "^[lcr]%d$" ~= nil end

--- Refuses a name that results of this kind do not have; nothing for one that this result only leaves out.
function results.check_name(kind, key)
  local schema = type(key) == "string" and results.schema(kind)
  if not schema or schema.top[key] or is_wheel(key) then return end
  local near = core.nearest(key, schema.names)
  core.fail{code = "unknown", field = key, message = ("results of this kind (%s) have no field %q"):format(kind, key),
            hint = near and ("did you mean %q?"):format(near) or "the reference page lists them"}
end

local from_origin = {aboard = true, file = true, readings_file = true, version = true}

-- What every result with a picture is asked: its picture, written to a file.
local function plot(result, path, o) return require("steelyard." .. pictures.maker).plot(result, path, o) end

--- result:plot for a kind that has a picture; nil for others.
function results.plot_of(name) return pictures.of[name] and plot end

--- The metatable for results of that kind. methods: what is called on them. late: fields that come when they are first looked at, name ->
-- function(result) -> value or nil; what every result says of its origin (print/origin.lua) is among them.
function results.kind(name, methods, late)
  local meta = {__name = name, __late = late}
  function meta.__index(result, key)
    local method = methods and methods[key]
    if method ~= nil then return method end
    if key == "plot" and pictures.of[name] then return results.plot_of(name) end
    if from_origin[key] then return require("steelyard.print.origin").field(result, key) end
    local make = late and late[key]
    if not make then return results.check_name(name, key) end
    local value = make(result)
    rawset(result, key, value)
    return value
  end
  return meta
end

--- Has this result the field, or does it come when it is first looked at?
function results.late(result, field)
  local meta = getmetatable(result)
  local late = type(meta) == "table" and rawget(meta, "__late")
  return rawget(result, field) ~= nil or late and late[field] ~= nil or false
end

--- Has all late fields of a result made, for a document.
function results.complete(result)
  local meta = getmetatable(result)
  if type(meta) ~= "table" or rawget(meta, "__name") == nil or rawget(meta, "__json") then return end
  for key in pairs(rawget(meta, "__late") or {}) do local _ = result[key] end
  require("steelyard.print.origin").complete(result)
end

return results
