--- What do the scrutineer, the builder and next year's team need of this car?
-- Step: keep
-- Usage: steelyard report CAR [--state NAME] [--vary "PART WAY FROM TO N"] [--show QUANTITY,...] [--to FILE]

local sy = require "steelyard"
local core = require "steelyard.core"
local out = require "steelyard.command.out"

local o = sy.options{
  about = "All that is known of the car on one page for a browser, which needs no network and nothing installed: statement, limits, "
    .. "drawings, load states beside each other, records, the ledger to sort and to copy, and of each number what it rests on. --vary "
    .. "adds a study with a slider for each input; it may be given several times. Without --to it says what the page would hold.",
  usage = 'report CAR [--state NAME] [--vary "PART WAY FROM TO N"] [--show QUANTITY,...] [--other FILE] [--title TEXT] '
    .. "[--to FILE [--replace]]",
  examples = {'steelyard report vehicles/twayblade.lua --state "race start" --to twayblade.html',
              'steelyard report vehicles/first_guess.lua --vary "powertrain back -50 75 6" --vary "driver mass 60 100 5"'},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "the load state that the statement and the drawings show"},
             vary = {"INPUT", "an input of the study: a part, a way, its ends and how many values", again = true},
             show = {"QUANTITY,...", "what the study asks, front share, CG height and yaw inertia unless stated", list = true},
             other = {"FILE", "another vehicle file, to set beside this one", again = true},
             title = {"TEXT", "of the page"},
             to = {"FILE", "the page to write, such as car.html"},
             replace = {nil, "with --to: a file that is there already is replaced"}},
}
if o.replace and not o.to then core.fail{code = "usage", message = "--replace goes with --to FILE"} end
if o.show and not o.vary then core.fail{code = "usage", message = "--show goes with --vary INPUT"} end
local function car_of(path) return o.state and sy.load(path):state(o.state) or sy.load(path) end
local asked = {car_of(o.car), title = o.title}
for i, path in ipairs(o.other or {}) do asked[i + 1] = car_of(path) end
local vary = require("steelyard.command.varied").of(o.vary)
if vary then
  asked.studies = {{vary = vary, show = o.show or {"front_share", "height", "yaw_inertia"}, uncertainty = true, threads = 1}}
end
local report = sy.report(asked)
if o.to then report:save(o.to, {replace = o.replace}) end
if o.to and not o.json then
  out.text(("%s: a page of %s kB"):format(o.to, core.fixed(math.ceil(#report:html() / 1000), 0)))
else
  sy.out(o, report)
end
