--- from_csv "parts.csv" among the parts of a vehicle: the parts of a table in its place.
--
-- In a vehicle file the table lies in the file's own folder or below; in a script its path is that of any file. Problems of
-- the table are reported with the table's name, row and column, and come in the order of the place where it is named.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local entries = require "steelyard.file.entries"

local from_csv = {}
local wrong = entries.wrong

local function options_of(ctx, marker, owner)
  local given = rawget(marker, "fields") or {}
  for key in next, given do
    if key ~= "decimal" then
      wrong(ctx, owner, type(key) == "string" and key or nil, "unknown", "there is no such field in from_csv",
        "the one field is decimal")
      return nil
    end
  end
  local decimal = given.decimal
  if decimal ~= nil and decimal ~= "," and decimal ~= "." then
    return wrong(ctx, owner, "decimal", "unknown", ('must be "," or ".", is %s'):format(user_values.what(decimal)))
  end
  return {decimal = decimal}
end

local function read_bytes(origin, name)
  if origin.bytes and origin.file then return core.read_beside(origin.file, name) end
  return core.read_file(name), name
end

local function read_table(ctx, name, options)
  local bytes, path = read_bytes(ctx.problems.origin, name)
  options.file = path
  table.insert(ctx.problems.origin.sources or {}, bytes)
  ctx.tables[#ctx.tables + 1] = path
  local parts_csv = require "steelyard.file.parts_csv"
  local list = parts_csv.read(bytes, options)
  for _, note in ipairs(list.notes) do ctx.notes[#ctx.notes + 1] = note end
  return parts_csv.items(list, path, ctx.axes)
end

--- The items of the table that a marker names; an empty list after noting a problem.
function from_csv.items(ctx, marker)
  local name, line = rawget(marker, "name"), rawget(marker, "line")
  local owner = {item = marker, part = name, kind = "from_csv"}
  if ctx.reached[marker] then
    wrong(ctx, owner, nil, "content", "is used in two places", "two tables have two names")
    return {}
  end
  ctx.reached[marker] = true
  local options = options_of(ctx, marker, owner)
  if not options then return {} end
  local fine, items = pcall(read_table, ctx, name, options)
  if not fine then
    if getmetatable(items) ~= core.error_metatable then error(items, 0) end
    -- of a table that cannot be read the line that names it is what is corrected
    if ctx.problems.origin.bytes and not items.line and (items.code == "read" or items.code == "limit") then
      wrong(ctx, owner, nil, items.code, items.message, items.hint or "a table is named from the vehicle file's folder on")
      return {}
    end
    items.listed = line
    ctx.problems:take(items)
    return {}
  end
  for _, item in ipairs(items) do from_csv.list(item, line) end
  return items
end

--- Note on an item and all in it where its table is named.
function from_csv.list(item, line)
  rawset(item, "listed", line)
  for _, child in ipairs(rawget(item, "fields")) do from_csv.list(child, line) end
end

return from_csv
