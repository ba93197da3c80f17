--- What does the car look like to scale: outlines, masses, CG and loads?
-- Step: start
-- Usage: steelyard draw CAR [--view WORD] [--state NAME] [--before OLD] [--width MM] [--to FILE]

local sy = require "steelyard"
local core = require "steelyard.core"
local out = require "steelyard.command.out"

local o = sy.options{
  about = "The car to scale from the side, above or the front, with its masses, CG and loads, and below the side view the beam strip: "
    .. "where the kilograms are. On the screen without --to; FILE.svg for a browser or the printer, FILE.pdf, FILE.png, FILE.txt for text. "
    .. "--before draws where things were in another file.",
  usage = "draw CAR [--view WORD] [--state NAME] [--before OLD] [--width MM] [--to FILE [--replace]]",
  examples = {'steelyard draw vehicles/twayblade.lua --state "race start" --to twayblade.svg',
              "steelyard draw vehicles/first_guess.lua --view plan"},
  args = {{"car", "vehicle file"}},
  options = {view = {"WORD", "what is drawn", choices = {"side", "plan", "front", "beam"}, default = "side"},
             state = {"NAME", "a load state of the file"},
             before = {"OLD", "an earlier vehicle file: what has moved since is drawn in long-dash double-dot where it was"},
             width = {"MM", "of the picture on paper, 90 to 420; 90 is laid out for a telephone; as text, 144 is 80 columns and 216 is 120",
                      number = true, default = 180},
             to = {"FILE", "the picture to write: .svg, .pdf, .png or .txt"},
             replace = {nil, "with --to: a file that is there already is replaced"}},
}
if o.replace and not o.to then core.fail{code = "usage", message = "--replace goes with --to FILE"} end
local drawing = sy.load(o.car):draw{view = o.view, state = o.state, before = o.before and sy.load(o.before), width = o.width}
if o.to then drawing:save(o.to, {replace = o.replace}) end
if o.to and not o.json then
  out.text(("%s: %s view, 1:%d, %s by %s mm"):format(o.to, o.view, drawing.scale, core.fixed(drawing.width, 0),
    core.fixed(drawing.height, 0)))
else
  sy.out(o, drawing)
end
