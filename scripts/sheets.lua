--- Which sheets of paper do the workshop, the builder and the inspector need?
-- Step: weigh
-- Usage: steelyard sheets CAR [KIND] [--state NAME] [--paper SIZE] [--part NAME] [--datum PLACE] --to FILE.pdf

local sy = require "steelyard"
local core = require "steelyard.core"
local named_places = require "steelyard.car.named_places"
local new_file = require "steelyard.command.new_file"
local out = require "steelyard.command.out"
local sheets = require "steelyard.report.sheets"

local o = sy.options{
  about = "Paper to print: blank forms for each procedure, evidence for an inspection, the order for a frame, mark-out at full size, a "
    .. "lift. Without a KIND it lists them. Blanks are wide enough for gloves, nothing that should come out "
    .. "stands beside one, and each page names its file by digest.",
  usage = "sheets CAR [KIND] [--state NAME] [--paper SIZE] [--part NAME] [--datum PLACE] --to FILE.pdf [--replace]",
  examples = {"steelyard sheets vehicles/twayblade.lua",
              "steelyard sheets vehicles/twayblade.lua corners --state kerb --to corner_scales.svg"},
  args = {{"car", "vehicle file"}, {"kind", "which sheets", choices = sheets.names(), optional = true}},
  options = {
    state = {"NAME", "a load state of the file"},
    paper = {"SIZE", "a4 unless given; of markout also one long page", choices = {"a4", "a3", "long"}},
    part = {"NAME", "teardown, markout: the part or group that is taken apart or marked out"},
    view = {"WORD", "markout: how it is looked at, plan unless given", choices = {"plan", "side"}},
    datum = {"PLACE", "order: his zero, a point of the file or X,Y,Z; the file's own unless given"},
    axes = {"X,Y,Z", "order: the ways his axes run, as in forward,left,up; the file's own unless given", list = true},
    frame = {"NAME", "order: a part or group that is the frame; may be given several times", again = true},
    mounts = {"NAME;PLACE;PLACE;PLACE", "order: what hangs on three mounts or more, and where; again for more",
              again = true},
    within = {"MM", "lift: uncertainty of the height to plan for (95 %), 10 unless given", number = true},
    pad = {"KG", "lift: standard uncertainty of one pad, 0.1 unless given", number = true, field = "pads.sd"},
    lifted = {"END", "lift: the end that goes up, rear unless given", choices = {"rear", "front"}},
    page = {"N", "of an SVG, which holds one page", number = true, whole = true, min = 1},
    to = {"FILE", "where to: .pdf, or .svg for one page"},
    replace = {nil, "with --to: a file that is there already is replaced"},
  },
}
local car = sy.load(o.car)
if not o.kind then
  if o.to then core.fail{code = "usage", message = "--to goes with a KIND: " .. table.concat(sheets.names(), ", ")} end
  return sy.out(o, sheets.list(car))
end
for _, name in ipairs{"replace", "page"} do
  if o[name] and not o.to then core.fail{code = "usage", message = ("--%s goes with --to FILE"):format(name)} end
end
if not o.to and not o.json then core.fail{code = "usage", message = "--to FILE.pdf is missing: where the sheets go"} end
local made = sheets.of(car, o.kind, {state = o.state, paper = o.paper, part = o.part, datum = o.datum and named_places.word(o.datum),
  axes = o.axes, frame = o.frame, mounts = sheets.mounts(o.mounts), view = o.view, within = o.within, pad = o.pad, lifted = o.lifted})
if o.to then
  new_file.check_to(o.to, o.replace)
  made:save(o.to, {replace = o.replace, page = o.page})
end
if o.json then return sy.out(o, made) end
out.text(("%s: %s, %s"):format(o.to, o.kind, require("steelyard.print.text").count(#made.pages, "page")))
