--- A result as the document that --json prints: its fields, and the units of its numbers beside them.
--
-- document.of(result) -> a table for json.encode with `units`, {[path] = unit}: "rows[].mass" is in each of a list, "*" stands for any
-- name of a wheel, stand or part. `sd` holds standard uncertainties in the units of the same names and is not listed again; a row with a
-- `unit` of its own says it itself; what a kind knows only with the result before it, its metatable's __units(result) says by path. Without
-- a unit: counts, ratios, degrees of freedom. Empty records become {} and empty lists [].

local json = require "steelyard.print.json"
local results = require "steelyard.reference.results"

local document = {}

local BY_NAME = "by name" -- of a table: each number has the unit of the quantity of its name

-- A load that only some vehicles have has no row of its own in the table of quantities.
local function unit_of(name)
  local q = require("steelyard.reference.quantities").find(name)
  return q and q.unit or "kg"
end

local function joined(path, key) return path == "" and key or path .. "." .. key end

-- The uncertainties of a row lie under the names of the row.
local function without_sd(path) return (path:gsub("%f[%w_]sd%.", "")) end

-- What the kind declares of a path: its type and unit, nil where it says nothing.
local function declared(schema, path)
  if not schema then return nil end
  local inside = schema.inside[path]
  if inside then return schema.types[path] or "number", inside end
  if schema.types[path] then return schema.types[path], schema.units[path] end
  local plain = without_sd(path)
  return schema.types[plain], schema.units[plain]
end

local walk

-- Where an entry of a table lies: the path in the kind, the path in the document, and the unit of what is inside.
local function below(at, key)
  local kind, unit = declared(at.schema, at.kind_path)
  local one = at.schema and at.schema.units[without_sd(at.kind_path)] or ""
  local by_name = kind and (kind:find "^table<string, table" or kind:find "^table<" and one ~= "" and one ~= BY_NAME)
  local name = by_name and at.schema.inside[joined(at.kind_path, key)] == nil and "*" or key
  return {schema = at.schema, kind_path = joined(at.kind_path, name), path = joined(at.path, name),
          unit = unit and unit ~= "" and unit or at.unit, uncertainties = at.uncertainties or key == "sd", last = key}
end

local function copy(value, at, units)
  local list, fields, has_list, has_fields = {}, {}, false, false
  for key in pairs(value) do
    has_list = has_list or math.type(key) == "integer"
    has_fields = has_fields or type(key) == "string"
  end
  if not (has_list or has_fields) and next(value) == nil then
    local record = at.last == "sd" or at.schema and at.schema.tables[at.kind_path]
    return record and json.object or list
  end
  local of_list = {schema = at.schema, kind_path = at.kind_path .. "[]", unit = at.unit, uncertainties = at.uncertainties,
                   path = (has_fields and joined(at.path, "list") or at.path) .. "[]"}
  for key, item in pairs(value) do
    if type(key) == "string" then fields[key] = walk(item, below(at, key), units)
    else fields[key] = walk(item, of_list, units) end
  end
  return fields
end

local function note_unit(at, units)
  if at.uncertainties and at.last ~= "sd" then return end
  local _, unit = declared(at.schema, at.kind_path)
  if unit == nil and at.kind_path:find "%[%]$" then _, unit = declared(at.schema, at.kind_path:sub(1, -3)) end
  unit = unit or at.unit
  if unit == BY_NAME then unit = unit_of(at.last) end
  if unit and unit ~= "" then units[at.path] = unit end
end

function walk(value, at, units)
  if type(value) == "number" then note_unit(at, units) end
  if type(value) ~= "table" or value == json.null then return value end
  local meta = getmetatable(value)
  meta = type(meta) == "table" and meta or {}
  local replace = rawget(meta, "__json")
  if replace then return walk(replace(value), at, units) end
  local kind = declared(at.schema, at.kind_path)
  local name = kind and kind:match "^= (.+)$" or rawget(meta, "__name")
  local schema = name and results.schema(name)
  if schema then at = {schema = schema, kind_path = "", path = at.path, uncertainties = false, last = at.last} end
  for path, unit in pairs(rawget(meta, "__units") and meta.__units(value) or {}) do units[joined(at.path, path)] = unit end
  return copy(value, at, units)
end

--- The document of a result.
function document.of(result)
  local units = {}
  if type(result) == "table" then results.complete(result) end
  local made = walk(result, {kind_path = "", path = ""}, units)
  if made == json.object or type(made) ~= "table" then made = {} end
  if made.units == nil then made.units = next(units) and units or json.object end -- a script's own table says itself
  return made
end

return document
