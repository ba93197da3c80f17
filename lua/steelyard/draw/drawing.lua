--- A finished drawing: what it shows as data, and the two ways it comes out, drawing:save(path) and drawing:text().

local core = require "steelyard.core"
local named_places = require "steelyard.car.named_places"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local drawing = {}

-- drawing -> its canvas, its scene
local canvases, scenes = setmetatable({}, {__mode = "k"}), setmetatable({}, {__mode = "k"})

local methods = {}
local Drawing = require("steelyard.reference.results").kind("drawing", methods)

--- Every mark of a drawing, for tests.
function drawing.canvas_of(result) return canvases[result], scenes[result] end

function drawing.new(result, c, scene)
  canvases[result], scenes[result] = c, scene
  return setmetatable(result, Drawing)
end

-- ---- files ------------------------------------------------------------------------------------------------------------------------

--- The drawing as the text of an SVG file.
function drawing.svg_of(result)
  return require("steelyard.draw.svg").of(canvases[result], {title = result.heading,
    description = ("%s view, 1:%d. %s"):format(result.view, result.scale, table.concat(result.notes, "; "))})
end

local function not_built(kind)
  return function()
    core.fail{code = "unavailable", field = "path", message = ("%s needs cairo, which is not built in"):format(kind),
              hint = "write .svg, which every browser shows and prints"}
  end
end

-- By the end of the file's name.
local writers = {svg = drawing.svg_of, txt = function(result) return result:text() .. "\n" end, png = not_built "PNG",
                 pdf = not_built "PDF"}
local endings = {"svg", "txt", "png", "pdf"}

local function writer_of(path)
  if type(path) ~= "string" or path == "" then
    core.fail{code = "type", field = "path",
              message = ("must be the name of a file, is %s"):format(path == "" and "empty" or text.named(path))}
  end
  local ending = path:match "%.([^./\\]*)$"
  local writer = ending and writers[ending:lower()]
  if writer then return writer end
  local near = ending and core.nearest(ending:lower(), endings)
  core.fail{code = "unknown", field = "path",
            message = ending and ("%s: a drawing is not written as .%s"):format(path, ending)
              or ("%s: has no ending that says how to write it"):format(path),
            hint = near and ("did you mean .%s?"):format(near) or "write .svg or .txt"}
end

--- Writes the drawing, whole or not at all: .svg or .txt by the end of the name. o.replace: over a file that is there.
function methods.save(result, path, o)
  o = named_places.check_fields(o, "drawing:save", {replace = true})
  core.write_file(path, writer_of(path)(result), o.replace and true or false)
  return path
end

--- The drawing as text for a terminal.
function methods.text(result) return words.plain(require("steelyard.draw.terminal").of(canvases[result])) end

function Drawing.__tostring(result) return result:text() end

return drawing
