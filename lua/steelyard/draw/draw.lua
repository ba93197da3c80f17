--- car:draw{view =, state =, before =, width =}: the car to scale. The drawing is made from car:scene alone.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local drawing = require "steelyard.draw.drawing"
local named_places = require "steelyard.car.named_places"
local options = require "steelyard.reference.options"
local scene = require "steelyard.draw.scene"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local views = require "steelyard.draw.views"

local draw = {}

local function choose(value, list, field, default)
  if value == nil then return default end
  for _, known in ipairs(list) do if value == known then return value end end
  local near = type(value) == "string" and core.nearest(value, list)
  core.fail{code = "unknown", field = field, message = ("there is no %s"):format(text.named(value)),
            hint = near and ("did you mean %q?"):format(near) or "choose " .. text.join(list, "or")}
end

local function before_of(given, state)
  if given == nil then return nil end
  if not contents.is_car(given) then
    core.fail{code = "type", field = "before", message = ("must be an earlier car, is %s"):format(text.named(given))}
  end
  local car, c = scene.car(given, state)
  return car, c
end

-- field of the drawing = field of the scene
local shown_numbers = {mass = "mass", front_share = "front_share", cg_height = "height", cg_behind = "cg_behind", cg_left = "cg_left",
                       wheelbase = "wheelbase"}

--- The result of car:draw.
function draw.of(_, self, given)
  local o = named_places.check_fields(given, "car:draw", options.known("draw", "drawing"))
  local name, width = choose(o.view, views.names, "view", "side"), sheet.width(o.width)
  local car, c = scene.car(self, o.state)
  local needed = views.needed(name)
  local s = scene.make(c, car, "design", needed)
  local before_car, before_c = before_of(o.before, o.state)
  local before = before_car and scene.make(before_c, before_car, "design", needed)
  local result = {view = name, state = s.state, heading = s.heading, sd = {axles = {}}, loads = s.loads, axles = {}}
  for name_of, field in pairs(shown_numbers) do result[name_of], result.sd[name_of] = s[field], s.sd[field] end
  for i, axle in ipairs(s.axles) do result.axles[i], result.sd.axles[i] = {name = axle.name, load = axle.load}, axle.sd end
  local function lay(page)
    local y, scale, notes = views.draw(page, name, s, before)
    result.scale = result.scale or scale
    return y, notes
  end
  return drawing.finish(result, width, lay, {car = c, scene = s, says = function() return ("%s view, 1:%d"):format(name, result.scale) end})
end

return draw
