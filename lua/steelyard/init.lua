--- steelyard: weight and balance of a one-off vehicle.
--
--   local sy  = require "steelyard"
--   local car = sy.load("vehicles/first_guess.lua"):state "race start"
--   print(sy.compare{car, car:move("powertrain", {back = 50})})
--
-- Workshop units: mm, kg, degrees, litres, N/mm; shares in percent. Each part of the module is loaded when it is first used.

local core = require "steelyard.core"

local sy = {}

--- mesh {"sump.stl", unit = "mm"} is a shape; sy.mesh("sump.stl", {unit = "mm"}) tells about the body in the file.
function sy.mesh(file, options)
  if type(file) == "table" and options == nil then return require("steelyard.file.vocabulary").mesh(file) end
  return require("steelyard.measure.mesh").of(file, options)
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
  return require("steelyard.car.car").new(vehicle_file.read(raw, origin))
end

local MOST_CREDIT = 65536 -- KB

-- Reading makes little garbage and much that stays: the collector would only go over it again and again. The garbage is a few
-- hundred bytes a part, less than the parts themselves take. What was read is there for a while: the next cycle waits until as much
-- again is taken, as after a cycle, within limits ("step" with a size counts as so many KB taken, here given back).
local function without_collecting()
  local was_running = collectgarbage "isrunning"
  collectgarbage "stop"
  return setmetatable({}, {__close = function()
    if not was_running then return end
    collectgarbage "restart"
    collectgarbage("step", -math.min(collectgarbage "count" // 1 | 0, MOST_CREDIT))
  end})
end

--- A car from a vehicle file. text: what the file will say, before it is written.
function sy.load(path, text)
  if type(path) ~= "string" then
    core.fail{code = "type", message = ("sy.load needs the path of a vehicle file, not a %s"):format(type(path))}
  end
  if text ~= nil and type(text) ~= "string" then
    core.fail{code = "type", message = ("sy.load needs the text of a vehicle file as a text, not a %s"):format(type(text)), file = path}
  end
  local _ <close> = without_collecting()
  local language = require "steelyard.file.language"
  local bytes = text or core.read_file(path)
  local raw = core.run_file(bytes, path, {code = words_code, words = language.words, sorts = language.sorts})
  return spec_to_car(raw, {file = path, bytes = bytes, sources = {bytes}})
end

--- A car from a table with the fields of a vehicle file.
function sy.car(fields)
  if type(fields) ~= "table" then
    core.fail{code = "type", message = ("sy.car needs a table with the fields of a vehicle file, not a %s"):format(type(fields))}
  end
  local _ <close> = without_collecting()
  return spec_to_car(fields, {sources = {}})
end

local modules = {
  changes = function() return require("steelyard.answers.changes").of end,
  closure = function() return require("steelyard.measure.closure").of end,
  compare = function() return require("steelyard.answers.compare").of end,
  table = function() return require("steelyard.print.text").table end,
  corner_scales = function() return require("steelyard.measure.corner_scales").of end,
  part_cg = function() return require("steelyard.measure.part_cg").of end,
  hang_cg = function() return require("steelyard.measure.hang_cg").of end,
  survey = function() return require("steelyard.shop.survey").of end,
  subtract = function() return require("steelyard.measure.subtract").of end,
  pendulum = function() return require("steelyard.measure.pendulum").of end,
  cg_height = function() return require("steelyard.measure.cg_height").of end,
  plan_lift = function() return require("steelyard.measure.plan_lift").of end,
  options = function() return require("steelyard.command.options").read end,
  out = function() return require("steelyard.command.out").print end,
}

return setmetatable(sy, {
  __index = function(t, key)
    local open = modules[key]
    if open then
      t[key] = open()
      return t[key]
    end
    for name, word in pairs(require "steelyard.file.vocabulary") do t[name] = rawget(t, name) or word end
    if rawget(t, key) then return rawget(t, key) end
    local names = {}
    for name in pairs(t) do names[#names + 1] = name end
    for name in pairs(modules) do names[#names + 1] = name end
    table.sort(names, core.before)
    local near = type(key) == "string" and core.nearest(key, names)
    core.fail{code = "unknown", message = ("steelyard has nothing called %q"):format(tostring(key)),
              hint = near and ("did you mean sy.%s?"):format(near) or nil}
  end,
})
