--- result:plot(path, {kind =, width =, replace =}): the picture of a result, by the table of reference/pictures.lua.
--
-- A picture is a module with
--   draw(page, result, scene, o) -> y, says   lays the picture out below the page's top (draw/sheet.lua); y is its lower end
--        says = {scale = 25 for 1:25 or nil, notes = sentences for the foot, words = what it is, for who cannot see it}
--   views   list of views of the scene that it needs, or function(result); without it the scene is nil
--   pose    of the scene, "design" unless stated; a text or function(result)
--   whole   true: the scene has the file's gaps worked out and the uncertainties of where things are
-- It draws what stands in the result and the scene, and asks no car. A result that comes from no car has no scene.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local drawing = require "steelyard.draw.drawing"
local named_places = require "steelyard.car.named_places"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local pictures = require "steelyard.reference.pictures"
local scene = require "steelyard.draw.scene"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"

local picture = {}

local function kind_of(result)
  local meta = getmetatable(result)
  return type(meta) == "table" and rawget(meta, "__name") or nil
end

-- The row of the table for the picture asked for.
local function choose(result, asked)
  local rows = pictures.of[kind_of(result)]
  if asked == nil then asked = rows.usual and rows.usual(result) or rows[1][1] end
  local names = {}
  for i, row in ipairs(rows) do
    if row[1] == asked then return row end
    names[i] = row[1]
  end
  local near = type(asked) == "string" and core.nearest(asked, names)
  core.fail{code = "unknown", field = "kind", message = ("there is no picture %s of this result"):format(text.named(asked)),
            hint = near and ("did you mean %q?"):format(near) or #names > 1 and "choose " .. text.join(names, "or")
              or ("there is %q"):format(names[1])}
end

local function asked_of(given, result)
  if type(given) == "function" then return given(result) end
  return given
end

--- The picture of a result as a drawing. o: {kind =, width =}, checked.
function picture.of(result, o)
  local row, width = choose(result, o.kind), sheet.width(o.width)
  local maker = require("steelyard." .. row[2])
  local c = origin.car_of(result)
  local views = asked_of(maker.views, result)
  local s = c and views and scene.make(c, contents.wrap(c), asked_of(maker.pose, result) or "design", views, maker.whole)
  local shown = {picture = row[1], state = rawget(result, "state"), heading = rawget(result, "heading") or row[3], sd = {}}
  local said
  local function lay(page)
    local y, says = maker.draw(page, result, s or nil, o)
    if not said then shown.scale, said = says.scale, says.words or row[3] end
    return y, says.notes or {}
  end
  return drawing.finish(shown, width, lay, {from = result, scene = s or nil, says = function() return said end})
end

--- result:plot: writes the picture and gives the path back.
function picture.plot(result, path, given)
  local o = named_places.check_fields(given, kind_of(result) .. ":plot", options.known("draw", "picture"))
  return picture.of(result, o):save(path, {replace = o.replace})
end

return picture
