--- Cars from vehicle files and from tables with the fields of one.

local core = require "steelyard.core"
local from_file = require "steelyard.car.from_file"

local load = {}

local function refuse(needs, value, file)
  core.fail{code = "type", message = ("%s, not %s"):format(needs, require("steelyard.print.text").named(value)), file = file}
end

-- The sandbox runs the words of file/vocabulary.lua, compiled and without names of lines.
local compiled_words

local function words_code()
  for _, search in ipairs(compiled_words and {} or package.searchers) do
    local loader = search "steelyard.file.vocabulary"
    if type(loader) == "function" then
      compiled_words = string.dump(loader, true)
      break
    end
  end
  return compiled_words
end

local function spec_to_car(raw, origin)
  local vehicle_file = require "steelyard.file.vehicle_file"
  origin.quantities = function() return require("steelyard.reference.quantities").numbers end -- read when there are limits
  origin.quantity_of = function(name) return require("steelyard.reference.quantities").limited(name) end
  local spec = vehicle_file.read(raw, origin)
  if not origin.bytes then spec.fields = raw end -- for car:save
  if origin.lent then require("steelyard.car.as_written").lend(spec, origin.lent) end
  return from_file.new(spec)
end

local MOST_CREDIT, SMALL = 65536, 8192 -- KB

local credited = 0 -- KB that were taken when the next cycle was last put off

-- Reading makes little garbage and much that stays: the collector would only go over it again and again. The garbage is a few
-- hundred bytes a part, less than the parts themselves take. What was read is there for a while: the next cycle waits until as much
-- again is taken, as after a cycle, within limits ("step" with a size counts as so many KB taken, here given back). A script that reads one
-- car after the other would put it off for good: where much is taken, a cycle waits but once until that has doubled.
local function put_off_cycle()
  local taken = collectgarbage "count" // 1 | 0
  local waits = taken < SMALL or taken >= 2 * credited
  credited = waits and taken or math.min(credited, taken)
  if waits then collectgarbage("step", -math.min(taken, MOST_CREDIT)) end
end

local function without_collecting()
  local was_running = collectgarbage "isrunning"
  collectgarbage "stop"
  return setmetatable({}, {__close = function()
    if not was_running then return end
    collectgarbage "restart"
    put_off_cycle()
  end})
end

--- The tables a vehicle file makes, and true for a file that is mere data: see core.run_file.
function load.raw(bytes, path)
  local language = require "steelyard.file.language"
  return core.run_file(bytes, path, {code = words_code, words = language.words, sorts = language.sorts})
end

local function read_file(path, bytes, lent)
  local _ <close> = without_collecting()
  local raw = load.raw(bytes, path)
  return spec_to_car(raw, {file = path, bytes = bytes, sources = {bytes}, without_records = lent ~= nil, lent = lent})
end

--- A car from the bytes of a vehicle file, without the records that it holds. lent: instruments of the file that names it, which err in its
-- ledger too: a list of {name =, bias_sd =, gain_sd =}.
function load.without_records(path, bytes, lent) return read_file(path, bytes, lent) end

--- A car from a vehicle file. text: what the file will say, before it is written.
function load.file(path, text)
  if type(path) ~= "string" then
    refuse("sy.load needs the path of a vehicle file", path)
  end
  if text ~= nil and type(text) ~= "string" then
    refuse("sy.load needs the text of a vehicle file as a text", text, path)
  end
  return read_file(path, text or core.read_file(path))
end

--- A car from a table with the fields of a vehicle file.
function load.fields(fields)
  if type(fields) ~= "table" then
    refuse("sy.car needs a table with the fields of a vehicle file", fields)
  end
  local _ <close> = without_collecting()
  return spec_to_car(fields, {sources = {}})
end

return load
