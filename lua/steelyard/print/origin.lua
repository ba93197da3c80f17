--- Where a result comes from: which car, what was aboard, which files it was worked out from, which version did it.
--
-- Results carry that without paying for it: origin.of_car(result, c) only notes the car, and the fields below come when they are looked
-- at, printed or written as JSON.
--
--   aboard   list of {name, mass, litres}, car/aboard.lua
--   file     {name =, sha256 =, changes =}: the base name of the vehicle file or of the readings; the digest of its bytes, and behind
--            them of each table and mesh that it names, in the order read (`cat car.lua parts.csv | sha256sum`); how many changes were
--            made to the car since it was read
--   readings_file {name =, sha256 =} of a measurement of a car
--   version  of steelyard

local core = require "steelyard.core"

local origin = {}

local cars = setmetatable({}, {__mode = "k"})     -- result -> inside of a car
local readings = setmetatable({}, {__mode = "k"}) -- result -> {name =, sha256 =}
local digests = setmetatable({}, {__mode = "k"})  -- list of texts -> its digest

--- Notes whose answer a result is; gives the result back.
function origin.of_car(result, c)
  cars[result] = c
  return result
end

local function base_name(path) return path:match "[^/\\]*$" end

--- Notes the file of readings that a result was worked out from: {file = path, bytes = text}; gives the result back.
function origin.of_readings(result, read)
  readings[result] = {name = base_name(read.file), sha256 = core.sha256(read.bytes)}
  return result
end

--- Notes what is known of the file of a result that is put together without its car: {name =, sha256 =}; gives the result back.
function origin.of_file(result, file)
  readings[result] = file
  return result
end

--- Notes that a result comes from where another does; gives the result back.
function origin.as_of(result, other)
  cars[result], readings[result] = origin.car_of(other), readings[other]
  result.other_files = rawget(other, "other_files")
  return result
end

-- The inside of the car: a balance has it in the metatable of its sd, where nothing need be noted.
local function car_of(result)
  local meta = getmetatable(rawget(result, "sd"))
  return cars[result] or type(meta) == "table" and rawget(meta, "car") or nil
end
origin.car_of = car_of

local function fills(c)
  local count = 0
  for _ in pairs(c.fills) do count = count + 1 end
  return count
end

--- What is aboard a car; car/from_file.lua says how that is found.
function origin.aboard_of() return nil end

--- How many changes were made to a car; car/from_file.lua says how they are counted.
function origin.changes_of() return 0 end

local function file_of(c)
  local spec = c.shared.spec
  if not spec.file then return nil end
  local sources = spec.sources
  digests[sources] = digests[sources] or core.sha256(table.unpack(sources))
  local changes = origin.changes_of(c) + fills(c)
  return {name = base_name(spec.file), sha256 = digests[sources], changes = changes > 0 and changes or nil}
end

local make = {
  aboard = function(c) return c and origin.aboard_of(c) end,
  file = function(c, result)
    if c then return file_of(c) end
    return readings[result]
  end,
  readings_file = function(c, result) return c and readings[result] end,
  version = function() return core.version end,
}

--- Does every result have this field?
function origin.has(field) return make[field] ~= nil end

--- One of them; nil where there is none, kept by the result from then on.
function origin.field(result, field)
  local value = make[field](car_of(result), result)
  rawset(result, field, value)
  return value
end

--- All of them, for a document.
function origin.complete(result)
  for field in pairs(make) do
    if rawget(result, field) == nil then origin.field(result, field) end
  end
end

-- "first_guess.lua 3f9a02c1 + 2 changes"
local function file_text(file)
  local count = file.changes
  return ("%s %s%s"):format(file.name, file.sha256:sub(1, 8), count and (" + %d change%s"):format(count, count == 1 and "" or "s") or "")
end

--- The last line of a page: "first_guess.lua 3f9a02c1 + 2 changes, steelyard 0.1.0"
function origin.line(result)
  local parts, c = {}, car_of(result)
  for _, file in ipairs{make.file(c, result) or false, make.readings_file(c, result) or false} do
    parts[#parts + 1] = file and file_text(file) or nil
  end
  for _, file in ipairs(rawget(result, "other_files") or {}) do parts[#parts + 1] = file_text(file) end
  parts[#parts + 1] = "steelyard " .. core.version
  return table.concat(parts, ", ")
end

--- What a car says of its file, for the other_files of another result and for what is kept of one.
function origin.file_of(c) return file_of(c) end

return origin
