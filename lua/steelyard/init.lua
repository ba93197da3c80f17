--- steelyard: weight and balance of a one-off vehicle.
--
--   local sy  = require "steelyard"
--   local car = sy.load("vehicles/first_guess.lua"):state "race start"
--   print(sy.compare{car, car:move("powertrain", {back = 50})})
--
-- Workshop units: mm, kg, degrees, litres, N/mm; shares in percent. Each part of the module is loaded when it is first used.

local core = require "steelyard.core"
local load = require "steelyard.car.load"
require "steelyard.car.car" -- gives cars their methods

local sy = {}

--- mesh {"sump.stl", unit = "mm"} is a shape; sy.mesh("sump.stl", {unit = "mm"}) tells about the body in the file.
function sy.mesh(file, options)
  if type(file) == "table" and options == nil then return require("steelyard.file.vocabulary").mesh(file) end
  return require("steelyard.measure.mesh").of(file, options)
end

--- A car from a vehicle file, and from a table with the fields of one: see car/load.lua.
sy.load, sy.car = load.file, load.fields

local modules = {
  changes = function() return require("steelyard.answers.changes").of end,
  closure = function() return require("steelyard.measure.closure").of end,
  compare = function() return require("steelyard.answers.compare").of end,
  merge = function() return require("steelyard.study.merge").of end,
  track = function() return require("steelyard.measure.track").of end,
  table = function() return require("steelyard.print.text").table end,
  corner_scales = function() return require("steelyard.measure.corner_scales").of end,
  part_cg = function() return require("steelyard.measure.part_cg").of end,
  hang_cg = function() return require("steelyard.measure.hang_cg").of end,
  survey = function() return require("steelyard.shop.survey").of end,
  subtract = function() return require("steelyard.measure.subtract").of end,
  vary = function() return require("steelyard.study.vary").of end,
  spread = function() return require("steelyard.study.spread").of end,
  sensitivity = function() return require("steelyard.study.sensitivity").of end,
  seek = function() return require("steelyard.study.seek").of end,
  study = function() return require("steelyard.study.study").of end,
  pendulum = function() return require("steelyard.measure.pendulum").of end,
  cg_height = function() return require("steelyard.measure.cg_height").of end,
  plan_lift = function() return require("steelyard.measure.plan_lift").of end,
  report = function() return require("steelyard.report.report").of end,
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
    core.fail{code = "unknown", message = ("steelyard has nothing called %s"):format(require("steelyard.print.text").named(key)),
              hint = near and ("did you mean sy.%s?"):format(near) or nil}
  end,
})
