--- A finished drawing: what it shows as data, and the two ways it comes out, drawing:save(path) and drawing:text().

local core = require "steelyard.core"
local named_places = require "steelyard.car.named_places"
local origin = require "steelyard.print.origin"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local drawing = {}

-- drawing -> {canvas =, scene = or nil, says = what it is in a few words, lay = lays it out}
local insides = setmetatable({}, {__mode = "k"})

local methods = {}
local Drawing = require("steelyard.reference.results").kind("drawing", methods)

--- The canvas of a drawing, and the scene that it was made from, if one was.
function drawing.canvas_of(result) return insides[result].canvas, insides[result].scene end

local function put_foot(result, page, y, notes)
  sheet.foot(page, y, {notes = notes, left = origin.line(result), right = words.set("± covers 95\u{A0}%. Arithmetic, not permission.")})
end

--- A drawing on a page so wide: result gets its size, its notes and all that is written in it.
-- lay(page) -> y, notes: lays the page out down to y, above its foot
-- o: {car = inside of the car, or from = a result with the same origin, scene = or nil, says = what it is, in a few words, or a function
-- that gives them once it is laid out}
function drawing.finish(result, width, lay, o)
  if o.car then origin.of_car(result, o.car) else origin.as_of(result, o.from) end
  local page = sheet.new(width)
  local y, notes = lay(page)
  put_foot(result, page, y, notes)
  result.notes = notes
  result.width, result.height, result.texts = page.width, page.canvas.height, page.canvas:texts()
  insides[result] = {canvas = page.canvas, scene = o.scene, says = type(o.says) == "function" and o.says() or o.says, lay = lay}
  return setmetatable(result, Drawing)
end

--- The canvas of a drawing as a terminal has it: laid out anew, with all letters as wide.
function drawing.letters_of(result)
  local page = sheet.new(result.width, true)
  put_foot(result, page, insides[result].lay(page))
  return page.canvas
end

-- ---- files ------------------------------------------------------------------------------------------------------------------------

--- The drawing as the text of an SVG file.
function drawing.svg_of(result)
  return require("steelyard.draw.svg").of(insides[result].canvas, {title = result.heading,
    description = ("%s. %s"):format(insides[result].says, table.concat(result.notes, "; "))})
end

local function on_paper(kind)
  return function(result) return require("steelyard.draw.paper").of(insides[result].canvas, kind, result.heading) end
end

-- By the end of the file's name.
local writers = {svg = drawing.svg_of, txt = function(result) return result:text() .. "\n" end, png = on_paper "png",
                 pdf = on_paper "pdf"}
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
            hint = near and ("did you mean .%s?"):format(near) or "write .svg, .png, .pdf or .txt"}
end

--- Writes the drawing, whole or not at all: .svg, .png, .pdf or .txt by the end of the name. o.replace: over a file that is there.
function methods.save(result, path, o)
  o = named_places.check_fields(o, "drawing:save", {replace = true})
  core.write_file(path, writer_of(path)(result), named_places.switch(o.replace, "replace") or false)
  return path
end

--- The drawing as text for a terminal.
function methods.text(result) return words.plain(require("steelyard.draw.terminal").of(drawing.letters_of(result))) end

function Drawing.__tostring(result) return result:text() end

return drawing
